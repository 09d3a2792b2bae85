import { describe, expect, it } from 'vitest';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { finishRule } from '../../src/proof/finish.ts';
import { loadOf } from '../../src/proof/load.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { halfAcross, settingOf, woodAt } from '../../src/proof/setting.ts';
import { steepRun } from '../../src/proof/steepRun.ts';
import type { Move, Step } from '../../src/proof/strictReader.ts';
import { depthInside, wallsOf } from '../../src/proof/walls.ts';
import { CASE, workOf } from './proofProgram.ts';

const at = (x: number, y: number): Point2 => ({ x, y });

const point = ([x, y, z]: readonly [number, number, number]): Point3 => ({ x, y, z });

type Place = readonly [number, number, number];

function moveOf(from: Place, to: Place, more: Partial<Move> = {}): Move {
  return { kind: 'move', line: 1, rapid: false, from: point(from), to: point(to), feed: 1200, axes: 'XYZ', ...more };
}

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

  it('over a body that leans, after another program, the same: the wood as found is a plane of its own', () => {
    const mounted = { mouthBass: 0.1, mouthTreble: 0.24, rearBass: 0.3, rearTreble: 0.44 };
    const leaning = settingOf({ ...work, mounted }, 3, { roundingStep: 0.001, lastLine: 1 });
    const room = wallsOf(leaning.outline, 31);
    const half = halfAcross(leaning.outline);
    const [mx, my] = [Math.ceil(leaning.outline.length / 0.25), Math.ceil((2 * half) / 0.25)];
    const net = Array.from({ length: mx * my }, (_, k) =>
      at(((k % mx) + 0.5) * (leaning.outline.length / mx), -half + ((Math.floor(k / mx) + 0.5) * 2 * half) / my),
    ).filter((p) => depthInside(room, p) >= 0);
    expect(net.length).toBeGreaterThan(1000);
    const up = (moves: readonly Move[]): Move[] =>
      moves.map((move) => ({ ...move, from: { ...move.from, z: move.from.z + 0.3 }, to: { ...move.to, z: move.to.z + 0.3 } }));
    for (const [before, after] of [
      [paths[4], paths[5]],
      [paths[6], paths[7]],
    ] as [Move[], Move[]][]) {
      const [first, moves] = [up(before), up(after)];
      const stood = net.map((p) => woodAt(leaning, p.x, p.y));
      const alone = removalRules(first, leaning, room);
      const left = net.map((p, k) => Math.min(stood[k] as number, ...first.map((move) => least(move, p))));
      const cell = (leaning.outline.length / mx) * ((2 * half) / my);
      expect(alone.volume).toBeCloseTo(left.reduce((sum, z, k) => sum + (stood[k] as number) - z, 0) * cell, 9);
      const heights = left.map((z, k) => Math.min(stood[k] as number, z + 0.1));
      let largest = 0;
      for (const move of moves)
        net.forEach((p, k) => {
          const z = least(move, p);
          if ((heights[k] as number) <= z) return;
          largest = Math.max(largest, (heights[k] as number) - z);
          heights[k] = z;
        });
      const second = removalRules(moves, leaning, room, { setting: leaning, moves: first, higher: 0.1 });
      expect(second.largestBite).toBeCloseTo(largest, 12);
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
      const [, x, y] =
        /at x (-?[\d.]+) mm \(.+?\), y (-?[\d.]+) mm \(.+?\) wood stays 0\.28\d* mm \(0\.01\d+ in\) higher/.exec(
          found.faults[0]?.message ?? '',
        ) ?? [];
      expect(Math.hypot(Number(x) - spot.x, Number(y) - spot.y)).toBeLessThan(0.75);
      expect(found.leftover).toBeCloseTo(0.3, 9);
    }
  });

  it('in the strip along the walls and before the mouth nobody asks for it', () => {
    for (const spot of [at(11.9, 0), at(5, 4.4), at(5, -4.4), at(-1.6, 0)])
      expect(finishRule(around(spot), setting, walls).faults).toEqual([]);
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
