import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { comesWithin, lowestWithin, overPlaneWithin, swathOf } from '../../src/proof/cover.ts';
import type { Move } from '../../src/proof/strictReader.ts';
import { depthInside, distanceToWalls, leastDistance, leastDistances, type Walls, wallsOf } from '../../src/proof/walls.ts';
import { pocket } from './programTasks.ts';

const at = (x: number, y: number): Point2 => ({ x, y });

const point = ([x, y, z]: readonly [number, number, number]): Point3 => ({ x, y, z });

type Place = readonly [number, number, number];

function moveOf(from: Place, to: Place, more: Partial<Move> = {}): Move {
  return { kind: 'move', line: 1, rapid: false, from: point(from), to: point(to), feed: 1200, axes: 'XYZ', ...more };
}

const MOVES = [
  moveOf([0, 0, -0.1], [10, 0, -0.6]),
  moveOf([8, 3, -0.6], [-2, -1, -0.2]),
  moveOf([1, -6, -0.3], [1, 7, -0.3]),
  moveOf([4, 4, -0.2], [4, 4, -0.9]),
  moveOf([2, 2, -0.4], [2.3, 2.1, -0.5]),
];

describe('how low a move cuts, against a walk along it', () => {
  const RADIUS = 3;
  const walked = ({ from, to }: Move, x: number, y: number, reach: number): number => {
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k <= 800; k++) {
      const t = k / 800;
      if (Math.hypot(from.x + t * (to.x - from.x) - x, from.y + t * (to.y - from.y) - y) <= reach)
        least = Math.min(least, from.z + t * (to.z - from.z));
    }
    return least;
  };

  it.each(MOVES.map((move, i) => [i, move] as const))('at places near and far: move %i', (_i, move) => {
    const swath = swathOf(move, RADIUS);
    const slope = swath.length > 0 ? Math.abs(move.to.z - move.from.z) / swath.length : 0;
    let reached = 0;
    const wrong: string[] = [];
    for (let x = -5.3; x < 14; x += 0.97)
      for (let y = -10.1; y < 11; y += 1.13)
        for (const reach of [RADIUS, 1.7, 0]) {
          const exact = lowestWithin(swath, x, y, reach);
          const seen = walked(move, x, y, reach);
          // A walk in short steps stops short of the rim by up to a step, and just at the rim may miss it.
          if (exact > seen + 1e-12) wrong.push(`too high at ${x} ${y}`);
          if (Number.isFinite(exact) !== comesWithin(swath, x, y, reach)) wrong.push(`reach at ${x} ${y}`);
          if (!Number.isFinite(walked(move, x, y, reach - 0.02))) continue;
          reached += 1;
          if (exact < Math.max(walked(move, x, y, reach + 0.02), seen - slope * 0.02) - 1e-12) wrong.push(`too low at ${x} ${y}`);
        }
    expect(wrong).toEqual([]);
    expect(reached).toBeGreaterThan(10);
    expect(lowestWithin(swath, move.from.x, move.from.y, -0.1)).toBe(Number.POSITIVE_INFINITY);
  });

  it('over a plane, anywhere in a square: no point of it stands higher', () => {
    const plane = { gx: -0.04, gy: 0.01 };
    const z = (x: number, y: number): number => -1 - plane.gx * x - plane.gy * y;
    let bounded = 0;
    for (const move of MOVES) {
      const swath = swathOf(move, RADIUS);
      for (let x = -3; x < 12; x += 0.83)
        for (let y = -6; y < 8; y += 0.91)
          for (const side of [0.8, 0.1]) {
            const bound = overPlaneWithin(swath, x, y, side, z(x, y), -plane.gx, -plane.gy);
            if (!Number.isFinite(bound)) continue;
            bounded += 1;
            let most = Number.NEGATIVE_INFINITY;
            for (const i of [-0.5, 0, 0.5])
              for (const j of [-0.5, 0, 0.5]) {
                const [px, py] = [x + i * side, y + j * side];
                most = Math.max(most, lowestWithin(swath, px, py, RADIUS) - z(px, py));
              }
            expect(bound).toBeGreaterThanOrEqual(most - 1e-12);
          }
    }
    expect(bounded).toBeGreaterThan(300);
  });

  it('by hand: a move that follows the plane leaves the same everywhere in the square', () => {
    const along = swathOf(moveOf([0, 0, -0.1], [10, 0, -1.1]), RADIUS);
    // Square 1 mm wide: 0.5 mm to each side, so the axis serves from 5 + sqrt(9 - 0.25) back, and no nearer the end than 0.5.
    const half = Math.sqrt(8.75);
    expect(overPlaneWithin(along, 5, 0, 1, -1, -0.1, 0)).toBeCloseTo(-0.1 - 0.1 * (5 + half) + 1, 12);
    expect(overPlaneWithin(along, 8, 0, 1, -1, -0.1, 0)).toBeCloseTo(-0.1 - 0.95 + 1, 12);
    // What the plane does not share of the slope counts over half the square.
    expect(overPlaneWithin(along, 5, 0, 1, -1, -0.04, 0.02)).toBeCloseTo(-0.1 - 0.1 * (5 + half) + 1 + 0.03 + 0.01, 12);
    expect(overPlaneWithin(along, 5, 2.49, 1, -1, -0.1, 0)).toBeLessThan(9);
    expect(overPlaneWithin(along, 5, 2.51, 1, -1, -0.1, 0)).toBe(Number.POSITIVE_INFINITY);
    expect(overPlaneWithin(swathOf(moveOf([0, 0, 0], [0.9, 0, 0]), RADIUS), 0.5, 0, 1, 0, 0, 0)).toBe(Number.POSITIVE_INFINITY);
    const rising = swathOf(moveOf([0, 0, -1.1], [10, 0, -0.1]), RADIUS);
    expect(overPlaneWithin(rising, 2, 0, 1, -1, 0.1, 0)).toBeCloseTo(-1.1 + 0.05 + 1, 12);
  });
});

