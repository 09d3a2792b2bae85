import { toDegrees } from '../kernel/units.ts';
import { type CureName, curesOf } from '../solve/cures.ts';
import type { SaddlePlace } from '../solve/setting.ts';
import type { Outcome } from './outcome.ts';
import { inAllUnits, mm, table, wrap } from './text.ts';

export const CAUTION =
  'Read SAFETY.md first. Wood taken off is not put back: stop early, fit, measure, go on. Local codes, the machine manual and licensed practice come before this sheet.';

export const FROM_DRAWING =
  'FROM THE DRAWING ALONE: no gap or straightedge was read at the bench. This supposes a floor parallel to the top, and the uncertainty is usually as large as the cut. Use it to plan, not to cut.';

/** Nothing but the drawing tells where the saddles stand. */
export function fromDrawingAlone({ solution, job }: Outcome): boolean {
  return solution.instrument.kind === 'drawing' && job.fits.length === 0;
}

const WHERE = {
  rear: 'at the mouth, running out to nothing at the rear wall',
  mouth: 'at the rear wall, running out to nothing at the mouth',
  side: 'along one side, running out to nothing along the other',
  corner: 'at the deepest corner, running out to nothing at the opposite one',
  none: 'evenly over the whole floor',
} as const;

/** The sentence a maker needs: what to take off, where, what it does to the nut and the strings, what the saddles then reach. */
export function leadSentence(outcome: Outcome): string {
  const { solution, uncertainty, floor } = outcome;
  const { afterCut } = solution;
  const reach = `with the saddles at their lowest the worst string ${floor.deepest === 0 ? 'stands' : 'then stands'} ${mm(afterCut.lowest)} over its nearest fret, and at their highest the least one stands ${mm(afterCut.highest)} over the last fret.`;
  if (floor.deepest === 0) return `No cut is needed: ${reach}`;
  const skim =
    floor.plane.skim > 0 && solution.pitch !== 0
      ? ` The skim of ${mm(floor.plane.skim)} over the whole floor is counted in.`
      : '';
  const running =
    floor.plane.skim > 0 ? WHERE[solution.hingeName].replace('to nothing', 'to the skim') : WHERE[solution.hingeName];
  const angle = Math.abs(toDegrees(solution.pitch)).toFixed(2);
  const way = solution.pitch > 0 ? 'back' : 'forward';
  const slope = solution.pitch === 0 ? '' : ` (a slope of ${angle} ±${toDegrees(uncertainty.pitch).toFixed(2)} degrees, ${way})`;
  const nut = `The nut ${solution.nutDrop >= 0 ? 'goes down' : 'comes up'} by ${mm(Math.abs(solution.nutDrop))}`;
  return `Take off ${inAllUnits(floor.deepest)}, ±${uncertainty.deepest.toFixed(2)} mm, ${running}${slope}.${skim} ${nut}; ${reach}`;
}

function headPart(outcome: Outcome): string[] {
  const { job, warnings } = outcome;
  const out = [job.title === '' ? 'untitled job' : job.title.replace(/\s+/g, ' '), `job ${outcome.fingerprint}`, ''];
  // Contradicting readings come before the answer made from them.
  const first = warnings.filter(({ code }) => code === 'evidence-contradicts');
  for (const warning of first) out.push(...wrap(`WARNING: ${warning.message}.`), '');
  if (fromDrawingAlone(outcome)) {
    out.push(...wrap(FROM_DRAWING), '');
  }
  out.push(...wrap(leadSentence(outcome)), '');
  const others = warnings.filter(({ code }) => code !== 'evidence-contradicts');
  for (const warning of others) out.push(...wrap(`Warning: ${warning.message}. [${warning.code}]`));
  return others.length > 0 ? [...out, ''] : out;
}

