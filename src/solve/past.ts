import type { Sides } from '../instrument/neck.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { edgeDepths, leftAtEdge, pastOnFloor, reachedOf } from './edge.ts';
import type { Solved } from './solveEvidence.ts';

/** mm. No floor is deeper after the last fit than this: a pitch of 3 degrees over a long pocket takes off less. */
const MOST_LEFT_MM = 6;

export interface After {
  /** What is left to take off at the middle of the edge (mm; negative: too much is off). */
  readonly left: number;
  /** How far past its place the governing string is (mm). */
  readonly past: number;
  /** What a mm more at the middle of the edge does to that (mm a mm). */
  readonly perMm: number;
  /** The edge's two ends when its middle is at a depth: towards the lean wanted first, then with it, and never up. */
  readonly sidesAt: (middle: number) => Sides;
}

/** Where the floor filed at the last fit leaves the strings, its lean included, and what it still wants. */
export function afterFit({ solution, edge }: Pick<Solved, 'solution' | 'edge'>): After {
  const reached = reachedOf(solution);
  const wanted = edgeDepths(solution, edge);
  const past = pastOnFloor(solution, edge, reached);
  const reachedMiddle = (reached.bass + reached.treble) / 2;
  const lean = (wanted.treble - wanted.bass) / 2;
  const sidesAt = (middle: number): Sides => {
    if (middle <= reachedMiddle)
      return { bass: reached.bass + middle - reachedMiddle, treble: reached.treble + middle - reachedMiddle };
    // A side that is down far enough stays until the other has come down to the lean wanted.
    const bass = Math.max(reached.bass, Math.min(middle - lean, 2 * middle - reached.treble));
    return { bass, treble: 2 * middle - bass };
  };
  const pastAfter = (more: number): number => (more === 0 ? past : pastOnFloor(solution, edge, sidesAt(reachedMiddle + more)));
  const [lo, hi] = past < 0 ? [0, MOST_LEFT_MM] : [-reachedMiddle, 0];
  const root = findRoot(pastAfter, lo, hi, { within: SOLVED_WITHIN_MM });
  const left = root.ok ? root.x : leftAtEdge(solution, edge);
  const perMm = root.ok && Math.abs(left) > SOLVED_WITHIN_MM ? Math.abs(past / left) : Math.abs(solution.gain);
  return { left, past, perMm, sidesAt };
}
