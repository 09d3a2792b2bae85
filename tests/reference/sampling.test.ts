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
