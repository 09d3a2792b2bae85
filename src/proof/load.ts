import { bothUnits } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import { MM_PER_INCH } from '../kernel/units.ts';
import type { Setting } from './setting.ts';
import type { Move, Step } from './strictReader.ts';

/** What the cutter has to bear, from the text: lengths in mm, feeds in mm/min, speeds in rev/min. */
export interface Load {
  readonly speed: { readonly least: number; readonly most: number };
  /** Of moves with their face below the floor as found, plunges left out. */
  readonly feed: { readonly least: number; readonly most: number };
  /** Chip per tooth, feed / (speed x flutes): slowest feed at the fastest speed, and the other way round. */
  readonly chip: { readonly least: number; readonly most: number };
  /** mm/min at the cutter's edge, pi D n, at the fastest speed. */
  readonly surface: number;
  /** mm³/min, at most: largest bite x whole width x fastest feed. */
  readonly removal: number;
  /** mm³ of wood taken in all. */
  readonly volume: number;
}

/**
 * Chip per tooth that an industrial machine begins with in hardwood, by cutter diameter; the lower of each pair (sources.md, "Cutting":
 * quoted). A small router on a table should stay well below.
 */
const CHIPS_INCH: readonly (readonly [diameter: number, chip: number])[] = [
  [1 / 8, 0.003],
  [1 / 4, 0.009],
  [3 / 8, 0.015],
];
/** mm. An edge that takes less rubs more than it cuts, and the wood burns (from memory). */
const THINNEST_CHIP_MM = 0.02;
/** Of the diameter. Deeper in one pass a slender cutter bends and chatters in hardwood (common practice, no source). */
const DEEPEST_SHARE = 0.5;
/** A fall steeper than this is a plunge, not a cut. */
const PLUNGE_SLOPE = 1 / 10;

/** mm. Linear between the diameters given, level beyond them. */
export function thickestChip(diameter: number): number {
  const inches = diameter / MM_PER_INCH;
  const above = CHIPS_INCH.findIndex(([d]) => d >= inches);
  const [d1, c1] = CHIPS_INCH.at(above) as readonly [number, number];
  const [d0, c0] = CHIPS_INCH[above - 1] ?? [d1, c1];
  const share = above <= 0 ? 1 : (inches - d0) / (d1 - d0);
  return (c0 + share * (c1 - c0)) * MM_PER_INCH;
}

/** Undefined where the program cuts nothing or never says how fast it turns. */
export function loadOf(
  steps: readonly Step[],
  moves: readonly Move[],
  setting: Setting,
  taken: { readonly largestBite: number; readonly volume: number },
): Load | undefined {
  const speeds = steps.flatMap((step) => (step.kind === 'speed' ? [step.speed] : []));
  const { flutes } = setting.shop.cutter;
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (const { from, to, feed, rapid } of moves) {
    if (rapid || feed === undefined || !(Math.min(from.z, to.z) < 0)) continue;
    const along = Math.hypot(to.x - from.x, to.y - from.y);
    if (!(along > 0) || from.z - to.z > PLUNGE_SLOPE * along) continue;
    least = Math.min(least, feed);
    most = Math.max(most, feed);
  }
  const slow = speeds.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const fast = speeds.reduce((a, b) => Math.max(a, b), 0);
  if (!(most > 0) || !(slow > 0) || fast === 0) return undefined;
  const diameter = 2 * setting.radius;
  return {
    speed: { least: slow, most: fast },
    feed: { least, most },
    chip: { least: least / (fast * flutes), most: most / (slow * flutes) },
    surface: Math.PI * diameter * fast,
    removal: taken.largestBite * diameter * most,
    volume: taken.volume,
  };
}

/** Where a router would burn the wood or chatter. Warnings only: what a machine bears, its owner knows. */
export function loadWarnings(load: Load, diameter: number, largestBite: number): Finding[] {
  const warn = (code: string, message: string, remedy: string): Finding => ({
    code,
    severity: 'warning',
    exit: null,
    message,
    remedy,
  });
  const found: Finding[] = [];
  const chip = (mm: number): string => bothUnits(mm, 3);
  if (load.chip.least < THINNEST_CHIP_MM)
    found.push(
      warn(
        'chip-thin',
        `the cutter takes only ${chip(load.chip.least)} a tooth: below about ${chip(THINNEST_CHIP_MM)} it rubs and burns the wood`,
        'feed faster or turn slower',
      ),
    );
  const thickest = thickestChip(diameter);
  if (load.chip.most > thickest)
    found.push(
      warn(
        'chip-thick',
        `the cutter takes ${chip(load.chip.most)} a tooth: above ${chip(thickest)}, what a heavy machine begins with, it may chatter or break`,
        'feed more slowly or turn faster',
      ),
    );
  if (largestBite > DEEPEST_SHARE * diameter)
    found.push(
      warn(
        'bite-deep',
        `the cutter takes ${bothUnits(largestBite)} in depth at once, more than half its diameter: it may bend and chatter`,
        'lower pass.depth',
      ),
    );
  return found;
}
