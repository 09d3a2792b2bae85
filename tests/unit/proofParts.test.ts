import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { readyTask } from '../../src/program/ready.ts';
import type { ReadyTask } from '../../src/program/task.ts';
import { comesWithin, lowestWithin, overPlaneWithin, swathOf } from '../../src/proof/cover.ts';
import { outsideDialect } from '../../src/proof/dialect.ts';
import { finishRule } from '../../src/proof/finish.ts';
import { asClamped, asSeen, overBody } from '../../src/proof/frame.ts';
import { compareWithLibrary } from '../../src/proof/libraryReader.ts';
import { readLine } from '../../src/proof/lineReader.ts';
import { loadOf } from '../../src/proof/load.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { cuspOf, floorAt, lowestFaceAt, settingOf, woodAt } from '../../src/proof/setting.ts';
import { steepRun } from '../../src/proof/steepRun.ts';
import { type Move, readStrictly, type Step } from '../../src/proof/strictReader.ts';
import { depthInside, distanceToWalls, leastDistance, leastDistances, type Walls, wallsOf } from '../../src/proof/walls.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const at = (x: number, y: number): Point2 => ({ x, y });
const point = ([x, y, z]: readonly [number, number, number]): Point3 => ({ x, y, z });

type Place = readonly [number, number, number];

function moveOf(from: Place, to: Place, more: Partial<Move> = {}): Move {
  return { kind: 'move', line: 1, rapid: false, from: point(from), to: point(to), feed: 1200, axes: 'XYZ', ...more };
}

/** Invented moves of a cutter: falling, rising, slantwise, standing still. */
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
    expect([none.polygon, none.spans, none.convex]).toEqual([[], [], true]);
  });
});

