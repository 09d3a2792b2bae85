import * as z from 'zod';
import { bad, good, type Result } from '../kernel/findings.ts';
import { fromMm, type Unit } from '../kernel/units.ts';
import { otherKind, unusedPlusMinus } from './kinds.ts';
import { choice, formatVersion, plainLength, plainNumber, wholeNumber } from './leaves.ts';
import { inOrder, type KnownKeys, problemsOf } from './problems.ts';
import { FLUTES, SHOP_RANGES, SPEED_PER_MINUTE, WARM_UP_SECONDS } from './ranges.ts';
import type { RimCutter, Shop } from './shop.ts';
import { shopContradictions } from './shopChecks.ts';
import { readYaml } from './yamlText.ts';

/** What a shop file need not say (contract.md, "Shop file"): mm, mm/min, seconds. Conservative, for a small router in hardwood. */
const DEFAULTS = {
  cutter: { flutes: 2 },
  spindle: { speed: 16000, warmUp: 4 },
  feed: { cut: 1200, plunge: 300 },
  pass: { depth: 0.3, width: 2.4 },
  clearance: { above: 8, wall: 0.15, beyondMouth: 4 },
  zeroing: 0.05,
  leave: 0,
  program: { look: 'first', turn: 0 },
  sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
  rails: { length: 260, base: 150 },
} as const;

/** A lane at most this part of the cutter's diameter where the file gives no pass.width: the proportion of the defaults. */
const LANE_PART = 0.4;

export function shopSchema(unit: Unit | undefined) {
  const length = (key: keyof typeof SHOP_RANGES) => plainLength(unit, SHOP_RANGES[key]);
  return z.strictObject({
    shop: formatVersion('shop'),
    units: choice(['mm', 'in']),
    cutter: z
      .strictObject({
        diameter: length('cutter.diameter').optional(),
        length: length('cutter.length').optional(),
        flutes: wholeNumber(FLUTES).optional(),
      })
      .default({}),
    rim: z
      .strictObject({
        diameter: length('rim.diameter'),
        length: length('rim.length'),
        flutes: wholeNumber(FLUTES).optional(),
        speed: plainNumber(SPEED_PER_MINUTE).optional(),
        cut: length('rim.cut').optional(),
        plunge: length('rim.plunge').optional(),
        depth: length('rim.depth').optional(),
        width: length('rim.width').optional(),
      })
      .optional(),
    spindle: z
      .strictObject({ speed: plainNumber(SPEED_PER_MINUTE).optional(), warmUp: plainNumber(WARM_UP_SECONDS).optional() })
      .default({}),
    feed: z.strictObject({ cut: length('feed.cut').optional(), plunge: length('feed.plunge').optional() }).default({}),
    pass: z.strictObject({ depth: length('pass.depth').optional(), width: length('pass.width').optional() }).default({}),
    clearance: z
      .strictObject({
        above: length('clearance.above').optional(),
        wall: length('clearance.wall').optional(),
        beyondMouth: length('clearance.beyondMouth').optional(),
      })
      .default({}),
    zeroing: length('zeroing').optional(),
    leave: length('leave').optional(),
    program: z
      .strictObject({
        units: choice(['mm', 'in']).optional(),
        look: choice(['first', 'every', 'never']).optional(),
        turn: choice([0, 90, 180, 270]).optional(),
      })
      .default({}),
    sheet: z
      .strictObject({
        paper: choice(['A4', 'Letter', 'A3']).optional(),
        measuredX: length('sheet.measuredX').optional(),
        measuredY: length('sheet.measuredY').optional(),
      })
      .default({}),
    rails: z.strictObject({ length: length('rails.length').optional(), base: length('rails.base').optional() }).default({}),
  });
}

const NONE: KnownKeys = {};
const keys = (text: string): KnownKeys => Object.fromEntries(text.split(' ').map((key) => [key, NONE]));

/** The schema's keys once more, for hints: a test holds the two together. */
export const SHOP_KEYS: KnownKeys = {
  ...keys('shop units zeroing leave'),
  cutter: keys('diameter length flutes'),
  rim: keys('diameter length flutes speed cut plunge depth width'),
  spindle: keys('speed warmUp'),
  feed: keys('cut plunge'),
  pass: keys('depth width'),
  clearance: keys('above wall beyondMouth'),
  program: keys('units look turn'),
  sheet: keys('paper measuredX measuredY'),
  rails: keys('length base'),
};

