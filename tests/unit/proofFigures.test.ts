import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import { depthAt, leanOf } from '../../src/kernel/plane.ts';
import { allowedAxes, attainable } from '../../src/proof/attainable.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { cuspOf, settingOf } from '../../src/proof/setting.ts';
import { depthInside, leastDistance, wallsOf } from '../../src/proof/walls.ts';
import { CASE, type Case, plainProgram, textOf, workOf } from './proofProgram.ts';

const SEED = 20_240_611;

/** A second, slow opinion: heights at given points, every move walked in short steps and read by a plain pattern. */
function plainHeights(lines: readonly string[], radius: number, unit: number, points: readonly { x: number; y: number }[]) {
  const heights = points.map(() => 0);
  let largest = 0;
  let at = { x: 0, y: 0, z: 99 };
  for (const line of lines) {
    if (!/^G[01] /.test(line)) continue;
    const word = (letter: string, old: number): number => {
      const match = new RegExp(`${letter}(-?[0-9.]+)`).exec(line);
      return match === null ? old : Number(match[1]) * unit;
    };
    const to = { x: word('X', at.x), y: word('Y', at.y), z: word('Z', at.z) };
    const n = Math.max(1, Math.ceil(Math.hypot(to.x - at.x, to.y - at.y) / 0.01));
    points.forEach((p, index) => {
      const before = heights[index] as number;
      let now = before;
      if (Math.min(at.z, to.z) >= before) return;
      if (Math.min(at.y, to.y) - p.y > radius || p.y - Math.max(at.y, to.y) > radius) return;
      if (Math.min(at.x, to.x) - p.x > radius || p.x - Math.max(at.x, to.x) > radius) return;
      // Only where the axis can be near enough.
      const near = Math.hypot(to.x - at.x, to.y - at.y) / n;
      const span = near === 0 ? n : Math.ceil((2 * radius) / near);
      const middle = ((p.x - at.x) * (to.x - at.x) + (p.y - at.y) * (to.y - at.y)) / Math.max(1e-12, near * near * n);
      for (let i = Math.max(0, Math.floor(middle) - span); i <= Math.min(n, middle + span); i++) {
        const t = i / n;
        const z = at.z + t * (to.z - at.z);
        if (z < now && Math.hypot(at.x + t * (to.x - at.x) - p.x, at.y + t * (to.y - at.y) - p.y) <= radius) now = z;
      }
      heights[index] = now;
      largest = Math.max(largest, before - now);
    });
    at = to;
  }
  return { heights, largest };
}

/** A(p) by trying axes on a fine polar net around the point. */
function plainAttainable(given: Case, x: number, y: number): number {
  const work = workOf(given);
  const radius = given.diameter / 2;
  const walls = wallsOf(work.outline, 50);
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= 60; i++)
    for (let j = 0; j < 240; j++) {
      const r = (radius * i) / 60;
      const c = { x: x + r * Math.cos((j * Math.PI) / 120), y: y + r * Math.sin((j * Math.PI) / 120) };
      if (c.x < -25 + radius || depthInside(walls, c) < radius + 0.15) continue;
      least = Math.min(least, -depthAt(work.plane, c.x, c.y) + radius * leanOf(work.plane));
    }
  return least;
}

const SMALL: Case = { ...CASE, length: 34, width: 26, widthAtMouth: 26 };

describe('A(p), what the cutter can reach', () => {
  it.each([
    ['pitch', {}],
    ['forward', { pitch: -2 }],
    ['roll', { roll: 1 }],
    ['tight corners', { cornerRadius: 1 }],
    ['tapered', { widthAtMouth: 24 }],
    ['wide corners', { cornerRadius: 9 }],
  ])('%s: agrees with trying axes one by one', (_name, change) => {
    const given = { ...SMALL, ...change };
    const work = workOf(given);
    const setting = settingOf(work, given.diameter, { roundingStep: 0.001, lastLine: 1 });
    const region = allowedAxes(setting, wallsOf(work.outline, 50));
    const net = 0.16 * setting.lean;
    let compared = 0;
    for (let x = 0.3; x < 34; x += 2.3)
      for (let y = -12.7; y < 13; y += 2.1) {
        const exact = attainable(setting, region, x, y, setting.radius);
        const tried = plainAttainable(given, x, y);
        if (!Number.isFinite(tried)) continue;
        compared += 1;
        // The net can only miss the best axis.
        expect(exact).toBeLessThanOrEqual(tried + 1e-9);
        // Where little more than one axis is allowed the net may miss it by much; elsewhere by its own mesh.
        if (Number.isFinite(attainable(setting, region, x, y, setting.radius - 0.2)))
          expect(exact).toBeGreaterThanOrEqual(tried - net * 2);
      }
    expect(compared).toBeGreaterThan(100);
  });
});