describe('the body as it lies, worked out twice: by the proof and by the writer, which share nothing', () => {
  const base = taskOf({ gx: -0.011, gy: 0.004, skim: 0.1, outline: pocket({ width: 36, widthAtMouth: 38, cornerRadius: 4 }) });
  const long = { ...base, shop: shopOf({ cutter: { length: 34 } }) };

  it.each([
    [{ x: 0.012, y: 0.007, height: 0.6 }, 'right'],
    [{ x: -0.015, y: 0.004, height: -0.2 }, 'left'],
    [{ x: 0.003, y: -0.018, height: 0 }, 'right'],
  ] as const)('planes, top, free space and walls: %o, %s', (tilt, hand) => {
    const given = { ...long, hand };
    const task = { ...given, mounted: mountedOf(given, tilt) };
    const ready = readyTask(task);
    if (!ready.ok) throw new Error(JSON.stringify(ready.findings));
    const writer: ReadyTask = ready.value;
    const proof = asClamped({ ...task, clearBefore: 25 });
    for (const [x, y] of [
      [0, 0],
      [41, -18],
      [-20, 15],
    ] as const) {
      expect(depthAt(proof.plane, x, y)).toBeCloseTo(depthAt(writer.plane, x, y), 9);
      expect(depthAt(proof.wood, x, y)).toBeCloseTo(depthAt(writer.found, x, y), 9);
      expect(-depthAt(proof.wood, x, y)).toBeCloseTo(tilt.height + tilt.x * x + tilt.y * y, 2);
    }
    expect(proof.clearBefore).toBeCloseTo(writer.clearBefore, 9);
    expect(proof.pocketDepth).toBeLessThanOrEqual(writer.top + 1e-9);
    expect(proof.pocketDepth).toBeGreaterThan(writer.top - 0.02);
    expect(proof.deepest).toBeCloseTo(-writer.lowest, 3);
    // The writer keeps a thousandth more off, and its chords are another's.
    const walls = wallsOf(proof.outline, 30);
    const own = wallsOf(writer.outline, 30);
    let compared = 0;
    for (let x = -8; x < 41; x += 3.1)
      for (let y = -17; y < 18; y += 2.9) {
        const [a, b] = [depthInside(walls, at(x, y)), depthInside(own, at(x, y))];
        if (a < 0.5) continue;
        compared += 1;
        expect(Math.abs(a - b - 0.001)).toBeLessThan(0.0025);
      }
    expect(compared).toBeGreaterThan(100);
    expect(proof.outline.length).toBeCloseTo(writer.outline.length, 2);
    expect(proof.outline.mouthHalf).toBeCloseTo(writer.outline.mouthHalf, 2);
    expect(proof.outline.rearHalf).toBeCloseTo(writer.outline.rearHalf, 2);
    expect(writer.deepest).toBeGreaterThan(task.deepest * 0.999);
    expect(writer.deepest).toBeLessThan(task.deepest * 1.01);
    const seen = asSeen(task);
    expect(depthAt(seen.plane, 9, 4)).toBeCloseTo(depthAt(proof.plane, 9, 4), 12);
    expect(depthAt(seen.wood, 9, 4)).toBeCloseTo(depthAt(proof.wood, 9, 4), 12);
    // The floor's edge itself, seen from above: shorter by the cosines of its slopes, not narrowed to an upright cutter's room.
    expect(seen.outline.length).toBeCloseTo(41.3 * Math.sqrt(1 - tilt.x ** 2), 2);
    expect(seen.outline.mouthHalf).toBeCloseTo(19 * Math.sqrt(1 - tilt.y ** 2), 9);
    const up = Math.sqrt(1 - tilt.x ** 2 - tilt.y ** 2);
    expect(seen.pocketDepth).toBeCloseTo(17.4 / up, 3);
    expect(seen.outline.rearHalf).toBeCloseTo(19, 1);
  });

  it('a level body is left as it is', () => {
    const work = workOf();
    expect(asClamped(work)).toEqual({ ...work, wood: { hinge: { x: 0, y: 0 }, skim: 0, gx: 0, gy: 0 } });
    const { plane, outline, pocketDepth, wood } = asSeen(work);
    expect([plane, outline, pocketDepth]).toEqual([work.plane, work.outline, 17.4]);
    expect(wood.skim).toBe(0);
  });

  it('moves on the table are turned back over the body, clockwise', () => {
    const moves = [moveOf([1, 2, 3], [-4, 5, 6])];
    const turned = (turn: 0 | 90 | 180 | 270) => overBody(moves, turn).map(({ from, to }) => [from, to]);
    expect(overBody(moves, 0)).toBe(moves);
    expect(turned(90)).toEqual([[point([2, -1, 3]), point([5, 4, 6])]]);
    expect(turned(180)).toEqual([[point([-1, -2, 3]), point([4, -5, 6])]]);
    expect(turned(270)).toEqual([[point([-2, 1, 3]), point([-5, -4, 6])]]);
  });
});

describe('what the rules are judged against', () => {
  const settingFor = (change: Partial<typeof CASE>, passWidth = 2.4) => {
    const work = workOf({ ...CASE, ...change, passWidth });
    return settingOf(work, 6, { roundingStep: 0.001, lastLine: 9 });
  };

  it('by hand', () => {
    const setting = settingFor({ pitch: 1 });
    const g = Math.tan(Math.PI / 180);
    expect(setting).toMatchObject({ radius: 3, top: 17.4, clear: 25.4, clearBefore: 25, step: 0.001, lastLine: 9 });
    expect(setting.lean).toBeCloseTo(g, 12);
    expect(floorAt(setting, 12, 5)).toBeCloseTo(-60 * g, 12);
    expect(woodAt(setting, 12, 5)).toBe(-0);
    expect(lowestFaceAt(setting, 12, 5)).toBeCloseTo(-57 * g, 12);
  });

  it('the ridge between lanes: none on a level floor, the formula, and a hundredth at most', () => {
    const g = Math.tan((0.5 * Math.PI) / 180);
    expect(cuspOf(settingFor({ pitch: 0 }))).toBe(0);
    expect(cuspOf(settingFor({}))).toBeCloseTo(g * (3 - Math.sqrt(9 - 1.44)), 12);
    expect(cuspOf(settingFor({ pitch: 3 }, 3))).toBe(0.01);
    expect(cuspOf(settingFor({ pitch: 0, roll: 0.5 }))).toBe(0.01);
    expect(cuspOf(settingFor({}, 6.1))).toBe(0.01);
    // Half a degree both ways: the slope stands at 45 degrees to the lanes.
    expect(cuspOf(settingFor({ roll: 0.5 }, 1))).toBeCloseTo(g * Math.SQRT2 * (3 - Math.sqrt(9 - 0.5)), 12);
  });
});

