import { stageName } from '../guide/words.ts';
import { fitPlane } from '../instrument/equations.ts';
import { handSign } from '../instrument/neck.ts';
import { SHOP_RANGES } from '../job/ranges.ts';
import type { Shop } from '../job/shop.ts';
import type { Finding } from '../kernel/findings.ts';
import { flatten } from '../kernel/outline.ts';
import { depthAt } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM, LEAST_STOP_MM } from '../kernel/tolerances.ts';
import { fromMm, toMm } from '../kernel/units.ts';
import { heightIn } from '../program/stays.ts';
import type { FirstStop, Standing, ToFile } from '../program/task.ts';
import { edgeDepths } from '../solve/edge.ts';
import { isWoodOff } from '../solve/noted.ts';
import type { Stop } from '../solve/stops.ts';
import { fromDrawingAlone, isCutLeft, type Outcome } from './outcome.ts';
import { lengthsIn } from './text.ts';

// What a job's state says about running its program now: the proof judges moves, and these are no moves.

/** What each program's header is to say of the job it was written for. */
export function standingOf(outcome: Outcome, shop: Shop): Standing {
  const { job } = outcome;
  return {
    isFiled: isWoodOff(job),
    depthBound: job.pocket.depth.bound,
    isFromDrawing: fromDrawingAlone(outcome),
    isContradicted: outcome.warnings.some(({ code }) => code === 'evidence-contradicts'),
    firstStop: firstStopOf(outcome, shop, shop.leave),
    toFile: toFileOf(outcome, shop.leave),
  };
}

/** Steps in which `leave` is told, in its own unit: what calipers show. */
const LEAVE_DECIMALS = { mm: 2, in: 4 } as const;
/** mm. Floors that differ by less are one to anybody at a bench. */
const SAME_FLOOR_MM = 1e-6;

/** The plan's next stop, and how far the whole floor must stay above its last place for it (mm): less than a file's step is no stop short of it. */
function nextStopOf(outcome: Outcome): { readonly stop: Stop; readonly short: number } | undefined {
  const { solution, stops } = outcome;
  const [stop] = stops;
  // A drawing alone is told to be no more than a plan already.
  if (stop === undefined || fromDrawingAlone(outcome)) return undefined;
  const { plane, outline, instrument } = solution;
  const { edge, at } = stop;
  const wanted = edgeDepths(solution, edge);
  const floor = fitPlane(outline, handSign(instrument.job), edge, at, instrument.job.target.skim);
  // A floor raised by the same everywhere is nowhere below the stop's where it is not at any corner: both are planes.
  const over =
    floor === null ? [] : flatten(outline, FLATTEN_WITHIN_MM).map(({ x, y }) => depthAt(plane, x, y) - depthAt(floor, x, y));
  return { stop, short: Math.max(wanted.bass - at.bass, wanted.treble - at.treble, ...over) };
}

/**
 * Where the plan stops next before the depth that a program cuts to which keeps so much on the floor (mm); that is from the floor as found,
 * whatever is filed already. Undefined where it does not stop before that.
 */
function firstStopOf(outcome: Outcome, shop: Shop, kept: number): FirstStop | undefined {
  const next = nextStopOf(outcome);
  if (next === undefined || next.short <= LEAST_STOP_MM || next.short <= kept + SAME_FLOOR_MM) return undefined;
  const { stop, short } = next;
  const decimals = LEAVE_DECIMALS[shop.units];
  const steps = 10 ** decimals;
  // Up: a little too much left is filed off, too little is gone.
  const leave = Math.ceil(fromMm(short, shop.units) * steps - SAME_FLOOR_MM) / steps;
  const isUsable = stop.deepest > 0 && toMm(leave, shop.units) <= SHOP_RANGES.leave.most;
  const { bass, treble } = edgeDepths(outcome.solution, stop.edge);
  return {
    isNext: outcome.job.fits.length > 0,
    deepest: stop.deepest,
    cutsTo: (bass + treble) / 2 - kept,
    whole: kept === 0,
    leave: isUsable ? `${leave.toFixed(decimals)} ${shop.units}` : undefined,
  };
}

/**
 * A program cuts in one run what the plan reaches in two: said beside it, with what to set to cut to the first stop alone. `kept` is what it leaves
 * on the floor (mm), of our own what the shop file says.
 */
export function oneRunSaid(outcome: Outcome, shop: Shop, kept = shop.leave): string[] {
  if (heldBack(outcome).length > 0)
    return [
      'the readings contradict each other and the plan takes nothing off yet: measure the last fit again before any program is run',
    ];
  const stop = firstStopOf(outcome, shop, kept);
  if (stop === undefined) return [];
  // Thousandths: what is cut, less the stop, must come to the leave that is named.
  const short = (mm: number): string => heightIn(outcome.job.units, mm);
  const cuts = `in one run the program cuts to ${stop.whole ? `the whole depth (${short(stop.cutsTo)})` : short(stop.cutsTo)}`;
  if (stop.deepest === 0) return [`${cuts}; the plan cuts nothing yet: do first what the report says`];
  const where = outcome.solution.plane.gy === 0 ? '' : ' on the centreline';
  const isSet = firstStopOf(outcome, shop, shop.leave) === undefined;
  const set = isSet
    ? 'one written with this shop file stops there'
    : stop.leave === undefined
      ? 'file to there by the guide'
      : `with "leave: ${stop.leave}" in the shop file it cuts to there; file that floor flat to the stop's line`;
  return [`${cuts}; the plan stops ${stop.isNext ? 'next' : 'first'} at ${short(stop.deepest)}${where} to fit the neck: ${set}`];
}

