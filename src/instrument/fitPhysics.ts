import type { Fit, Job } from '../job/job.ts';
import { lengthText } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Measured, Reading } from '../kernel/measured.ts';
import { STEEPEST_TILT_RAD } from '../kernel/tolerances.ts';
import { type DeepEdge, type Ends, fitPlane, gapOnFloor, outlineOfValues } from './equations.ts';
import { crownsOf, handSign, type JobValues, type Sides, seatedDepths, sidesOf } from './neck.ts';
import { type StringPlan, stringPlans } from './strings.ts';

/** mm. What wood, strings and hands may do between two fits beyond the bounds stated; more is a slip of reading or writing. */
const FIT_SLACK_MM = 0.15;

const SIDES = ['bass', 'treble'] as const;

function sideOf(reading: Reading, side: keyof Sides): Measured {
  return 'kind' in reading ? reading : reading[side];
}

function boundOf(reading: Reading | undefined, side: keyof Sides): number {
  return reading === undefined ? 0 : sideOf(reading, side).bound;
}

function refuse(code: string, message: string, found: string, expected: string): Finding {
  return { code, severity: 'error', exit: 2, message, found, expected };
}

function againstPocket(job: Job, fit: Fit, n: number): Finding[] {
  const left = job.pocket.body.value - job.pocket.depth.value;
  const depth = Math.max(...SIDES.map((side) => sideOf(fit.depth, side).value));
  if (depth < left) return [];
  const message = `fit ${n} is deeper than the wood under the pocket`;
  return [refuse('fit-through-body', message, lengthText(depth, job.units), `less than ${lengthText(left, job.units)}`)];
}

/**
 * No floor is filed steeper than the steepest that is solved for, so no depth at its deep end is greater than that slope's over the
 * pocket (and across it, where the sides were measured apart), below what the whole floor is taken down by. A real overshoot stays far
 * under it; a decimal point or a unit that slipped does not.
 */
function againstSlope(job: Job, fit: Fit, n: number): Finding[] {
  const { length, width } = job.pocket;
  const run = length.value + ('kind' in fit.depth ? 0 : width.value);
  const most = job.target.skim + run * Math.tan(STEEPEST_TILT_RAD);
  const { value, bound } = SIDES.map((side) => sideOf(fit.depth, side)).reduce((a, b) => (b.value > a.value ? b : a));
  if (value - bound <= most) return [];
  return [
    {
      ...refuse(
        'fit-too-deep',
        `fit ${n} is deeper than any floor is filed in this pocket`,
        `a depth of ${lengthText(value, job.units)}`,
        `at most ${lengthText(most, job.units)}, a slope of 3 degrees`,
      ),
      remedy: 'the depth is that below the floor as found: look at its decimal point and its unit',
    },
  ];
}

/** A shim puts back what was taken off too much, no more: the floor it gives is never above the one found. */
function againstShim({ units }: Job, fit: Fit, n: number): Finding[] {
  if (fit.shim === undefined) return [];
  const least = Math.min(...SIDES.map((side) => sideOf(fit.depth, side).value));
  if (fit.shim.value <= least) return [];
  const message = `fit ${n} has a shim thicker than what was taken off`;
  return [
    refuse(
      'fit-shim-too-thick',
      message,
      lengthText(fit.shim.value, units),
      `at most ${lengthText(least, units)}, the depth filed`,
    ),
  ];
}

function againstLast({ units }: Job, last: Fit, fit: Fit, n: number): Finding[] {
  const findings: Finding[] = [];
  for (const side of SIDES) {
    const before = sideOf(last.depth, side);
    const now = sideOf(fit.depth, side);
    if (now.value + now.bound >= before.value - before.bound) continue;
    const message = `fit ${n} is shallower than the one before it on the ${side} side: wood does not grow`;
    findings.push({
      ...refuse('fit-shallower', message, lengthText(now.value, units), `at least about ${lengthText(before.value, units)}`),
      remedy: `with a shim in, give the depth as filed and the shim beside it (--shim); where it is fit ${n - 1} that was noted wrongly, take it out first (pocketpitch fit --undo)`,
    });
    if ('kind' in fit.depth) break;
  }
  if (last.on !== undefined && fit.on !== undefined && fit.on < last.on)
    findings.push(refuse('fit-before-last', `fit ${n} is dated before the one before it`, fit.on, `${last.on} or later`));
  return findings;
}