describe('a fall cut into short moves', () => {
  const fall = (dx: number, dz: number) => moveOf([0, 0, 0], [dx, 0, -dz]);

  it('adds up over a stretch, and level or rising moves take back from it', () => {
    const run = steepRun(0.1, 0.001);
    expect(run.idle()).toBe(true);
    // Each falls a thousandth more than 1 in 10 allows: the second is one too many.
    expect(run.add(fall(0.1, 0.011), true)).toBe(false);
    expect(run.idle()).toBe(false);
    expect(run.add(fall(0.1, 0.011), true)).toBe(true);
    // A level move of 0.02 mm takes both back.
    expect(run.add(fall(0.03, 0), true)).toBe(false);
    expect(run.idle()).toBe(true);
    expect(run.add(fall(0.1, 0.011), true)).toBe(false);
    // A fall that does not count has a way all the same.
    expect(run.add(fall(0.02, 0.5), false)).toBe(false);
    expect(run.idle()).toBe(true);
    expect(run.add(fall(0, Number.NaN), true)).toBe(false);
    expect(run.idle()).toBe(true);
  });

  it('one rounding step, and that of x and y, is nothing', () => {
    expect(steepRun(0.1, 0.001).add(fall(0.1, 0.0111), true)).toBe(false);
    expect(steepRun(0.1, 0.001).add(fall(0.1, 0.01111), true)).toBe(true);
  });
});

