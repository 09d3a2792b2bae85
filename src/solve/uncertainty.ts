import { handSign, type Sides, sidesOf } from '../instrument/neck.ts';
import { depthAt } from '../kernel/plane.ts';
import type { Solution } from './solve.ts';

/** The figures that carry an uncertainty. */
export interface Figures {
  readonly pitch: number;
  readonly roll: number;
  readonly deepest: number;
  /** What is left to take off at the middle of the deepest edge after the last fit; without a fit, all of it. */
  readonly left: number;
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
const KEYS = ['pitch', 'roll', 'deepest', 'left'] as const;

export function figuresOf(solution: Solution): Figures {
  const { pitch, roll, deepest } = solution;
  return { pitch, roll, deepest, left: leftAtEdge(solution) };
}

/** The floor's depth at the ends of its deepest edge (mouth, or rear where the pitch is forward), bass and treble. */
export function edgeDepths(solution: Solution): Sides {
  const { plane, outline, pitch, instrument } = solution;
  const hand = handSign(instrument.job);
  const atRear = pitch < 0;
  const x = atRear ? outline.length : 0;
  const half = atRear ? outline.rearHalf : outline.mouthHalf;
  return { bass: depthAt(plane, x, -hand * half), treble: depthAt(plane, x, hand * half) };
}

/** Middle of the deepest edge: depth wanted less depth reached at the last fit (mm; negative where the fit went past it). */
export function leftAtEdge(solution: Solution): number {
  const wanted = edgeDepths(solution);
  const { fits } = solution.instrument.job;
  const last = fits[fits.length - 1];
  const reached = last === undefined ? { bass: 0, treble: 0 } : sidesOf(last.depth);
  return (wanted.bass + wanted.treble - reached.bass - reached.treble) / 2;
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
    left: expanded('left'),
    budget: swings
      .map((swing) => ({ input: swing.path, share: total > 0 ? shift(swing, 'deepest') ** 2 / total : 0 }))
      .filter(({ share }) => share > 0)
      .sort((a, b) => b.share - a.share),
    assumed: swings.filter(({ stated }) => !stated).map(({ path }) => path),
  };
}
