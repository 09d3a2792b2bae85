import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { gridOf } from '../../src/program/grid.ts';
import { insetRings } from '../../src/program/inset.ts';
import {
  type AxisRegion,
  axisRegion,
  bentWallPaths,
  chordAt,
  farthestAt,
  gridInside,
  inwardCorner,
  isConvex,
  isDrawn,
  toRegion,
  wallPaths,
} from '../../src/program/region.ts';
import { areaOf, chordsAcross, isInside, toRing } from '../../src/program/ring.ts';
import { expectCorners } from '../support/corners.ts';
import { pocket } from './programTasks.ts';

const MM = gridOf('mm');

const INSET = 3.15;

const at = (x: number, y: number): Point2 => ({ x, y });

function regionOf(outline: Outline, inset = INSET, entry = -7): AxisRegion {
  const region = axisRegion(outline, inset, entry, MM);
  if (region === undefined) throw new Error('the cutter fits');
  return region;
}

function sharp(length: number, width: number, widthAtMouth = width): Outline {
  return pocket({ length, width, widthAtMouth, cornerRadius: 0 });
}

function drawn(corners: readonly Point2[]): Outline {
  return {
    pieces: corners.map((from, i) => ({ kind: 'line', from, to: corners[(i + 1) % corners.length] as Point2 })),
    length: Math.max(...corners.map(({ x }) => x)),
    mouthHalf: Math.max(...corners.filter(({ x }) => x === 0).map(({ y }) => Math.abs(y))),
    rearHalf: Math.max(...corners.map(({ y }) => Math.abs(y))),
  };
}

const far = (a: Point2, b: Point2): number => Math.hypot(a.x - b.x, a.y - b.y);