/** Planning from the drawing alone: does it reach both ends as drawn, and if not, what would. */
function planPart(outcome: Outcome): string[] {
  const { solution, job } = outcome;
  if (!fromDrawingAlone(outcome)) return [];
  const { asFound } = solution;
  const as = `as drawn, the worst string stands ${mm(asFound.lowest)} over its nearest fret with the saddles down, and the least one ${mm(asFound.highest)} over the last fret with the saddles up`;
  const wanted = `wanted: at most ${mm(job.target.gap)} down and at least ${mm(job.target.highest)} up`;
  const amountOf = (name: CureName): number | undefined => curesOf(solution).find((cure) => cure.name === name)?.amount;
  const ways: (readonly [CureName, string])[] = [
    ['flat-shim', 'a pocket shallower by'],
    ['deeper-pocket', 'a pocket deeper by'],
    ['sink-bridge', 'a bridge lower by'],
    ['pack-bridge', 'a bridge higher by'],
  ];
  const found = ways.flatMap(([name, words]) => {
    const amount = amountOf(name);
    return amount === undefined ? [] : [`${words} ${mm(amount)}`];
  });
  const slope = `a floor that slopes by ${Math.abs(toDegrees(solution.pitch)).toFixed(2)} degrees`;
  const reaches =
    solution.deepest === 0 ? 'It reaches both ends.' : `It does not; any one of these would: ${[slope, ...found].join('; ')}.`;
  const short = solution.shortBy > 0 ? ` Even then the travel is ${mm(solution.shortBy)} short: choose a bridge with more.` : '';
  return ['Planning', ...wrap(`  ${as}; ${wanted}. ${reaches}${short}`), ''];
}

function floorPart(outcome: Outcome): string[] {
  const { solution, floor, stops } = outcome;
  const d = floor.depths;
  const out = [
    'Depth of the new floor below the floor as found',
    ...table(
      ['', 'bass', 'centre', 'treble'],
      [
        ['mouth', mm(d.mouthBass), mm(d.mouthCentre), mm(d.mouthTreble)],
        ['rear wall', mm(d.rearBass), mm(d.rearCentre), mm(d.rearTreble)],
      ],
    ),
    '',
    `  wood to take off ${(floor.volume / 1000).toFixed(2)} cm3; thinnest wood left under the pocket ${mm(floor.thinnest)}`,
    `  each 0.10 mm more at the deepest edge ${solution.gain < 0 ? 'lowers' : 'raises'} the worst string by ${mm(Math.abs(solution.gain) / 10)}`,
    '',
  ];
  if (stops.length === 0) return out;
  const rows = stops.flatMap((stop) => wrap(`  ${mm(stop.deepest)} at the middle of the deepest edge: ${stop.why}`));
  return [...out, 'Where to stop and fit', ...rows, ''];
}

function stringsPart(outcome: Outcome): string[] {
  const { asFound, afterCut } = outcome.solution;
  const last = afterCut.low.length - 1;
  const rows = afterCut.low.map((low, i) => [
    `${i + 1}${i === 0 ? ' bass' : i === last ? ' treble' : ''}`,
    mm(asFound.low[i]?.gap ?? 0),
    mm(asFound.high[i] ?? 0),
    mm(low.gap),
    String(low.fret),
    mm(afterCut.high[i] ?? 0),
  ]);
  return [
    'Strings over the frets (lowest: over the nearest fret from the 12th up; highest: over the last fret)',
    ...table(['string', 'lowest now', 'highest now', 'lowest then', 'at fret', 'highest then'], rows),
    '  below 0 the string lies on the frets there: its saddle is simply set higher',
    '',
  ];
}

function screwsPart(outcome: Outcome): string[] {
  const { screws } = outcome.floor;
  if (screws.length === 0) return [];
  const rows = screws.map((s) => [
    `x ${s.x.toFixed(1)}, y ${s.y.toFixed(1)}`,
    mm(s.holdBefore),
    mm(s.hold),
    s.tip === undefined ? 'heelWood not given' : mm(s.tip),
    mm(s.offset),
  ]);
  const head = ['hole', 'holds now', 'holds then', 'wood left over the tip', 'holes apart at the tip'];
  return ['Screws in the neck', ...table(head, rows), ''];
}

