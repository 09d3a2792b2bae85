import type { Job } from '../job/job.ts';
import { SHOP_RANGES } from '../job/ranges.ts';
import type { Shop } from '../job/shop.ts';
import type { Finding } from '../kernel/findings.ts';
import { fromMm, toMm } from '../kernel/units.ts';
import type { FirstStop, Standing } from '../program/task.ts';

import { fromDrawingAlone, type Outcome } from './outcome.ts';
import { lengthsIn } from './text.ts';

// What a job's state says about running its program now: the proof judges moves, and these are no moves.

/** Whether a fit says that wood came off: a shim that lay there then puts none back. */
function isFiled({ fits }: Job): boolean {
  return fits.some(({ depth }) => ('bass' in depth ? Math.max(depth.bass.value, depth.treble.value) : depth.value) > 0);
}

/** What each program's header is to say of the job it was written for. */
export function standingOf(outcome: Outcome, shop: Shop): Standing {
  const { job } = outcome;
  return {
    isFiled: isFiled(job),
    depthBound: job.pocket.depth.bound,
    isFromDrawing: fromDrawingAlone(outcome),
    firstStop: firstStopOf(outcome, shop),
  };
}

/** Steps in which `leave` is told, in its own unit: what calipers show. */
const LEAVE_DECIMALS = { mm: 2, in: 4 } as const;
/** mm. Floors that differ by less are one to anybody at a bench. */
const SAME_FLOOR_MM = 1e-6;

/**
 * Where the plan stops before the depth that a program with this shop file cuts to. A floor left higher by the same everywhere is nowhere
 * deeper than the stop's, which leans less, if it is no deeper at both ends of the deepest edge. Undefined once a fit has wood off: what is
 * left then follows from the floor as it was filed.
 */
function firstStopOf(outcome: Outcome, shop: Shop): FirstStop | undefined {
  const { job, stops } = outcome;
  const [first, ...later] = stops;
  const end = later[later.length - 1];
  // A drawing alone is told to be no more than a plan already.
  if (first === undefined || end === undefined || isFiled(job) || fromDrawingAlone(outcome)) return undefined;
  const needed = Math.max(end.at.bass - first.at.bass, end.at.treble - first.at.treble);
  if (needed <= shop.leave + SAME_FLOOR_MM) return undefined;
  const decimals = LEAVE_DECIMALS[shop.units];
  const steps = 10 ** decimals;
  // Up: a little too much left is filed off, too little is gone.
  const leave = Math.ceil(fromMm(needed, shop.units) * steps - SAME_FLOOR_MM) / steps;
  const isUsable = first.deepest > 0 && toMm(leave, shop.units) <= SHOP_RANGES.leave.most;
  return {
    deepest: first.deepest,
    cutsTo: end.deepest - shop.leave,
    whole: shop.leave === 0,
    leave: isUsable ? `${leave.toFixed(decimals)} ${shop.units}` : undefined,
  };
}

/** A program cuts in one run what the plan reaches in two: said beside it, with what to set to cut to the first stop alone. */
export function oneRunSaid(outcome: Outcome, shop: Shop): string[] {
  const stop = firstStopOf(outcome, shop);
  if (stop === undefined) return [];
  const { short } = lengthsIn(outcome.job.units);
  const cuts = `in one run the program cuts to ${stop.whole ? `the whole depth (${short(stop.cutsTo)})` : short(stop.cutsTo)}`;
  if (stop.deepest === 0) return [`${cuts}; the plan cuts nothing yet: do first what the report says`];
  const set =
    stop.leave === undefined
      ? 'file to there by the guide'
      : `with "leave: ${stop.leave}" in the shop file it cuts to there; file that floor flat to the stop's line`;
  return [`${cuts}; the plan stops first at ${short(stop.deepest)} to fit the neck: ${set}`];
}

function warning(code: string, message: string, remedy: string): Finding {
  return { code, severity: 'warning', exit: null, message, remedy };
}

/** Said beside a program where the report and the preview begin with it already (`FROM_DRAWING`). */
export function drawingWarnings(outcome: Outcome): Finding[] {
  if (!fromDrawingAlone(outcome)) return [];
  const message = 'no gap or straightedge was read at the bench, only a drawing: this program is to plan with, not to cut';
  return [
    warning(
      'drawing-alone',
      message,
      'fit the neck first as it is and note that (pocketpitch fit, depth 0), or give asFound readings',
    ),
  ];
}

/** Warnings that belong to a program of this job, whatever its moves are. */
export function runWarnings({ job }: Outcome): Finding[] {
  const { depth, mounted } = job.pocket;
  if (!isFiled(job)) return [];
  const { short, spread } = lengthsIn(job.units);
  const place = mounted === undefined ? `at Z ${short(depth.value)}` : 'at the heights in the header';
  return [
    warning(
      'zero-from-top',
      `wood is off the floor already, so it is no longer where Z0 was: set Z from the body's top, ${place}, as the program's header says; the cut is then as true as the pocket's depth was measured, ${spread(depth.bound)}`,
      'never set Z on the filed floor, where everything would come out too deep; measure pocket.depth closely, where nothing was filed, and give its ±',
    ),
  ];
}
