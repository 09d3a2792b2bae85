import { readingName } from '../job/pathText.ts';
import { FILE_HAND_MM, SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Solution } from '../solve/solve.ts';
import { COVERAGE } from '../solve/uncertainty.ts';
import { fromDrawingAlone, type Outcome } from './outcome.ts';
import { lengthsIn } from './text.ts';

/** Strings as the tables count them, from the bass. */
export function stringName(index: number, count: number): string {
  if (index === 0) return 'the bass string';
  return index === count - 1 ? 'the treble string' : `string ${index + 1} from the bass`;
}

export const indexOf = (values: readonly number[], of: number): number => Math.max(0, values.indexOf(of));

/** The string that stands highest with the saddles at their lowest, and the one that stands lowest with them at their highest. */
function deciding({ low, high, lowest, highest }: Solution['afterCut']): { readonly top: string; readonly bottom: string } {
  const lows = low.map(({ gap }) => gap);
  return {
    top: stringName(indexOf(lows, lowest), lows.length),
    bottom: stringName(indexOf(high, highest), high.length),
  };
}

/** By which of a solution's two musts it falls short, by more than the solve itself leaves open. */
export const fallsShort = (by: number): boolean => by > SOLVED_WITHIN_MM;

/** What decides the floor's depth (geometry.md, "What is solved"), for somebody who wonders why it is no deeper. */
export function aimText({ solution, job }: Outcome): string {
  const say = lengthsIn(job.units);
  const { target } = job;
  const { top, bottom } = deciding(solution.afterCut);
  const [gap, highest, wished] = [target.gap, target.highest, target.wished].map(say.short);
  if (solution.pitch > 0 || solution.roll !== 0) {
    const which = target.floor === 'pitch-and-roll' ? `the outer strings come down alike, and ${top}` : top;
    return `What decides the depth: with the saddles at their lowest ${which} is to stand ${gap} over its nearest fret (target.gap).`;
  }
  if (solution.pitch === 0) return 'What decides the depth: target.skim alone; with it taken off the strings reach both ends.';
  if (fallsShort(solution.shortBy))
    return `What decides the depth: with the saddles at their highest ${bottom} is to stand ${highest} over the last fret (target.highest), but the slope goes forward only until ${top}, with the saddles at their lowest, just comes down to ${gap} over its nearest fret (target.gap).`;
  const more =
    target.wished > target.highest
      ? `; target.wished, ${wished}, is only compared with: to cut for more, write it as target.highest`
      : '';
  return `What decides the depth: the strings stand too low, so the slope goes forward, only until ${bottom} stands ${highest} over the last fret with the saddles at their highest (target.highest)${more}.`;
}

/**
 * Whether a floor not cut yet asks for so little that no first stop can be filed: its ± and a hand's own miss are as large. Of a drawing
 * alone another sentence says it.
 */
export function isHardlyACut(outcome: Pick<Outcome, 'floor' | 'stops' | 'fitting' | 'solution' | 'job'>): boolean {
  const { floor, stops, fitting } = outcome;
  const isUncut = fitting === null || (fitting.reached.bass === 0 && fitting.reached.treble === 0);
  return floor.deepest > 0 && isUncut && fitting?.done !== true && stops[0]?.deepest === 0 && !fromDrawingAlone(outcome);
}

/** That nothing is worth cutting, and what is better. */
export function hardlyACutText(outcome: Pick<Outcome, 'floor' | 'solution' | 'job' | 'uncertainty'>): string {
  const { floor, solution, job, uncertainty } = outcome;
  const say = lengthsIn(job.units);
  const { asFound } = solution;
  const { top, bottom } = deciding(asFound);
  const stands =
    solution.pitch < 0
      ? `with the saddles at their highest ${bottom} stands ${say.short(asFound.highest)} over the last fret, and target.highest asks for ${say.short(job.target.highest)}`
      : `with the saddles at their lowest ${top} stands ${say.short(asFound.lowest)} over its nearest fret, and target.gap asks for ${say.short(job.target.gap)}`;
  const [first] = uncertainty.budget;
  const again = first === undefined ? 'Measure again first' : `Measure ${readingName(first.input)} again first`;
  const wish = solution.pitch < 0 ? '; or, where you wish for more height, write it as target.highest' : '';
  return `Nothing is worth cutting on these readings: the whole depth, ${say.full(floor.deepest)}, is hardly more than its own ${say.spread(uncertainty.deepest)} and what a hand with a file misses (${say.short(COVERAGE * FILE_HAND_MM)}) together. As it is, ${stands}. ${again}${wish}.`;
}
