import type { DeepEdge } from '../instrument/equations.ts';
import { sidesOf } from '../instrument/neck.ts';
import { spreadOf, uniformDraws } from '../kernel/sampling.ts';
import { KINK_FROM, KINK_SHARE_FROM } from '../kernel/tolerances.ts';
import { type FloorAlone, leftAtEdge, pastOnFloor, reachedOf } from './edge.ts';

/** The figures that carry an uncertainty. */
export interface Figures {
  readonly pitch: number;
  readonly roll: number;
  readonly deepest: number;
  /** What is left to take off at the middle of the deepest edge after the last fit; without a fit, all of it. */
  readonly left: number;
  /** How far past its place the governing string is on the floor reached at the last fit (in the gap; 0 without a fit). */
  readonly past: number;
  /** How far the drawing puts the outer seats over where the readings put them (0 where no drawing is given). */
  readonly drawingBass: number;
  readonly drawingTreble: number;
}

/** The solve as a function of its inputs' errors: one entry an input, mm or rad. */
export interface Movable {
  readonly inputs: readonly { readonly path: string; readonly bound: number; readonly stated: boolean }[];
  /** The figures with every input off by `errors`; undefined where that cannot be solved. */
  readonly figuresAt: (errors: readonly number[]) => Figures | undefined;
}

/** Inputs by their share of a figure's variance, largest first. */
export type Budget = readonly { readonly input: string; readonly share: number }[];

export interface Uncertainty extends Figures {
  /** Of `deepest`. */
  readonly budget: Budget;
  /** Of `past`; empty without a fit. */
  readonly pastBudget: Budget;
  /** Inputs whose ± is the program's own assumption. */
  readonly assumed: readonly string[];
}

/** Coverage factor: U is two standard deviations (JCGM 100:2008, 6.2). */
export const COVERAGE = 2;
const KEYS = ['pitch', 'roll', 'deepest', 'left', 'past', 'drawingBass', 'drawingTreble'] as const;
type FigureKey = (typeof KEYS)[number];

export function figuresOf(solution: FloorAlone, edge: DeepEdge): Figures {
  const { pitch, roll, deepest } = solution;
  const { job, seatLowest } = solution.instrument;
  const drawn = job.bridge.lowest === undefined ? undefined : sidesOf(job.bridge.lowest);
  const over = (lowest: number | undefined, seat: number | undefined): number =>
    lowest === undefined || seat === undefined ? 0 : job.pocket.depth + lowest - seat;
  return {
    pitch,
    roll,
    deepest,
    left: leftAtEdge(solution, edge),
    past: job.fits.length === 0 ? 0 : pastOnFloor(solution, edge, reachedOf(solution)),
    drawingBass: over(drawn?.bass, seatLowest[0]),
    drawingTreble: over(drawn?.treble, seatLowest[seatLowest.length - 1]),
  };
}

/** Draws at a kink: the deviation is then known to 1 / sqrt(2 n) = 3.2 %; the seed is fixed, so the same job has the same ±. */
const KINK_DRAWS = 500;
const KINK_SEED = 8191;

interface Swing {
  readonly path: string;
  readonly up: Figures;
  readonly down: Figures;
}

/** Larger of the two one-sided shifts. */
function shiftOf(base: Figures, swing: Swing, key: FigureKey): number {
  return Math.max(Math.abs(swing.up[key] - base[key]), Math.abs(swing.down[key] - base[key]));
}

function hasKink(base: Figures, swings: readonly Swing[]): boolean {
  const total = swings.reduce((sum, swing) => sum + shiftOf(base, swing, 'deepest') ** 2, 0);
  return swings.some((swing) => {
    const larger = shiftOf(base, swing, 'deepest');
    const smaller = Math.min(Math.abs(swing.up.deepest - base.deepest), Math.abs(swing.down.deepest - base.deepest));
    return larger * larger > KINK_SHARE_FROM * total && larger - smaller > KINK_FROM * larger;
  });
}

/** Standard deviations by propagation of distributions (JCGM 101:2008): every input drawn from its rectangle. */
function sampledDeviations(movable: Movable): Figures | undefined {
  const draw = uniformDraws(KINK_SEED);
  const drawn: Figures[] = [];
  for (let i = 0; i < KINK_DRAWS; i++) {
    const figures = movable.figuresAt(movable.inputs.map(({ bound }) => (2 * draw() - 1) * bound));
    if (figures !== undefined) drawn.push(figures);
  }
  if (drawn.length < KINK_DRAWS / 2) return undefined;
  const of = (key: FigureKey): number => spreadOf(drawn.map((figures) => figures[key])).deviation;
  return Object.fromEntries(KEYS.map((key) => [key, of(key)])) as unknown as Figures;
}

/**
 * Linear propagation: U = 2 sqrt(sum (c u)²) (JCGM 100:2008, 5.1.2), each c u by differences over ±u = ±bound / sqrt(3). Where two
 * strings govern, the derivative has a kink: the larger one-sided difference is taken, and where the two sides differ by more than a
 * tenth the sampled deviation decides.
 */
export function propagate(base: Figures, movable: Movable): Uncertainty {
  const { inputs, figuresAt } = movable;
  const swings = inputs.map(({ path, bound }, at): Swing => {
    const u = bound / Math.sqrt(3);
    const off = (by: number): Figures => figuresAt(inputs.map((_, i) => (i === at ? by : 0))) ?? base;
    return { path, up: off(u), down: off(-u) };
  });
  const variance = (key: FigureKey): number => swings.reduce((sum, swing) => sum + shiftOf(base, swing, key) ** 2, 0);
  const sampled = hasKink(base, swings) ? sampledDeviations(movable) : undefined;
  const budgetOf = (key: FigureKey): Budget => {
    const total = variance(key);
    return swings
      .map((swing) => ({ input: swing.path, share: total > 0 ? shiftOf(base, swing, key) ** 2 / total : 0 }))
      .filter(({ share }) => share > 0)
      .sort((a, b) => b.share - a.share);
  };
  const expanded = Object.fromEntries(
    KEYS.map((key) => [key, COVERAGE * (sampled?.[key] ?? Math.sqrt(variance(key)))]),
  ) as unknown as Figures;
  return {
    ...expanded,
    budget: budgetOf('deepest'),
    pastBudget: budgetOf('past'),
    assumed: inputs.filter(({ stated }) => !stated).map(({ path }) => path),
  };
}
