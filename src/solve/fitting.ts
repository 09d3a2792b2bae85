import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import type { Fit } from '../job/job.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { edgeDepths, reachedOf } from './edge.ts';
import type { GAUGED } from './gauged.ts';
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
  /** Of a floor that is done or doubted: what a leaf or rod would show of it; null where none can, or where it was gauged. */
  readonly gauge: Gauge | null;
  /** Thickness (mm) at the deepest edge of the wedge that would put back what was taken off too much; 0 where nothing was. */
  readonly wayBack: number;
}

/**
 * A go or no-go test of a floor that seems right, which owes nothing to the readings. `lowest`: with the saddles all the way down a leaf as
 * `thick` (mm) as this goes under no string all along from fret 12 to the last. `highest`: with them all the way up a rod as thick as this goes
 * under every string over the last fret.
 */
export interface Gauge {
  readonly of: (typeof GAUGED)[number];
  readonly thick: number;
}

/**
 * Of what `target.within` forgives: how far too high (pitched forward, too low) the strings may be by the gauge. Twice that is what nobody
 * should be left with, and the feel of a leaf is good to some 0.02 mm (common practice, from memory).
 */
const GAUGED_BEYOND = 1.6;
/** mm. Thinner leaves buckle under a string (common practice, from memory). */
const THINNEST_LEAF_MM = 0.04;

/** Of what `target.within` forgives. Nothing short by less than this is doubted, however coarsely it was read. */
const DOUBTED_FROM = 0.5;
/** Of what `target.within` forgives: what a string may be short by before it is doubted. A little above twice: readings again are few then. */
const DOUBTED_BEYOND = 2.25;
/** The same where no leaf or rod can tell. */
const DOUBTED_BEYOND_UNGAUGED = 2;
/** Readings of one floor: a fourth would bring little. */
const MOST_READINGS = 3;
/** Of the variance. Where less than this comes from gaps and raised saddles, to read them again settles nothing. */
const LEAST_OF_GAPS = 0.25;
const OF_GAPS = /^fits\.\d+\.(lastFretGap|raised|lowest|highest)\b/;

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
function doubtOf(solved: Solved, past: number, fits: readonly Fit[], gauge: Gauge | null): number | null {
  const { within } = solved.solution.instrument.job.target;
  const short = -past;
  const most = short + solved.uncertainty.past;
  if (
    short <= DOUBTED_FROM * within ||
    short > within ||
    most <= (gauge === null ? DOUBTED_BEYOND_UNGAUGED : DOUBTED_BEYOND) * within
  )
    return null;
  const ofGaps = solved.uncertainty.pastBudget.reduce((sum, { input, share }) => (isReadAgain(input) ? sum + share : sum), 0);
  if (ofGaps < LEAST_OF_GAPS) return null;
  return readingsOfFloor(fits) < MOST_READINGS ? most : null;
}

/** What a leaf or a rod would show of the floor reached, where the strings meet something or one fits under them. */
function gaugeOf({ solution }: Solved, edge: DeepEdge, last: Fit | undefined): Gauge | null {
  if (last === undefined || last[edge === 'mouth' ? 'lowest' : 'highest'] !== undefined) return null;
  const { gap, highest, within } = solution.instrument.job.target;
  // Where the strings would stand too high all the way down before they come up enough, that is no rod's to say.
  if (edge === 'rear' && solution.shortBy > SOLVED_WITHIN_MM) return null;
  const gauge: Gauge =
    edge === 'mouth'
      ? { of: 'lowest', thick: gap + GAUGED_BEYOND * within }
      : { of: 'highest', thick: highest - GAUGED_BEYOND * within };
  return gauge.thick >= THINNEST_LEAF_MM ? gauge : null;
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
  const surprise = solved.warnings.find(({ code }) => code === 'evidence-contradicts')?.message ?? null;
  const [stop] = stopsOf(solved);
  const last = fits[fits.length - 1];
  const gauge = gaugeOf(solved, solved.edge, last);
  const doubt = doubtOf(solved, past, fits, gauge);
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
    surprise,
    past,
    pastUncertainty: uncertainty.past,
    doubt,
    gauge: isWithin && surprise === null ? gauge : null,
    wayBack: left < 0 && !isWithin ? -left : 0,
  };
}
