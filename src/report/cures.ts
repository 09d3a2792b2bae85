import { handSign } from '../instrument/neck.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { toDegrees, type Unit } from '../kernel/units.ts';
import { type Cure, type CureName, curesOf } from '../solve/cures.ts';
import { depthNoted } from '../solve/noted.ts';
import { nextStep } from './fit.ts';
import { contradictionLines, warningLines } from './head.ts';
import type { Outcome } from './outcome.ts';
import { lengthsIn, table, wrap } from './text.ts';
import { CAUTION } from './words.ts';

/**
 * mm (common practice, no source: a usual printer lays down 0.2 mm). A shim of less than two layers is no wedge when it is printed, and
 * one layer alone tears.
 */
const LEAST_PRINTED_MM = 0.4;

/** What serves better where a shim is too thin to be printed. */
export function thinText(thickest: number, units: Unit): string {
  if (thickest >= LEAST_PRINTED_MM) return '';
  return `; thinner than a printer lays down well (${lengthsIn(units).short(LEAST_PRINTED_MM)}, two layers): use veneer or paper`;
}

const WHAT: Readonly<Record<CureName, { readonly name: string; readonly where: (cure: Cure) => string; readonly also: string }>> =
  {
    'pocket-floor': {
      name: 'slope the pocket floor',
      where: ({ pitch }) => (pitch >= 0 ? 'deepest at the mouth' : 'deepest at the rear wall'),
      also: 'the neck sits lower at its deep end; wood does not come back, a shim does',
    },
    'heel-taper': {
      name: 'taper the heel',
      where: ({ pitch }) => (pitch >= 0 ? 'off the heel at the mouth end' : 'off the heel at its rear end'),
      also: 'the body stays as it is; the taper goes with the neck wherever it goes',
    },
    'wedge-shim': {
      name: 'wedge shim',
      where: ({ pitch }) =>
        pitch >= 0
          ? 'thickest at the rear wall, running out to nothing at the mouth'
          : 'thickest at the mouth, running out to nothing at the rear wall',
      also: 'screws hold less; the shim must cover the whole floor, or the heel bends over a gap',
    },
    'flat-shim': { name: 'flat shim', where: () => 'under the whole heel', also: 'the neck stands higher over the top' },
    'deeper-pocket': {
      name: 'deepen the pocket evenly',
      where: () => 'the whole floor',
      also: 'the neck sits lower over the top',
    },
    'sink-bridge': {
      name: 'sink the bridge',
      where: () => 'under the bridge',
      also: 'a recess in the top, and the holes for the strings',
    },
    'pack-bridge': {
      name: 'pack the bridge up',
      where: () => 'under the bridge',
      also: 'the bridge needs a full bearing under it',
    },
  };

/** A shim's thickness (mm) at the named points of the pocket. */
function thicknessOf({ solution }: Outcome, plane: FloorPlane) {
  const { outline, instrument } = solution;
  const treble = handSign(instrument.job);
  const at = (x: number, side: number): number =>
    -depthAt(plane, x, side * treble * (x === 0 ? outline.mouthHalf : outline.rearHalf)) + 0;
  const { length } = outline;
  return { mouthBass: at(0, -1), mouthTreble: at(0, 1), rearBass: at(length, -1), rearTreble: at(length, 1) };
}

export function curesJson(outcome: Outcome) {
  return {
    format: 1,
    cures: curesOf(outcome.solution).map(({ name, amount, pitch, roll, plane, ...rest }) => ({
      name,
      amount,
      pitch: toDegrees(pitch) + 0,
      roll: toDegrees(roll) + 0,
      ...rest,
      ...(name === 'wedge-shim' || name === 'flat-shim' ? { thickness: thicknessOf(outcome, plane) } : {}),
    })),
  };
}

interface CureTable {
  readonly title: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** What the columns mean. */
  readonly key: string;
  readonly notes: readonly string[];
}

/** The other ways to make the same correction, a row each; no rows where nothing needs curing. */
export function cureTable(outcome: Outcome): CureTable {
  const say = lengthsIn(outcome.job.units);
  const cures = curesOf(outcome.solution);
  return {
    title: 'Ways to bring the strings to the same place',
    columns: ['cure', 'amount', 'angle', 'at mouth', 'last fret', 'highest', 'screw bite', 'seen', 'undone'],
    rows: cures.map((cure) => [
      WHAT[cure.name].name,
      say.short(cure.amount),
      `${Math.abs(toDegrees(cure.pitch)).toFixed(2)} deg`,
      say.short(cure.crownAtMouth),
      say.short(cure.crownAtLastFret),
      say.short(cure.highest),
      cure.biteChange === 0 ? 'same' : `${cure.biteChange > 0 ? '+' : '-'}${say.short(Math.abs(cure.biteChange))}`,
      cure.showsFromSide ? 'yes' : 'no',
      cure.canBeUndone ? 'yes' : 'no',
    ]),
    key: "at mouth, last fret: crowns over the body's top afterwards; highest: the lowest string over the last fret, saddles up; screw bite: more or less grip in the neck, at the pocket's middle; seen: shows from the side; undone: can be taken back",
    notes: cures.map(
      (cure) =>
        `${WHAT[cure.name].name}: ${say.full(cure.amount)}, ${WHAT[cure.name].where(cure)}; ${WHAT[cure.name].also}${cure.name === 'wedge-shim' || cure.name === 'flat-shim' ? thinText(cure.amount, outcome.job.units) : ''}.`,
    ),
  };
}

/** Once wood is off, what is left comes first: the ways below are those there were before. Undefined while nothing is off. */
function filedText(outcome: Outcome): string | undefined {
  if (outcome.fitting === null || depthNoted(outcome.job) <= 0) return undefined;
  const off = lengthsIn(outcome.job.units).short(depthNoted(outcome.job));
  return `${nextStep(outcome)} What follows is from the floor as it was found: the ${off} that are off already are not counted in.`;
}

export const NOTHING_TO_CURE = 'Nothing needs curing: the saddles reach both ends as the pocket is.';

/** The other ways to make the same correction, side by side. */
export function curesText(outcome: Outcome): string {
  const { title, columns, rows, key, notes } = cureTable(outcome);
  const head = [
    outcome.job.title === '' ? 'untitled job' : outcome.job.title.replace(/\s+/g, ' '),
    `job ${outcome.fingerprint}`,
    '',
  ];
  head.push(...contradictionLines(outcome));
  if (rows.length === 0) return `${[...head, ...warningLines(outcome), NOTHING_TO_CURE].join('\n')}\n`;
  const filed = filedText(outcome);
  if (filed !== undefined) head.push(...wrap(filed), '');
  head.push(...warningLines(outcome));
  return `${[
    ...head,
    title,
    ...table(columns, rows),
    '',
    ...wrap(`  ${key}`),
    '',
    ...notes.flatMap((note) => wrap(`  ${note}`)),
    '',
    ...wrap(CAUTION),
  ].join('\n')}\n`;
}
