import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawnOutline } from '../../src/job/drawnOutline.ts';
import { areaAndMoments } from '../../src/kernel/outline.ts';
import { isConvex } from '../../src/program/region.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { shopOf, taskOf } from '../unit/programTasks.ts';

const SEED = 20261127;
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Invented pockets: straight mouth, sides out or in to a bow by quadratic curves, elliptic rear corners; drawn any way round on the page. */
const pockets = fc.record({
  length: real(34, 46),
  mouth: real(30, 38),
  rear: real(-2, 2),
  bow: real(-0.8, 1.2),
  corner: real(2.5, 8),
  angle: real(0, 360),
  hand: fc.constantFrom('right' as const, 'left' as const),
  gx: real(-0.018, 0.012),
  gy: real(-0.004, 0.004),
  skim: real(0.05, 0.2),
  x: real(-0.008, 0.008),
  y: real(-0.008, 0.008),
  height: real(-2, 2),
  leans: fc.boolean(),
});

function svgOf(p: {
  length: number;
  mouth: number;
  rear: number;
  bow: number;
  corner: number;
  angle: number;
  hand: 'right' | 'left';
}): string {
  const m = p.mouth / 2;
  const r = m + p.rear / 2;
  const P = p.length;
  const e = P - p.corner;
  const bend = (p.bow < 0 ? Math.min(m, r) : Math.max(m, r)) + p.bow;
  const bass = p.hand === 'right' ? m / 2 : -m / 2;
  const corner = (way: 1 | -1): string =>
    way > 0
      ? `A${p.corner} ${p.corner * 1.3} 0 0 1 ${P} ${-r + p.corner * 1.3}`
      : `A${p.corner} ${p.corner * 1.3} 0 0 1 ${e} ${r}`;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="-100 -100 200 200"><g transform="rotate(${p.angle})">
  <path id="pocket" d="M0 ${-m} Q${e / 2} ${-bend} ${e} ${-r} ${corner(1)} V${r - p.corner * 1.3} ${corner(-1)} Q${e / 2} ${bend} 0 ${m} Z"/>
  <path id="mouth" d="M0 ${-m + 1}V${m - 1}"/><circle id="bass" cx="${P / 2}" cy="${bass}" r="1"/></g></svg>`;
}

describe('properties of drawn pockets', () => {
  it('are read with their area, written for and proved, level and, the convex ones, leaning; bent ones that lean are refused', () => {
    let written = 0;
    let refused = 0;
    let bent = 0;
    fc.assert(
      fc.property(pockets, ({ gx, gy, skim, x, y, height, leans, ...drawn }) => {
        const read = drawnOutline({ text: svgOf(drawn), file: 'drawn.svg' }, drawn.hand);
        expect(read.ok ? [] : read.findings).toEqual([]);
        if (!read.ok) return;
        const outline = read.value;
        expect(outline.length).toBeCloseTo(drawn.length, 5);
        expect(outline.mouthHalf).toBeCloseTo(drawn.mouth / 2, 5);
        const r = drawn.mouth / 2 + drawn.rear / 2;
        const e = drawn.length - drawn.corner;
        const bend = (drawn.bow < 0 ? Math.min(drawn.mouth / 2, r) : Math.max(drawn.mouth / 2, r)) + drawn.bow;
        // Under a quadratic from (0, m) by (e/2, b) to (e, r): e (m + b + r) / 3. The corner: a rectangle less what its ellipse leaves.
        const half = (e * (drawn.mouth / 2 + bend + r)) / 3 + drawn.corner * r - drawn.corner ** 2 * 1.3 * (1 - Math.PI / 4);
        expect(Math.abs(areaAndMoments(outline).area - 2 * half)).toBeLessThan(0.005 * 4 * (drawn.length + drawn.mouth));
        const base = taskOf({ outline, gx, gy, skim, hand: drawn.hand, shop: shopOf({ cutter: { length: 32 } }) });
        const task = leans ? { ...base, mounted: mountedOf(base, { x, y, height }) } : base;
        const made = writeFloorProgram(task);
        if (!isConvex(outline) && leans) {
          refused += 1;
          expect(made.ok ? [] : made.findings.map(({ code }) => code)).toEqual(['outline-unsupported']);
          return;
        }
        written += 1;
        if (!isConvex(outline)) bent += 1;
        expect(made.ok ? [] : made.findings).toEqual([]);
        if (made.ok) expect(proveProgram(made.value.text, { ...task, clearBefore: 25 }, 'floor').faults).toEqual([]);
      }),
      { seed: SEED, numRuns: 18 },
    );
    expect(written).toBeGreaterThan(3);
    expect(bent).toBeGreaterThan(1);
    expect(refused).toBeGreaterThan(1);
  });
});
