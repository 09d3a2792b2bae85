import { fineText, onePercentOff } from '../guide/words.ts';
import { readingName } from '../job/pathText.ts';
import { MM_PER_INCH, toDegrees, type Unit } from '../kernel/units.ts';
import { beforeCut } from '../preview/figures.ts';
import { WHOLE_FLOOR } from '../program/stays.ts';
import { depthNoted, isWoodOff } from '../solve/noted.ts';
import type { SaddlePlace } from '../solve/setting.ts';
import { isHardlyACut } from './aim.ts';
import { leaveSaid } from './beforeRun.ts';
import { readingText } from './fit.ts';
import { headPart, LEAST_SAID_MM, planPart } from './head.ts';
import { hasStops, type Outcome } from './outcome.ts';
import { lengthsIn, table, wrap } from './text.ts';

export const CAUTION =
  'Read SAFETY.md first. Wood taken off is not put back: stop early, fit, measure, go on. Local codes, the machine manual and licensed practice come before this sheet.';

/** rad. Less roll than this makes no difference that a person could measure. */
const LEAST_SAID_RAD = 1e-4;

function volumeText(cubicMm: number, units: Unit): string {
  return units === 'mm' ? `${(cubicMm / 1000).toFixed(2)} cm3` : `${(cubicMm / MM_PER_INCH ** 3).toFixed(3)} cubic in`;
}

/** mm. A step a file takes, in a job's own unit: a tenth of a millimetre, or five thousandths of an inch. */
const EACH_MM = { mm: 0.1, in: 0.127 } as const;

function floorPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { solution, floor, stops } = outcome;
  const d = floor.depths;
  const out = [
    'Depth of the new floor below the floor as found',
    ...table(
      ['', 'bass', 'centre', 'treble'],
      [
        ['mouth', say.short(d.mouthBass), say.short(d.mouthCentre), say.short(d.mouthTreble)],
        ['rear wall', say.short(d.rearBass), say.short(d.rearCentre), say.short(d.rearTreble)],
      ],
    ),
    ...(Math.min(d.mouthBass, d.mouthTreble, d.rearBass, d.rearTreble) < solution.plane.skim - LEAST_SAID_MM
      ? ['  a corner less deep than the rest of its wall is rounded off: there is no floor there to cut']
      : []),
    '',
    `  wood to take off ${volumeText(floor.volume, outcome.job.units)}; thinnest wood left under the pocket ${say.short(floor.thinnest)}`,
    `  each ${say.short(EACH_MM[outcome.job.units])} more at the deepest edge ${solution.gain < 0 ? 'lowers' : 'raises'} the highest string by ${say.short(Math.abs(solution.gain) * EACH_MM[outcome.job.units])}`,
    '',
  ];
  if (stops.length === 0 || !hasStops(outcome) || isHardlyACut(outcome)) return out;
  const isLevel = Math.abs(solution.roll) < LEAST_SAID_RAD;
  const rows = stops.flatMap((stop) => {
    const where = stop.edge === 'rear' ? 'rear wall' : 'mouth';
    const depth = isLevel ? say.short(stop.deepest) : `${say.short(stop.at.bass)} bass, ${say.short(stop.at.treble)} treble`;
    return [...wrap(`  ${depth} at the ${where}: ${stop.why}`), ...wrap(`    ${readingText(stop, say)}`)];
  });
  return [...out, 'Where to stop and fit', ...rows, ''];
}

/** A pure pitch brings one side down to its place; where the other ends far from it, a roll would bring both. */
function rollHint({ job, solution }: Outcome): string[] {
  const say = lengthsIn(job.units);
  const { low } = solution.afterCut;
  const apart = Math.abs((low[0]?.gap ?? 0) - (low[low.length - 1]?.gap ?? 0));
  if (job.target.floor !== 'pitch' || solution.pitch <= 0 || apart <= job.target.within) return [];
  return wrap(
    `  bass and treble end ${say.short(apart)} apart with their saddles alike: leave it to the saddles, or let the floor lean too (target.floor: pitch-and-roll)`,
  );
}

/** What a printer that is not true costs, where there is a guide to print. */
function printPart(outcome: Outcome): string[] {
  const { solution, job } = outcome;
  if (!hasStops(outcome)) return [];
  const { place, depth } = onePercentOff(solution);
  const { units } = job;
  return [
    'The printed guide',
    ...wrap(
      `  printed 1 % too large or too small it has a station up to ${lengthsIn(units).short(place)} out of its place, where the depth is ${fineText(depth, units)} ${units} other: measure both check bars before it is used`,
    ),
    '',
  ];
}

function stringsPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { asFound, afterCut } = outcome.solution;
  const last = afterCut.low.length - 1;
  const rows = afterCut.low.map((low, i) => [
    `${i + 1}${i === 0 ? ' bass' : i === last ? ' treble' : ''}`,
    say.short(asFound.low[i]?.gap ?? 0),
    String(asFound.low[i]?.fret ?? ''),
    say.short(asFound.high[i] ?? 0),
    say.short(low.gap),
    String(low.fret),
    say.short(afterCut.high[i] ?? 0),
  ]);
  return [
    'Strings over the frets (lowest: over the nearest fret from the 12th up; highest: over the last fret)',
    ...table(['string', 'lowest as found', 'at fret', 'highest as found', 'lowest then', 'at fret', 'highest then'], rows),
    '  below 0 the string lies on the frets there: its saddle is simply set higher',
    ...rollHint(outcome),
    '',
  ];
}

/** mm. Half of what a body's clearance holes are usually over the screw (memory, common practice). */
const SCREW_PLAY_MM = 0.25;

function screwsPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { screws } = outcome.floor;
  if (screws.length === 0) return [];
  const rows = screws.map((s) => [
    `${say.short(s.x)}, ${say.short(s.y)}`,
    say.short(s.holdBefore),
    say.short(s.hold),
    s.tip === undefined ? 'heelWood not given' : say.short(s.tip),
    say.short(s.offset),
  ]);
  const head = ['hole at x, y', `bite ${beforeCut(isWoodOff(outcome.job))}`, 'bite then', 'wood over the tip', 'holes apart'];
  const apart = Math.max(...screws.map(({ offset }) => offset));
  const advice =
    apart > SCREW_PLAY_MM
      ? `more than screws usually have to play in the body (${say.short(SCREW_PLAY_MM)}): open the body's holes, or plug and drill the neck's again`
      : "the screws' usual play in the body's holes takes it";
  return [
    'Screws in the neck',
    ...table(head, rows),
    ...wrap(`  holes apart: how far the neck's hole comes to stand off the body's at the tip; ${advice}.`),
    '',
  ];
}

function sidewaysPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { sideways, job } = outcome;
  if (sideways === null) return [];
  const { walls, yaw, nutShift } = sideways;
  const towards = nutShift * (job.hand === 'right' ? 1 : -1) >= 0 ? 'treble' : 'bass';
  const corner = (name: string, outward: number): string[] => [
    name,
    say.short(Math.abs(outward)),
    outward > 0 ? 'ease the wall' : 'pack the play',
  ];
  return [
    'Sideways',
    `  turn the neck by ${Math.abs(toDegrees(yaw)).toFixed(3)} degrees: the nut goes ${say.short(Math.abs(nutShift))} towards the ${towards} side`,
    ...table(
      ['heel corner', 'by', 'do'],
      [
        corner('mouth, bass', walls.mouthBass),
        corner('mouth, treble', walls.mouthTreble),
        corner('rear, bass', walls.rearBass),
        corner('rear, treble', walls.rearTreble),
      ],
    ),
    '',
  ];
}

function settingPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { setting, solution } = outcome;
  if (solution.deepest === 0) return [];
  const { heel, crowns, lengthChange } = setting;
  const now = beforeCut(isWoodOff(outcome.job));
  const face = (name: string, into: number): string[][] =>
    Math.abs(into) < LEAST_SAID_MM ? [] : [[name, say.short(Math.abs(into)), into > 0 ? 'enters the wall: ease it' : 'opens']];
  const faces = [
    ...face('rear wall, bass', heel.rearBass),
    ...face('rear wall, treble', heel.rearTreble),
    ...face('bass side', heel.sideBass),
    ...face('treble side', heel.sideTreble),
  ];
  const most = lengthChange.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  return [
    "The moved heel where it meets the body's top",
    ...(faces.length > 0 ? table(['face', 'by', ''], faces) : ['  every face stays where it is']),
    '',
    ...(setting.tongue === null
      ? []
      : [
          `  fretboard's tongue over the top: ${say.short(setting.tongue.before)} ${now}, ${say.short(setting.tongue.after)} then`,
        ]),
    ...wrap(
      `  crowns over the top: at the mouth ${say.short(crowns.mouthBefore)} ${now}, ${say.short(crowns.mouthAfter)} then; at the last fret ${say.short(crowns.lastBefore)} ${now}, ${say.short(crowns.lastAfter)} then`,
    ),
    `  strings become ${say.short(Math.abs(most))} ${most >= 0 ? 'longer' : 'shorter'} at the most: set the intonation again`,
    '',
  ];
}

function gapsPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const { setting, action, solution } = outcome;
  const { bass, treble } = setting.saddles;
  const rows = setting.gaps.map(({ fret, lowest, highest, chosen }) => [
    String(fret),
    ...[lowest, highest, chosen].flatMap((gaps) => [say.short(gaps.bass), say.short(gaps.treble)]),
  ]);
  const set = (saddle: SaddlePlace, side: string): string =>
    saddle.within
      ? `${side} saddle ${say.short(saddle.up)} above its lowest`
      : `${side} saddle would have to stand ${say.short(saddle.up)} above its lowest: out of its travel of ${say.short(solution.instrument.job.bridge.travel)}`;
  return [
    `Gaps over every fret afterwards, outer strings: saddles lowest, highest, set for ${say.short(action)} at the 12th`,
    ...table(['fret', 'lowest bass', 'treble', 'highest bass', 'treble', 'set bass', 'treble'], rows),
    '',
    ...wrap(`  set for ${say.short(action)} over the 12th fret: ${set(bass, 'bass')}; ${set(treble, 'treble')}.`),
    '',
  ];
}

function staysPart(outcome: Outcome): string[] {
  const say = lengthsIn(outcome.job.units);
  const leave = outcome.stays.find(({ where }) => where === WHOLE_FLOOR)?.height ?? 0;
  const forWhom = leave === 0 ? 'for the chisel' : 'for chisel and file';
  const part = (title: string, stays: Outcome['stays'], more: readonly string[] = []): string[] => {
    if (stays.length === 0) return [];
    const rows = stays.map((stay) => [stay.where, say.short(stay.height), say.short(stay.width)]);
    return [title, ...table(['where', 'height', 'width'], rows), ...more, ''];
  };
  const file = leaveSaid(outcome, leave).flatMap((said) => wrap(`  ${said}`));
  if (outcome.staysForRim.length === 0) return part(`What the cutter leaves ${forWhom}`, outcome.stays, file);
  return [
    ...part('What the first cutter leaves', outcome.staysForRim),
    ...part(`What the rim cutter leaves of it ${forWhom}`, outcome.stays, file),
  ];
}

/** Inputs listed in the table of shares: the rest together is small. */
const SHARES_SHOWN = 8;
const SHARE_FROM = 0.005;

/** Paths of one key said once: its list and its sides together. */
function keysOf(paths: readonly string[]): string[] {
  return [...new Set(paths.map((path) => readingName(path.replace(/\.(\d+|bass|treble)$/, ''))))];
}

/** Which reading to take again, called by its key or by what `nameOf` makes of that, and what that would do to the ±; undefined where nothing is cut. */
export function measureAgain(
  { uncertainty, solution, job }: Outcome,
  nameOf: (key: string) => string = readingName,
): string | undefined {
  const say = lengthsIn(job.units);
  const [first] = uncertainty.budget;
  // What was found before wood came off cannot be read again.
  if (first === undefined || solution.deepest === 0 || depthNoted(job) > 0) return undefined;
  const without = uncertainty.deepest * Math.sqrt(Math.max(0, 1 - first.share * 0.75));
  const [now, then] = [say.spread(uncertainty.deepest), say.spread(without)];
  if (now === then) return undefined;
  return `Measure ${nameOf(first.input)} again first: with half its ± the answer would be known to ${then} instead of ${now}.`;
}

function trustPart(outcome: Outcome): string[] {
  const { uncertainty, evidence } = outcome;
  const shown = uncertainty.budget.filter(({ share }) => share >= SHARE_FROM).slice(0, SHARES_SHOWN);
  const rows = shown.map(({ input, share }) => [readingName(input), `${(share * 100).toFixed(1)} %`]);
  const out = ['What the ± comes from', ...table(['measurement', 'share'], rows), ''];
  const again = measureAgain(outcome);
  if (again !== undefined) out.push(...wrap(again), '');
  const disagreeing = evidence.filter(({ agrees }) => !agrees).map(({ kind }) => kind);
  out.push(...wrap(`Evidence used: ${evidence.map(({ kind }) => kind).join(', ')}.`));
  if (disagreeing.length > 0) out.push(...wrap(`Not in agreement: ${disagreeing.join(', ')}.`));
  if (uncertainty.assumed.length > 0)
    out.push(...wrap(`No ± was given for ${keysOf(uncertainty.assumed).join(', ')}: a usual one was taken.`));
  const { assumed, inherited } = outcome.job;
  if (inherited.length > 0)
    out.push(...wrap(`Not measured for this job, but taken from the one it is like: ${keysOf(inherited).join(', ')}.`));
  if (assumed.length > 0) out.push(...wrap(`Not in the job file, and taken as: ${assumed.join(', ')}.`));
  if (outcome.shopAssumed.length > 0) out.push(...wrap(`Not in the shop file, and taken as: ${outcome.shopAssumed.join(', ')}.`));
  return [...out, ''];
}

/** The report for the bench: first the sentence, then the tables. */
export function outcomeText(outcome: Outcome, more: readonly string[] = []): string {
  const parts = [
    headPart,
    planPart,
    floorPart,
    printPart,
    stringsPart,
    screwsPart,
    sidewaysPart,
    settingPart,
    staysPart,
    gapsPart,
    trustPart,
  ];
  return `${[...parts.flatMap((part) => part(outcome)), ...more, ...wrap(CAUTION)].join('\n')}\n`;
}
