import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { allowedAxes, attainable, edgeOf } from '../../src/proof/attainable.ts';
import { settingOf } from '../../src/proof/setting.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { pocket, shopOf } from './programTasks.ts';

const R = 3;
/** R and clearance.wall. */
const E = 3.15;
const at = (x: number, y: number): Point2 => ({ x, y });

/** A(p) over the floor at p for a 6 mm cutter that has 25 mm of free space before the mouth. */
function reachIn(outline: Outline, gx: number, gy: number) {
  const plane = { hinge: at(0, 0), skim: 0, gx, gy };
  const body = { plane, outline, pocketDepth: 17.4, clearBefore: 25, deepest: 1, shop: shopOf() };
  const setting = settingOf(body, 2 * R, { roundingStep: 0.001, lastLine: 1 });
  const region = allowedAxes(setting, wallsOf(outline, 31));
  return {
    region,
    over: (x: number, y: number, within = R): number => attainable(setting, region, x, y, within) + gx * x + gy * y,
  };
}

/** How much higher than the floor the face stays whose axis lies by (dx, dy) from the place: g R - (gx, gy).(dx, dy). */
const left = (gx: number, gy: number, dx: number, dy: number): number => R * Math.hypot(gx, gy) - gx * dx - gy * dy;

describe('A(p), how low a cutter can come, by hand', () => {
  // The axis has x from -22 to 36.85 and y from -11.85 to 11.85.
  const BOX = pocket({ length: 40, width: 30, cornerRadius: 0 });

  it.each([
    ['back', -0.011, 0],
    ['forward', 0.02, 0],
    ['rolled', 0, 0.01],
    ['both', 0.008, -0.006],
  ])('in the middle it comes down to the floor itself: %s', (_name, gx, gy) => {
    const { over } = reachIn(BOX, gx, gy);
    expect(over(20, 1)).toBeCloseTo(0, 12);
    // With a smaller reach its rim stands off by what the floor falls over the rest.
    expect(over(20, 1, 2)).toBeCloseTo(Math.hypot(gx, gy), 12);
  });

  it('beside a wall the axis is as low as the circle round the place meets its limit', () => {
    const aside = Math.sqrt(9 - 2.15 ** 2);
    expect(reachIn(BOX, -0.011, 0).over(20, 14)).toBeCloseTo(left(-0.011, 0, -aside, -2.15), 12);
    expect(reachIn(BOX, -0.011, 0).over(20, -14)).toBeCloseTo(left(-0.011, 0, -aside, 2.15), 12);
    expect(reachIn(BOX, 0.011, 0).over(20, 14)).toBeCloseTo(left(0.011, 0, aside, -2.15), 12);
    // Towards the wall it would be lower still: it stops at the limit.
    expect(reachIn(BOX, 0, 0.01).over(20, 10)).toBeCloseTo(left(0, 0.01, 0, 1.85), 12);
    expect(reachIn(BOX, 0.02, 0).over(36, 3)).toBeCloseTo(left(0.02, 0, 0.85, 0), 12);
    // The lowest of the edge that the circle holds is one of the region's own corners.
    expect(reachIn(BOX, 0.02, 0.01).over(36, 11)).toBeCloseTo(left(0.02, 0.01, 0.85, 0.85), 12);
    expect(reachIn(BOX, 0.02, -0.01).over(36, -11)).toBeCloseTo(left(0.02, -0.01, 0.85, -0.85), 12);
  });

  it('the free space before the mouth has an end', () => {
    // The cutter's far side may be 25 mm before the mouth, its axis 22.
    expect(reachIn(BOX, -0.011, 0).over(-20, 0)).toBeCloseTo(left(-0.011, 0, -2, 0), 12);
    expect(reachIn(BOX, -0.011, 0).over(-18.9, 0)).toBeCloseTo(0, 12);
  });

  it('where no axis is near enough it is nowhere', () => {
    const { over } = reachIn(BOX, -0.011, 0);
    // The square corner is 3.15 sqrt 2 from the nearest axis, a place 0.5 mm off both walls 2.65 sqrt 2 = 3.75.
    expect(over(39.5, 14.5)).toBe(Number.POSITIVE_INFINITY);
    expect(over(20, 14.86)).toBe(Number.POSITIVE_INFINITY);
    expect(over(20, 14.84)).toBeLessThan(0.034);
    expect(over(20, 0, -0.001)).toBe(Number.POSITIVE_INFINITY);
    expect(over(20, 0, 0)).toBeCloseTo(0.033, 12);
  });

  it('over a level floor it is the floor, or nowhere', () => {
    const { over } = reachIn(BOX, 0, 0);
    for (const [x, y] of [
      [20, 0],
      [20, 14.84],
      [38.9, 13.8],
    ] as const)
      expect(over(x, y)).toBeCloseTo(0, 12);
    expect(over(39.2, 14.2)).toBe(Number.POSITIVE_INFINITY);
  });

  it('round a wide rear corner the axis keeps to its arc, taken a little too wide', () => {
    // Round (31, 6) with 9 - 3.15 mm: along the diagonal the lowest axis is on the arc.
    const { over, region } = reachIn(pocket({ length: 40, width: 30, cornerRadius: 9 }), 0.01, 0.01);
    const diagonal = Math.SQRT1_2;
    for (const far of [7, 8, 8.8]) {
      const exact = left(0.01, 0.01, diagonal * (5.85 - far), diagonal * (5.85 - far));
      const got = over(31 + diagonal * far, 6 + diagonal * far);
      expect(got).toBeLessThanOrEqual(exact + 1e-12);
      expect(got).toBeGreaterThan(exact - 0.0005 * 0.01 * Math.SQRT2 - 1e-9);
    }
    // Tangents all round: no corner of the region is further from the middle than they may be, none nearer.
    const round = region.edges.filter(({ x, y }) => x > 31.01 && y > 6.01).map(({ x, y }) => Math.hypot(x - 31, y - 6));
    expect(round.length).toBeGreaterThan(20);
    for (const far of round) {
      expect(far).toBeGreaterThan(5.85 - 1e-9);
      expect(far).toBeLessThan(5.85051);
    }
    // A corner tighter than the cutter bounds nothing.
    expect(reachIn(pocket({ length: 40, width: 30, cornerRadius: 3 }), 0.01, 0.01).region.edges).toHaveLength(4);
  });

  it.each([1, -1])('walls that open towards the mouth: before it only its own width is free, side %d', (side) => {
    // From 20 mm at the mouth to 15 at the rear, 1 in 8: the axis keeps 3.15 from the wall behind the mouth and from y = 20 before it.
    const outline = pocket({ length: 40, width: 30, widthAtMouth: 40, cornerRadius: 0 });
    const { over, region } = reachIn(outline, -0.011, 0);
    const aside = Math.sqrt(9 - (18.5 - 16.85) ** 2);
    expect(over(-2, side * 18.5)).toBeCloseTo(left(-0.011, 0, -aside, 0), 12);
    expect(region.holds(-2, side * 16.84)).toBe(true);
    expect(region.holds(-2, side * 16.86)).toBe(false);
    // Behind it the wall itself: 20 - x / 8 - 3.15 sqrt(1 + 1/64).
    const limit = (x: number): number => 20 - x / 8 - E * Math.sqrt(1 + 1 / 64);
    expect(region.holds(20, side * (limit(20) - 1e-6))).toBe(true);
    expect(region.holds(20, side * (limit(20) + 1e-6))).toBe(false);
  });

  it('an edge knows where it begins, where it goes and how long it is', () => {
    expect(edgeOf(at(1, 2), at(4, 6))).toEqual({ x: 1, y: 2, dx: 3, dy: 4, dd: 25 });
  });
});