describe('where the axis may be, by hand', () => {
  it('in a square pocket: a rectangle that keeps off three walls and begins before the mouth', () => {
    const region = regionOf(sharp(40, 30));
    expectCorners(region.corners, [at(-7, -11.85), at(36.85, -11.85), at(36.85, 11.85), at(-7, 11.85)]);
    expect([region.least.x, region.least.y, region.most.x, region.most.y]).toEqual([
      expect.closeTo(-7),
      expect.closeTo(-11.85),
      expect.closeTo(36.85),
      expect.closeTo(11.85),
    ]);
    expect(region).toMatchObject({ convex: true, entryX: -7, apart: [] });
    expect(region.ways(at(-7, 3), at(30, -2))).toEqual([at(-7, 3), at(30, -2)]);
    expect(chordAt(region, 5).from).toBeCloseTo(-7, 9);
    expect(chordAt(region, 5).to).toBeCloseTo(36.85, 9);
    expect(farthestAt(region, -11)).toBeCloseTo(36.85, 9);
    for (const [p, distance] of [
      [at(40, 3), 3.15],
      [at(40, -15), Math.hypot(3.15, 3.15)],
      [at(20, 13.85), 2],
      [at(-9, 0), 2],
      [at(20, 11.85), 0],
      [at(20, 0), 0],
    ] as const)
      expect(toRegion(region, p)).toBeCloseTo(distance, 9);
    const [low, high] = wallPaths(region);
    expectCorners(low, [at(-7, -11.85), at(36.85, -11.85), at(36.85, 0)]);
    expectCorners(high, [at(-7, 11.85), at(36.85, 11.85), at(36.85, 0)]);
  });

  it('walls that open towards the mouth: before it they are carried on along x, the narrower of two readings', () => {
    const region = regionOf(sharp(40, 30, 34));
    // A wall falls by 1 in 20, so its inset lies 3.15 sqrt(1 + 1/400) over it; the cap is that of the mouth's corner.
    const over = INSET * Math.sqrt(1 + 1 / 400);
    const meet = 20 * (17 - over - 13.85);
    const rear = 17 - 36.85 / 20 - over;
    expectCorners(region.corners, [
      at(-7, -13.85),
      at(meet, -13.85),
      at(36.85, -rear),
      at(36.85, rear),
      at(meet, 13.85),
      at(-7, 13.85),
    ]);
    expect(chordAt(region, 13.5).to).toBeCloseTo(20 * (17 - over - 13.5), 9);
  });

  it('walls that close towards the mouth: before it they are carried on along themselves', () => {
    const region = regionOf(sharp(40, 34, 30));
    const over = INSET * Math.sqrt(1 + 1 / 400);
    const half = (x: number): number => 15 + x / 20 - over;
    expectCorners(region.corners, [at(-7, -half(-7)), at(36.85, -half(36.85)), at(36.85, half(36.85)), at(-7, half(-7))]);
    const lane = chordAt(region, half(10));
    expect(lane.from).toBeCloseTo(10, 9);
    const [low] = wallPaths(region);
    expect(low[0]?.y).toBeCloseTo(-half(-7), 9);
  });

  it.each([5, 3.3, 9])('a rear corner of %d mm is gone round on chords inside its arc, each long enough', (cornerRadius) => {
    const region = regionOf(pocket({ length: 40, width: 30, cornerRadius }));
    const inner = cornerRadius - INSET;
    const centre = at(40 - cornerRadius, 15 - cornerRadius);
    const on = region.corners.filter((p) => p.x > centre.x - 1e-9 && p.y > centre.y - 1e-9);
    for (const p of on) expect(far(p, centre)).toBeCloseTo(inner, 7);
    // As many chords as keep within 0.002 mm of the arc, unless they would be shorter than 0.15 mm.
    const close = Math.ceil(Math.PI / 2 / (2 * Math.acos(1 - 0.002 / inner)));
    const longest = Math.max(1, Math.floor((inner * Math.PI) / 2 / 0.15));
    expect(on).toHaveLength(Math.min(close, longest) + 1);
  });

  it('its ways along the walls begin before the mouth wherever its ring is begun', () => {
    for (const outline of [sharp(40, 30, 34), sharp(40, 34, 30), pocket({ length: 40, width: 30, cornerRadius: 5 })]) {
      const region = regionOf(outline);
      const [low, high] = wallPaths(region);
      for (const [path, side] of [
        [low, -1],
        [high, 1],
      ] as const) {
        // On its own side and nowhere back towards the mouth: from before it to the rear, and there to the middle.
        path.slice(1).forEach((p, i) => {
          expect(p.x).toBeGreaterThanOrEqual((path[i] as Point2).x - 1e-9);
          expect(side * p.y).toBeGreaterThanOrEqual(-1e-9);
        });
        expect([path[0]?.x, path.at(-1)?.y]).toEqual([expect.closeTo(-7, 9), expect.closeTo(0, 9)]);
      }
      region.corners.forEach((_, k) => {
        const corners = [...region.corners.slice(k), ...region.corners.slice(0, k)];
        expect(wallPaths({ ...region, corners })).toEqual([low, high]);
      });
    }
  });

  it('a corner tighter than the cutter bounds nothing', () => {
    expect(regionOf(pocket({ length: 40, width: 30, cornerRadius: 3 })).corners).toHaveLength(4);
    expect(regionOf(pocket({ length: 40, width: 30, cornerRadius: INSET + 0.002 })).corners).toHaveLength(4);
    expect(regionOf(pocket({ length: 40, width: 30, cornerRadius: INSET + 0.01 })).corners).toHaveLength(6);
  });

  it('is nowhere in a pocket too narrow or too short, and just fits a little above', () => {
    expect(axisRegion(sharp(40, 2 * INSET + 0.019), INSET, -7, MM)).toBeUndefined();
    expect(axisRegion(sharp(40, 2 * INSET + 0.021), INSET, -7, MM)).toBeDefined();
    expect(axisRegion(sharp(40, 2 * INSET - 1), INSET, -7, MM)).toBeUndefined();
    expect(axisRegion(sharp(INSET - 0.01, 30), INSET, -7, MM)).toBeUndefined();
    expect(axisRegion(sharp(INSET + 0.01, 30), INSET, -7, MM)).toBeDefined();
    // Walls that meet before they come to where it goes down.
    expect(axisRegion(sharp(40, 30, 8), INSET, -20, MM)).toBeUndefined();
  });

  it('of a bent pocket is nowhere where none of it is entered from before the mouth, and a waist parts it', () => {
    const neck = (half: number) =>
      drawn([at(0, -half), at(10, -half), at(10, -14), at(30, -14), at(30, 14), at(10, 14), at(10, half), at(0, half)]);
    expect(axisRegion(neck(3), INSET, -7, MM)).toBeUndefined();
    // A waist right behind a wide mouth: the axis has room before it, but comes nowhere into the pocket.
    const shut = [
      at(0, -14),
      at(0.5, -3),
      at(10, -3),
      at(10, -14),
      at(30, -14),
      at(30, 14),
      at(10, 14),
      at(10, 3),
      at(0.5, 3),
      at(0, 14),
    ];
    expect(axisRegion(drawn(shut), INSET, -7, MM)).toBeUndefined();
    expect(axisRegion(drawn(shut.map(({ x, y }) => at(x, Math.abs(y) === 3 ? y * 1.2 : y))), INSET, -7, MM)?.most.x).toBeCloseTo(
      26.85,
      4,
    );
    const open = regionOf(neck(8));
    expect([open.convex, open.apart]).toEqual([false, []]);
    expect([open.least.x, open.most.x, open.most.y]).toEqual([-7, expect.closeTo(26.85, 4), expect.closeTo(10.85, 4)]);
    // Behind a waist 5 mm wide 20 x 28 mm, of which the axis could have 13.7 x 21.7 and what bulges into the waist: its corners
    // are kept off by arcs, 3.15 - sqrt(3.15² - s²) beyond the straight line at s from a corner's height.
    const r = 3.15;
    const bulge = 2 * (2.5 * r - (2.5 * Math.sqrt(r * r - 6.25) + r * r * Math.asin(2.5 / r)) / 2);
    const waist = [
      [0, -14],
      [20, -14],
      [20, -2.5],
      [24, -2.5],
      [24, -14],
      [44, -14],
      [44, 14],
      [24, 14],
      [24, 2.5],
      [20, 2.5],
      [20, 14],
      [0, 14],
    ].map(([x, y]) => at(x as number, y as number));
    const parted = regionOf(drawn(waist));
    expect(parted.apart).toEqual([expect.closeTo(13.7 * 21.7 + bulge, 2)]);
    expect(parted.most.x).toBeCloseTo(20 - Math.sqrt(r * r - 6.25), 2);
  });

  it('as a ring: what an inset by another library gives for a convex pocket is the same region', () => {
    for (const outline of [sharp(40, 30, 34), sharp(40, 34, 30), pocket({ length: 40, width: 30, cornerRadius: 7 })]) {
      const rings = insetRings(outline, INSET, -7, 0);
      expect(rings).toHaveLength(1);
      const [ring = []] = rings;
      const region = regionOf(outline);
      expect(areaOf(ring)).toBeCloseTo(areaOf(region.corners), 1);
      for (const p of region.corners) expect(toRing(ring, p)).toBeLessThan(0.006);
      for (const p of ring) expect(toRing(region.corners, p)).toBeLessThan(0.006);
    }
  });

  it.each([120, 240, 411, 900])(
    'a curve drawn as %d chords is gone round on long enough ones, inside it and close to it',
    (count) => {
      const curve = Array.from({ length: count + 1 }, (_, k) => {
        const t = -Math.PI / 2 + (Math.PI * k) / count;
        return at(20 + 9 * Math.cos(t), 9 * Math.sin(t));
      });
      const outline = drawn([at(0, -9), ...curve, at(0, 9)]);
      const region = regionOf(outline);
      const round = region.corners.filter((p) => p.x > 20.1);
      expect(round.length).toBeGreaterThan(30);
      // The curve's own corners are kept, so that where its chords are shorter than 0.15 mm a longer one may miss that by one of them.
      const own = (Math.PI * (9 - INSET)) / count;
      const short = own < 0.15 ? own : 1e-9;
      round.slice(1).forEach((p, i) => {
        expect(far(p, round[i] as Point2)).toBeGreaterThanOrEqual(0.15 - short);
        expect(far(p, round[i] as Point2)).toBeLessThan(0.35);
      });
      // The corners of the longer chords are corners of the curve's own inset, which the chords' ends lie on.
      const apothem = 9 * Math.cos(Math.PI / 2 / count) - INSET;
      for (const p of round) expect(far(p, at(20, 0))).toBeCloseTo(apothem / Math.cos(Math.PI / 2 / count), 5);
      // None so long that another would have fitted in: a run is parted into as many as there is room for, all much alike.
      const size = (2 * Math.PI * apothem) / 2 / Math.floor((Math.PI * apothem) / 0.15);
      round.slice(1).forEach((p, i) => {
        if (count > 120) expect(far(p, round[i] as Point2)).toBeLessThan(size + (Math.PI * apothem) / count + 1e-6);
      });
      expect([at(20, -9), at(20, 9)].map((p) => toRegion(region, at(p.x, p.y)))).toEqual([
        expect.closeTo(INSET, 3),
        expect.closeTo(INSET, 3),
      ]);
      const over = region.sides.flatMap((side) => region.corners.map((p) => side.nx * p.x + side.ny * p.y - side.d));
      expect(Math.max(...over)).toBeLessThan(1e-6);
      expect(region.sides).toHaveLength(region.corners.length);
    },
  );
});

