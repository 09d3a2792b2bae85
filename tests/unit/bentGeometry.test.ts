import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { gridOf } from '../../src/program/grid.ts';
import { axisRegion, gridInside } from '../../src/program/region.ts';
import { chordsAcross, isInside, ringHoldsWay } from '../../src/program/ring.ts';
import { allowedAxes, attainable } from '../../src/proof/attainable.ts';
import { floorAt, settingOf } from '../../src/proof/setting.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { shopOf } from './programTasks.ts';

/** An invented pocket with a bump on one side, a dent in the rear and a slanted side. */
const CORNERS: readonly Point2[] = [
  { x: 0, y: -14 },
  { x: 14, y: -14 },
  { x: 19, y: -5 },
  { x: 25, y: -14 },
  { x: 36, y: -14 },
  { x: 33, y: 1 },
  { x: 36, y: 12 },
  { x: 12, y: 15 },
  { x: 0, y: 14 },
];
const OUTLINE: Outline = {
  pieces: CORNERS.map((from, i) => ({ kind: 'line', from, to: CORNERS[(i + 1) % CORNERS.length] as Point2 })),
  length: 36,
  mouthHalf: 14,
  rearHalf: 15,
};
const R = 3;
const WALL = 0.15;
const ENTRY = -7;

/** Distance to the walls by trying places on them, side walls carried on: shares nothing with what is tested. */
function plainDistance(p: Point2): number {
  const ends = [CORNERS[0], CORNERS[1], CORNERS.at(-2), CORNERS.at(-1)] as Point2[];
  const before = ([a, b]: [Point2, Point2]): Point2 => ({ x: a.x - 3 * (b.x - a.x), y: a.y - 3 * (b.y - a.y) });
  const all = [before([ends[0] as Point2, ends[1] as Point2]), ...CORNERS, before([ends[3] as Point2, ends[2] as Point2])];
  let near = Number.POSITIVE_INFINITY;
  for (let i = 1; i < all.length; i++) {
    const [a, b] = [all[i - 1] as Point2, all[i] as Point2];
    for (let k = 0; k <= 2500; k++)
      near = Math.min(near, Math.hypot(a.x + ((b.x - a.x) * k) / 2500 - p.x, a.y + ((b.y - a.y) * k) / 2500 - p.y));
  }
  return near;
}

describe.each(['mm', 'in'] as const)('where the axis may be in a bent pocket, %s', (unit) => {
  const grid = gridOf(unit);
  const region = axisRegion(OUTLINE, R + WALL, ENTRY, grid);
  if (region === undefined) throw new Error('the cutter fits');
  const { corners } = region;

  it('keeps the cutter off every wall all along its ring, and comes as near as it may', () => {
    let nearest = Number.POSITIVE_INFINITY;
    corners.forEach((a, i) => {
      const b = corners[(i + 1) % corners.length] as Point2;
      const rounded = [a, b].map((p) => gridInside(region, grid, p)) as [Point2, Point2];
      for (const [from, to] of [[a, b], rounded] as const)
        for (let t = 0; t <= 1; t += 0.25) {
          const far = plainDistance({ x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y) });
          // The places tried lie up to 20 µm apart and miss the foot by 16 nm at this distance.
          expect(far).toBeGreaterThanOrEqual(R + WALL - 1e-6);
          nearest = Math.min(nearest, far);
        }
    });
    expect(nearest).toBeLessThan(R + WALL + 0.001);
  });

  it('goes from place to place by the shortest way that stays inside', () => {
    const [a, b] = [
      { x: 9, y: -10.5 },
      { x: 30, y: -10 },
    ];
    expect(ringHoldsWay(corners, a, b)).toBe(false);
    const way = region.ways(a, b);
    expect(way.length).toBeGreaterThan(2);
    let length = 0;
    way.slice(1).forEach((p, i) => {
      const from = way[i] as Point2;
      length += Math.hypot(p.x - from.x, p.y - from.y);
      for (let t = 0.05; t < 1; t += 0.1)
        expect(plainDistance({ x: from.x + t * (p.x - from.x), y: from.y + t * (p.y - from.y) })).toBeGreaterThan(
          R + WALL - 1e-5,
        );
    });
    // Over the bump at (19, -5): two tangents to the circle of radius e round it and the arc between them.
    const e = R + WALL;
    const [da, db] = [Math.hypot(a.x - 19, a.y + 5), Math.hypot(b.x - 19, b.y + 5)];
    const turn = Math.abs(Math.atan2(a.y + 5, a.x - 19) - Math.atan2(b.y + 5, b.x - 19));
    const round = 2 * Math.PI - turn;
    const shortest =
      Math.sqrt(da * da - e * e) + Math.sqrt(db * db - e * e) + e * (round - Math.acos(e / da) - Math.acos(e / db));
    expect(length).toBeGreaterThan(shortest - 1e-6);
    expect(length).toBeLessThan(shortest + 0.02);
  });

  it('is cut by a line where the line enters and leaves it', () => {
    for (let y = -10.3; y < 11; y += 0.71) {
      const chords = chordsAcross(corners, y);
      for (let x = ENTRY - 1; x < 37; x += 0.37)
        expect(
          chords.some(({ from, to }) => from < x && x < to),
          `${x} ${y}`,
        ).toBe(isInside(corners, { x, y }));
    }
    expect(chordsAcross(corners, -9)).toHaveLength(2);
  });
});

