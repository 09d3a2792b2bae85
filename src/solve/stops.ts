import type { Solved } from './solveEvidence.ts';
import { edgeDepths, leftAtEdge } from './uncertainty.ts';

export interface Stop {
  /** Depth at the middle of the deepest edge (mm). */
  readonly deepest: number;
  readonly why: string;
}

/**
 * Where to stop filing and fit. The first stop is the depth less two standard uncertainties: one-sided, the chance that it is already too
 * deep is 2.3 % (normal distribution). The second is the depth itself: after a fit the uncertainty that is left is the fit's own.
 */
export function stopsOf(solved: Solved): Stop[] {
  const { solution, uncertainty } = solved;
  if (solution.deepest === 0) return [];
  const { target, fits } = solution.instrument.job;
  const edge = edgeDepths(solution);
  const whole = (edge.bass + edge.treble) / 2;
  const reached = whole - leftAtEdge(solution);
  const allowed = target.within / Math.max(Math.abs(solution.gain), 0.1);
  const end: Stop = { deepest: whole, why: 'the depth worked out: fit, and you should be done' };
  const first = whole - uncertainty.left;
  if (uncertainty.left <= allowed) return [end];
  if (first <= reached + Number.EPSILON) {
    return [
      {
        deepest: reached,
        why: `the ± is as large as what is left${fits.length === 0 ? '' : ' after the last fit'}: measure again before you take off more`,
      },
      end,
    ];
  }
  return [{ deepest: first, why: 'fit here: the chance that it is already too deep is under 2.5 %' }, end];
}
