import { describe, expect, it } from 'vitest';
import type { Result } from '../../src/kernel/findings.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { bentLanes } from '../../src/program/bentLanes.ts';
import { gridOf } from '../../src/program/grid.ts';
import { cutTo, lifted, type Move, type Pass, type Plan, passAt, pathsOf, wayOf } from '../../src/program/passes.ts';
import { readyTask } from '../../src/program/ready.ts';
import { type AxisRegion, axisRegion } from '../../src/program/region.ts';
import { waysInside } from '../../src/program/ring.ts';
import { ringStaysOf } from '../../src/program/ringStays.ts';
import { staysOf } from '../../src/program/stays.ts';
import { faceAt, laneWidthOf, levelsOf, overWood, travelAt, woodAt } from '../../src/program/surface.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { planOf } from '../../src/program/write.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';

function good<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.findings));
  return result.value;
}

/** 40 x 30 mm with square corners: with a 6 mm cutter the axis has x from -7 to 36.85 and y from -11.85 to 11.85. */
const OUTLINE = pocket({ length: 40, width: 30, cornerRadius: 0 });
const planFor = (task: ProgramTask): Plan => good(planOf(good(readyTask(task))));
const at = (x: number, y: number): Point2 => ({ x, y });

/** Nine lanes 2.37 mm apart: ten times that is 23.7, and 2.4 is the most. */
const LANES = Array.from({ length: 9 }, (_, i) => Math.round((-11.85 + 2.37 * (i + 1)) * 1000) / 1000);

/** A pass as numbers, for comparing with one that is worked out. */
const figures = ({ start, moves }: Pass): unknown[] => [
  [start.x, start.y, start.z].map((value) => expect.closeTo(value, 9)),
  ...moves.map(({ x, y, z, feed }) => [expect.closeTo(x, 9), expect.closeTo(y, 9), expect.closeTo(z, 9), feed]),
];

type Line = readonly [x: number, y: number, z: number, feed: Move['feed']];

function asPass(start: readonly number[], lines: readonly Line[]): unknown[] {
  return [start, ...lines];
}

