import type { Sides } from '../instrument/neck.ts';
import type { Fit, Job } from '../job/job.ts';
import { FEW_STROKES_MM } from '../kernel/tolerances.ts';
import type { FitState } from '../solve/fitting.ts';
import { middleOf, notedDepths } from '../solve/noted.ts';

/** mm. Less than this nobody files off, or tells two depths apart by. */
const NO_FILING_MM = 0.005;
/** mm. A floor put further than this from where it was noted makes the next stop too deep, or passed already, by the maker's own gauge. About a thousandth of an inch. */
const PLACED_APART_MM = 0.025;
/** Of what comes off until the next stop, from FEW_STROKES_MM on: so far apart the depth holds, but what is left and the stop look at odds. */
const PLACED_APART_PART = 0.3;

/** The next stop as a maker meets it who reads depths as at the last fit (mm, at the deepest edge). */
export interface ComingStop {
  /** Where all readings together put the floor's middle, where that is worth a word beside where it was noted. */
  readonly placed: { readonly now: number; readonly noted: number } | undefined;
  /** Depths to stop at; undefined where only what comes off more than now can be told. */
  readonly at: Sides | undefined;
  /** What comes off until then, on the side where that is most. */
  readonly more: number;
  /** The side that alone is to be filed. */
  readonly side: keyof Sides | undefined;
}

const SIDES = ['bass', 'treble'] as const;

/** After the last of a job's fits, of which there is at least one. */
export function comingStop({ fits }: Pick<Job, 'fits'>, { reached, nextAt }: Pick<FitState, 'reached' | 'nextAt'>): ComingStop {
  const noted = notedDepths(fits[fits.length - 1] as Fit);
  const toFile = SIDES.filter((side) => nextAt[side] - reached[side] > NO_FILING_MM);
  const apart = (side: keyof Sides): number => Math.abs(noted[side] - reached[side]);
  const isApart = toFile.some((side) => apart(side) > PLACED_APART_MM);
  const isPart = toFile.some(
    (side) => apart(side) > FEW_STROKES_MM && apart(side) > PLACED_APART_PART * (nextAt[side] - reached[side]),
  );
  const isPassed = toFile.every((side) => nextAt[side] - noted[side] < NO_FILING_MM);
  return {
    placed: isApart || isPart ? { now: middleOf(reached), noted: middleOf(noted) } : undefined,
    at: isApart || isPassed ? undefined : nextAt,
    more: Math.max(0, ...toFile.map((side) => nextAt[side] - reached[side])),
    side: toFile.length === 1 ? toFile[0] : undefined,
  };
}
