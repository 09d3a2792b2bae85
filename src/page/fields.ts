/** How a value is asked for: `length` with a ± beside it, `plain` without; `pair` as one value or two; `list` as values in a row. */
export type Kind = 'text' | 'choice' | 'whole' | 'length' | 'plain' | 'degrees' | 'number' | 'pair' | 'list' | 'places';

/** One thing to measure or to choose, by its place in the job or shop file. */
export interface Field {
  readonly id: string;
  readonly kind: Kind;
  /** `one`: needed, or another reading in its place. */
  readonly needed: 'yes' | 'one' | 'no';
  readonly choices?: readonly string[];
  /** The two keys of a pair. */
  readonly pair?: readonly [string, string];
  /** A pair that is offered as two values from the start. */
  readonly apart?: boolean;
}

/** Fields that a maker meets together; those that are not needed stand folded away below the others. */
export interface Group {
  readonly id: string;
  readonly fields: readonly Field[];
}

const SIDES = ['bass', 'treble'] as const;
const field = (id: string, kind: Kind, needed: Field['needed'] = 'no', more: Partial<Field> = {}): Field => ({
  id,
  kind,
  needed,
  ...more,
});
const sides = (id: string, needed: Field['needed'] = 'no', apart = false): Field =>
  field(id, 'pair', needed, { pair: SIDES, apart });

/** In the order in which a maker measures: what is known before the neck is on, then the gaps as found, then what is wanted. */
export const JOB_GROUPS: readonly Group[] = [
  {
    id: 'job',
    fields: [
      field('title', 'text'),
      field('units', 'choice', 'yes', { choices: ['mm', 'in'] }),
      field('hand', 'choice', 'no', { choices: ['right', 'left'] }),
    ],
  },
  {
    id: 'strings',
    fields: [
      field('scale.length', 'length', 'yes'),
      field('scale.frets', 'whole', 'yes'),
      field('strings.count', 'whole', 'yes'),
      field('strings.spreadAtNut', 'length', 'yes'),
      field('strings.spreadAtSaddle', 'length', 'yes'),
      field('strings.compensation', 'list'),
    ],
  },
  {
    id: 'neck',
    fields: [
      field('neck.nutToMouth', 'length', 'yes'),
      field('neck.seatToCrown', 'length', 'yes'),
      sides('neck.nutGap', 'one'),
      field('neck.radius', 'pair', 'no', { pair: ['atNut', 'atLastFret'] }),
      field('neck.relief', 'length'),
      field('neck.fallAway.fromFret', 'whole'),
      field('neck.fallAway.drop', 'length'),
      field('neck.crownTilt', 'degrees'),
      field('neck.heelWood', 'length'),
    ],
  },
  {
    id: 'pocket',
    fields: [
      field('pocket.length', 'length', 'yes'),
      field('pocket.width', 'length', 'yes'),
      field('pocket.depth', 'length', 'yes'),
      field('pocket.body', 'length', 'yes'),
      field('pocket.cornerRadius', 'plain'),
      field('pocket.clearBefore', 'plain'),
      field('pocket.widthAtMouth', 'length'),
      field('pocket.leastFloor', 'plain'),
      field('pocket.screws', 'places'),
      field('pocket.mounted.mouthBass', 'plain'),
      field('pocket.mounted.mouthTreble', 'plain'),
      field('pocket.mounted.rearBass', 'plain'),
      field('pocket.mounted.rearTreble', 'plain'),
      field('screw.length', 'plain'),
      field('screw.plate', 'plain'),
      field('screw.leastHold', 'plain'),
    ],
  },
  {
    id: 'bridge',
    fields: [field('bridge.travel', 'length', 'yes'), sides('bridge.lowest'), field('bridge.radius', 'length')],
  },
  {
    id: 'asFound',
    fields: [
      sides('asFound.lastFretGap', 'one', true),
      sides('asFound.raised'),
      sides('asFound.straightedge'),
      sides('asFound.firstFretGap'),
      sides('asFound.edge', 'no', true),
    ],
  },
  {
    id: 'target',
    fields: [
      field('target.floor', 'choice', 'no', { choices: ['pitch', 'pitch-and-roll'] }),
      field('target.gap', 'plain'),
      field('target.highest', 'plain'),
      field('target.wished', 'plain'),
      field('target.within', 'plain'),
      field('target.skim', 'plain'),
    ],
  },
];

export const SHOP_GROUPS: readonly Group[] = [
  {
    id: 'paper',
    fields: [
      field('sheet.paper', 'choice', 'no', { choices: ['A4', 'Letter', 'A3'] }),
      field('sheet.measuredX', 'plain'),
      field('sheet.measuredY', 'plain'),
    ],
  },
  {
    id: 'machine',
    fields: [
      field('units', 'choice', 'yes', { choices: ['mm', 'in'] }),
      field('cutter.diameter', 'plain', 'yes'),
      field('cutter.length', 'plain', 'yes'),
      field('program.units', 'choice', 'yes', { choices: ['mm', 'in'] }),
      field('program.turn', 'choice', 'no', { choices: ['0', '90', '180', '270'] }),
      field('program.look', 'choice', 'no', { choices: ['first', 'every', 'never'] }),
      field('cutter.flutes', 'number'),
      field('spindle.speed', 'number'),
      field('spindle.warmUp', 'number'),
      field('feed.cut', 'plain'),
      field('feed.plunge', 'plain'),
      field('pass.depth', 'plain'),
      field('pass.width', 'plain'),
      field('clearance.above', 'plain'),
      field('clearance.wall', 'plain'),
      field('clearance.beyondMouth', 'plain'),
      field('zeroing', 'plain'),
      field('leave', 'plain'),
      field('rails.length', 'plain'),
      field('rails.base', 'plain'),
    ],
  },
  {
    id: 'rim',
    fields: [
      field('rim.diameter', 'plain'),
      field('rim.length', 'plain'),
      field('rim.flutes', 'number'),
      field('rim.speed', 'number'),
      field('rim.cut', 'plain'),
      field('rim.plunge', 'plain'),
      field('rim.depth', 'plain'),
      field('rim.width', 'plain'),
    ],
  },
];

/** Of a field, an element's id: dots would have to be escaped in every selector. */
export function elementId(doc: 'job' | 'shop', id: string): string {
  return `${doc}-${id.replaceAll('.', '-')}`;
}

/** Whether a field stands open from the start: what is needed, and two groups that are short. */
function isOpen(group: Group, { needed }: Field): boolean {
  return needed !== 'no' || group.id === 'job' || group.id === 'paper';
}

export function openFields(group: Group): readonly Field[] {
  return group.fields.filter((field) => isOpen(group, field));
}

/** Fields that may be left out: they lie folded away below the others. */
export function foldedFields(group: Group): readonly Field[] {
  return group.fields.filter((field) => !isOpen(group, field));
}

export function foldId(doc: 'job' | 'shop', { id }: Group): string {
  return `${doc}-fold-${id}`;
}

export function pathOf({ id }: Field): readonly string[] {
  return id.split('.');
}
