import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { gridOf } from '../../src/program/grid.ts';
import { insetRings } from '../../src/program/inset.ts';
import { readyTask } from '../../src/program/ready.ts';
import { axisRegion, toRegion } from '../../src/program/region.ts';
import { areaOf, toRing } from '../../src/program/ring.ts';
import { ringStaysOf } from '../../src/program/ringStays.ts';
import { type Axes, allowedAxes } from '../../src/proof/attainable.ts';
import { settingOf } from '../../src/proof/setting.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { shopOf, taskOf } from './programTasks.ts';

const R = 3;
/** R and clearance.wall. */
const E = 3.15;
const at = (x: number, y: number): Point2 => ({ x, y });
const far = (a: Point2, b: Point2): number => Math.hypot(a.x - b.x, a.y - b.y);

function drawn(corners: readonly (readonly [number, number])[]): Outline {
  const points = corners.map(([x, y]) => at(x, y));
  return {
    pieces: points.map((from, i) => ({ kind: 'line', from, to: points[(i + 1) % points.length] as Point2 })),
    length: Math.max(...points.map(({ x }) => x)),
    mouthHalf: Math.max(...points.map(({ x, y }) => (x === 0 ? Math.abs(y) : 0))),
    rearHalf: Math.max(...points.map(({ y }) => Math.abs(y))),
  };
}

/** 60 x 30 mm and beside its front half 10 mm more: a square corner points inwards at (30, 10). */
const STEPPED = drawn([
  [0, -20],
  [60, -20],
  [60, 10],
  [30, 10],
  [30, 20],
  [0, 20],
]);

function axesIn(outline: Outline): Axes {
  const plane = { hinge: at(0, 0), skim: 0.5, gx: 0.01, gy: 0 };
  const body = { plane, outline, pocketDepth: 17.4, clearBefore: 25, deepest: 1, shop: shopOf() };
  const setting = settingOf(body, 2 * R, { roundingStep: 0.001, lastLine: 1 });
  return allowedAxes(setting, wallsOf(outline, 31));
}

describe('the allowed axes of a pocket with a corner that points inwards, by hand', () => {
  const { edges, holds } = axesIn(STEPPED);
  const size = ({ dx, dy }: { dx: number; dy: number }): number => Math.hypot(dx, dy);

  it('six straight edges and an arc on chords, and nothing else', () => {
    // The free space ends 25 mm before the mouth: the axis at -22. Every wall is kept 3.15 mm off, the corner on a circle round it.
    const straight = [
      [at(-22, -16.85), at(56.85, -16.85)],
      [at(56.85, -16.85), at(56.85, 6.85)],
      [at(56.85, 6.85), at(30, 6.85)],
      [at(26.85, 10), at(26.85, 16.85)],
      [at(26.85, 16.85), at(-22, 16.85)],
      [at(-22, -16.85), at(-22, 16.85)],
    ] as const;
    const long = edges.filter((edge) => size(edge) > 1);
    expect(long).toHaveLength(6);
    for (const [from, to] of straight) {
      const near = long.find(({ x, y, dx, dy }) => {
        const ends = [at(x, y), at(x + dx, y + dy)] as const;
        return Math.min(far(ends[0], from) + far(ends[1], to), far(ends[0], to) + far(ends[1], from)) < 0.01;
      });
      expect(near, JSON.stringify([from, to])).toBeDefined();
    }
    const round = edges.filter((edge) => size(edge) <= 1);
    for (const { x, y, dx, dy } of round) {
      // Its chords' ends lie on the circle, but for the pieces at the ends of the straight edges.
      for (const p of [at(x, y), at(x + dx, y + dy)]) {
        expect(far(p, at(30, 10))).toBeGreaterThan(E - 0.002);
        expect(far(p, at(30, 10))).toBeLessThan(E + 0.03);
      }
    }
    const arc = round.reduce((sum, edge) => sum + size(edge), 0);
    expect(Math.abs(arc - (E * Math.PI) / 2)).toBeLessThan(0.05);
    // A chord keeps within half of 0.0005 mm of the arc: 63 of them over a quarter circle.
    expect(round.length).toBeGreaterThanOrEqual(60);
    expect(round.length).toBeLessThan(75);
    for (const { dx, dy, dd } of edges) expect(dd).toBeCloseTo(dx * dx + dy * dy, 9);
  });

  it('holds what lies inside of them, within half a thousandth', () => {
    const around = [
      at(0, -16.85),
      at(56.85, 0),
      at(45, 6.85),
      at(26.85, 14),
      at(0, 16.85),
      at(-22, 0),
      at(30 - E * Math.SQRT1_2, 10 - E * Math.SQRT1_2),
      at(30 - E * Math.cos(0.3), 10 - E * Math.sin(0.3)),
    ];
    for (const p of around) {
      const inwards = p.x > 26 && p.y > 6 && p.y < 10 ? at(p.x - 1, p.y - 1) : at(10, 0);
      const way = far(p, inwards);
      const moved = (by: number): boolean => holds(p.x + ((inwards.x - p.x) * by) / way, p.y + ((inwards.y - p.y) * by) / way);
      expect(moved(0.001), `${p.x} ${p.y}`).toBe(true);
      expect(moved(-0.002), `${p.x} ${p.y}`).toBe(false);
    }
  });

  it('before a mouth that opens they keep inside its width', () => {
    const { holds: opens, edges: own } = axesIn(
      drawn([
        [0, -20],
        [10, -15],
        [40, -15],
        [40, 15],
        [10, 15],
        [0, 20],
      ]),
    );
    for (const side of [1, -1]) {
      expect(opens(-6, side * 16.849)).toBe(true);
      expect(opens(-6, side * 16.852)).toBe(false);
      // Behind the mouth the slanted wall alone counts: 20 - x / 2 - 3.15 sqrt(5) / 2.
      const limit = 20 - 2 - (E * Math.sqrt(5)) / 2;
      expect(opens(4, side * (limit - 0.001))).toBe(true);
      expect(opens(4, side * (limit + 0.002))).toBe(false);
      // Its edge there is one of the edges.
      const along = own.filter(({ y, dy }) => Math.abs(y - side * 16.85) < 1e-3 && Math.abs(dy) < 1e-9);
      expect(Math.max(...along.map(({ dx }) => Math.abs(dx)))).toBeGreaterThan(20);
    }
  });
});

