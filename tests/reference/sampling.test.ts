import { describe, expect, it } from 'vitest';
import { spreadOf, uniformDraws } from '../../src/kernel/sampling.ts';
import { sampling } from '../../src/solve/sampled.ts';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { jobOf } from '../support/jobs.ts';

describe('sampling', () => {
  it('four rectangular quantities of standard deviation 1: u 2.00, 95 % interval ±3.88 (JCGM 101:2008, 9.2.3: quoted; exact 3.8794067: derived)', () => {
    const draw = uniformDraws(101);
    const half = Math.sqrt(3);
    const sums = Array.from({ length: 200_000 }, () => {
      let sum = 0;
      for (let i = 0; i < 4; i++) sum += (2 * draw() - 1) * half;
      return sum;
    });
    const { mean, deviation } = spreadOf(sums);
    expect(Math.abs(mean)).toBeLessThan(0.02);
    expect(deviation).toBeCloseTo(2, 1);
    const sorted = sums.map(Math.abs).sort((a, b) => a - b);
    expect(Math.abs((sorted[Math.floor(0.95 * sorted.length)] as number) - 3.8794067)).toBeLessThan(0.03);
  });

  it('four normal quantities of standard deviation 1: u 2.00, 95 % interval ±3.92 (JCGM 101:2008, 9.2.2: quoted)', () => {
    const draw = uniformDraws(102);
    // A uniform draw is turned into a normal one through its radius and angle (Box and Muller; from memory): the draws have to be independent.
    const normal = (): number => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
    const sums = Array.from({ length: 200_000 }, () => normal() + normal() + normal() + normal());
    const { mean, deviation } = spreadOf(sums);
    expect(Math.abs(mean)).toBeLessThan(0.02);
    // Known to 1 / sqrt(2 n): 0.16 %; three times that.
    expect(Math.abs(deviation - 2)).toBeLessThan(0.01);
    const sorted = sums.map(Math.abs).sort((a, b) => a - b);
    expect(Math.abs((sorted[Math.floor(0.95 * sorted.length)] as number) - 3.92)).toBeLessThan(0.03);
  });

  it.each([
    ['one reading', { lastFretGap: { bass: 1.2, treble: 1.0 }, radius: 280 }],
    ['two strings that govern together', { lastFretGap: { bass: 1.1, treble: 1.1 } }],
  ])('agrees with the linear ±: %s', (_, plain) => {
    const job = jobOf(plain);
    const linear = solveEvidence(job);
    expect(linear.ok).toBe(true);
    if (!linear.ok) return;
    const run = sampling(job, 2000, 20261125);
    let step = run.next();
    while (!step.done) step = run.next();
    const { deepest, unsolved } = step.value;
    expect(unsolved).toBe(0);
    const stated = linear.value.uncertainty.deepest / 2;
    expect(stated / deepest.deviation).toBeGreaterThan(0.93);
    expect(stated / deepest.deviation).toBeLessThan(1.07);
  });
});