describe('what a cutter can reach in a bent pocket', () => {
  it.each([1, -1])('round a square corner that points inwards, by hand: side %d', (side) => {
    const at = (x: number, y: number): Point2 => ({ x, y: side * y });
    const ring = [at(0, -20), at(60, -20), at(60, 10), at(30, 10), at(30, 20), at(0, 20)];
    const corners = side > 0 ? ring : ring.reverse();
    const outline: Outline = {
      pieces: corners.map((from, i) => ({ kind: 'line', from, to: corners[(i + 1) % 6] as Point2 })),
      length: 60,
      mouthHalf: 20,
      rearHalf: 20,
    };
    const k = 0.01;
    // The floor falls towards the corner's two walls alike.
    const plane = { hinge: { x: 0, y: 0 }, skim: 0.6, gx: k, gy: side * k };
    const work = { plane, outline, pocketDepth: 17, clearBefore: 25, deepest: 1.2, shop: shopOf() };
    const setting = settingOf(work, 2 * R, { roundingStep: 0.001, lastLine: 1 });
    const axes = allowedAxes(setting, wallsOf(outline, 40));
    // d before the corner both ways only axes on the circle of radius e round it are within R; of them x + y is greatest where R just
    // reaches: (e cos t - d)^2 + (e sin t - d)^2 = R^2 gives cos t + sin t, and x + y is 40 less e times that.
    const [e, d] = [R + WALL, 0.14];
    const sum = (e * e + 2 * d * d - R * R) / (2 * d * e);
    const exact = -(0.6 + k * (40 - e * sum)) + R * k * Math.SQRT2;
    const bound = attainable(setting, axes, 30 - d, side * (10 - d), R);
    expect(bound).toBeLessThanOrEqual(exact + 1e-9);
    expect(bound).toBeGreaterThan(exact - 1e-4);
    // A little nearer to the corner no axis reaches at all.
    expect(attainable(setting, axes, 29.9, side * 9.9, R)).toBe(Number.POSITIVE_INFINITY);
  });

  it.each([
    [-0.012, 0],
    [0.015, 0.004],
    [0.002, -0.012],
  ])('slope %d, %d: a lower bound, close to trying axes one by one', (gx, gy) => {
    const plane = { hinge: { x: 0, y: 0 }, skim: 0.6, gx, gy };
    const shop = shopOf();
    const work = { plane, outline: OUTLINE, pocketDepth: 17, clearBefore: 25, deepest: 1.2, shop };
    const setting = settingOf(work, 2 * R, { roundingStep: 0.001, lastLine: 1 });
    const axes = allowedAxes(setting, wallsOf(OUTLINE, 40));
    const region = axisRegion(OUTLINE, R + WALL, -22, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const mesh = 0.08;
    const allowed: Point2[] = [...region.corners];
    for (let x = -6; x < 36; x += mesh)
      for (let y = -16; y < 16; y += mesh) if (isInside(region.corners, { x, y })) allowed.push({ x, y });
    let compared = 0;
    for (let x = 0.4; x < 36; x += 2.9)
      for (let y = -13.5; y < 15; y += 2.3) {
        if (!isInside(CORNERS, { x, y })) continue;
        let tried = Number.POSITIVE_INFINITY;
        for (const c of allowed)
          if ((c.x - x) ** 2 + (c.y - y) ** 2 <= R * R) tried = Math.min(tried, floorAt(setting, c.x, c.y) + R * setting.lean);
        const bound = attainable(setting, axes, x, y, R);
        expect(bound, `${x} ${y}`).toBeLessThanOrEqual(tried + 1e-9);
        // Where hardly any axis is near enough the mesh may miss them all.
        if (!Number.isFinite(attainable(setting, axes, x, y, R - 0.15))) continue;
        compared += 1;
        expect(bound, `${x} ${y}`).toBeGreaterThanOrEqual(tried - 3 * mesh * setting.lean);
      }
    expect(compared).toBeGreaterThan(60);
  });
});
