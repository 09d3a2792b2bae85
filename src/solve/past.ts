import { fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides, seatedDepths } from '../instrument/neck.ts';
import type { Job } from '../job/job.ts';
import { valuesOf } from '../kernel/measured.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { reachOf } from './gaps.ts';
import type { Solved } from './solveEvidence.ts';
import { edgeDepths, leftAtEdge } from './uncertainty.ts';

/** mm. No floor is deeper after the last fit than this: a pitch of 3 degrees over a long pocket takes off less. */
const MOST_LEFT_MM = 6;

/** Depths reached at the last fit, less a shim that lay there, at the ends of the edge where fits are measured; nothing without a fit. */
export function reachedOf(solved: Pick<Solved, 'solution'>): Sides {
  const { fits } = solved.solution.instrument.job;
  const last = fits[fits.length - 1];
  return last === undefined ? { bass: 0, treble: 0 } : seatedDepths(last);
}

/** Depth (mm) at the middle of the deepest edge as it was read at the last fit, less a shim that lay there; 0 without a fit. */
export function depthNoted({ fits }: Job): number {
  const last = fits[fits.length - 1];
  if (last === undefined) return 0;
  const { bass, treble } = seatedDepths(valuesOf({ depth: last.depth, shim: last.shim }));
  return (bass + treble) / 2;
}

/**
 * How far the neck has gone past where it should stand on a floor of these depths (mm, in the gap; negative: not there yet). Pitched back:
 * the highest string under its target; pitched forward: whichever of the two musts stops it first.
 */
function pastOnFloor({ solution, edge }: Pick<Solved, 'solution' | 'edge'>, depths: Sides): number {
  const { instrument, outline } = solution;
  const { target } = instrument.job;
  const plane = fitPlane(outline, handSign(instrument.job), edge, depths, target.skim);
  if (plane === null) return Number.NEGATIVE_INFINITY;
  const { lowest, highest } = reachOf(instrument, plane);
  return edge === 'mouth' ? target.gap - lowest : Math.max(highest - target.highest, lowest - target.gap);
}

export interface After {
  /** What is left to take off at the middle of the edge (mm; negative: too much is off). */
  readonly left: number;
  /** How far past its place the governing string is (mm). */
  readonly past: number;
  /** The edge's two ends when its middle is at a depth: towards the lean wanted first, then with it, and never up. */
  readonly sidesAt: (middle: number) => Sides;
}

/** Where the floor filed at the last fit leaves the strings, its lean included, and what it still wants. */
export function afterFit(solved: Pick<Solved, 'solution' | 'edge'>): After {
  const reached = reachedOf(solved);
  const wanted = edgeDepths(solved.solution, solved.edge);
  const past = pastOnFloor(solved, reached);
  const reachedMiddle = (reached.bass + reached.treble) / 2;
  const lean = (wanted.treble - wanted.bass) / 2;
  const sidesAt = (middle: number): Sides => {
    if (middle <= reachedMiddle)
      return { bass: reached.bass + middle - reachedMiddle, treble: reached.treble + middle - reachedMiddle };
    // A side that is down far enough stays until the other has come down to the lean wanted.
    const bass = Math.max(reached.bass, Math.min(middle - lean, 2 * middle - reached.treble));
    return { bass, treble: 2 * middle - bass };
  };
  const pastAfter = (more: number): number => (more === 0 ? past : pastOnFloor(solved, sidesAt(reachedMiddle + more)));
  const [lo, hi] = past < 0 ? [0, MOST_LEFT_MM] : [-reachedMiddle, 0];
  const root = findRoot(pastAfter, lo, hi, { within: SOLVED_WITHIN_MM });
  const left = root.ok ? root.x : leftAtEdge(solved.solution, solved.edge);
  return { left, past, sidesAt };
}