describe('wood taken, against the same lattice walked point by point', () => {
  const small = { ...CASE, length: 12.1, width: 9.3, widthAtMouth: 9.3, cornerRadius: 2, diameter: 3, pitch: 0.8, roll: 0.3 };
  const work = workOf(small);
  const setting = settingOf(work, 3, { roundingStep: 0.001, lastLine: 1 });
  const walls = wallsOf(work.outline, 31);
  const [nx, ny] = [Math.ceil(12.1 / 0.25), Math.ceil(9.3 / 0.25)];
  const points = Array.from({ length: nx * ny }, (_, k) =>
    at(((k % nx) + 0.5) * (12.1 / nx), -4.65 + (Math.floor(k / nx) + 0.5) * (9.3 / ny)),
  );
  /** Distance inside the walls of a box with two rounded corners. */
  const inside = ({ x, y }: Point2): number => {
    const [cx, cy] = [x - 10.1, Math.abs(y) - 2.65];
    return cx > 0 && cy > 0 ? 2 - Math.hypot(cx, cy) : Math.min(12.1 - x, 4.65 - Math.abs(y));
  };
  const least = ({ from, to }: Move, p: Point2): number => {
    const [dx, dy, dz] = [to.x - from.x, to.y - from.y, to.z - from.z];
    const [fx, fy] = [from.x - p.x, from.y - p.y];
    const [a, b, c] = [dx * dx + dy * dy, fx * dx + fy * dy, fx * fx + fy * fy - 2.25];
    if (a === 0) return c <= 0 ? Math.min(from.z, to.z) : Number.POSITIVE_INFINITY;
    if (b * b < a * c) return Number.POSITIVE_INFINITY;
    const root = Math.sqrt(b * b - a * c);
    const [t0, t1] = [Math.max(0, (-b - root) / a), Math.min(1, (-b + root) / a)];
    return t0 > t1 ? Number.POSITIVE_INFINITY : from.z + Math.min(t0 * dz, t1 * dz);
  };
  const random = uniformDraws(41);
  const place = (): Place => [-3 + 14 * random(), -4 + 8 * random(), -0.35 * random()];
  const paths = Array.from({ length: 12 }, () => {
    const stops = Array.from({ length: 14 }, place);
    // One stop in four is gone down to and not across.
    for (let i = 3; i < 14; i += 4) stops[i] = [...(stops[i - 1] as Place).slice(0, 2), -0.3 * random()] as unknown as Place;
    return stops.slice(1).map((to, i) => moveOf(stops[i] as Place, to, { line: i + 1 }));
  });

  it('largest bite, faults, volume and how often the most cut point is cut, for moves at random', () => {
    const most = setting.shop.pass.depth;
    const counts = Math.min(0.5 * most, Math.max(0.1 * most, 1.05 * 1.5 * setting.lean));
    const far = Math.min(3, 0.9 * 4.65, 12.1 / 2);
    for (const moves of paths) {
      const heights = points.map((p) => (inside(p) >= 0 ? 0 : Number.NaN));
      const times = points.map(() => 0);
      let largest = 0;
      const bites: number[] = [];
      for (const move of moves) {
        let bite = 0;
        points.forEach((p, k) => {
          const taken = (heights[k] as number) - least(move, p);
          if (!(taken > 0)) return;
          heights[k] = least(move, p);
          bite = Math.max(bite, taken);
          if (taken > counts) times[k] = (times[k] as number) + 1;
        });
        if (bite > most + 0.001 + 1e-6) bites.push(move.line);
        largest = Math.max(largest, bite);
      }
      const found = removalRules(moves, setting, walls);
      expect(found.largestBite).toBeCloseTo(largest, 12);
      expect(found.faults.filter(({ rule }) => rule === 'bite').map(({ line }) => line)).toEqual(bites);
      expect(found.passes).toBe(Math.max(...times.filter((_, k) => inside(points[k] as Point2) >= far)));
      const volume = heights.reduce((sum, z) => (Number.isNaN(z) ? sum : sum - z), 0) * (12.1 / nx) * (9.3 / ny);
      expect(found.volume).toBeCloseTo(volume, 9);
    }
  });

  it('after another program: its moves are gone, the rest stands as much higher as both zeros may differ, and no higher than before', () => {
    for (const [first, moves] of [
      [paths[0], paths[1]],
      [paths[2], paths[3]],
    ] as [Move[], Move[]][]) {
      const higher = 0.1;
      const heights = points.map((p) => {
        if (inside(p) < 0) return Number.NaN;
        const left = Math.min(0, ...first.map((move) => least(move, p)));
        return Math.min(0, left + higher);
      });
      let largest = 0;
      for (const move of moves)
        points.forEach((p, k) => {
          const z = least(move, p);
          if ((heights[k] as number) <= z) return;
          largest = Math.max(largest, (heights[k] as number) - z || 0);
          heights[k] = Math.min(heights[k] as number, z);
        });
      expect(removalRules(moves, setting, walls, { setting, moves: first, higher }).largestBite).toBeCloseTo(largest, 12);
    }
  });
});