function sidewaysPart(outcome: Outcome): string[] {
  const { sideways, job } = outcome;
  if (sideways === null) return [];
  const { walls, yaw, nutShift } = sideways;
  const towards = nutShift * (job.hand === 'right' ? 1 : -1) >= 0 ? 'treble' : 'bass';
  const corner = (name: string, outward: number): string[] => [
    name,
    mm(Math.abs(outward)),
    outward > 0 ? 'ease the wall' : 'pack the play',
  ];
  return [
    'Sideways',
    `  turn the neck by ${Math.abs(toDegrees(yaw)).toFixed(3)} degrees: the nut goes ${mm(Math.abs(nutShift))} towards the ${towards} side`,
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
  const { setting, solution } = outcome;
  if (solution.deepest === 0) return [];
  const { heel, crowns, lengthChange } = setting;
  const face = (name: string, into: number): string[] => [
    name,
    mm(Math.abs(into)),
    into > 0 ? 'enters the wall: ease it' : 'opens',
  ];
  const most = lengthChange.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  return [
    "The moved heel where it meets the body's top",
    ...table(
      ['face', 'by', ''],
      [
        face('rear wall, bass', heel.rearBass),
        face('rear wall, treble', heel.rearTreble),
        face('bass side', heel.sideBass),
        face('treble side', heel.sideTreble),
      ],
    ),
    '',
    `  crowns over the top: at the mouth ${mm(crowns.mouthBefore)} now, ${mm(crowns.mouthAfter)} then; at the last fret ${mm(crowns.lastBefore)} now, ${mm(crowns.lastAfter)} then`,
    `  strings become ${mm(Math.abs(most))} ${most >= 0 ? 'longer' : 'shorter'} at the most: set the intonation again`,
    '',
  ];
}

function gapsPart(outcome: Outcome): string[] {
  const { setting, action, solution } = outcome;
  const { bass, treble } = setting.saddles;
  const rows = setting.gaps.map(({ fret, lowest, highest, chosen }) => [
    String(fret),
    ...[lowest, highest, chosen].flatMap((gaps) => [mm(gaps.bass), mm(gaps.treble)]),
  ]);
  const set = (saddle: SaddlePlace, side: string): string =>
    saddle.within
      ? `${side} saddle ${mm(saddle.up)} above its lowest`
      : `${side} saddle would have to stand ${mm(saddle.up)} above its lowest: out of its travel of ${mm(solution.instrument.job.bridge.travel)}`;
  return [
    `Gaps over every fret afterwards, outer strings: saddles lowest, highest, and set for ${mm(action)} over the 12th fret`,
    ...table(['fret', 'lowest bass', 'treble', 'highest bass', 'treble', 'set bass', 'treble'], rows),
    '',
    ...wrap(`  set for ${mm(action)} over the 12th fret: ${set(bass, 'bass')}; ${set(treble, 'treble')}.`),
    '',
  ];
}

function staysPart(outcome: Outcome): string[] {
  if (outcome.stays.length === 0) return [];
  const rows = outcome.stays.map((stay) => [stay.where, mm(stay.height), mm(stay.width)]);
  return ['What the cutter leaves for the chisel', ...table(['where', 'height', 'width'], rows), ''];
}

/** Inputs listed in the table of shares: the rest together is small. */
const SHARES_SHOWN = 8;

function trustPart(outcome: Outcome): string[] {
  const { uncertainty, evidence } = outcome;
  const shown = uncertainty.budget.slice(0, SHARES_SHOWN);
  const rows = shown.map(({ input, share }) => [input, `${(share * 100).toFixed(1)} %`]);
  const out = ['What the ± comes from', ...table(['measurement', 'share'], rows), ''];
  const [first] = uncertainty.budget;
  if (first !== undefined && outcome.solution.deepest > 0) {
    const without = uncertainty.deepest * Math.sqrt(Math.max(0, 1 - first.share * 0.75));
    out.push(
      ...wrap(
        `Measure ${first.input} again first: read twice as well, it would bring the ± from ${uncertainty.deepest.toFixed(2)} to ${without.toFixed(2)} mm.`,
      ),
      '',
    );
  }
  const disagreeing = evidence.filter(({ agrees }) => !agrees).map(({ kind }) => kind);
  out.push(...wrap(`Evidence used: ${evidence.map(({ kind }) => kind).join(', ')}.`));
  if (disagreeing.length > 0) out.push(...wrap(`Not in agreement: ${disagreeing.join(', ')}.`));
  if (uncertainty.assumed.length > 0)
    out.push(...wrap(`No ± was given for ${uncertainty.assumed.join(', ')}: a usual one was taken.`));
  return [...out, ''];
}

/** The report for the bench: first the sentence, then the tables. */
export function outcomeText(outcome: Outcome): string {
  const parts = [
    headPart,
    planPart,
    floorPart,
    stringsPart,
    screwsPart,
    sidewaysPart,
    settingPart,
    staysPart,
    gapsPart,
    trustPart,
  ];
  return `${[...parts.flatMap((part) => part(outcome)), ...wrap(CAUTION)].join('\n')}\n`;
}
