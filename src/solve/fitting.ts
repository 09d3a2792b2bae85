import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import type { Fit } from '../job/job.ts';
import { edgeDepths, reachedOf } from './edge.ts';
import { afterFit, coarsest, mostShort } from './past.ts';
import type { Solved } from './solveEvidence.ts';
import { stopsOf } from './stops.ts';
import { COVERAGE } from './uncertainty.ts';

/** What the test fits say together with all other evidence: what is reached, what is left, where to stop next (mm, at the deepest edge). */
export interface FitState {
  readonly edge: DeepEdge;
  readonly reached: Sides;
  /** Depths wanted at the ends of that edge. */
  readonly wanted: Sides;
  readonly left: number;
  readonly leftUncertainty: number;
  /** Depth to stop at for the next fit, at the edge's middle, and the same at its two ends (wood never grows back). */
  readonly next: number;
  readonly nextAt: Sides;
  readonly done: boolean;
  readonly surprise: string | null;
  /** How far past its place the governing string is on the floor reached (mm; negative: not there yet). */
  readonly past: number;
  /** Thickness (mm) at the deepest edge of the wedge that would put back what was taken off too much; 0 where nothing was. */
  readonly wayBack: number;
  /** How high (mm, in the gap) the governing string may still stand where only that keeps the job from being done; otherwise null. */
  readonly doubt: number | null;
}

/**
 * Standard deviations. Too high by so many more than the fits say is what a string may still stand: on the virtual bench one guitar in
 * some thousands then ends further from its place than twice what `target.within` forgives, and it takes a fifth of a fit more.
 */
const DOUBT_DEVIATIONS = 2.3;
/** Of `target.within`. Gaps known no better than this cannot settle a doubt: another fit would bring another one. */
const SETTLES_UP_TO = 1.5;

/**
 * How far short of its place the governing string may stand (mm, in the gap) where that is more than twice what `target.within` forgives;
 * null where it is not. Both must say so: all readings together, and the last fit's by itself.
 */
function doubtOf(solved: Solved, past: number, fit: Fit): number | null {
  const { within } = solved.solution.instrument.job.target;
  if (coarsest(fit.lastFretGap) > SETTLES_UP_TO * within) return null;
  const most = Math.min((DOUBT_DEVIATIONS / COVERAGE) * solved.uncertainty.past - past, mostShort(solved, fit));
  return most > 2 * within ? most : null;
}

/** Where a job stands after its last fit, which is given as it was read. */
export function fitStateOf(solved: Solved, fit: Fit): FitState {
  const { solution, uncertainty } = solved;
  const { target } = solution.instrument.job;
  const reached = reachedOf(solution);
  const wanted = edgeDepths(solution, solved.edge);
  const middle = (reached.bass + reached.treble) / 2;
  const { left, past } = afterFit(solved);
  const isWithin = Math.abs(past) <= target.within;
  const doubt = isWithin && past < 0 ? doubtOf(solved, past, fit) : null;
  const done = isWithin && doubt === null;
  const [stop] = stopsOf(solved);
  const goesOn = !done && stop !== undefined && stop.deepest > middle;
  return {
    edge: solved.edge,
    reached: { bass: reached.bass, treble: reached.treble },
    wanted,
    left,
    leftUncertainty: uncertainty.left,
    next: goesOn ? stop.deepest : middle,
    nextAt: goesOn ? stop.at : { bass: reached.bass, treble: reached.treble },
    done,
    surprise: solved.warnings.find(({ code }) => code === 'evidence-contradicts')?.message ?? null,
    past,
    wayBack: left < 0 && !isWithin ? -left : 0,
    doubt,
  };
}