describe('which way an outline turns', () => {
  it('finds the first corner that points inwards, and none where every turn is to the left', () => {
    expect(isConvex(sharp(40, 30, 34))).toBe(true);
    expect(isConvex(pocket({ length: 40, width: 30, cornerRadius: 5 }))).toBe(true);
    const bump = [at(0, -14), at(14, -14), at(19, -5), at(25, -14), at(36, -14), at(36, 14), at(0, 14)];
    expect(inwardCorner(drawn(bump))).toEqual(at(19, -5));
    // A hair inwards counts, a hair of rounding does not.
    expect(inwardCorner(drawn([at(0, -14), at(20, -13.9999), at(40, -14), at(40, 14), at(0, 14)]))).toEqual(at(20, -13.9999));
    expect(isConvex(drawn([at(0, -14), at(20, -14.000000001), at(40, -14), at(40, 14), at(0, 14)]))).toBe(true);
    expect(isConvex(drawn([at(0, -14), at(20, -14), at(40, -14), at(40, 14), at(0, 14)]))).toBe(true);
  });

  it('an arc followed by a wall that leaves it inwards points inwards at the arc’s end', () => {
    const arc = { kind: 'arc', centre: at(30, 0), radius: 10, start: -Math.PI / 2, sweep: Math.PI / 3 } as const;
    const end = at(30 + 5 * Math.sqrt(3), -5);
    const pieces: Outline['pieces'] = [
      { kind: 'line', from: at(0, -10), to: at(30, -10) },
      arc,
      { kind: 'line', from: end, to: at(45, -5) },
      { kind: 'line', from: at(45, -5), to: at(45, 10) },
      { kind: 'line', from: at(45, 10), to: at(0, 10) },
      { kind: 'line', from: at(0, 10), to: at(0, -10) },
    ];
    const found = inwardCorner({ pieces, length: 45, mouthHalf: 10, rearHalf: 10 });
    expect(found?.x).toBeCloseTo(end.x, 9);
    expect(found?.y).toBeCloseTo(-5, 9);
  });

  it('six pieces may be measured, seven are drawn', () => {
    expect(isDrawn(pocket({ length: 40, width: 30, cornerRadius: 5 }))).toBe(false);
    expect(isDrawn(drawn([at(0, -9), at(9, -9), at(19, -8), at(20, 0), at(19, 8), at(9, 9), at(0, 9)]))).toBe(true);
  });
});

