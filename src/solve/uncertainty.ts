import type { Job } from '../job/job.ts';
import { type Input, inputsOf } from '../kernel/measured.ts';
import type { Solution } from './solve.ts';

/** The figures that carry an uncertainty. */
export interface Figures {
  readonly pitch: number;
  readonly roll: number;
  readonly deepest: number;
}

export interface Uncertainty extends Figures {
  /** Each input's share of the variance of `deepest`, largest first. */
  readonly budget: readonly { readonly input: string; readonly share: number }[];
  readonly assumed: readonly string[];
}

/** Coverage factor: U is two standard deviations (JCGM 100:2008, 6.2). */
const COVERAGE = 2;

/**
 * Linear propagation: U = 2 sqrt(sum (c u)²), u = bound / sqrt(3) (JCGM 100:2008, 4.3.7 and 5.1.2), c by central differences over
 * ±u. Where two strings govern the derivative has a kink: the larger one-sided slope is taken, so U is never too small there.
 * `solveWith` solves the job with one input moved; it answers undefined where that cannot be solved.
 */
export function propagate(
  job: Job,
  base: Figures,
  solveWith: (override: ReadonlyMap<string, number>) => Figures | undefined,
): Uncertainty {
  const keys = ['pitch', 'roll', 'deepest'] as const;
  const sums = { pitch: 0, roll: 0, deepest: 0 };
  const variances: { input: string; variance: number }[] = [];
  const inputs = inputsOf(job).filter((input: Input) => input.measured.bound > 0);
  for (const { path, measured } of inputs) {
    const u = measured.bound / Math.sqrt(3);
    const up = solveWith(new Map([[path, measured.value + u]])) ?? base;
    const down = solveWith(new Map([[path, measured.value - u]])) ?? base;
    for (const key of keys) {
      const shift = Math.max(Math.abs(up[key] - base[key]), Math.abs(base[key] - down[key]));
      sums[key] += shift * shift;
      if (key === 'deepest') variances.push({ input: path, variance: shift * shift });
    }
  }
  const total = sums.deepest;
  return {
    pitch: COVERAGE * Math.sqrt(sums.pitch),
    roll: COVERAGE * Math.sqrt(sums.roll),
    deepest: COVERAGE * Math.sqrt(sums.deepest),
    budget: variances
      .filter(({ variance }) => variance > 0)
      .sort((a, b) => b.variance - a.variance)
      .map(({ input, variance }) => ({ input, share: variance / total })),
    assumed: inputs.filter(({ measured }) => !measured.stated).map(({ path }) => path),
  };
}

export function figuresOf(solution: Solution): Figures {
  return { pitch: solution.pitch, roll: solution.roll, deepest: solution.deepest };
}