describe('what stays in such a pocket, by hand', () => {
  const staysIn = (parts: Parameters<typeof taskOf>[0]): [string, number, number][] => {
    const task = readyTask(taskOf({ outline: STEPPED, ...parts }));
    if (!task.ok) throw new Error(JSON.stringify(task.findings));
    const region = axisRegion(STEPPED, E, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const round = (value: number): number => Math.round(value * 1000) / 1000;
    return ringStaysOf(task.value, region).map(({ where, height, width }) => [
      where,
      round(height),
      Math.round(width * 100) / 100,
    ]);
  };
  /** A square corner keeps its wood out to 3.15 sqrt 2 - 3. */
  const CORNER = 1.45;

  it('falling to the rear: R g beside the side walls, twice that before what faces the rear, corners to their full depth', () => {
    const right = staysIn({ gx: 0.01 });
    expect(new Map(right.map(([where, ...figures]) => [where, figures]))).toEqual(
      new Map([
        ['strip along the walls', [0.6, 0.15]],
        ['rim at the bass wall', [0.03, 3.15]],
        ['rim at the rear wall', [0.06, 6.15]],
        ['rim at the treble wall', [0.03, 3.15]],
        ['rim at the treble shoulder', [0.06, 6.15]],
        ['rear bass corner', [0.6, CORNER]],
        ['rear treble corner', [0.6, CORNER]],
        ['mouth treble corner', [0.3, CORNER]],
      ]),
    );
    const other = (where: string): string =>
      where.includes('bass') ? where.replace('bass', 'treble') : where.replace('treble', 'bass');
    const left = staysIn({ gx: 0.01, hand: 'left' });
    expect(new Map(left.map(([where, ...figures]) => [where, figures]))).toEqual(
      new Map(right.map(([where, ...figures]) => [other(where), figures])),
    );
  });

  it('a notch too narrow for the cutter is a corner of its own and makes the strip beside it no wider', () => {
    const outline = drawn([
      [0, -15],
      [20, -15],
      [20, -17],
      [22, -17],
      [22, -15],
      [40, -15],
      [40, 15],
      [0, 15],
    ]);
    const task = readyTask(taskOf({ outline, gx: 0, skim: 0.5 }));
    const region = axisRegion(outline, E, -7, gridOf('mm'));
    if (!task.ok || region === undefined) throw new Error('the cutter fits');
    const stays = new Map(ringStaysOf(task.value, region).map(({ where, width }) => [where, width]));
    expect(stays.get('strip along the walls')).toBeCloseTo(0.15, 3);
    // Between its corners the axis comes down to where both circles meet, sqrt(3.15² - 1) before the wall; the notch's end is 2 mm behind it.
    const away = Math.hypot(1, 2 + Math.sqrt(E * E - 1)) - R;
    expect(stays.get('mouth bass corner')).toBeCloseTo(away, 2);
    expect(stays.get('rear bass corner')).toBeCloseTo(away, 2);
    expect(stays.get('rear treble corner')).toBeCloseTo(3.15 * Math.SQRT2 - 3, 3);
    expect(stays.has('mouth treble corner')).toBe(false);
  });

  it('falling to the mouth nothing stays before the walls that face the rear; level it is the strip and the corners alone', () => {
    const back = new Map(staysIn({ gx: -0.01 }).map(([where, ...figures]) => [where, figures]));
    expect(back.get('strip along the walls')).toEqual([0.6, 0.15]);
    expect([back.get('rim at the bass wall'), back.get('rim at the treble wall')]).toEqual([
      [0.03, 3.15],
      [0.03, 3.15],
    ]);
    // At the rear itself nothing is cut, so nothing stays; in the step's corner the floor is 0.3 mm deep.
    expect([...back.keys()].filter((where) => /rear|shoulder/.test(where))).toEqual([]);
    expect(back.get('mouth treble corner')).toEqual([0.3, CORNER]);
    expect(new Map(staysIn({ gx: 0, skim: 0.5 }).map(([where, ...figures]) => [where, figures]))).toEqual(
      new Map([
        ['strip along the walls', [0.5, 0.15]],
        ['rear bass corner', [0.5, CORNER]],
        ['rear treble corner', [0.5, CORNER]],
        ['mouth treble corner', [0.5, CORNER]],
      ]),
    );
    const leaving = staysIn({ gx: 0, skim: 0.5, shop: shopOf({ leave: 0.1 }) });
    expect(leaving.at(-1)).toEqual(['whole floor, for the file', 0.1, 40]);
  });
});

describe('rings inset from such a pocket, by hand', () => {
  it.each([0, 0.0002, 0.01])('round the corner they keep %f mm more off, on chords outside the circle', (off) => {
    const rings = insetRings(STEPPED, E, -7, off);
    expect(rings).toHaveLength(1);
    const [ring = []] = rings;
    const round = ring.filter((p) => p.x > 26 && p.x < 30 && p.y > 6.8 && p.y < 10 && far(p, at(30, 10)) < E + 0.05);
    expect(round.length).toBeGreaterThan(15);
    for (const p of round) {
      expect(far(p, at(30, 10))).toBeGreaterThan(E + off - 1e-5);
      expect(far(p, at(30, 10))).toBeLessThan(E + off + 0.0015);
    }
    round.slice(1).forEach((b, i) => {
      const a = round[i] as Point2;
      expect(far(at((a.x + b.x) / 2, (a.y + b.y) / 2), at(30, 10))).toBeGreaterThan(E + off - 1e-5);
    });
    // 63.85 x 23.7 mm and 33.85 x 10 mm, and the square between corner and circle that both walls leave free.
    expect(areaOf(ring)).toBeCloseTo(63.85 * 23.7 + 33.85 * 10 + E * E - ((E + off) ** 2 * Math.PI) / 4, 0);
  });

  it('the axis’ region of it has the same limits as the proof, a little inside', () => {
    const region = axisRegion(STEPPED, E, -7, gridOf('mm'));
    if (region === undefined) throw new Error('the cutter fits');
    const { holds } = axesIn(STEPPED);
    for (const p of region.corners) expect(holds(p.x, p.y)).toBe(true);
    for (const p of [at(20, -16.85), at(56.85, 0), at(45, 6.85), at(26.85, 14), at(0, 16.85), at(-7, 3)])
      expect(toRing(region.corners, p)).toBeLessThan(0.0001);
    expect(toRegion(region, at(60, 0))).toBeCloseTo(3.15, 4);
    expect(toRegion(region, at(30, 10))).toBeCloseTo(3.15, 2);
  });
});
