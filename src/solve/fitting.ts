import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import { edgeDepths, reachedOf } from './edge.ts';
import { afterFit } from './past.ts';
import type { Solved } from './solveEvidence.ts';
import { stopsOf } from './stops.ts';

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
  /** The ± of that. */
  readonly pastUncertainty: number;
  /** Thickness (mm) at the deepest edge of the wedge that would put back what was taken off too much; 0 where nothing was. */
  readonly wayBack: number;
}

/** Where a job with at least one fit stands after its last one. */
export function fitStateOf(solved: Solved): FitState {
  const { solution, uncertainty } = solved;
  const { target } = solution.instrument.job;
  const reached = reachedOf(solution);
  const wanted = edgeDepths(solution, solved.edge);
  const middle = (reached.bass + reached.treble) / 2;
  const { left, past } = afterFit(solved);
  const done = Math.abs(past) <= target.within;
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
    pastUncertainty: uncertainty.past,
    wayBack: left < 0 && !done ? -left : 0,
  };
}
