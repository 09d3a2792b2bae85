import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import type { Fit } from '../job/job.ts';
import { edgeDepths, reachedOf } from './edge.ts';
import { middleOf, notedDepths } from './noted.ts';
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
  /**
   * How far short of its place (mm, in the gap) the governing string may stand by what was read, where that alone keeps the job from being
   * done: the same floor is read once more, and nothing filed; otherwise null.
   */
  readonly doubt: number | null;
  /** Thickness (mm) at the deepest edge of the wedge that would put back what was taken off too much; 0 where nothing was. */
  readonly wayBack: number;
}

/** Of what `target.within` forgives. Nothing short by less than this is doubted, however coarsely it was read. */
const DOUBTED_FROM = 0.5;
/**
 * Of what `target.within` forgives: what a string may be short by before it is doubted. A little above twice, so that with every reading again
 * counted as a fit the virtual bench stays at two and a half of them; at 2.25 more guitars end over 0.10 mm high.
 */
const DOUBTED_BEYOND = 2.06;
/** Readings of one floor: a fourth would bring little. */
const MOST_READINGS = 3;
/** Of the variance. Where less than this comes from gaps and raised saddles, to read them again settles nothing. */
const LEAST_OF_GAPS = 0.25;
const OF_GAPS = /^fits\.\d+\.(lastFretGap|raised)\b/;

/** Whether an input is one that a fit read once more reads again. */
export function isReadAgain(path: string): boolean {
  return OF_GAPS.test(path);
}

/** How often the floor of the last fit was read, that fit counted: since wood does not grow, a depth noted no larger is of the same floor. */
function readingsOfFloor(fits: readonly Fit[]): number {
  const middles = fits.map((fit) => middleOf(notedDepths(fit)));
  const isOther = (fit: Fit, i: number): boolean =>
    (middles[i] ?? 0) > (middles[i - 1] ?? Number.NEGATIVE_INFINITY) || fit.shim?.value !== fits[i - 1]?.shim?.value;
  return fits.length - fits.findLastIndex(isOther);
}

/**
 * Where a string that seems to stand within `target.within` may by the ± of that be short by more than about twice as much (too high, or pitched
 * forward too low): how much (mm). A reading more costs minutes, wood is not put back.
 */
function doubtOf(solved: Solved, past: number, fits: readonly Fit[]): number | null {
  const { within } = solved.solution.instrument.job.target;
  const short = -past;
  const most = short + solved.uncertainty.past;
  if (short <= DOUBTED_FROM * within || short > within || most <= DOUBTED_BEYOND * within) return null;
  const ofGaps = solved.uncertainty.pastBudget.reduce((sum, { input, share }) => (isReadAgain(input) ? sum + share : sum), 0);
  if (ofGaps < LEAST_OF_GAPS) return null;
  return readingsOfFloor(fits) < MOST_READINGS ? most : null;
}

/** Where a job stands after the last of these fits, of which there is at least one, given as they were read. */
export function fitStateOf(solved: Solved, fits: readonly Fit[]): FitState {
  const { solution, uncertainty } = solved;
  const { target } = solution.instrument.job;
  const reached = reachedOf(solution);
  const wanted = edgeDepths(solution, solved.edge);
  const middle = middleOf(reached);
  const { left, past } = afterFit(solved);
  const isWithin = Math.abs(past) <= target.within;
  const doubt = doubtOf(solved, past, fits);
  const [stop] = stopsOf(solved);
  const last = fits[fits.length - 1];
  // What is read once more is told as it was noted: any other figure would ask for filing.
  const stays = doubt === null || last === undefined ? reached : notedDepths(last);
  const goesOn = !isWithin && stop !== undefined && stop.deepest > middle;
  return {
    edge: solved.edge,
    reached: { bass: reached.bass, treble: reached.treble },
    wanted,
    left,
    leftUncertainty: uncertainty.left,
    next: goesOn ? stop.deepest : middleOf(stays),
    nextAt: goesOn ? stop.at : { bass: stays.bass, treble: stays.treble },
    done: isWithin && doubt === null,
    surprise: solved.warnings.find(({ code }) => code === 'evidence-contradicts')?.message ?? null,
    past,
    pastUncertainty: uncertainty.past,
    doubt,
    wayBack: left < 0 && !isWithin ? -left : 0,
  };
}
