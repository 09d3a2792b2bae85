import { sidesOf } from '../instrument/neck.ts';
import type { Fit } from '../job/job.ts';
import { readingName } from '../job/pathText.ts';
import { valuesOf } from '../kernel/measured.ts';
import { FEW_STROKES_MM } from '../kernel/tolerances.ts';
import { type FitState, type Gauge, isReadAgain } from '../solve/fitting.ts';
import { depthNoted, middleOf } from '../solve/noted.ts';
import { LEAST_READ_MM, type Stop } from '../solve/stops.ts';
import { COVERAGE } from '../solve/uncertainty.ts';
import { hardlyACutText, isHardlyACut } from './aim.ts';
import { type ComingStop, comingStop } from './comingStop.ts';
import type { Outcome } from './outcome.ts';
import { type Lengths, lengthsIn, wrap } from './text.ts';

function stateOf(outcome: Outcome): FitState {
  if (outcome.fitting === null) throw new Error('a fit was asked for in a job without one');
  return outcome.fitting;
}

function edgeName(outcome: Outcome): string {
  return outcome.fitting?.edge === 'rear' ? 'rear wall' : 'mouth';
}

/** mm. Less than this is not worth a sentence of its own. */
const NO_MORE_MM = 0.005;

/** Over the neck's raised saddles, what the fit is to show. */
export function readingText({ read }: Stop, say: Lengths): string {
  const saddles =
    read.raised === 0
      ? 'saddles all the way down'
      : `both saddles ${say.short(read.raised)} up, so that no string is nearer to its fret than ${say.short(LEAST_READ_MM)}`;
  return `read it with ${saddles}: expect ${say.short(read.gaps.bass)} under the bass string, ${say.short(read.gaps.treble)} under the treble, over the last fret`;
}

/** Of the variance. What makes up less of it is not worth naming. */
const SHARE_NAMED = 0.3;

/** How closely the readings tell where the strings stand; where that is coarse, and another fit would not help, what would. */
function toldTo({ job, uncertainty }: Outcome, { pastUncertainty }: FitState): string {
  const told = `the readings tell it to ${lengthsIn(job.units).spread(pastUncertainty)}`;
  const [most] = uncertainty.pastBudget;
  if (most === undefined || most.share < SHARE_NAMED || pastUncertainty <= job.target.within) return told;
  // Another fit brings little, and what was found before wood came off cannot be measured again.
  if (isReadAgain(most.input) || most.input.startsWith('asFound.')) return told;
  return `${told}, the largest part of it for ${readingName(most.input)}: measured again, and more closely, it would tell more`;
}

/** How the floor of the last fit is named when it is noted once more. */
function sameFloor({ shim }: Fit): string {
  return shim === undefined ? 'of the very same depth' : 'of the very same depth as filed, the same shim with it (--shim)';
}

/**
 * What a leaf or rod tells of a floor that seems right, and how it is noted where it tells otherwise. Relief, nut and last fret do not enter
 * it: it meets whatever string and fret come first.
 */
function gaugeText({ job }: Pick<Outcome, 'job'>, { of, thick }: Gauge): string {
  const say = lengthsIn(job.units);
  const same = sameFloor(job.fits.at(-1) as Fit);
  const note = (what: string): string => `find the thickest that does and note it as a fit ${same} (--${of} ${what})`;
  if (of === 'lowest')
    return `with the saddles all the way down, slide a leaf of ${say.short(thick)} under each string, from fret 12 to fret ${job.scale.frets}: it should bind under every one; where it goes all the way freely, ${note('and the leaf')}.`;
  return `with the saddles all the way up, ${say.short(thick)} of leaves and drill shanks together should go freely under every string over fret ${job.scale.frets}; if they do not, ${note('and their thickness')}.`;
}

/** Of a floor that seems right but is not known closely enough: a reading more costs minutes, wood is not put back. */
function readAgainText({ job, fitting }: Outcome, doubt: number): string {
  const say = lengthsIn(job.units);
  const { raised } = valuesOf(job.fits.findLast(({ lastFretGap }) => lastFretGap !== undefined) ?? (job.fits.at(-1) as Fit));
  const up = sidesOf(raised ?? 0);
  const anew =
    up.bass === 0 && up.treble === 0
      ? 'Read both gaps once more'
      : `Let the saddles down, raise them anew${up.bass === up.treble ? ` by ${say.short(up.bass)}` : ''}, and read both gaps once more`;
  // Pitched forward the strings come up as the floor goes down: what may be wanting is height.
  const way = fitting?.edge === 'rear' ? 'low' : 'high';
  const gauge =
    fitting?.gauge == null
      ? ''
      : ` Or gauge it: ${gaugeText({ job }, fitting.gauge)} Where it shows what it should, you are done.`;
  const same = sameFloor(job.fits.at(-1) as Fit);
  return `Nearly done, file nothing: as read, the strings stand within ${say.short(job.target.within)} of where they should, but the readings leave room for ${say.short(doubt)} too ${way}. ${anew}; note that as a fit ${same} (with a note of its own, should it read the same).${gauge}`;
}

/** Where to stop next, by depths the maker will read, or where those are not to be gone by, by what comes off more. */
function stopText({ job }: Outcome, { at, more, side }: ComingStop, edge: string): string {
  const say = lengthsIn(job.units);
  // Told in the digits of the one noted it would be no stop.
  const isShown = at !== undefined && say.short(middleOf(at)) !== say.short(depthNoted(job));
  if (at === undefined || !isShown) {
    const off = more < FEW_STROKES_MM ? 'after a few strokes of the file' : `once some ${say.short(more)} more is off`;
    return `${off}${side === undefined ? '' : ` on the ${side} side`}, whatever depth you read`;
  }
  if (Math.abs(at.bass - at.treble) < 0.005) return `at a depth of ${say.full(middleOf(at))}`;
  return `at a depth of ${say.short(at.bass)} on the bass side and ${say.short(at.treble)} on the treble side of the ${edge}`;
}