describe('rounding a place inwards', () => {
  const tapered = regionOf(sharp(40, 34, 30));
  const bent = regionOf(drawn([at(0, -14), at(14, -14), at(19, -5), at(25, -14), at(36, -14), at(33, 1), at(36, 12), at(0, 14)]));

  it.each([
    ['convex', tapered],
    ['bent', bent],
  ])('gives the nearest place of the grid that is inside: %s', (_name, region) => {
    const holds = (p: Point2): boolean =>
      region.convex ? region.sides.every((s) => s.nx * p.x + s.ny * p.y <= s.d + 1e-9) : isInside(region.corners, p);
    region.corners.forEach((a, i) => {
      const b = region.corners[(i + 1) % region.corners.length] as Point2;
      for (const t of [0, 0.2137, 0.5003, 0.79]) {
        const p = at(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
        const q = gridInside(region, MM, p);
        for (const value of [q.x, q.y]) expect(Math.abs(value * 1000 - Math.round(value * 1000))).toBeLessThan(1e-6);
        expect(holds(q)).toBe(true);
        let nearest = Number.POSITIVE_INFINITY;
        for (let k = -4; k <= 4; k++)
          for (let n = -4; n <= 4; n++) {
            const near = at((Math.round(p.x * 1000) + k) / 1000, (Math.round(p.y * 1000) + n) / 1000);
            if (holds(near)) nearest = Math.min(nearest, far(near, p));
          }
        expect(far(q, p)).toBeLessThanOrEqual(nearest + 1e-9);
      }
    });
    expect(gridInside(region, MM, at(10.00049, -2.0002))).toEqual(at(expect.closeTo(10, 9), expect.closeTo(-2, 9)));
  });

  it('in a corner too sharp for the grid it goes towards the middle until there is one', () => {
    // Sides that meet at 1 in 100: for 0.1 mm before the tip no place of the grid lies between them.
    const corners = [at(-7, -1.0005), at(93.05, 0.0005), at(-7, 1.0005)];
    const sides = corners.map((a, i) => {
      const b = corners[(i + 1) % 3] as Point2;
      const size = far(a, b);
      const [nx, ny] = [(b.y - a.y) / size, -(b.x - a.x) / size];
      return { nx, ny, d: nx * a.x + ny * a.y };
    });
    const region: AxisRegion = { ...tapered, corners, sides, least: at(-7, -1.0005), most: at(93.05, 1.0005) };
    const q = gridInside(region, gridOf('in'), at(93.05, 0.0005));
    expect(sides.every((s) => s.nx * q.x + s.ny * q.y <= s.d + 1e-9)).toBe(true);
    expect(q.x).toBeGreaterThan(92);
  });

  it('the two ways along the walls of a bent pocket share its ring half and half', () => {
    const [one, two] = bentWallPaths(bent);
    const size = (path: readonly Point2[]): number => path.slice(1).reduce((sum, p, i) => sum + far(p, path[i] as Point2), 0);
    expect(one.at(-1)).toEqual(two.at(-1));
    for (const [path, sign] of [
      [one, -1],
      [two, 1],
    ] as const) {
      expect(path[0]?.x).toBeCloseTo(-7, 5);
      expect(Math.sign(path[0]?.y ?? 0)).toBe(sign);
    }
    const ring = bent.corners.reduce((sum, p, i) => sum + far(p, bent.corners.at(i - 1) as Point2), 0);
    const front = far(one[0] as Point2, two[0] as Point2);
    expect(size(one) + size(two)).toBeCloseTo(ring - front, 9);
    const longest = Math.max(...bent.corners.map((p, i) => far(p, bent.corners.at(i - 1) as Point2)));
    expect(size(one)).toBeGreaterThanOrEqual((ring - front) / 2 - 1e-9);
    expect(size(one)).toBeLessThan((ring - front) / 2 + longest);
    expect(farthestAt(bent, 0)).toBeCloseTo(chordsAcross(bent.corners, 0).at(-1)?.to as number, 12);
    expect(farthestAt(bent, 99)).toBe(bent.most.x);
    expect(toRegion(bent, at(60, 0))).toBeCloseTo(toRing(bent.corners, at(60, 0)), 12);
    expect(toRegion(bent, at(5, 0))).toBe(0);
  });
});