describe('wood left standing', () => {
  const small = { ...CASE, length: 12, width: 9, widthAtMouth: 9, cornerRadius: 0, diameter: 3, pitch: 0 };
  const work = { ...workOf(small), plane: { hinge: { x: 12, y: 0 }, skim: 0.3, gx: 0, gy: 0 }, deepest: 0.3 };
  const setting = settingOf(work, 3, { roundingStep: 0.001, lastLine: 77 });
  const walls = wallsOf(work.outline, 31);
  /** The cutter put down everywhere the axis may be, half a millimetre apart, but where it would touch the spot. */
  const around = (spot: Point2 | undefined): Move[] => {
    const moves: Move[] = [];
    for (let i = 0; i <= 30; i++)
      for (let j = 0; j <= 12; j++) {
        const [x, y] = [Math.min(10.35, -4.65 + 0.5 * i), -2.85 + 0.475 * j];
        if (spot === undefined || Math.hypot(x - spot.x, y - spot.y) > 1.5) moves.push(moveOf([x, y, 0.1], [x, y, -0.3]));
      }
    return moves;
  };

  it('is found wherever it is, and told at its place', () => {
    expect(finishRule(around(undefined), setting, walls).faults).toEqual([]);
    const random = uniformDraws(5);
    for (let k = 0; k < 16; k++) {
      const spot = at(0.2 + 8.4 * random(), -1.4 + 2.8 * random());
      const found = finishRule(around(spot), setting, walls);
      expect(found.faults.map(({ rule, line }) => `${rule} ${line}`)).toEqual(['finish 77']);
      const [, x, y] = /at x (-?[\d.]+), y (-?[\d.]+) wood stays 0\.28\d* mm higher/.exec(found.faults[0]?.message ?? '') ?? [];
      expect(Math.hypot(Number(x) - spot.x, Number(y) - spot.y)).toBeLessThan(0.75);
      expect(found.leftover).toBeCloseTo(0.3, 9);
    }
  });

  it('in the strip along the walls and before the mouth nobody asks for it', () => {
    for (const spot of [at(11.9, 0), at(5, 4.4), at(5, -4.4), at(-1.6, 0)])
      expect(finishRule(around(spot), setting, walls).faults).toEqual([]);
  });
});

describe('a second reader', () => {
  const text = 'G21\nG17\nG90\nG94\nG0 Z9\nG0 X1 Y2\nM3 S9\nG1 X3 F9\nG1 Z8 Y1\nM5\nM2\n';
  const read = readStrictly(text);
  const changed = (line: number, to: Partial<Point3>, more: Partial<Move> = {}) =>
    compareWithLibrary({
      ...read,
      steps: read.steps.map((step) =>
        step.kind === 'move' && step.line === line ? { ...step, to: { ...step.to, ...to }, ...more } : step,
      ),
    }).map((fault) => `${fault.rule} ${fault.line}`);

  it('must see the same moves: each axis, and whether it is a rapid', () => {
    expect(compareWithLibrary(read)).toEqual([]);
    expect(changed(8, {})).toEqual([]);
    expect(changed(8, { x: 3.00001 })).toEqual(['words 8']);
    expect(changed(8, { y: 2.00001 })).toEqual(['words 8']);
    expect(changed(9, { z: 8.00001 })).toEqual(['words 9']);
    expect(changed(8, { x: 3 + 1e-10 })).toEqual([]);
    expect(changed(8, {}, { rapid: true })).toEqual(['words 8']);
    expect(changed(6, {}, { rapid: false })).toEqual(['words 6']);
    expect(changed(6, { z: Number.NaN })).toEqual([]);
    // A move that only one of them sees.
    const without = read.steps.filter(({ line }) => line !== 8);
    expect(compareWithLibrary({ ...read, steps: without }).map(({ line }) => line)).toEqual([8]);
    expect(compareWithLibrary({ ...read, lines: read.lines.with(8, '') }).map(({ line }) => line)).toEqual([9]);
    expect(compareWithLibrary({ ...read, lines: read.lines.with(7, 'G2 X3 I1') }).map(({ line }) => line)).toEqual([8]);
    // Nothing is read behind the end.
    expect(compareWithLibrary({ ...read, lines: [...read.lines, 'G1 X9'] })).toEqual([]);
  });
});

describe('a place that the program has not given', () => {
  it('is told by the walls, and every other rule holds its peace', () => {
    const lines = plainProgram();
    const first = lines.findIndex((line) => line.startsWith('G0 X'));
    // Nobody says where X is when the cutter goes down.
    const text = textOf(
      lines.map((line, i) => (i === first || line.startsWith('G0 X') ? line.replace(/ ?X\S+/, '').replace('G0Y', 'G0 Y') : line)),
    );
    const verdict = proveProgram(text, workOf(), 'floor');
    const down = text.split('\n').findIndex((line) => /^G1 Z-/.test(line)) + 1;
    expect(verdict.faults.find(({ rule }) => rule === 'walls')).toEqual({
      rule: 'walls',
      line: down,
      message: 'goes below the clear height at a place the program has not given',
    });
    expect(verdict.proved).toBe(false);
    const sound = proveProgram(textOf(lines), workOf(), 'floor');
    expect([sound.proved, sound.faults, sound.warnings]).toEqual([true, [], []]);
  });
});

