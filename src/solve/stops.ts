import { type DeepEdge, fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides } from '../instrument/neck.ts';
import { FILE_HAND_MM } from '../kernel/tolerances.ts';
import { MM_PER_INCH, type Unit } from '../kernel/units.ts';
import { edgeDepths, reachedOf } from './edge.ts';
import { gapAt } from './gaps.ts';
import { afterFit } from './past.ts';
import type { Solved } from './solveEvidence.ts';
import { COVERAGE } from './uncertainty.ts';

export interface Stop {
  /** The deepest edge, across which the depths are told. */
  readonly edge: DeepEdge;
  /** Depth at the middle of the deepest edge (mm). */
  readonly deepest: number;
  /** The same at its two ends. */
  readonly at: Sides;
  readonly why: string;
  /** What a fit will show there: gaps over the last fret under the outer strings with the saddles up by `raised` (mm). */
  readonly read: { readonly raised: number; readonly gaps: Sides };
}

/** mm. A string nearer to the fret than this is hard to read, and one that lies on it tells nothing: the saddles are raised first. */
export const LEAST_READ_MM = 0.25;
/** mm. What saddles are raised by, a whole number of times: easy to set and to check. */
const RAISE_STEP_MM: Readonly<Record<Unit, number>> = { mm: 0.5, in: 0.02 * MM_PER_INCH };

/** Later stops aim at least this part of what `target.within` forgives short: too little is put right by one more fit, too much is not. */
const HELD_PART = 0.1;
/**
 * Later stops are held back so far that the chance of going past by more than twice what is forgiven stays under 1.5 % (one-sided normal,
 * 2.17 standard deviations). On the virtual bench less goes too deep more often, more takes more fits.
 */
const LATER_COVERAGE = 2.17;

/** Of the ±: with more than this left a fit more is little beside the risk. */
const FAR_LEFT = 3;

const EARLY = 'fit here: the chance that it is already too deep is under 2.5 %';
const END = 'the depth worked out: fit, and you should be done';
/** Why nothing is to be cut before the first fit from a drawing: the fit is then the first reading. */
const DRAWING_FIRST =
  'a drawing is for planning: bolt the neck on as it is, string it, and note that as the first fit (depth 0), or give asFound readings';

/** What is read on a floor of these depths, the saddles up as far as it takes to read it. */
function readingAt({ solution, edge }: Pick<Solved, 'solution' | 'edge'>, depths: Sides, units: Unit): Stop['read'] {
  const { instrument, outline } = solution;
  const { job, crowns, plans } = instrument;
  const plane = fitPlane(outline, handSign(job), edge, depths, job.target.skim) ?? solution.plane;
  const gapsAt = (raised: number): Sides => ({
    bass: gapAt(instrument, plane, 0, crowns.frets, raised),
    treble: gapAt(instrument, plane, plans.length - 1, crowns.frets, raised),
  });
  const least = ({ bass, treble }: Sides): number => Math.min(bass, treble);
  const low = least(gapsAt(0));
  if (low >= LEAST_READ_MM) return { raised: 0, gaps: gapsAt(0) };
  const step = RAISE_STEP_MM[units];
  // A string's height over a fret follows its saddle in proportion.
  const perRaise = (least(gapsAt(step)) - low) / step;
  const raised = step * Math.ceil((LEAST_READ_MM - low) / perRaise / step);
  return { raised, gaps: gapsAt(raised) };
}

/**
 * Where to stop filing and fit. The first stop is the depth less two standard uncertainties: one-sided, the chance that it is already too
 * deep is 2.3 % (normal distribution), the hand's own miss counted in, and it is never beyond that, nor after a fit made early. Later stops aim a
 * little short of the depth worked out, and shorter where the ± is large against what `target.within` forgives; where it is as large as
 * what is left they go half the way. From a drawing alone nothing is cut before the neck has been on once.
 */
export function stopsOf(solved: Pick<Solved, 'solution' | 'uncertainty' | 'edge'>): Stop[] {
  const { solution, uncertainty, edge } = solved;
  if (solution.deepest === 0) return [];
  const { target, fits, units } = solution.instrument.job;
  const wanted = edgeDepths(solution, edge);
  const reached = reachedOf(solution);
  const isUncut = reached.bass === 0 && reached.treble === 0;
  const middle = (reached.bass + reached.treble) / 2;
  const half = (wanted.bass + wanted.treble) / 2;
  const { left, perMm, sidesAt } = isUncut
    ? {
        left: half,
        perMm: Math.abs(solution.gain),
        sidesAt: (depth: number) => ({ bass: (wanted.bass * depth) / half, treble: (wanted.treble * depth) / half }),
      }
    : afterFit(solved);
  const whole = middle + left;
  // Where one side alone is still to be filed, its miss moves the middle by half.
  const { bass, treble } = sidesAt(whole);
  const furthest = Math.max(bass - reached.bass, treble - reached.treble);
  const moved = isUncut || furthest <= 0 ? 1 : left / furthest;
  const open = Math.hypot(isUncut ? uncertainty.left : uncertainty.past / perMm, COVERAGE * FILE_HAND_MM * moved);
  const stopAt = (deepest: number, why: string): Stop => {
    const at = sidesAt(deepest);
    return { edge, deepest, at, why, read: readingAt(solved, at, units) };
  };
  const end = stopAt(whole, END);
  if (isUncut) {
    if (fits.length === 0 && solution.instrument.kind === 'drawing') return [stopAt(0, DRAWING_FIRST), end];
    // Part of a skim goes off level, so a stop within the skim is as good a floor as one below it.
    const first = whole - open;
    // A stop that a hand with a file cannot tell from nothing is none.
    if (first > FILE_HAND_MM) return [stopAt(first, EARLY), end];
    return [stopAt(0, 'the ± is nearly as large as the whole cut: measure again before the first one'), end];
  }
  if (left <= 0) return [];
  // After an early fit, with far more left than could be wrong, the first stop stands as it did.
  if (left > FAR_LEFT * open) return [stopAt(whole - open, EARLY), end];
  const forgiven = target.within / perMm;
  const least = HELD_PART * forgiven;
  const held = (LATER_COVERAGE / COVERAGE) * open - 2 * forgiven;
  // Nearer than that nobody files two stops apart.
  if (held <= least) return [stopAt(Math.max(whole - least, middle + left / 2), END)];
  const next = Math.max(whole - held, middle + left / 2);
  return [stopAt(next, 'a little short of the depth worked out: one more fit puts that right, too much stays'), end];
}