/** What is done with the wood that `leave` keeps on the floor, where that reaches to the plan's next stop. */
function toFileOf(outcome: Outcome, leave: number): ToFile | undefined {
  const next = nextStopOf(outcome);
  if (leave === 0 || next === undefined || next.short > Math.max(leave + SAME_FLOOR_MM, LEAST_STOP_MM)) return undefined;
  return {
    deepest: next.stop.deepest,
    where: `at ${outcome.solution.plane.gy === 0 ? '' : 'the middle of '}${next.stop.edge === 'rear' ? 'the rear wall' : 'the mouth'}`,
    // The guide has a line of its own for a stop that is short of the whole depth, where more than a skim is short.
    fit:
      next.short > Math.max(LEAST_STOP_MM, outcome.job.target.skim) ? stageName({ fit: outcome.job.fits.length + 1 }) : undefined,
  };
}

/** Said beside a program that leaves wood on the whole floor for the file (mm), and in the report: nothing that holds the heel up by mistake. */
export function leaveSaid(outcome: Outcome, leave: number): string[] {
  const to = toFileOf(outcome, leave);
  if (to === undefined) return [];
  const line = to.fit === undefined ? '' : ` (the guide's double line ${to.fit})`;
  const { units } = outcome.job;
  return [
    `the program leaves ${heightIn(units, leave)} on the whole floor for the file: file that floor flat to ${heightIn(units, to.deepest)} ${to.where}${line}, and fit the neck`,
  ];
}

/** Where no cut is left there is nothing to draw, cut or prove: a finding that says so of `what`, else none. */
export function noCut(outcome: Outcome, what: string): Finding[] {
  if (isCutLeft(outcome)) return [];
  const { fitting, floor } = outcome;
  const why =
    floor.deepest === 0 || fitting === null
      ? 'no cut is needed'
      : fitting.done
        ? 'the last test fit is where it should be and nothing is left to cut'
        : fitting.doubt !== null
          ? 'the last test fit seems to be where it should be, and the floor is to be read once more before anything is cut'
          : 'the floor is as deep as it should be, or deeper, and nothing is left to cut';
  return [
    {
      code: 'no-cut',
      severity: 'error',
      exit: 3,
      message: `${why}, so there is no ${what}`,
      remedy: 'read the report (pocketpitch solve): it says where the strings stand and what to do',
    },
  ];
}

/** Where a fit contradicts what was read before it the plan takes nothing off: why neither guide nor program is made then. */
export function heldBack({ fitting }: Outcome): Finding[] {
  if (fitting === null || fitting.surprise === null) return [];
  return [
    {
      code: 'measure-again',
      severity: 'error',
      exit: 3,
      message: 'the readings contradict each other and the plan takes nothing off yet, so there is no guide and no program',
      found: fitting.surprise,
      remedy:
        'pocketpitch fit --undo takes the last fit out; a reading that comes out the same again has a wider ± than was given',
    },
  ];
}

/** Why nothing of `what` is made now: contradicting readings first, since they would tell wrongly what is left. */
export function notNow(outcome: Outcome, what: string): Finding[] {
  const held = heldBack(outcome);
  return held.length > 0 ? held : noCut(outcome, what);
}

/**
 * Why no program is made for what is left after a fit: Z is then set from the body's top, only as truly as the pocket's depth was measured, and
 * that with the zero's own ± is as much as what is left, so a cutter could go past. The file needs no zero.
 */
export function zeroTooCoarse(outcome: Outcome, shop: Shop): Finding[] {
  const { job, fitting } = outcome;
  if (fitting === null || !isWoodOff(job) || fitting.left <= 0) return [];
  const open = job.pocket.depth.bound + shop.zeroing;
  if (fitting.left > open) return [];
  const { units } = job;
  return [
    {
      code: 'zero-too-coarse',
      severity: 'error',
      exit: 3,
      message: `what is left to take off, ${heightIn(units, fitting.left)}, is no more than what Z is known to from the body's top, so there is no router program`,
      found: `pocket.depth ±${heightIn(units, job.pocket.depth.bound)}, zeroing ${heightIn(units, shop.zeroing)}`,
      expected: `together less than ${heightIn(units, fitting.left)}`,
      remedy:
        'take the rest off with the file, which needs no zero; or measure pocket.depth more closely, where nothing was filed, and give its ±',
    },
  ];
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
  if (!isWoodOff(job)) return [];
  const { short, spread } = lengthsIn(job.units);
  const place = mounted === undefined ? `at Z ${short(depth.value)}` : 'at the heights in the header';
  return [
    warning(
      'zero-from-top',
      `wood is off the floor already, so it is no longer where Z0 was: set Z from the body's top, ${place}, as the program's header says; the cut is then as true as the pocket's depth was measured, ${spread(depth.bound)}`,
      'never set Z on the filed floor, where everything would come out too deep; measure pocket.depth closely, where nothing was filed, and give its ±; or take the rest off with the file, which needs no zero',
    ),
  ];
}