/** Reads a shop file: every problem of it at once, each with its place. */
export function readShop(text: string, file: string): Result<Shop> {
  const yaml = readYaml(text, file);
  if (!yaml.ok) return bad(yaml.findings);
  const located = yaml.value;
  const other = otherKind(located, 'shop');
  if (other !== undefined) return bad([other]);
  const { units } = located.data;
  const unit: Unit | undefined = units === 'mm' || units === 'in' ? units : undefined;
  const parsed = shopSchema(unit).safeParse(located.data);
  const findings = parsed.success ? [] : [...problemsOf(parsed.error.issues, located, SHOP_KEYS).findings];
  findings.push(...shopContradictions(located, unit, DEFAULTS.feed.cut));
  if (findings.length > 0 || !parsed.success) return bad(inOrder(findings));
  return good(shopOf(parsed.data), unusedPlusMinus(located, Object.keys(SHOP_RANGES)));
}

/** Fills in the defaults and notes each one used. */
function shopOf(file: z.output<ReturnType<typeof shopSchema>>): Shop {
  const assumed: string[] = [];
  const say = (value: number): string => `${Number(fromMm(value, file.units).toPrecision(4))} ${file.units}`;
  const or = <T>(given: T | undefined, fallback: T, name: string, text: string): T => {
    if (given !== undefined) return given;
    assumed.push(`${name} ${text}`);
    return fallback;
  };
  const length = (given: number | undefined, fallback: number, name: string): number => or(given, fallback, name, say(fallback));
  const { cutter, spindle, feed, pass, clearance, program, sheet, rails } = file;
  const D = DEFAULTS;
  // Nothing that was left out goes down faster than it was said to cut.
  const sink = Math.min(D.feed.plunge, feed.cut ?? D.feed.cut);
  const lane = cutter.diameter === undefined ? D.pass.width : Math.min(D.pass.width, LANE_PART * cutter.diameter);
  const shop: Shop = {
    units: file.units,
    cutter: {
      diameter: cutter.diameter,
      length: cutter.length,
      flutes: or(cutter.flutes, D.cutter.flutes, 'cutter.flutes', `${D.cutter.flutes}`),
    },
    spindle: {
      speed: or(spindle.speed, D.spindle.speed, 'spindle.speed', `${D.spindle.speed} per minute`),
      warmUp: or(spindle.warmUp, D.spindle.warmUp, 'spindle.warmUp', `${D.spindle.warmUp} s`),
    },
    feed: {
      cut: or(feed.cut, D.feed.cut, 'feed.cut', `${say(D.feed.cut)}/min`),
      plunge: or(feed.plunge, sink, 'feed.plunge', `${say(sink)}/min`),
    },
    pass: { depth: length(pass.depth, D.pass.depth, 'pass.depth'), width: length(pass.width, lane, 'pass.width') },
    clearance: {
      above: length(clearance.above, D.clearance.above, 'clearance.above'),
      wall: length(clearance.wall, D.clearance.wall, 'clearance.wall'),
      beyondMouth: length(clearance.beyondMouth, D.clearance.beyondMouth, 'clearance.beyondMouth'),
    },
    zeroing: length(file.zeroing, D.zeroing, 'zeroing'),
    leave: length(file.leave, D.leave, 'leave'),
    program: {
      units: program.units,
      look: or(program.look, D.program.look, 'program.look', D.program.look),
      turn: or(program.turn, D.program.turn, 'program.turn', `${D.program.turn}`),
    },
    sheet: {
      paper: or(sheet.paper, D.sheet.paper, 'sheet.paper', D.sheet.paper),
      measuredX: length(sheet.measuredX, D.sheet.measuredX, 'sheet.measuredX'),
      measuredY: length(sheet.measuredY, D.sheet.measuredY, 'sheet.measuredY'),
    },
    rails: { length: length(rails.length, D.rails.length, 'rails.length'), base: length(rails.base, D.rails.base, 'rails.base') },
    assumed,
  };
  const { rim } = file;
  if (rim === undefined) {
    const isForPaper = Object.keys(cutter).length + Object.keys(program).length === 0;
    // What the machine would be taken for is nothing to whoever only prints.
    return isForPaper ? { ...shop, isForPaper, assumed: assumed.filter((said) => /^(sheet|rails)\./.test(said)) } : shop;
  }
  const { diameter } = rim;
  const perMinute = (given: number | undefined, fallback: number, name: string): number =>
    or(given, fallback, name, `${say(fallback)}/min`);
  const second: RimCutter = {
    diameter,
    length: rim.length,
    flutes: or(rim.flutes, D.cutter.flutes, 'rim.flutes', `${D.cutter.flutes}`),
    speed: or(rim.speed, shop.spindle.speed, 'rim.speed', `${shop.spindle.speed} per minute`),
    cut: perMinute(rim.cut, shop.feed.cut, 'rim.cut'),
    plunge: perMinute(rim.plunge, Math.min(shop.feed.plunge, rim.cut ?? shop.feed.cut), 'rim.plunge'),
    depth: length(rim.depth, shop.pass.depth, 'rim.depth'),
    width: length(rim.width, Math.min(shop.pass.width, LANE_PART * diameter), 'rim.width'),
  };
  return { ...shop, rim: second };
}
