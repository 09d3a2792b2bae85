import { describe, expect, it } from 'vitest';
import { depthAt } from '../../src/kernel/plane.ts';
import { toDegrees, toRadians } from '../../src/kernel/units.ts';
import { deepestOf, planeOf } from '../../src/solve/solve.ts';
import { jobOf } from '../support/jobs.ts';
import { outlineOf } from '../support/solved.ts';

/** Depth at the mouth of a pocket of this length, hinged at the rear, for a pitch. */
function depthOver(length: number, degrees: number): number {
  const outline = outlineOf(jobOf({ length, cornerRadius: 0 }));
  return deepestOf(outline, planeOf(outline, 0, toRadians(degrees), 0, 1));
}

describe('slopes against published values', () => {
  it('slope 1/4 in per foot is 1.1935 degrees (quoted)', () => {
    expect(depthOver(12 * 25.4, 1.1935)).toBeCloseTo(0.25 * 25.4, 2);
  });
  it('taper 3/4 in per foot is 3.57982 degrees included (quoted): half of it rises 3/8 in', () => {
    expect(depthOver(12 * 25.4, 3.57982 / 2)).toBeCloseTo(0.375 * 25.4, 3);
  });
  it.each([
    [0.1, 0.174533],
    [0.5, 0.872687],
    [1, 1.745506],
    [1.5, 2.618592],
  ])('%f degrees rise over 100 mm by %f mm (derived)', (degrees, rise) => {
    expect(depthOver(100, degrees)).toBeCloseTo(rise, 5);
  });
  it('5 in sine bar at 23 deg 41 min stands on 2.0084 in (US Army TC 9-524, App. C: read)', () => {
    // The bar is the slope itself: its rise is length times sine, its run length times cosine.
    const angle = 23 + 41 / 60;
    const run = 5 * Math.cos(toRadians(angle));
    const outline = outlineOf(jobOf({ length: run * 25.4, cornerRadius: 0 }));
    const plane = planeOf(outline, 0, toRadians(angle), 0, 1);
    expect(depthAt(plane, 0, 0) / 25.4).toBeCloseTo(2.0084, 4);
    expect(toDegrees(Math.atan(-plane.gx))).toBeCloseTo(angle, 10);
  });
});