describe('removal against a plain walk', () => {
  it('a proved program leaves nothing, and the figures are bounds', () => {
    fc.assert(
      fc.property(
        fc.record({
          pitch: fc.double({ min: 0.3, max: 2, noNaN: true }),
          roll: fc.constantFrom(0, 0.4),
          inch: fc.boolean(),
          cornerRadius: fc.constantFrom(0, 2, 5, 8),
          passWidth: fc.constantFrom(1.5, 2.4, 3),
        }),
        fc.integer({ min: 0, max: 3 }),
        fc.double({ min: -0.004, max: 0.03, noNaN: true }),
        fc.nat(),
        (change, drop, raise, pick) => {
          const given = { ...SMALL, ...change };
          const work = workOf(given);
          const unit = given.inch ? 25.4 : 1;
          let lines = plainProgram(given);
          // Some lanes of the last third are left out or lifted: the proof has to notice what matters and nothing else.
          const lanes = lines.flatMap((line, index) => (line.startsWith('G0 X') && index > lines.length * 0.66 ? [index] : []));
          const at = lanes[pick % Math.max(1, lanes.length - 3)] ?? 0;
          if (drop > 0 && at > 0) lines = [...lines.slice(0, at), ...lines.slice(lanes[lanes.indexOf(at) + drop - 1] ?? at)];
          else
            lines = lines.map((line, index) =>
              index > lines.length * 0.6 && line.startsWith('G1 X')
                ? line.replace(/Z(-?[\d.]+)/, (_all, z: string) => `Z${(Number(z) + raise / unit).toFixed(4)}`)
                : line,
            );
          const verdict = proveProgram(textOf(lines), work, 'floor');
          const walls = wallsOf(work.outline, 50);
          const points: { x: number; y: number }[] = [];
          for (let x = 0.05; x < 34; x += 1.67)
            for (let y = -12.99; y < 13; y += 1.03) if (depthInside(walls, { x, y }) >= 0.2) points.push({ x, y });
          const plain = plainHeights(lines, given.diameter / 2, unit, points);
          const setting = settingOf(work, given.diameter, { roundingStep: given.inch ? 0.00254 : 0.001, lastLine: 1 });
          const region = allowedAxes(setting, walls);
          const allowed = cuspOf(setting) + 0.01 + setting.step;
          let over = 0;
          let excess = Number.NEGATIVE_INFINITY;
          points.forEach((p, index) => {
            const z = plain.heights[index] as number;
            const floor = -depthAt(work.plane, p.x, p.y);
            over = Math.max(over, z - floor);
            const reach = attainable(setting, region, p.x, p.y, setting.radius - 0.01);
            excess = Math.max(excess, z - Math.max(floor, reach));
          });
          // The walk has steps of 0.01 mm and so stops up to 0.005 mm short of a rim.
          const walk = 0.05 * setting.lean;
          expect(verdict.figures.leftover).toBeGreaterThanOrEqual(over - walk);
          expect(verdict.figures.largestBite).toBeGreaterThanOrEqual(plain.largest - 0.01);
          const finished = !verdict.faults.some(({ rule }) => rule === 'finish');
          if (finished) expect(excess).toBeLessThanOrEqual(allowed + walk);
          // The other way round the points are a sample: a clear excess there must have been found.
          if (excess > allowed + walk) expect(finished).toBe(false);
        },
      ),
      { seed: SEED, numRuns: 16 },
    );
  });

  it('the other way round: the same program turned about the centreline gives the same verdict', () => {
    const mirrored = (lines: readonly string[]): string[] =>
      lines.map((line) => line.replace(/Y(-?)([\d.]+)/, (_all, sign: string, y: string) => (sign === '-' ? `Y${y}` : `Y-${y}`)));
    for (const change of [{ roll: 0.4 }, { pitch: -0.6 }]) {
      const given = { ...SMALL, ...change };
      const here = proveProgram(textOf(plainProgram(given)), workOf(given), 'floor');
      const work = workOf(given);
      const { hinge, gy } = work.plane;
      const there = proveProgram(
        textOf(mirrored(plainProgram(given))),
        { ...work, plane: { ...work.plane, gy: -gy, hinge: { x: hinge.x, y: -hinge.y } } },
        'floor',
      );
      expect(here.faults).toEqual([]);
      expect(there.faults).toEqual([]);
      expect(there.figures.gouge).toBeCloseTo(here.figures.gouge as number, 9);
      expect(there.figures.wall).toBeCloseTo(here.figures.wall as number, 9);
      expect(there.figures.leftover).toBeCloseTo(here.figures.leftover as number, 3);
    }
  });
});

describe('distance from walls', () => {
  it('of a rounded pocket: the corner is an arc, the mouth is open', () => {
    const walls = wallsOf(workOf().outline, 50);
    expect(walls.convex).toBe(true);
    expect(depthInside(walls, { x: 30, y: 0 })).toBeCloseTo(29, 12);
    expect(depthInside(walls, { x: -20, y: 25 })).toBeCloseTo(4, 12);
    expect(depthInside(walls, { x: 67 + 2 * Math.SQRT1_2, y: 24 + 2 * Math.SQRT1_2 })).toBeCloseTo(3, 12);
    expect(depthInside(walls, { x: 73, y: 0 })).toBeCloseTo(-1, 12);
    expect(depthInside(walls, { x: 71.9, y: 28.9 })).toBeLessThan(0);
  });

  it('of an outline with a step is kept along the whole move, not at its ends only', () => {
    const points: [number, number][] = [
      [0, -20],
      [30, -20],
      [30, -10],
      [60, -10],
      [60, 20],
      [0, 20],
    ];
    const at = (i: number) => ({ x: (points[i % 6] as [number, number])[0], y: (points[i % 6] as [number, number])[1] });
    const outline: Outline = {
      pieces: points.map((_p, i) => ({ kind: 'line', from: at(i), to: at(i + 1) })),
      length: 60,
      mouthHalf: 20,
      rearHalf: 15,
    };
    const walls = wallsOf(outline, 50);
    expect(walls.convex).toBe(false);
    // From beside the step's corner to behind it: both ends are 5 mm clear, the way between passes the corner closer.
    const a = { x: 25, y: -12 };
    const b = { x: 35, y: -5 };
    expect(Math.min(depthInside(walls, a), depthInside(walls, b))).toBeCloseTo(5, 12);
    expect(leastDistance(walls, a, b)).toBeLessThan(3);
    expect(leastDistance(walls, { x: 20, y: -15 }, { x: 40, y: -15 })).toBeLessThanOrEqual(0);
    expect(leastDistance(walls, { x: -10, y: 0 }, { x: 50, y: 5 })).toBeCloseTo(10, 1);
  });
});
