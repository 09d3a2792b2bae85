import * as z from 'zod';
import { type Measured, measured } from '../kernel/measured.ts';
import { toRadians, type Unit } from '../kernel/units.ts';
import { BASE_NAME } from './family.ts';
import {
  calendarDay,
  choice,
  formatVersion,
  freeText,
  leaf,
  listOr,
  mappingOr,
  measuredDegrees,
  measuredGap,
  measuredLength,
  plainLength,
  wholeNumber,
} from './leaves.ts';
import { CROWN_TILT_DEGREES, FRETS, JOB_RANGES, STRINGS } from './ranges.ts';

/**
 * mm and degrees. The ± assumed where none is written (geometry.md, "Uncertainty"); that of a leaf is half the step of a common feeler set and
 * a little for the feel of it (common practice, from memory).
 */
export const ASSUMED = { reading: 0.05, leaf: 0.03, pocket: 0.1, length: 0.5, tiltDegrees: 0.02 } as const;

const TITLE_MOST = 200;
const NOTE_MOST = 500;
const SCREWS_MOST = 12;
const FITS_MOST = 50;

/** Where a drawing may stand: seen from the job file, so that a folder can be handed on whole. */
export const DRAWING_NAME = /^(?![\\/]|[A-Za-z]:)[^\0\r\n]*\.svg$/i;

type Key = keyof typeof JOB_RANGES;