describe('load, by hand', () => {
  const setting = settingOf(workOf(), 6, { roundingStep: 0.001, lastLine: 9 });
  const speeds = (...all: readonly number[]): Step[] => all.map((speed) => ({ kind: 'speed', line: 1, speed }));
  const taken = { largestBite: 0.3, volume: 40 };
  const cut = (feed: number | undefined, more: Partial<Move> = {}) => moveOf([0, 0, -0.1], [9, 0, -0.1], { feed, ...more });

  it('slowest and fastest of what cuts, at the fastest and slowest turning', () => {
    const moves = [
      cut(900),
      cut(1200),
      // None of these cuts: a rapid, one above the wood, a plunge, one on the spot, one without a feed.
      cut(5000, { rapid: true }),
      moveOf([0, 0, 0], [9, 0, 0.2], { feed: 6000 }),
      moveOf([0, 0, 0], [9, 0, -0.91], { feed: 100 }),
      moveOf([0, 0, 0], [0, 0, -0.3], { feed: 100 }),
      cut(undefined),
    ];
    expect(loadOf(speeds(16000, 15000), moves, setting, taken)).toEqual({
      speed: { least: 15000, most: 16000 },
      feed: { least: 900, most: 1200 },
      chip: { least: 900 / 32000, most: 1200 / 30000 },
      surface: Math.PI * 6 * 16000,
      removal: 0.3 * 6 * 1200,
      volume: 40,
    });
    // Just no plunge, and just below the wood at one end.
    const edge = loadOf(speeds(16000), [moveOf([0, 0, 0], [9, 0, -0.9], { feed: 100 })], setting, taken);
    expect(edge?.feed).toEqual({ least: 100, most: 100 });
  });

  it('is not told where nothing cuts or nobody says how fast it turns', () => {
    expect(loadOf([], [cut(900)], setting, taken)).toBeUndefined();
    expect(loadOf(speeds(0), [cut(900)], setting, taken)).toBeUndefined();
    expect(loadOf(speeds(16000), [cut(0)], setting, taken)).toBeUndefined();
    expect(loadOf(speeds(16000), [], setting, taken)).toBeUndefined();
  });
});

