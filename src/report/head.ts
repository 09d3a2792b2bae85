import type { Instrument } from '../instrument/evidence.ts';
import type { Job } from '../job/job.ts';
import { JOB_RANGES } from '../job/ranges.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Outline } from '../kernel/outline.ts';
import { toDegrees, type Unit } from '../kernel/units.ts';
import { type Cure, curesOf, levelCuresOf } from '../solve/cures.ts';
import { depthNoted } from '../solve/noted.ts';
import { aimText, hardlyACutText, indexOf, isHardlyACut, stringName } from './aim.ts';
import { comingStop } from './comingStop.ts';
import { nextStep } from './fit.ts';
import { fromDrawingAlone, type Outcome } from './outcome.ts';
import { lengthsIn, wrap } from './text.ts';

/** mm. Less than this is nothing to anybody at a bench. */
export const LEAST_SAID_MM = 0.005;

const WHERE = {
  rear: 'at the mouth, running out to nothing at the rear wall',
  mouth: 'at the rear wall, running out to nothing at the mouth',
  side: 'along one side, running out to nothing along the other',
  corner: 'at one corner, running out to nothing at the opposite one',
  none: 'evenly over the whole floor',
} as const;

/** The warning that the first sentence itself says, where there is one. */
export const IN_LEAD = 'hardly-a-cut';

export const FROM_DRAWING =
  'FROM THE DRAWING ALONE: no gap or straightedge was read at the bench. This supposes a floor parallel to the top, and the uncertainty is usually as large as the cut. Use it to plan, not to cut.';

/** Where the strings that decide stand, by name: "the highest" would be the thinnest to one maker and the tallest to another. */
function reachText({ solution, job }: Outcome, then: string): string {
  const say = lengthsIn(job.units);
  const { afterCut } = solution;
  const lows = afterCut.low.map(({ gap }) => gap);
  const top = indexOf(lows, afterCut.lowest);
  const bottom = indexOf(lows, Math.min(...lows));
  const { fret } = afterCut.low[top] ?? { fret: solution.instrument.crowns.frets };
  const other = lows[bottom] ?? afterCut.lowest;
  const lies = other < -LEAST_SAID_MM ? ' (below 0 it would lie on the frets: its saddle is set higher)' : '';
  const rest =
    afterCut.lowest - other < LEAST_SAID_MM ? '' : `, and ${stringName(bottom, lows.length)} lowest, ${say.short(other)}${lies}`;
  const high = stringName(indexOf(afterCut.high, afterCut.highest), afterCut.high.length);
  return `with the saddles at their lowest ${stringName(top, lows.length)} ${then} highest, ${say.short(afterCut.lowest)} over its nearest fret (${fret})${rest}; with them at their highest ${high} stands lowest, ${say.short(afterCut.highest)} over the last fret.`;
}

/**
 * The sentence a maker needs: what to take off, where, what it does to the nut and the strings, what the saddles then reach. After a test
 * fit what to do now comes first.
 */
