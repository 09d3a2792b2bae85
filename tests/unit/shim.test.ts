import { describe, expect, it } from 'vitest';
import { shimOf, stlText } from '../../src/floor/shim.ts';
import { areaAndMoments } from '../../src/kernel/outline.ts';
import { curesOf } from '../../src/solve/cures.ts';
import { jobOf } from '../support/jobs.ts';
import { solved } from '../support/solved.ts';

type Corner = readonly [number, number, number];

/** Every facet of an STL text. */
function facetsOf(text: string): Corner[][] {
  return [...text.matchAll(/outer loop\n((?:\s+vertex .*\n){3})/g)].map(([, corners = '']) =>
    [...corners.matchAll(/vertex (\S+) (\S+) (\S+)/g)].map(([, x, y, z]): Corner => [Number(x), Number(y), Number(z)]),
  );
}

/** Volume by the divergence theorem, a sixth of the triple product of each facet's corners: shares nothing with the library. */
function volumeOf(facets: readonly Corner[][]): number {
  return facets.reduce((sum, [a, b, c]) => {
    if (a === undefined || b === undefined || c === undefined) return Number.NaN;
    const cross = [b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]];
    return sum + (a[0] * (cross[0] ?? 0) + a[1] * (cross[1] ?? 0) + a[2] * (cross[2] ?? 0)) / 6;
  }, 0);
}

/** Edges that are not shared by exactly one facet each way: none on a closed surface. */
function openEdges(facets: readonly Corner[][]): number {
  const seen = new Map<string, number>();
  for (const facet of facets)
    facet.forEach((from, i) => {
      const to = facet[(i + 1) % 3] as Corner;
      const [key, way] = String(from) < String(to) ? [`${from}|${to}`, 1] : [`${to}|${from}`, -1];
      seen.set(key, (seen.get(key) ?? 0) + way);
    });
  return [...seen.values()].filter((sum) => sum !== 0).length;
}

const back = jobOf({ lastFretGap: { bass: 1.2, treble: 1.0 }, cornerRadius: 6, widthAtMouth: 56.4 });
const forward = jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 });
const rolled = jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll' } });

describe('shims as solids', () => {
  it.each([
    ['pitched back', back],
    ['pitched forward', forward],
    ['pitch and roll', rolled],
  ])('the wedge of a job %s is closed, and has the volume and the end thickness worked out', (_, job) => {
    const solution = solved(job);
    const cure = curesOf(solution).find(({ name }) => name === 'wedge-shim');
    if (cure === undefined) throw new Error('no wedge');
    const shim = shimOf(solution.outline, cure.plane);
    expect(shim.thickest).toBeCloseTo(cure.amount, 2);
    expect(Math.abs(shim.thinnest)).toBeLessThan(1e-12);
    const facets = facetsOf(stlText(shim, 'a-wedge'));
    expect(facets.length).toBe(shim.triangles.length);
    expect(openEdges(facets)).toBe(0);
    expect(Math.abs(volumeOf(facets) / shim.volume - 1)).toBeLessThan(1e-3);
    expect(Math.max(...facets.flat().map(([, , z]) => z))).toBeCloseTo(shim.thickest, 4);
  });

  it('a flat shim has its area times its thickness', () => {
    const solution = solved(back);
    const cure = curesOf(solution).find(({ name }) => name === 'flat-shim');
    if (cure === undefined) throw new Error('no flat shim');
    const shim = shimOf(solution.outline, cure.plane);
    expect(shim.thinnest).toBeCloseTo(cure.amount, 12);
    expect(shim.volume).toBeCloseTo(areaAndMoments(solution.outline).area * cure.amount, 9);
    expect(openEdges(facetsOf(stlText(shim, 'flat')))).toBe(0);
  });

  it('by hand: 60 mm long, 50 mm wide, square corners, 0.6 mm at the rear wall: half of 60 x 50 x 0.6 mm3', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 }, length: 60, width: 50, cornerRadius: 0 }));
    const shim = shimOf(solution.outline, { hinge: { x: 0, y: 0 }, skim: 0, gx: -0.01, gy: 0 });
    expect(shim.thickest).toBeCloseTo(0.6, 12);
    expect(shim.volume).toBeCloseTo(900, 9);
    expect(volumeOf(facetsOf(stlText(shim, 'wedge')))).toBeCloseTo(900, 6);
  });
});