/** What to do next, in the order of what matters: stop, go back, or go on to the next stop. */
export function nextStep(outcome: Outcome): string {
  const say = lengthsIn(outcome.job.units);
  const state = stateOf(outcome);
  const { target, fits } = outcome.job;
  if (isHardlyACut(outcome)) return hardlyACutText(outcome);
  if (state.surprise !== null && (state.done || state.doubt !== null))
    return `File nothing more before you have measured again: all readings together say that the strings stand within ${say.short(target.within)} of where they should, ${say.spread(state.pastUncertainty)}, but they contradict each other.`;
  // Where even that may be twice as much too high, and another reading was had or would not help.
  const isCoarse = Math.abs(state.past) + state.pastUncertainty > 2 * target.within;
  if (state.done)
    return `Done${isCoarse ? ', as far as the readings tell' : ''}: the strings stand where they should, within ${say.short(target.within)}; ${toldTo(outcome, state)}. Stop filing.${state.gauge === null ? '' : ` A last look, nothing to file: ${gaugeText(outcome, state.gauge)}`}`;
  if (state.doubt !== null) return readAgainText(outcome, state.doubt);
  const edge = edgeName(outcome);
  const shim = fits[fits.length - 1]?.shim?.value ?? 0;
  if (state.wayBack > 0) {
    const other = edge === 'mouth' ? 'rear wall' : 'mouth';
    const tooDeep = `Too deep at the ${edge} by ${say.full(state.wayBack)}, ${say.spread(state.leftUncertainty)}. Stop filing.`;
    if (state.surprise !== null)
      return `${tooDeep} Make no shim by this before you have measured again: the readings contradict each other.`;
    const again =
      state.past - state.pastUncertainty <= target.within
        ? ' By its ± it may still be right: read both gaps once more, and note that as a fit of the very same depth, before you make anything.'
        : '';
    return `${tooDeep}${again} The way back is a shim over the whole floor, ${say.full(shim + state.wayBack)} thick at the ${edge} and running out to nothing at the ${other}${shim > 0 ? ', instead of the one that is in' : ''}; once it is in, measure again and note that fit with --shim and the depth as filed (compare --wedge writes the shim).`;
  }
  if (shim > 0 && state.surprise !== null)
    return 'Change nothing before you have measured again, floor and shim: the readings contradict each other.';
  if (shim > 0)
    return `Too high still: make the shim ${say.full(Math.min(shim, state.left))} thinner at the ${edge}, ${say.spread(state.leftUncertainty)}${state.left - shim > NO_MORE_MM ? `, which leaves none; then take off ${say.full(state.left - shim)}` : ''}, and fit again.`;
  const coming = comingStop(outcome.job, state);
  const apart =
    coming.placed === undefined
      ? ''
      : ` (all readings together put the floor at ${say.short(coming.placed.now)} now, not at the ${say.short(coming.placed.noted)} noted)`;
  const left = `Left to take off at the ${edge}: ${say.full(state.left)}, ${say.spread(state.leftUncertainty)}${apart}.`;
  if (state.surprise !== null)
    return `Take nothing off before you have measured again: the readings contradict each other. All of them together would say: ${left.replace('Left', 'left')}`;
  const stop = stopText(outcome, coming, edge);
  const [next] = outcome.stops;
  return `${left} Stop next ${stop}, and fit again${next === undefined ? '' : `; ${readingText(next, say)}`}.`;
}

/** U of the difference between the two depths of the last fit: none where one reading served for both sides. */
function leanUncertainty(outcome: Outcome): number {
  const { fits } = outcome.job;
  const depth = fits[fits.length - 1]?.depth;
  if (depth === undefined || 'kind' in depth) return 0;
  return COVERAGE * Math.hypot(depth.bass.bound / Math.sqrt(3), depth.treble.bound / Math.sqrt(3));
}

/** How the filed floor leans against the one wanted, where that is more than the reading's own ±. */
function lean(outcome: Outcome, say: Lengths): string[] {
  const { reached, wanted, done, doubt, surprise, wayBack } = stateOf(outcome);
  const more = reached.bass - reached.treble - (wanted.bass - wanted.treble);
  const open = leanUncertainty(outcome);
  if (open === 0 || Math.abs(more) <= open) return [];
  const [deeper, other] = more > 0 ? (['bass', 'treble'] as const) : (['treble', 'bass'] as const);
  const depths = `bass ${say.short(reached.bass)}, treble ${say.short(reached.treble)}`;
  const isGoingOn = !done && doubt === null && surprise === null && wayBack === 0;
  const advice = !isGoingOn ? '' : ` Take the rest off the ${other} side first.`;
  return wrap(
    `The filed floor leans to the ${deeper} side by ${say.short(Math.abs(more))} ${say.spread(open)} more than it should (${depths}).${advice}`,
  );
}

/** What the last fit says, for the bench: a contradiction first, then what to do next. */
export function fitText(outcome: Outcome): string {
  const say = lengthsIn(outcome.job.units);
  const { surprise } = stateOf(outcome);
  const out = surprise === null ? [] : [...wrap(`WARNING: ${surprise}.`), ''];
  return `${[...out, ...wrap(nextStep(outcome)), ...lean(outcome, say)].join('\n')}\n`;
}
