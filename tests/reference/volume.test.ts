import modeling from '@jscad/modeling';
import { describe, expect, it } from 'vitest';
import { volumeOf } from '../../src/floor/floor.ts';
import { areaAndMoments, flatten } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { jobOf } from '../support/jobs.ts';
import { outlineOf, solved } from '../support/solved.ts';

/** Cuts the wedge under z = 0 and over the floor out of a prism, with a general solid modeller. */
function wedgeVolume(points: readonly { x: number; y: number }[], depth: (x: number, y: number) => number): number {
  const { polyhedron } = modeling.primitives;
  const n = points.length;
  const top = points.map(({ x, y }): [number, number, number] => [x, y, 0]);
  const low = points.map(({ x, y }): [number, number, number] => [x, y, -depth(x, y)]);
  const sides = points.map((_, i) => [i + n, ((i + 1) % n) + n, (i + 1) % n, i]);
  const solid = polyhedron({
    points: [...top, ...low],
    faces: [points.map((_, i) => i), points.map((_, i) => 2 * n - 1 - i), ...sides],
    orientation: 'outward',
  });
  return modeling.measurements.measureVolume(solid);
}

describe('the wood taken off, against @jscad/modeling measureVolume', () => {
  it.each([
    ['square corners', { cornerRadius: 0 }],
    ['tapered walls', { cornerRadius: 0, widthAtMouth: 54.1 }],
  ])('%s: exact', (_, plain) => {
    const job = jobOf({ lastFretGap: { bass: 1.3, treble: 1 }, ...plain });
    const solution = solved(job);
    const solid = wedgeVolume(flatten(outlineOf(job), 0.001), (x, y) => depthAt(solution.plane, x, y));
    expect(volumeOf(solution)).toBeCloseTo(solid, 8);
  });

  it('round corners, tapered walls and a roll: from below as the chords get finer', () => {
    const job = jobOf({
      lastFretGap: { bass: 1.3, treble: 1 },
      cornerRadius: 7,
      widthAtMouth: 55.3,
      target: { floor: 'pitch-and-roll', skim: 0.3 },
    });
    const solution = solved(job);
    const volume = volumeOf(solution);
    const solid = wedgeVolume(flatten(outlineOf(job), 1e-6), (x, y) => depthAt(solution.plane, x, y));
    expect(solid).toBeLessThan(volume);
    expect(volume - solid).toBeLessThan(1e-4);
  });

  it('area of a pocket with round corners: rectangle less (2 - pi/2) r² for its two corners (plane geometry)', () => {
    const { area } = areaAndMoments(outlineOf(jobOf({ cornerRadius: 9 })));
    expect(area).toBeCloseTo(71.5 * 58.2 - (2 - Math.PI / 2) * 81, 10);
  });
});