export function leadParagraphs(outcome: Outcome): string[] {
  const { solution, uncertainty, floor, fitting } = outcome;
  const say = lengthsIn(outcome.job.units);
  const reach = reachText(outcome, floor.deepest === 0 ? 'stands' : 'then stands');
  if (floor.deepest === 0) return [`No cut is needed: ${reach}`];
  const skim =
    floor.plane.skim > 0 && solution.pitch !== 0
      ? ` The skim of ${say.short(floor.plane.skim)} over the whole floor is counted in.`
      : '';
  const corner = `${solution.pitch > 0 ? 'mouth' : 'rear wall'}'s ${solution.roll > 0 ? 'treble' : 'bass'} corner`;
  const where = WHERE[solution.hingeName].replace('one corner', `the ${corner}`);
  const running = floor.plane.skim > 0 ? where.replace('to nothing', 'to the skim') : where;
  const angle = Math.abs(toDegrees(solution.pitch)).toFixed(2);
  const way = solution.pitch > 0 ? 'back' : 'forward';
  const roll = Math.abs(toDegrees(solution.roll)).toFixed(2);
  const rolled = Number(roll) === 0 ? '' : `, and ${roll} degrees down to the ${solution.roll > 0 ? 'treble' : 'bass'} side`;
  const slope =
    solution.pitch === 0 ? '' : ` (a slope of ${angle} ±${toDegrees(uncertainty.pitch).toFixed(2)} degrees ${way}${rolled})`;
  const nut = `The nut ${solution.nutDrop >= 0 ? 'goes down' : 'comes up'} by ${say.short(Math.abs(solution.nutDrop))}`;
  const whole = `${say.full(floor.deepest)}, ${say.spread(uncertainty.deepest)}, ${running}${slope}.${skim} ${nut}; ${reach}`;
  const aim = aimText(outcome);
  if (isHardlyACut(outcome)) return [hardlyACutText(outcome), `Worked out it would be ${whole}`, aim];
  if (fitting === null) return [`Take off ${whole}`, aim];
  const placed = comingStop(outcome.job, fitting).placed?.now;
  const off = `${say.short(depthNoted(outcome.job))}${placed === undefined ? '' : ` as noted, at ${say.short(placed)} by all readings,`}`;
  return [nextStep(outcome), `Worked out in all, from the floor as found (it stands at ${off} now): ${whole}`, aim];
}

/** Readings that contradict each other: said before what follows from them. */
export function contradictionLines({ warnings }: Outcome): string[] {
  return warnings.flatMap(({ code, message }) => (code === 'evidence-contradicts' ? [...wrap(`WARNING: ${message}.`), ''] : []));
}

/** The other warnings, but those that `said` names. */
export function warningLines({ warnings }: Outcome, said: readonly string[] = []): string[] {
  const others = warnings.filter(({ code }) => code !== 'evidence-contradicts' && !said.includes(code));
  const lines = others.flatMap(({ message, found, expected, remedy, code }) => {
    const more = [
      found === undefined ? '' : `; found ${found}`,
      expected === undefined ? '' : `; ${expected}`,
      remedy === undefined ? '' : `; ${remedy}`,
    ].join('');
    return wrap(`Warning: ${message}${more}. [${code}]`);
  });
  return lines.length > 0 ? [...lines, ''] : [];
}

/** Title, contradictions before the answer made from them, the answer, and the other warnings. */
export function headPart(outcome: Outcome): string[] {
  const { job } = outcome;
  return [
    job.title === '' ? 'untitled job' : job.title.replace(/\s+/g, ' '),
    `job ${outcome.fingerprint}`,
    '',
    ...contradictionLines(outcome),
    ...(fromDrawingAlone(outcome) ? [...wrap(FROM_DRAWING), ''] : []),
    ...leadParagraphs(outcome).flatMap((paragraph) => [...wrap(paragraph), '']),
    ...warningLines(outcome, [IN_LEAD]),
  ];
}

/** mm. A cure reaches an end where it misses it by no more than rounding. */
const REACHED_WITHIN_MM = 1e-6;

/**
 * What a change of the drawing would be, by the figure that the drawing would then show; undefined for what is not on a drawing, and for a pocket
 * that is none: hardly there, or with too little wood under it.
 */