describe('the ways of a level', () => {
  it('in a square pocket: lanes from the mouth, then along both walls to the middle of the rear', () => {
    const paths = pathsOf(planFor(taskOf({ gx: -0.01, outline: OUTLINE })));
    expect(paths).toHaveLength(11);
    LANES.forEach((y, i) => {
      expect(paths[i]).toEqual([at(-7, expect.closeTo(y, 9)), at(expect.closeTo(36.85, 9), expect.closeTo(y, 9))]);
    });
    for (const [path, side] of [
      [paths[9], -1],
      [paths[10], 1],
    ] as const)
      expect(path?.map(({ x, y }) => [x, y])).toEqual([
        [-7, expect.closeTo(side * 11.85, 9)],
        [expect.closeTo(36.85, 9), expect.closeTo(side * 11.85, 9)],
        [expect.closeTo(36.85, 9), expect.closeTo(0, 9)],
      ]);
  });

  it('lanes that walls closing towards the mouth cut off are entered along the wall', () => {
    const plan = planFor(taskOf({ gx: -0.01, outline: pocket({ length: 40, width: 34, widthAtMouth: 26, cornerRadius: 0 }) }));
    // Walls 1 in 10: before the mouth they are 13 - 0.7 - 3.15 sqrt(1.01) from the middle.
    const half = 13 - 0.7 - 3.15 * Math.sqrt(1.01);
    const cutOff = pathsOf(plan)
      .slice(0, -2)
      .filter((path) => path.length === 3);
    expect(cutOff.length).toBeGreaterThan(1);
    for (const path of cutOff) {
      const [first, second, third] = path as [Point2, Point2, Point2];
      const side = Math.sign(second.y);
      expect(first).toEqual(at(-7, expect.closeTo(side * half, 9)));
      expect(second.x).toBeCloseTo(10 * (Math.abs(second.y) + 3.15 * Math.sqrt(1.01) - 13), 9);
      expect(third).toEqual(at(expect.closeTo(36.85, 9), second.y));
    }
    for (const path of pathsOf(plan).slice(0, -2)) expect(Math.abs(path[0]?.y ?? 99)).toBeLessThanOrEqual(half + 1e-9);
  });

  it('a bent region that is a rectangle has the same lanes as a square pocket', () => {
    const region = axisRegion(OUTLINE, 3.15, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    expect(bentLanes(region, 2.4)).toEqual(
      LANES.map((y) => [at(-7, expect.closeTo(y, 9)), at(expect.closeTo(36.85, 9), expect.closeTo(y, 9))]),
    );
    // Lanes exactly as far apart as they may be are not made one more.
    expect(bentLanes(region, 2.37)).toHaveLength(9);
    expect(bentLanes(region, 2.369)).toHaveLength(10);
  });

  it('where something points into the pocket each stretch is cut once, entered from before the mouth or from one beside it', () => {
    const corners = [at(0, -14), at(14, -14), at(19, -3), at(24, -14), at(36, -14), at(36, 14), at(0, 14)];
    const pieces = corners.map((from, i) => ({ kind: 'line' as const, from, to: corners[(i + 1) % 7] as Point2 }));
    const region = axisRegion({ pieces, length: 36, mouthHalf: 14, rearHalf: 14 }, 3.15, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const paths = bentLanes(region, 2.4);
    const across = region.most.y - region.least.y;
    const count = Math.ceil(across / 2.4);
    const rows = new Map<number, Point2[][]>();
    for (const path of paths) {
      const row = Math.round((((path.at(-1)?.y ?? 0) - region.least.y) / across) * count);
      rows.set(row, [...(rows.get(row) ?? []), path]);
    }
    expect([...rows.keys()].sort((a, b) => a - b)).toEqual(Array.from({ length: count - 1 }, (_, k) => k + 1));
    const parted = [...rows.values()].filter((row) => row.length === 2);
    expect(parted.length).toBeGreaterThan(2);
    // Those before the mouth come first, in order; behind the bump they begin on the row cut before, nearest first, from above.
    const inside = paths.filter((path) => (path[0]?.x ?? 0) > -6.9);
    expect(inside).toHaveLength(parted.length);
    expect(paths.slice(0, paths.length - inside.length).map((path) => path[0]?.x)).toEqual(
      Array.from({ length: count - 1 }, () => -7),
    );
    inside.forEach((path, i) => {
      const [from, to] = path as [Point2, Point2];
      expect(from.x).toBe(to.x);
      expect(from.y - to.y).toBeCloseTo(across / count, 9);
      if (i > 0) expect(from.y).toBeCloseTo(inside[i - 1]?.at(-1)?.y ?? Number.NaN, 9);
      expect(to.y).toBeCloseTo(path.at(-1)?.y ?? Number.NaN, 12);
      expect(path.length).toBeGreaterThan(2);
    });
  });
});

it('a stretch shorter than a hundredth of a millimetre is left to the ways along the walls', () => {
  const sliver = (wide: number): AxisRegion => {
    const corners = [
      at(-7, -6),
      at(30, -6),
      at(30, 0.5),
      at(30 - wide, 0.5),
      at(30 - wide, -0.5),
      at(20, -0.5),
      at(20, 6),
      at(-7, 6),
    ];
    const ways = waysInside(corners);
    return { corners, sides: [], entryX: -7, least: at(-7, -6), most: at(30, 6), convex: false, ways, apart: [] };
  };
  expect(bentLanes(sliver(0.009), 2)).toHaveLength(5);
  expect(bentLanes(sliver(0.011), 2)).toHaveLength(6);
});

it.each([1, -1])(
  'a room over another is entered where the way between them is free, and run to its nearer end first: side %d',
  (side) => {
    // The wall between them is open from x = 5 to 7 alone: neither end of what both rows share.
    const ring = [
      [-7, -6],
      [10, -6],
      [10, 0.5],
      [7, 0.5],
      [7, 1.5],
      [30, 1.5],
      [30, 6],
      [2, 6],
      [2, 1.5],
      [5, 1.5],
      [5, 0.5],
      [-7, 0.5],
    ].map(([x, y]) => at(x as number, side * (y as number)));
    const corners = side > 0 ? ring : ring.reverse();
    const ways = waysInside(corners);
    const region: AxisRegion = {
      corners,
      sides: [],
      entryX: -7,
      least: at(-7, -6),
      most: at(30, 6),
      convex: false,
      ways,
      apart: [],
    };
    const paths = bentLanes(region, 2).map((path) => path.map(({ x, y }) => [x, side * y]));
    expect(paths).toHaveLength(5);
    const close = (path: readonly (readonly number[])[]) =>
      path.map(([x, y]) => [expect.closeTo(x as number, 9), expect.closeTo(y as number, 9)]);
    for (const y of [-4, -2, 0])
      expect(paths).toContainEqual(
        close([
          [-7, y],
          [10, y],
        ]),
      );
    expect(paths).toContainEqual(
      close([
        [6, 0],
        [6, 2],
        [2, 2],
        [30, 2],
      ]),
    );
    expect(paths).toContainEqual(
      close([
        [2, 2],
        [2, 4],
        [30, 4],
      ]),
    );
  },
);

describe('a bay behind a neck', () => {
  it('is entered through the neck, the shorter part of its first lane before the longer', () => {
    const corners = [
      [0, -14],
      [40, -14],
      [40, 0],
      [36, 0],
      [36, 8],
      [40, 8],
      [40, 20],
      [4, 20],
      [4, 8],
      [26, 8],
      [26, 0],
      [0, 0],
    ].map(([x, y]) => at(x as number, y as number));
    const pieces = corners.map((from, i) => ({ kind: 'line' as const, from, to: corners[(i + 1) % 12] as Point2 }));
    const region = axisRegion({ pieces, length: 40, mouthHalf: 14, rearHalf: 20 }, 3.15, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const paths = bentLanes(region, 2.4);
    const step = (16.85 + 10.85) / 12;
    const bay = paths.filter((path) => (path.at(-1)?.y ?? 0) > 11.5);
    // The neck's last lane is above its corners at y = 8, and so begins on the circle round the one at x = 26; the bay goes from 7.15
    // to 36.85, so from there the way to its right end is the shorter.
    const first = -10.85 + 10 * step;
    const neck = 26 + Math.sqrt(3.15 ** 2 - (first - step - 8) ** 2);
    expect(bay[0]?.map(({ x, y }) => [x, y])).toEqual([
      [expect.closeTo(neck, 2), expect.closeTo(first - step, 2)],
      [expect.closeTo(neck, 2), expect.closeTo(first, 2)],
      [expect.closeTo(36.85, 2), expect.closeTo(first, 2)],
      [expect.closeTo(7.15, 2), expect.closeTo(first, 2)],
    ]);
    // The next one begins where that one ended.
    expect(bay[1]?.map(({ x }) => x)).toEqual([expect.closeTo(7.15, 2), expect.closeTo(7.15, 2), expect.closeTo(36.85, 2)]);
    expect(bay).toHaveLength(2);
  });
});

describe('two rooms behind one another, joined by a passage between two lanes', () => {
  it('the lanes of the second are entered from before the mouth by the shortest way, the first of them alone', () => {
    // 6.9 mm wide: the axis has 0.6 mm there, round y = -2.
    const corners = [
      [0, -16],
      [20, -16],
      [20, -5.45],
      [24, -5.45],
      [24, -16],
      [44, -16],
      [44, 12],
      [24, 12],
      [24, 1.45],
      [20, 1.45],
      [20, 12],
      [0, 12],
    ].map(([x, y]) => at(x as number, y as number));
    const pieces = corners.map((from, i) => ({ kind: 'line' as const, from, to: corners[(i + 1) % 12] as Point2 }));
    const region = axisRegion({ pieces, length: 44, mouthHalf: 14, rearHalf: 16 }, 3.15, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    // 21.7 mm in 11 lanes: none within 0.3 mm of the middle.
    const paths = bentLanes(region, 2);
    const step = 21.7 / 11;
    const own = paths.filter((path) => (path.at(-1)?.x ?? 0) > 26);
    expect(paths).toHaveLength(20);
    expect(own).toHaveLength(10);
    const [first, ...others] = own as [Point2[], ...Point2[][]];
    expect([first[0]?.x, first[0]?.y]).toEqual([-7, expect.closeTo(-2, 4)]);
    expect(first.length).toBeGreaterThan(3);
    expect(first.at(-2)).toEqual(at(expect.closeTo(27.15, 3), expect.closeTo(-12.85 + step, 3)));
    expect(first.at(-1)).toEqual(at(expect.closeTo(40.85, 3), expect.closeTo(-12.85 + step, 3)));
    // From there on each from the one before it, from end to end.
    others.forEach((path, i) => {
      const [from, to, ...ends] = path as [Point2, Point2, ...Point2[]];
      expect(from.x).toBe(to.x);
      expect(from.y).toBeCloseTo(-12.85 + (i + 1) * step, 3);
      for (const { y } of [to, ...ends]) expect(y).toBeCloseTo(-12.85 + (i + 2) * step, 3);
      const xs = [to, ...ends].map(({ x }) => x);
      expect(Math.abs(Math.max(...xs) - 40.85)).toBeLessThan(0.001);
      // Beside the passage a lane begins in it, on the circle round its corner.
      const beside = Math.max(0, 3.45 - Math.abs(to.y + 2));
      expect(Math.min(...xs)).toBeCloseTo(24 + Math.sqrt(3.15 ** 2 - beside ** 2), 2);
    });
  });
});

describe('one level, move by move', () => {
  it('pitched back: in over the mouth as far as there is wood, back above it, and then along the walls', () => {
    const plan = planFor(taskOf({ gx: -0.01, outline: OUTLINE }));
    const [upper, lower, ...more] = levelsOf(plan.task);
    expect(more).toEqual([]);
    expect([upper?.raise, lower?.raise]).toEqual([expect.closeTo(0.2, 12), 0]);
    // The face is 0.01 (x - 40) + raise + R g high, before x = -R as at x = -R: at the mouth -0.2 and -0.4.
    for (const [level, depth, end] of [
      [upper, 0.2, 17],
      [lower, 0.4, 36.85],
    ] as const) {
      if (level === undefined) throw new Error('no such level');
      const last = end === 17 ? 0 : -0.001;
      const lines: Line[] = [];
      [...LANES, -11.85, 11.85].forEach((y, i) => {
        const isWall = i >= 9;
        if (i > 0) lines.push([-7, y, 0.3, 'cut']);
        lines.push([-7, y, -depth, 'plunge'], [-3, y, -depth, 'cut'], [end, y, last, 'cut']);
        if (isWall && end > 17) lines.push([36.85, 0, last, 'cut'], [36.85, 0, 0.3, 'cut']);
        // The last way ends where it is lifted; the others are lifted where the wood ends.
        else lines.push([end, y, 0.3, 'cut']);
      });
      const pass = passAt(plan, level);
      if (pass === undefined) throw new Error('there is wood');
      expect(
        asPass(
          [pass.start.x, pass.start.y, pass.start.z],
          pass.moves.map(({ x, y, z, feed }) => [x, y, z, feed]),
        ),
      ).toEqual(
        figures({ start: { x: -7, y: LANES[0] as number, z: 0.3 }, moves: lines.map(([x, y, z, feed]) => ({ x, y, z, feed })) }),
      );
    }
  });

  it('pitched forward: down beside the wood a millimetre before it begins, and out to the rear', () => {
    const plan = planFor(taskOf({ gx: 0.01, outline: OUTLINE }));
    const [upper] = levelsOf(plan.task);
    if (upper === undefined) throw new Error('no level');
    // -0.01 x + 0.2 + 0.03 is 0 at x = 23; before the mouth the cutter travels over the plane carried on: 0.07 + 0.03 + 0.3.
    const lines: Line[] = [];
    for (const y of LANES) {
      lines.push(
        [22, y, 0.3, 'cut'],
        [22, y, 0.01, 'plunge'],
        [23, y, 0, 'cut'],
        [36.85, y, -0.138, 'cut'],
        [36.85, y, 0.3, 'cut'],
      );
    }
    const pass = passAt(plan, upper);
    expect(pass?.start).toEqual({ x: -7, y: LANES[0], z: expect.closeTo(0.4, 9) });
    expect(pass?.moves.slice(0, lines.length).map(({ x, y, z, feed }) => [x, y, z, feed])).toEqual(
      lines.map(([x, y, z, feed]) => [expect.closeTo(x, 9), expect.closeTo(y, 9), expect.closeTo(z, 9), feed]),
    );
  });

  it('a level that finds no wood is no pass', () => {
    const plan = planFor(taskOf({ gx: -0.01, outline: OUTLINE }));
    expect(passAt(plan, { raise: 0.5 })).toBeUndefined();
    expect(passAt(plan, { raise: 0.36 })).toBeDefined();
    // Only the lead-in, before x = -R, would be lower than the wood.
    expect(passAt(plan, { raise: 0.4 })).toBeUndefined();
  });

  it('a very short move falls no more steeply than 1 in 20.4; three rounding steps are the most that is kept back', () => {
    const plan = planFor(taskOf({ gx: -0.01, outline: OUTLINE }));
    const here = { x: 10, y: 0, z: -0.1 };
    const to = (z: number, x: number): number => cutTo(plan, () => z, here, at(x, 0)).z;
    expect(to(-0.11, 10.204)).toBeCloseTo(-0.11, 9);
    expect(to(-0.111, 10.204)).toBeCloseTo(-0.11, 9);
    expect(to(-0.113, 10.204)).toBeCloseTo(-0.11, 9);
    expect(to(-0.114, 10.204)).toBeCloseTo(-0.114, 9);
    expect(to(-0.1, 10.204)).toBeCloseTo(-0.1, 9);
    expect(cutTo(plan, () => -0.1134, undefined, at(10.204, 0)).z).toBeCloseTo(-0.113, 9);
  });
});

describe('a way as it is written down', () => {
  const plan = planFor(taskOf({ gx: -0.01, outline: OUTLINE }));

  it('leaves out what is no move at all, and nothing else', () => {
    const way = wayOf(plan);
    expect([way.here(), way.start()]).toEqual([undefined, undefined]);
    expect(lifted(plan, way)).toBeUndefined();
    way.go({ x: 1, y: 2, z: 3 });
    expect(way.moves).toEqual([]);
    way.travel(at(-7, 2));
    expect(way.start()).toEqual({ x: -7, y: 2, z: expect.closeTo(0.3, 9) });
    expect([way.here(), way.moves.length]).toEqual([way.start(), 0]);
    const here = way.here() as { x: number; y: number; z: number };
    way.go({ ...here, x: here.x + 0.0004 });
    way.go({ ...here, z: here.z - 0.0004 });
    expect(way.moves).toHaveLength(0);
    // A rounding step is a move, whichever way.
    for (const [by, axis] of [
      [0.001, 'x'],
      [0.001, 'y'],
      [-0.001, 'z'],
    ] as const) {
      const from = way.here() as typeof here;
      const count = way.moves.length;
      way.go({ ...from, [axis]: from[axis] + by });
      expect(way.moves).toHaveLength(count + 1);
      expect(way.here()).toMatchObject({ [axis]: from[axis] + by });
    }
    const pass = lifted(plan, way);
    expect(pass?.start).toBe(way.start());
    expect(pass?.moves.at(-1)?.z).toBeCloseTo(0.3, 9);
  });

  it('goes at the plunge feed where it falls by more than 0.095 of its way and half a rounding step', () => {
    const feed = (dx: number, dz: number): string | undefined => {
      const way = wayOf(plan);
      way.travel(at(0, 0));
      const here = way.here() as { x: number; y: number; z: number };
      way.go({ x: here.x + dx, y: 0, z: here.z - dz });
      return way.moves[0]?.feed;
    };
    expect(feed(1, 0.0954)).toBe('cut');
    expect(feed(1, 0.0956)).toBe('plunge');
    expect(feed(-2, 0.19)).toBe('cut');
    expect(feed(0, 0.0006)).toBe('plunge');
    expect(feed(1, -0.5)).toBe('cut');
  });

  it('from place to place goes up above all wood, along the shortest way, and stays up', () => {
    const way = wayOf(plan);
    way.travel(at(-7, 2));
    way.go({ x: -7, y: 2, z: -0.2 });
    way.travel(at(20, 5));
    expect(way.moves.map(({ x, y, z, feed }) => [x, y, z, feed])).toEqual([
      [-7, 2, -0.2, 'plunge'],
      [-7, 2, expect.closeTo(0.3, 9), 'cut'],
      [20, 5, expect.closeTo(0.3, 9), 'cut'],
    ]);
  });
});

describe('heights of the cutter', () => {
  it('by hand: face, wood, travel and levels over a floor pitched back with wood left for the file', () => {
    const task = good(readyTask(taskOf({ gx: -0.01, outline: OUTLINE, shop: shopOf({ leave: 0.05 }) })));
    const bottom = { raise: 0 };
    expect(faceAt(task, bottom, at(10, 4))).toBeCloseTo(-0.3 + 0.05 + 0.03, 12);
    expect(faceAt(task, bottom, at(-3, 4))).toBeCloseTo(-0.43 + 0.08, 12);
    // Air before the mouth is not followed down.
    expect(faceAt(task, bottom, at(-9, 4))).toBeCloseTo(-0.43 + 0.08, 12);
    expect(faceAt(task, { raise: 0.2 }, at(10, 4))).toBeCloseTo(-0.02, 12);
    expect(woodAt(task, at(10, 4))).toBe(0);
    expect(overWood(task, bottom, at(10, 4))).toBeCloseTo(-0.22, 12);
    expect(travelAt(task, at(10, 4))).toBeCloseTo(0.3, 12);
    // 0.35 mm to take, 0.28 the most at once.
    expect(levelsOf(task).map(({ raise }) => raise)).toEqual([expect.closeTo(0.175, 12), 0]);
    const forward = good(readyTask(taskOf({ gx: 0.01, outline: OUTLINE })));
    expect(faceAt(forward, bottom, at(-9, 4))).toBeCloseTo(0.12, 12);
    expect(travelAt(forward, at(-9, 4))).toBeCloseTo(0.42, 12);
  });

  it('as many levels as the depth asks for, and one at least', () => {
    const count = (skim: number, depth: number): number =>
      levelsOf(good(readyTask(taskOf({ gx: 0, skim, shop: shopOf({ pass: { depth } }) })))).length;
    expect(count(0.56, 0.3)).toBe(2);
    expect(count(0.5601, 0.3)).toBe(3);
    expect(count(0.1, 0.3)).toBe(1);
  });

  it('over a body that leans the wood under the cutter is its highest', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const task = good(readyTask({ ...base, mounted: mountedOf(base, { x: 0.003, y: 0.004, height: 0.2 }) }));
    // The floor as found rises by 0.003 and 0.004 for each mm along it, so over each mm of the machine by hardly more.
    expect(woodAt(task, at(10, 5))).toBeCloseTo(0.2 + 0.03 + 0.02 + 3 * 0.005, 5);
  });

  it('lanes as wide as the shop says, nine tenths of the cutter at most, and narrower where the ridge would be too high', () => {
    const wide = (gx: number, width: number, gy = 0): number =>
      laneWidthOf(good(readyTask(taskOf({ gx, gy, outline: OUTLINE, shop: shopOf({ pass: { width, depth: 0.6 } }) }))));
    expect(wide(-0.01, 2.4)).toBe(2.4);
    expect(wide(-0.001, 5.9)).toBe(5.4);
    // g (3 - sqrt(9 - w²/4)) = 0.009 at g = 0.04: w = 2 sqrt(9 - 2.775²).
    expect(wide(-0.04, 3)).toBeCloseTo(2 * Math.sqrt(9 - 2.775 ** 2), 9);
    // Across the slope a lane leaves g w.
    expect(wide(0, 3, 0.02)).toBeCloseTo(0.45, 9);
  });
});

describe('what stays, worked out twice', () => {
  it.each([
    ['pitched back', { gx: -0.012 }],
    ['forward', { gx: 0.012 }],
    ['rolled, left-handed, with wood left', { gx: -0.006, gy: 0.009, hand: 'left', shop: shopOf({ leave: 0.1 }) }],
    ['level', { gx: 0, skim: 0.5 }],
  ] as const)('by the walls of a measured pocket and from the ring of a drawn one: %s', (_name, parts) => {
    const outline = pocket({ length: 40, width: 30, widthAtMouth: 32, cornerRadius: 0 });
    const task = good(readyTask(taskOf({ ...parts, outline })));
    const region = axisRegion(task.outline, 3.15, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const known = new Map(staysOf(task).map((stay) => [stay.where, stay]));
    const seen = new Map(ringStaysOf(task, region).map((stay) => [stay.where, stay]));
    for (const [where, { height, width }] of known) {
      expect(seen.get(where)?.height, where).toBeCloseTo(height, 3);
      expect(Math.abs((seen.get(where)?.width ?? 99) - width), where).toBeLessThan(0.02);
    }
    for (const where of seen.keys()) if (where.startsWith('rim')) expect([...known.keys()]).toContain(where);
  });
});