/** The whole job file (contract.md, "Job file"). Lengths without a unit are in `unit`, undefined where the file gives none soundly. */
export function jobSchema(unit: Unit | undefined) {
  const length = (key: Key) => measuredLength(unit, JOB_RANGES[key], ASSUMED.length);
  const reading = (key: Key) => measuredLength(unit, JOB_RANGES[key], ASSUMED.reading);
  const wall = (key: Key) => measuredLength(unit, JOB_RANGES[key], ASSUMED.pocket);
  const gap = (key: Key) => measuredGap(unit, JOB_RANGES[key], ASSUMED.reading);
  const gauged = (key: Key) => measuredLength(unit, JOB_RANGES[key], ASSUMED.leaf);
  const plain = (key: Key) => plainLength(unit, JOB_RANGES[key]);
  const sides = (one: z.ZodType<Measured>) => mappingOr(z.strictObject({ bass: one, treble: one }), one);

  const none = (value: number, bound: number) => measured(value, bound, false);
  const radius = length('neck.radius');
  const screwPlace = z.strictObject({ x: plain('pocket.screws.x'), y: plain('pocket.screws.y') });
  const compensation = listOr(length('strings.compensation'));
  const outline = leaf<string>({ type: 'string', pattern: DRAWING_NAME.source.replace(/svg\$$/, '[sS][vV][gG]$') }, (raw) =>
    typeof raw === 'string' && DRAWING_NAME.test(raw)
      ? { ok: true, value: raw }
      : {
          ok: false,
          fault: {
            code: 'outline-not-a-file',
            message: 'this is no drawing to read',
            expected: "an SVG file's place as seen from the job file, such as drawing.svg",
          },
        },
  );
  const like = leaf<string>({ type: 'string', pattern: BASE_NAME.source }, (raw) =>
    typeof raw === 'string' && BASE_NAME.test(raw)
      ? { ok: true, value: raw }
      : {
          ok: false,
          fault: {
            code: 'like-not-a-file',
            message: 'this is no job to be like',
            expected: "a job file's place in this file's own folder or below it, such as model.yaml",
          },
        },
  );
  const fit = z.strictObject({
    depth: sides(reading('fits.depth')),
    lastFretGap: sides(gap('fits.lastFretGap')).optional(),
    raised: sides(reading('fits.raised')).optional(),
    lowest: gauged('fits.lowest').optional(),
    highest: gauged('fits.highest').optional(),
    shim: reading('fits.shim').optional(),
    on: calendarDay().optional(),
    note: freeText(NOTE_MOST).optional(),
  });

  return z.strictObject({
    job: formatVersion('job'),
    like: like.optional(),
    title: freeText(TITLE_MOST).default(''),
    units: choice(['mm', 'in']),
    hand: choice(['right', 'left']).default('right'),
    scale: z.strictObject({ length: length('scale.length'), frets: wholeNumber(FRETS) }),
    strings: z.strictObject({
      count: wholeNumber(STRINGS),
      spreadAtNut: length('strings.spreadAtNut'),
      spreadAtSaddle: length('strings.spreadAtSaddle'),
      compensation: compensation.default(() => none(0, ASSUMED.length)),
    }),
    neck: z.strictObject({
      nutToMouth: length('neck.nutToMouth'),
      seatToCrown: length('neck.seatToCrown'),
      nutGap: sides(reading('neck.nutGap')).optional(),
      radius: mappingOr(z.strictObject({ atNut: radius, atLastFret: radius }), radius).optional(),
      relief: reading('neck.relief').default(() => none(0, ASSUMED.reading)),
      fallAway: z.strictObject({ fromFret: wholeNumber(FRETS_BEFORE_LAST), drop: reading('neck.fallAway.drop') }).optional(),
      crownTilt: measuredDegrees(CROWN_TILT_DEGREES, ASSUMED.tiltDegrees).default(() => none(0, toRadians(ASSUMED.tiltDegrees))),
      heelWood: length('neck.heelWood').optional(),
    }),
    pocket: z.strictObject({
      length: wall('pocket.length').optional(),
      width: wall('pocket.width').optional(),
      widthAtMouth: wall('pocket.widthAtMouth').optional(),
      cornerRadius: plain('pocket.cornerRadius').default(0),
      depth: length('pocket.depth'),
      body: length('pocket.body'),
      leastFloor: plain('pocket.leastFloor').default(LEAST_FLOOR_MM),
      clearBefore: plain('pocket.clearBefore').optional(),
      outline: outline.optional(),
      screws: z.array(screwPlace).max(SCREWS_MOST).default([]),
      mounted: z
        .strictObject({
          mouthBass: plain('pocket.mounted'),
          mouthTreble: plain('pocket.mounted'),
          rearBass: plain('pocket.mounted'),
          rearTreble: plain('pocket.mounted'),
        })
        .optional(),
    }),
    screw: z
      .strictObject({
        length: plain('screw.length'),
        plate: plain('screw.plate').default(0),
        leastHold: plain('screw.leastHold').default(LEAST_HOLD_MM),
      })
      .optional(),
    bridge: z.strictObject({
      travel: length('bridge.travel'),
      lowest: sides(length('bridge.lowest')).optional(),
      radius: length('bridge.radius').optional(),
    }),
    asFound: z
      .strictObject({
        lastFretGap: sides(gap('asFound.lastFretGap')).optional(),
        straightedge: sides(reading('asFound.straightedge')).optional(),
        firstFretGap: sides(gap('asFound.firstFretGap')).optional(),
        edge: sides(reading('asFound.edge')).optional(),
        raised: sides(reading('asFound.raised')).optional(),
      })
      .default({}),
    fits: z.array(fit).max(FITS_MOST).default([]),
    target: z
      .strictObject({
        gap: plain('target.gap').default(TARGET.gap),
        within: plain('target.within').default(TARGET.within),
        highest: plain('target.highest').default(TARGET.highest),
        wished: plain('target.wished').default(TARGET.wished),
        floor: choice(['pitch', 'pitch-and-roll']).default('pitch'),
        skim: plain('target.skim').default(0),
      })
      .default({ ...TARGET, floor: 'pitch', skim: 0 }),
  });
}

/** A fall-away runs from a fret to the last one, so it starts before the highest that a neck may have. */
const FRETS_BEFORE_LAST = { ...FRETS, least: 1, most: FRETS.most - 1, why: 'the fret it starts from' };
/** mm. Memory: what a pocket's floor keeps at least; a job gives its own as pocket.leastFloor. */
const LEAST_FLOOR_MM = 10;
/** mm. Memory: thread in the heel that a screw needs at least. */
const LEAST_HOLD_MM = 12;
/** mm. The string just meets a fret; what any playing action needs (memory); a quarter inch of range (common practice). */
const TARGET = { gap: 0, within: 0.05, highest: 3, wished: 6.35 } as const;

export type JobFile = z.output<ReturnType<typeof jobSchema>>;