function changeOf({ job }: Instrument, cure: Cure, units: Unit): string | undefined {
  const say = lengthsIn(units);
  const { short } = say;
  const { pocket, bridge } = job;
  const pocketOf = (depth: number): string | undefined => {
    const isPocket = depth >= JOB_RANGES['pocket.depth'].least && depth <= pocket.body - pocket.leastFloor;
    return isPocket ? `a pocket ${short(depth)} deep instead of ${short(pocket.depth)}` : undefined;
  };
  const { lowest } = bridge;
  const seats = lowest === undefined ? 0 : typeof lowest === 'number' ? lowest : Math.max(lowest.bass, lowest.treble);
  if (cure.name === 'pocket-floor')
    return `a pocket floor that slopes by ${Math.abs(toDegrees(cure.pitch)).toFixed(2)} degrees, ${short(cure.amount)} deeper at its deep end`;
  if (cure.name === 'flat-shim') return pocketOf(pocket.depth - cure.amount);
  if (cure.name === 'deeper-pocket') return pocketOf(pocket.depth + cure.amount);
  const seat = `a bridge with its seats ${short(seats + (cure.name === 'pack-bridge' ? cure.amount : -cure.amount))} over the top at their lowest instead of ${short(seats)}`;
  return cure.name === 'sink-bridge' || cure.name === 'pack-bridge' ? seat : undefined;
}

function reachesBoth({ lowest, highest }: Cure, target: Job['target']): boolean {
  return lowest <= target.gap + REACHED_WITHIN_MM && highest >= target.highest - REACHED_WITHIN_MM;
}

/**
 * Of a drawing that would ask for too steep a floor nothing was measured wrongly: what else would reach both ends is said instead, since that
 * is what was asked before parts are bought.
 */
export function tooSteepAsDrawn(finding: Finding, job: Job, instrument: Instrument, outline: Outline): Finding {
  if (finding.code !== 'tilt-too-steep') return finding;
  const ways = levelCuresOf(instrument, outline).flatMap((cure) => {
    const change = changeOf(instrument, cure, job.units);
    return change !== undefined && reachesBoth(cure, job.target) ? [change] : [];
  });
  const others =
    ways.length === 0
      ? "no pocket depth and no bridge height reaches both ends with the saddles' travel: choose a bridge with more"
      : `${ways.join(', or ')}, would reach both ends`;
  return {
    ...finding,
    message: `${finding.message} as drawn`,
    remedy: `${others}; or look at the figures of the drawing again`,
  };
}

/** Planning from the drawing alone: does it reach both ends as drawn, and if not, what would. */
export function planPart(outcome: Outcome): string[] {
  const { solution, job } = outcome;
  if (solution.instrument.kind !== 'drawing' || job.fits.length > 0) return [];
  const { short } = lengthsIn(job.units);
  const { asFound } = solution;
  const { gap, highest } = job.target;
  // A plan followed to the digits in which it was told is reached.
  const [tooHigh, tooLow] = [asFound.lowest - gap, highest - asFound.highest];
  const [isLow, isHigh] = [tooHigh < LEAST_SAID_MM, tooLow < LEAST_SAID_MM];
  const out = [
    'Planning: does this bridge reach both ends on this neck in this pocket?',
    ...wrap(
      `  Saddles down: the highest string ${short(asFound.lowest)} over its nearest fret; wanted at most ${short(gap)}: ${isLow ? 'reached' : `too high by ${short(tooHigh)}`}.`,
    ),
    ...wrap(
      `  Saddles up: the lowest string ${short(asFound.highest)} over the last fret; wanted at least ${short(highest)}: ${isHigh ? 'reached' : `too low by ${short(tooLow)}`}.`,
    ),
  ];
  if (isLow && isHigh) return [...out, ...wrap('  Both ends are reached as drawn.'), ''];
  const cures = curesOf(solution).flatMap((cure) => {
    const change = changeOf(solution.instrument, cure, job.units);
    return change === undefined ? [] : [{ cure, change }];
  });
  const good = cures.filter(({ cure }) => reachesBoth(cure, job.target));
  if (good.length > 0) {
    out.push('  Any one of these would reach both:');
    for (const { change } of good) out.push(...wrap(`    ${change}`));
  } else {
    const needed = short(Math.max(0, ...cures.slice(0, 1).map(({ cure }) => highest - cure.highest)));
    out.push(
      ...wrap(
        `  No depth, slope or bridge height reaches both: the saddles' travel is about ${needed} short of it at the last fret. Choose a bridge with more.`,
      ),
    );
  }
  return [...out, ''];
}
