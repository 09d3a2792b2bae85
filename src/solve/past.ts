import { fitPlane } from '../instrument/equations.ts';
import { between, handSign, type Sides, seatedDepths, sidesOf } from '../instrument/neck.ts';
import type { Fit, Job } from '../job/job.ts';
import { type Reading, valuesOf } from '../kernel/measured.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { edgeDepths, leftAtEdge, pastOnFloor, reachedOf } from './edge.ts';
import { gapAt, reachOf } from './gaps.ts';
import type { Solved } from './solveEvidence.ts';
import { COVERAGE } from './uncertainty.ts';

/** mm. No floor is deeper after the last fit than this: a pitch of 3 degrees over a long pocket takes off less. */
const MOST_LEFT_MM = 6;

/** Depth (mm) at the middle of the deepest edge as it was read at the last fit, less a shim that lay there; 0 without a fit. */
export function depthNoted({ fits }: Job): number {
  const last = fits[fits.length - 1];
  if (last === undefined) return 0;
  const { bass, treble } = seatedDepths(valuesOf({ depth: last.depth, shim: last.shim }));
  return (bass + treble) / 2;
}

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

function boundsOf(reading: Reading | undefined): Sides {
  if (reading === undefined) return sidesOf(0);
  return 'kind' in reading ? sidesOf(reading.bound) : { bass: reading.bass.bound, treble: reading.treble.bound };
}

/** The larger ± of a reading's sides (mm). */
export function coarsest(reading: Reading): number {
  const { bass, treble } = boundsOf(reading);
  return Math.max(bass, treble);
}

/** The ± of two independent readings' sum (rectangular bounds, mm): two standard deviations, or both at their worst where that is less. */
function sumBound(a: number, b: number): number {
  return Math.min(a + b, COVERAGE * Math.hypot(a / Math.sqrt(3), b / Math.sqrt(3)));
}

/**
 * How far short of its place the governing string may stand by the reading of the last fit alone (mm, in the gap): each outer string as far
 * from contact as the ± of its gap and of the raised saddles allow, those between in proportion. The floor is the one on which it was read,
 * so the ± of its depth plays no part.
 */
export function mostShort({ solution, edge }: Pick<Solved, 'solution' | 'edge'>, fit: Fit): number {
  const { instrument, outline } = solution;
  const { job, crowns, plans } = instrument;
  const { target } = job;
  const plane = fitPlane(outline, handSign(job), edge, reachedOf(solution), target.skim);
  if (plane === null) return Number.POSITIVE_INFINITY;
  const away = edge === 'mouth' ? 1 : -1;
  const read = sidesOf(valuesOf(fit.lastFretGap));
  const raised = fit.raised === undefined ? sidesOf(0) : sidesOf(valuesOf(fit.raised));
  const open = boundsOf(fit.lastFretGap);
  const openRaised = boundsOf(fit.raised);
  const shiftOn = (i: number, side: keyof Sides): number => {
    const stands = gapAt(instrument, plane, i, crowns.frets, raised[side]);
    const perRaise = gapAt(instrument, plane, i, crowns.frets, raised[side] + 1) - stands;
    return read[side] - stands + away * sumBound(open[side], perRaise * openRaised[side]);
  };
  const last = plans.length - 1;
  const shift: Sides = { bass: shiftOn(0, 'bass'), treble: shiftOn(last, 'treble') };
  const { low, high } = reachOf(instrument, plane);
  const moved = (gap: number, i: number): number => gap + between(shift, i / last);
  const lowest = Math.max(...low.map(({ gap }, i) => moved(gap, i)));
  const highest = Math.min(...high.map(moved));
  return edge === 'mouth' ? lowest - target.gap : Math.min(target.highest - highest, target.gap - lowest);
}
