import type { FitState } from '../solve/fitting.ts';
import { COVERAGE } from '../solve/uncertainty.ts';
import { outcomeJson } from './json.ts';
import type { Outcome } from './outcome.ts';
import { type Lengths, lengthsIn, wrap } from './text.ts';

function stateOf(outcome: Outcome): FitState {
  if (outcome.fitting === null) throw new Error('a fit was asked for in a job without one');
  return outcome.fitting;
}

/** The document of contract.md, `fit --json`. */
export function fitJson(outcome: Outcome) {
  const { reached, left, leftUncertainty, next, nextAt, done, surprise, past, wayBack } = stateOf(outcome);
  return {
    ...outcomeJson(outcome),
    fit: { reached: { ...reached }, left, leftUncertainty, next, nextAt: { ...nextAt }, done, surprise, past, wayBack },
  };
}

function edgeName(outcome: Outcome): string {
  return outcome.fitting?.edge === 'rear' ? 'rear wall' : 'mouth';
}

/** What to do next, in the order of what matters: stop, go back, or go on to the next stop. */
function nextStep(outcome: Outcome, say: Lengths): string {
  const state = stateOf(outcome);
  const { target } = outcome.job;
  if (state.done) return `Done: the strings stand where they should, within ${say.short(target.within)}. Stop filing.`;
  const edge = edgeName(outcome);
  if (state.wayBack > 0) {
    const other = edge === 'mouth' ? 'rear wall' : 'mouth';
    return `Too deep at the ${edge} by ${say.full(state.wayBack)}, ${say.spread(state.leftUncertainty)}. Stop filing. The way back is a shim over the whole floor, ${say.full(state.wayBack)} thick at the ${edge} and running out to nothing at the ${other}; fit and measure again once it is in.`;
  }
  const left = `Left to take off at the ${edge}: ${say.full(state.left)}, ${say.spread(state.leftUncertainty)}.`;
  const { bass, treble } = state.nextAt;
  const stop =
    Math.abs(bass - treble) < 0.005
      ? `at a depth of ${say.full(state.next)}`
      : `at a depth of ${say.short(bass)} on the bass side and ${say.short(treble)} on the treble side of the ${edge}`;
  return `${left} Stop next ${stop}, and fit again.`;
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
  const { reached, wanted, done, wayBack } = stateOf(outcome);
  const more = reached.bass - reached.treble - (wanted.bass - wanted.treble);
  const open = leanUncertainty(outcome);
  if (open === 0 || Math.abs(more) <= open) return [];
  const [deeper, other] = more > 0 ? (['bass', 'treble'] as const) : (['treble', 'bass'] as const);
  const depths = `bass ${say.short(reached.bass)}, treble ${say.short(reached.treble)}`;
  const advice = done || wayBack > 0 ? '' : ` Take the rest off the ${other} side first.`;
  return wrap(
    `The filed floor leans to the ${deeper} side by ${say.short(Math.abs(more))} ${say.spread(open)} more than it should (${depths}).${advice}`,
  );
}

/** What the last fit says, for the bench: a contradiction first, then what to do next. */
export function fitText(outcome: Outcome): string {
  const say = lengthsIn(outcome.job.units);
  const { surprise } = stateOf(outcome);
  const out = surprise === null ? [] : [...wrap(`WARNING: ${surprise}.`), ''];
  return `${[...out, ...wrap(nextStep(outcome, say)), ...lean(outcome, say)].join('\n')}\n`;
}
