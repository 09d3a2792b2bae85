import { type DeepEdge, fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides, sidesOf } from '../instrument/neck.ts';
import { reachOf } from './gaps.ts';
import type { Solved } from './solveEvidence.ts';
import { stopsOf } from './stops.ts';
import { edgeDepths, leftAtEdge } from './uncertainty.ts';

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
}

/**
 * How far the neck has gone past where it should stand on the floor reached (mm, in the gap): pitched back, the highest string under its
 * target; pitched forward, whichever of the two musts stops it first.
 */
function pastOnFloor(solved: Solved, reached: Sides): number {
  const { instrument, outline } = solved.solution;
  const { target } = instrument.job;
  const plane = fitPlane(outline, handSign(instrument.job), solved.edge, reached, target.skim);
  if (plane === null) return Number.NEGATIVE_INFINITY;
  const { lowest, highest } = reachOf(instrument, plane);
  return solved.edge === 'mouth' ? target.gap - lowest : Math.max(highest - target.highest, lowest - target.gap);
}

/** Where a job stands after its last fit. Without a fit nothing is reached. */
export function fitStateOf(solved: Solved): FitState {
  const { solution, uncertainty } = solved;
  const { fits, target } = solution.instrument.job;
  const reached = sidesOf(fits[fits.length - 1]?.depth ?? 0);
  const wanted = edgeDepths(solution, solved.edge);
  const middle = (reached.bass + reached.treble) / 2;
  const left = leftAtEdge(solution, solved.edge);
  const past = fits.length === 0 ? Number.NEGATIVE_INFINITY : pastOnFloor(solved, reached);
  const done = Math.abs(past) <= target.within;
  const [stop] = stopsOf(solved);
  const next = done ? middle : Math.max(middle, stop?.deepest ?? middle);
  const part = left > 0 ? Math.min(1, (next - middle) / left) : 0;
  const on = (side: keyof Sides): number => Math.max(reached[side], reached[side] + part * (wanted[side] - reached[side]));
  return {
    edge: solved.edge,
    reached: { bass: reached.bass, treble: reached.treble },
    wanted,
    left,
    leftUncertainty: uncertainty.left,
    next,
    nextAt: { bass: on('bass'), treble: on('treble') },
    done,
    surprise: solved.warnings.find(({ code }) => code === 'evidence-contradicts')?.message ?? null,
    past,
    wayBack: left < 0 && !done ? -left : 0,
  };
}
