import type { Solution } from './solve.ts';

/** The figures that carry an uncertainty. */
export interface Figures {
  readonly pitch: number;
  readonly roll: number;
  readonly deepest: number;
  /** max_i low(i) after the cut would change with the evidence: what is left to take off at a floor already cut. */
  readonly lowestAsFound: number;
}

/** One input, and the figures with that input (and all that follows from it) one standard uncertainty up and down. */
export interface Swing {
  readonly path: string;
  readonly stated: boolean;
  readonly up: Figures | undefined;
  readonly down: Figures | undefined;
}

export interface Uncertainty extends Figures {
  /** Each input's share of the variance of `deepest`, largest first. */
  readonly budget: readonly { readonly input: string; readonly share: number }[];
  /** Inputs whose ± is the program's own assumption. */
  readonly assumed: readonly string[];
}

/** Coverage factor: U is two standard deviations (JCGM 100:2008, 6.2). */
const COVERAGE = 2;
const KEYS = ['pitch', 'roll', 'deepest', 'lowestAsFound'] as const;

export function figuresOf(solution: Solution): Figures {
  const { pitch, roll, deepest } = solution;
  return { pitch, roll, deepest, lowestAsFound: solution.asFound.lowest };
}

/**
 * Linear propagation: U = 2 sqrt(sum (c u)²) (JCGM 100:2008, 5.1.2), each c u by differences over ±u. Where two strings govern, the
 * derivative has a kink: the larger one-sided difference is taken, so U is never too small there.
 */
export function propagate(base: Figures, swings: readonly Swing[]): Uncertainty {
  const shift = (swing: Swing, key: (typeof KEYS)[number]): number =>
    Math.max(Math.abs((swing.up ?? base)[key] - base[key]), Math.abs((swing.down ?? base)[key] - base[key]));
  const sum = (key: (typeof KEYS)[number]): number => swings.reduce((total, swing) => total + shift(swing, key) ** 2, 0);
  const total = sum('deepest');
  const expanded = (key: (typeof KEYS)[number]): number => COVERAGE * Math.sqrt(sum(key));
  return {
    pitch: expanded('pitch'),
    roll: expanded('roll'),
    deepest: expanded('deepest'),
    lowestAsFound: expanded('lowestAsFound'),
    budget: swings
      .map((swing) => ({ input: swing.path, share: total > 0 ? shift(swing, 'deepest') ** 2 / total : 0 }))
      .filter(({ share }) => share > 0)
      .sort((a, b) => b.share - a.share),
    assumed: swings.filter(({ stated }) => !stated).map(({ path }) => path),
  };
}