/** Between two fits the floor alone moves, so the change of the gap is known from the depths: more than their bounds cannot be. */
function againstMotion(job: Job, values: JobValues, ends: Ends, edge: DeepEdge, n: number): Finding[] {
  const m = job.fits.slice(0, n - 1).findLastIndex(({ lastFretGap }) => lastFretGap !== undefined) + 1;
  const crowns = crownsOf(values);
  const plans = stringPlans(values);
  const outline = outlineOfValues(values);
  const [last, fit] = [job.fits[m - 1], job.fits[n - 1]];
  const [lastValues, fitValues] = [values.fits[m - 1], values.fits[n - 1]];
  if (last?.lastFretGap === undefined || fit?.lastFretGap === undefined) return [];
  if (lastValues === undefined || fitValues === undefined) return [];
  const [gapBefore, gapNow] = [last.lastFretGap, fit.lastFretGap];
  return SIDES.flatMap((side): Finding[] => {
    const plan = (side === 'bass' ? plans[0] : plans[plans.length - 1]) as StringPlan;
    const gapOf = (each: JobValues['fits'][number], depth: Sides): number | null => {
      const plane = fitPlane(outline, handSign(values), edge, depth, values.target.skim);
      if (plane === null) return null;
      return gapOnFloor(values, crowns, plan, ends.nut[side], ends.seat[side], plane, sidesOf(each.raised ?? 0)[side]);
    };
    const [seatedBefore, seatedNow] = [seatedDepths(lastValues), seatedDepths(fitValues)];
    const before = gapOf(lastValues, seatedBefore);
    const after = gapOf(fitValues, seatedNow);
    if (before === null || after === null) return [];
    const deepened = seatedNow[side] - seatedBefore[side];
    const perDepth = Math.abs(deepened) > 0.01 ? Math.abs((after - before) / deepened) : 2;
    const seen = sideOf(gapNow, side).value - sideOf(gapBefore, side).value;
    const open =
      FIT_SLACK_MM +
      sideOf(gapNow, side).bound +
      sideOf(gapBefore, side).bound +
      boundOf(fit.raised, side) +
      boundOf(last.raised, side) +
      Math.min(perDepth, 4) *
        (sideOf(fit.depth, side).bound + sideOf(last.depth, side).bound + (fit.shim?.bound ?? 0) + (last.shim?.bound ?? 0));
    if (Math.abs(seen - (after - before)) <= open) return [];
    const from = m === n - 1 ? 'the one before it' : `fit ${m}`;
    const message = `fit ${n} cannot be: from ${from} the ${side} gap would have changed by ${lengthText(after - before, job.units)}`;
    return [
      refuse(
        'fit-impossible',
        message,
        `a change of ${lengthText(seen, job.units)}`,
        `depth, gap and raise as they were read at this fit; or it is fit ${m} that was read or noted wrongly: take ${m === n - 1 ? 'it' : 'fits'} out ${m === n - 1 ? 'first' : 'back to that one'} (pocketpitch fit --undo)`,
      ),
    ];
  });
}

/** What no honest test fit can say, given the job's other evidence. */
export function fitFaults(job: Job, values: JobValues, ends: Ends, edge: DeepEdge): Finding[] {
  return job.fits.flatMap((fit, index) => {
    const n = index + 1;
    const last = job.fits[index - 1];
    const through = againstPocket(job, fit, n);
    const plain = [
      ...(through.length > 0 ? through : againstSlope(job, fit, n)),
      ...againstShim(job, fit, n),
      ...(last === undefined ? [] : againstLast(job, last, fit, n)),
    ];
    return plain.length > 0 || last === undefined ? plain : againstMotion(job, values, ends, edge, n);
  });
}