describe('what a line says, and why it is refused', () => {
  const why = (text: string): string => {
    const read = readLine(text);
    if (!read.ok) return read.message;
    return outsideDialect(read.words).join('; ');
  };

  it.each([
    ['G2 X1', /G2.*an arc/],
    ['G3 X1', /an arc/],
    ['G10 P1', /sets data/],
    ['G18', /another plane/],
    ['G19', /another plane/],
    ['G28', /outside the program/],
    ['G30', /outside the program/],
    ['G38.2 Z1', /probing/],
    ['G41', /radius compensation/],
    ['G42', /radius compensation/],
    ['G43', /length offset/],
    ['G43.1 Z1', /length offset/],
    ['G49', /length offset/],
    ['G53', /machine coordinates/],
    ['G55', /another zero/],
    ['G59.3', /another zero/],
    ['G61', /path mode/],
    ['G61.1', /path mode/],
    ['G64', /path mode/],
    ['G73', /canned cycle/],
    ['G81', /canned cycle/],
    ['G89', /canned cycle/],
    ['G91', /relative/],
    ['G91.1', /relative/],
    ['G92', /shifts the zero/],
    ['G92.1', /shifts the zero/],
    ['G93', /another feed mode/],
    ['G95', /another feed mode/],
    ['G98', /canned cycles/],
    ['G99', /canned cycles/],
  ] as const)('%s is named', (text, said) => {
    expect(why(text)).toMatch(said);
  });

  it.each([
    ['G5 X1', 'G5 is not in the dialect'],
    ['G0.5 X1', 'G0.5 is not in the dialect'],
    ['M6', 'M6 is not in the dialect: a tool change'],
    ['M8', 'M8 is not in the dialect: coolant'],
    ['T1', 'T is not in the dialect: chooses a tool'],
    ['E1', 'E is not in the dialect'],
    ['A1', 'A is not in the dialect: a fourth axis'],
    ['G0 G1 X1', 'G0 and G1 stand on one line: one motion word a line'],
    ['G17 G17', 'G17 and G17 stand on one line: one plane word a line'],
    ['X1 X2 G1', 'X stands twice on one line'],
    ['M3 M5', 'M stands twice on one line'],
    ['G80 G90', 'G80 does not stand alone on its line'],
    ['X1', 'axis words on a line without G0 or G1'],
    ['G90 Z1', 'axis words on a line without G0 or G1'],
    ['G1', 'G1 without an axis word'],
    ['G0 F100', 'G0 without an axis word'],
    ['P2', 'P without G4'],
    ['G4', 'G4 without P'],
    ['G4 P-1', 'a feed, speed or time is negative'],
    ['G1 X1 F-1', 'a feed, speed or time is negative'],
    ['S-1', 'a feed, speed or time is negative'],
    ['G1 X1 G1', 'G1 and G1 stand on one line: one motion word a line'],
  ])('%s: %s', (text, said) => {
    expect(why(text)).toBe(said);
  });

  it.each([
    'G0 X1',
    'G1 X1 Y-2 Z.5 F100',
    'G80',
    'G4 P2',
    'M3 S16000',
    'G90 G1 Z1',
    'g1x1',
    '',
    'F100',
    'G1 X-0 F0',
    'M30',
    'G01 X1.',
  ])('%s is taken', (text) => {
    expect(why(text)).toBe('');
  });

  it('numbers are read as they stand, and there is no minus zero', () => {
    const values = (text: string): unknown => {
      const read = readLine(text);
      return read.ok
        ? read.words.map(({ letter, value }) => `${letter}${Object.is(value, -0) ? '-0' : value}`).join(' ')
        : read.message;
    };
    for (const text of ['G01 X-1.50 Y.25 Z-0.', 'g01x-1.50 y.25\tz-0.', 'G01(a comment)X-1.50 Y.25 Z-0. (another)'])
      expect(values(text)).toBe('G1 X-1.5 Y0.25 Z0');
    expect(values('X1.2.3')).toBe('the number after X cannot be read');
    expect(values('(a) X1-2')).toBe('the number after X cannot be read');
    expect(values('X+1')).toBe('the number after X has a plus sign');
    expect(values('X')).toBe('the number after X cannot be read');
    expect(values('X1 (a')).toBe('the comment is not closed');
    expect(values('X1 a) Y1')).toBe("')' closes no comment");
    expect(values('(a (b) c)')).toBe('a comment stands inside a comment');
    expect(values('(50%)')).toMatch(/^a comment may hold/);
    expect(values('N10 G1 X1')).toMatch(/line numbers/);
    for (const [text, said] of [
      ['%', "'%' is not"],
      ['/G1 X1', "block delete '/'"],
      ['G1 X1 ; go', "';' is not"],
      ['#1=2', "parameters ('#')"],
      ['[1]', "expressions ('[')"],
      ['&', "'&' begins no word"],
      ['G1 X1 &', "'&' begins no word"],
    ] as const)
      expect(values(text)).toContain(said);
    expect(values('G1 X1\u00b5')).toBe('the character with code 181 is outside printable ASCII');
    expect(values('G1 X1\u0007')).toBe('the character with code 7 is outside printable ASCII');
    expect(values('G1 X1\u007f')).toBe('the character with code 127 is outside printable ASCII');
    expect(values('G1 X1~')).toBe("'~' begins no word");
  });
});
