import { describe, expect, it } from 'vitest';
import { depthAt } from '../../src/kernel/plane.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { readyTask } from '../../src/program/ready.ts';
import type { ReadyTask } from '../../src/program/task.ts';
import { asClamped, asSeen, overBody } from '../../src/proof/frame.ts';
import { cuspOf, floorAt, lowestFaceAt, settingOf, woodAt } from '../../src/proof/setting.ts';
import type { Move } from '../../src/proof/strictReader.ts';
import { depthInside, wallsOf } from '../../src/proof/walls.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';
import { CASE, workOf } from './proofProgram.ts';

const at = (x: number, y: number): Point2 => ({ x, y });

const point = ([x, y, z]: readonly [number, number, number]): Point3 => ({ x, y, z });

type Place = readonly [number, number, number];

function moveOf(from: Place, to: Place, more: Partial<Move> = {}): Move {
  return { kind: 'move', line: 1, rapid: false, from: point(from), to: point(to), feed: 1200, axes: 'XYZ', ...more };
}

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
