import { fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides, sidesOf } from '../instrument/neck.ts';
import { curesOf } from '../solve/cures.ts';
import { reachOf } from '../solve/gaps.ts';
import { COVERAGE, leftAtEdge } from '../solve/uncertainty.ts';
import { outcomeJson } from './json.ts';
import type { Outcome } from './outcome.ts';
import { inAllUnits, mm, wrap } from './text.ts';

/** What a test fit says: what is reached, what is left, where to stop next (mm, depths at the deepest edge). */
export interface FitSays {
  readonly reached: { readonly bass: number; readonly treble: number };
  readonly left: number;
  readonly leftUncertainty: number;
  readonly next: number;
  readonly done: boolean;
  readonly surprise: string | null;
  /** Thickness (mm) of the wedge that would put back what was taken off too much; 0 where nothing was. */
  readonly wayBack: number;
}

/** How far the governing string is from where it should stand on the floor reached, by the combined evidence (mm). */
function missOnFloor(outcome: Outcome, depth: Sides): number {
  const { solution } = outcome;
  const { instrument, outline, pitch } = solution;
  const { target } = instrument.job;
  const forward = pitch < 0;
  const plane = fitPlane(outline, handSign(instrument.job), forward ? 'rear' : 'mouth', depth, target.skim);
  if (plane === null) return Number.POSITIVE_INFINITY;
  const reach = reachOf(instrument, plane);
  return forward ? reach.highest - target.highest : reach.lowest - target.gap;
}

function fitSays(outcome: Outcome): FitSays {
  const { solution, uncertainty } = outcome;
  const { fits, target } = outcome.job;
  const last = fits[fits.length - 1];
  const depth = last === undefined ? undefined : solution.instrument.job.fits[fits.length - 1]?.depth;
  const reached = sidesOf(depth ?? 0);
  const left = leftAtEdge(solution);
  const done = last !== undefined && Math.abs(missOnFloor(outcome, reached)) <= target.within;
  const [next] = outcome.stops;
  const middle = (reached.bass + reached.treble) / 2;
  const surprise = outcome.warnings.find(({ code }) => code === 'evidence-contradicts')?.message ?? null;
  return {
    reached: { ...reached },
    left,
    leftUncertainty: uncertainty.left,
    next: done ? middle : Math.max(middle, next?.deepest ?? middle),
    done,
    surprise,
    wayBack: left < 0 && !done ? -left : 0,
  };
}

export function fitJson(outcome: Outcome) {
  const { wayBack: _, ...fit } = fitSays(outcome);
  return { ...outcomeJson(outcome), fit };
}

export function fitText(outcome: Outcome): string {
  const says = fitSays(outcome);
  const out: string[] = [];
  if (says.surprise !== null) out.push(...wrap(`WARNING: ${says.surprise}.`), '');
  if (says.done)
    out.push(...wrap(`Done: the strings stand where they should, within ${mm(outcome.job.target.within)}. Stop filing.`));
  else if (says.wayBack > 0) {
    const shim = curesOf(outcome.solution).find(({ name }) => name === 'wedge-shim');
    out.push(
      ...wrap(
        `Too deep by ${inAllUnits(says.wayBack)}, ±${says.leftUncertainty.toFixed(2)} mm. The way back is a wedge that is ${mm(says.wayBack)} thick where the floor is deepest and runs out to nothing at the hinge${shim === undefined ? '' : ', glued or screwed in over the whole floor'}.`,
      ),
    );
  } else {
    out.push(
      ...wrap(
        `Left to take off at the deepest edge: ${inAllUnits(says.left)}, ±${says.leftUncertainty.toFixed(2)} mm. Stop next at ${mm(says.next)} and fit again.`,
      ),
    );
  }
  const roll = Math.abs(says.reached.bass - says.reached.treble);
  if (roll > rollUncertainty(outcome)) {
    const deeper = says.reached.bass > says.reached.treble ? 'bass' : 'treble';
    const reached = `bass ${mm(says.reached.bass)}, treble ${mm(says.reached.treble)}`;
    out.push(
      ...wrap(`The floor you filed leans to the ${deeper} side by ${mm(roll)} (${reached}): take more off the other side.`),
    );
  }
  return `${out.join('\n')}\n`;
}

/** U of the difference between the two depths of the last fit: none where one reading served for both sides. */
function rollUncertainty(outcome: Outcome): number {
  const { fits } = outcome.job;
  const depth = fits[fits.length - 1]?.depth;
  if (depth === undefined || 'kind' in depth) return 0;
  return COVERAGE * Math.hypot(depth.bass.bound / Math.sqrt(3), depth.treble.bound / Math.sqrt(3));
}