describe('distances from walls, against places tried on them', () => {
  /** A pocket with a round bay of more than half a circle in its rear, and a square step at one side. */
  const bay = { kind: 'arc', centre: at(40, 0), radius: 9, start: -2.2, sweep: 4.4 } as const;
  const [low, high] = [-2.2, 2.2].map((t) => at(40 + 9 * Math.cos(t), 9 * Math.sin(t))) as [Point2, Point2];
  const line = (from: Point2, to: Point2) => ({ kind: 'line', from, to }) as const;
  const outline: Outline = {
    pieces: [
      line(at(0, -16), at(20, -18)),
      line(at(20, -18), at(20, -14)),
      line(at(20, -14), at(low.x, -14)),
      line(at(low.x, -14), low),
      bay,
      line(high, at(high.x, 15)),
      line(at(high.x, 15), at(0, 15)),
      line(at(0, 15), at(0, -16)),
    ],
    length: 49,
    mouthHalf: 16,
    rearHalf: 18,
  };
  const walls = wallsOf(outline, 12);
  const places: Point2[] = [];
  const add = (a: Point2, b: Point2): void => {
    const count = Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 0.01);
    for (let k = 0; k <= count; k++) places.push(at(a.x + ((b.x - a.x) * k) / count, a.y + ((b.y - a.y) * k) / count));
  };
  const before = 12 / Math.hypot(20, 2);
  add(at(-20 * before, -16 + 2 * before), at(0, -16));
  add(at(-12, 15), at(0, 15));
  for (const piece of outline.pieces.slice(0, -1)) if (piece.kind === 'line') add(piece.from, piece.to);
  for (let t = -2.2; t <= 2.2; t += 0.001) places.push(at(40 + 9 * Math.cos(t), 9 * Math.sin(t)));
  const tried = (x: number, y: number): number => {
    let square = Number.POSITIVE_INFINITY;
    for (const p of places) square = Math.min(square, (p.x - x) ** 2 + (p.y - y) ** 2);
    return Math.sqrt(square);
  };
  const isInside = (x: number, y: number): boolean => {
    if (Math.hypot(x - 40, y) < 9 && x > low.x) return true;
    const right = y < -14 ? 20 : low.x;
    return x > -12 && x < right && y < 15 && y > (x < 20 ? -16 - x / 10 : -14);
  };

  it('of a place, inside and outside', () => {
    expect(walls.convex).toBe(false);
    for (let x = -9.5; x < 52; x += 2.3)
      for (let y = -19.3; y < 19; y += 2.1) {
        const exact = distanceToWalls(walls, x, y);
        const seen = tried(x, y);
        expect(exact, `${x} ${y}`).toBeLessThanOrEqual(seen + 1e-9);
        expect(exact, `${x} ${y}`).toBeGreaterThan(seen - 0.006);
        expect(depthInside(walls, at(x, y)), `${x} ${y}`).toBe(isInside(x, y) ? exact : -exact);
      }
  });

  it('of a whole way: never more than at any place on it, and met at one of them or at a wall', () => {
    const ends = [at(-8, -10), at(15, -16), at(18, 12), at(30, -12), at(44, 5), at(40, -7), at(33, 0), at(10, 0)];
    const steps = leastDistances(walls);
    for (const a of ends)
      for (const b of ends) {
        let least = Number.POSITIVE_INFINITY;
        for (let k = 0; k <= 400; k++)
          least = Math.min(least, depthInside(walls, at(a.x + ((b.x - a.x) * k) / 400, a.y + ((b.y - a.y) * k) / 400)));
        const exact = leastDistance(walls, a, b);
        expect(steps(a, b)).toBe(exact);
        // Where the way leaves the walls it is enough that this is not positive.
        if (least <= 0) expect(exact).toBeLessThanOrEqual(0.1);
        else {
          expect(exact).toBeLessThanOrEqual(least + 1e-9);
          expect(exact).toBeGreaterThan(least - 0.05);
        }
        if (least < -0.1) expect(exact).toBeLessThanOrEqual(0);
      }
  });

  const drawnOf = (corners: readonly Point2[]): Outline => ({
    pieces: corners.map((from, i) => line(from, corners[(i + 1) % corners.length] as Point2)),
    length: 30,
    mouthHalf: 10,
    rearHalf: 50,
  });

  it('a wall that begins or ends as an arc is carried on along its tangent', () => {
    const round = { kind: 'arc', centre: at(2, 0), radius: 10, start: -Math.PI / 2, sweep: Math.PI } as const;
    const half: Outline = { pieces: [round, line(at(2, 10), at(2, -10))], length: 12, mouthHalf: 10, rearHalf: 10 };
    const { lines, arcs, polygon } = wallsOf(half, 6);
    const near = ({ x, y }: Point2) => ({ x: expect.closeTo(x, 9), y: expect.closeTo(y, 9) });
    expect(lines).toEqual([
      { kind: 'line', from: near(at(-4, -10)), to: near(at(2, -10)) },
      { kind: 'line', from: near(at(2, 10)), to: near(at(-4, 10)) },
    ]);
    expect(arcs).toEqual([round]);
    expect([polygon[0], polygon.at(-1)]).toEqual([near(at(-4, -10)), near(at(-4, 10))]);
    // On a slant: a quarter of a circle from -45 degrees on begins along (1, 1).
    const slanted = { ...round, start: -Math.PI / 4, sweep: Math.PI / 2 };
    const pieces = [slanted, line(at(2 + 5 * Math.SQRT2, 5 * Math.SQRT2), at(2 + 5 * Math.SQRT2, -5 * Math.SQRT2))];
    const carried = wallsOf({ ...half, pieces }, 4 * Math.SQRT2).lines;
    expect(carried[0]?.from).toEqual(near(at(2 + 5 * Math.SQRT2 - 4, -5 * Math.SQRT2 - 4)));
    expect(carried.at(-1)?.to).toEqual(near(at(2 + 5 * Math.SQRT2 - 4, 5 * Math.SQRT2 + 4)));
    // Straight walls likewise, by as much of their own length: 3 and 4 in 5.
    const tapered = drawnOf([at(0, -10), at(30, -50), at(30, 50), at(0, 10)]);
    const [low, high] = [wallsOf(tapered, 10).lines[0], wallsOf(tapered, 10).lines.at(-1)];
    expect([low?.from, high?.to]).toEqual([near(at(-6, -2)), near(at(-6, 2))]);
  });

  it('of way after way in a convex pocket the same as of each alone', () => {
    const convex = wallsOf(pocket(), 50);
    const steps = leastDistances(convex);
    const ways = [at(-7, 3), at(20, 12), at(38, -2), at(38, -2), at(5, -17)];
    ways.slice(1).forEach((b, i) => {
      const a = ways[i] as Point2;
      expect(steps(a, b)).toBe(Math.min(depthInside(convex, a), depthInside(convex, b)));
    });
    // A way that begins elsewhere than the last one ended.
    expect(steps(at(38, 15), at(5, 0))).toBe(depthInside(convex, at(38, 15)));
    const none: Walls = wallsOf({ pieces: [], length: 1, mouthHalf: 1, rearHalf: 1 }, 9);
    const mouth = { least: Number.NEGATIVE_INFINITY, most: Number.POSITIVE_INFINITY };
    expect(none).toEqual({ mouth, lines: [], arcs: [], polygon: [], convex: true, spans: [], sectors: [] });
  });
});
