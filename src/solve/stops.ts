import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import { FILE_HAND_MM } from '../kernel/tolerances.ts';
import { afterFit, reachedOf } from './past.ts';
import type { Solved } from './solveEvidence.ts';
import { COVERAGE, edgeDepths } from './uncertainty.ts';

export interface Stop {
  /** The deepest edge, across which the depths are told. */
  readonly edge: DeepEdge;
  /** Depth at the middle of the deepest edge (mm). */
  readonly deepest: number;
  /** The same at its two ends. */
  readonly at: Sides;
  readonly why: string;
}

/** Later stops aim this part of what `target.within` forgives short: less goes too deep more often, more takes more fits. */
const HELD_PART = 0.3;

/** Why nothing is to be cut before the first fit from a drawing: the fit is then the first reading. */
const DRAWING_FIRST =
  'a drawing is for planning: bolt the neck on as it is, string it, and note that as the first fit (depth 0), or give asFound readings';

/**
 * Where to stop filing and fit. The first stop is the depth less two standard uncertainties: one-sided, the chance that it is already too
 * deep is 2.3 % (normal distribution), the hand's own miss counted in, and it is never beyond that. Later stops may use up what
 * `target.within` forgives, but aim a part of that short, since too little is put right by one more fit and too much is not; where the ± is
 * as large as what is left they go half the way. From a drawing alone nothing is cut before the neck has been on once.
 */
export function stopsOf(solved: Pick<Solved, 'solution' | 'uncertainty' | 'edge'>): Stop[] {
  const { solution, uncertainty, edge } = solved;
  if (solution.deepest === 0) return [];
  const { target, fits } = solution.instrument.job;
  const wanted = edgeDepths(solution, edge);
  const reached = reachedOf(solved);
  const isUncut = reached.bass === 0 && reached.treble === 0;
  const middle = (reached.bass + reached.treble) / 2;
  const half = (wanted.bass + wanted.treble) / 2;
  const { left, sidesAt } = isUncut
    ? { left: half, sidesAt: (depth: number) => ({ bass: (wanted.bass * depth) / half, treble: (wanted.treble * depth) / half }) }
    : afterFit(solved);
  const whole = middle + left;
  const open = Math.hypot(uncertainty.left, COVERAGE * FILE_HAND_MM);
  const stopAt = (deepest: number, why: string): Stop => ({ edge, deepest, at: sidesAt(deepest), why });
  const end = stopAt(whole, 'the depth worked out: fit, and you should be done');
  if (isUncut) {
    if (fits.length === 0 && solution.instrument.kind === 'drawing') return [stopAt(0, DRAWING_FIRST), end];
    // Part of a skim goes off level, so a stop within the skim is as good a floor as one below it.
    const first = whole - open;
    if (first > 0) return [stopAt(first, 'fit here: the chance that it is already too deep is under 2.5 %'), end];
    return [stopAt(0, 'the ± is as large as the whole cut: measure again before the first one'), end];
  }
  if (left <= 0) return [];
  const forgiven = target.within / Math.abs(solution.gain);
  const held = Math.max(HELD_PART * forgiven, open - 1.5 * forgiven);
  const next = Math.max(whole - held, middle + left / 2);
  return [stopAt(next, 'a little short of the depth worked out: one more fit puts that right, too much stays'), end];
}
