import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { combine } from '../../src/instrument/combine.ts';
import { misfits } from '../../src/instrument/equations.ts';
import { placeInstrument } from '../../src/instrument/evidence.ts';
import { endsOf } from '../../src/instrument/fromEnds.ts';
import { yAlong } from '../../src/instrument/strings.ts';
import { valuesOf } from '../../src/kernel/measured.ts';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { jobOf, m, type Plain } from '../support/jobs.ts';

const base: Plain = { lastFretGap: { bass: 1.2, treble: 1.0 }, radius: 280, relief: 0.15 };

/** The straightedge reading that an instrument placed by its last-fret gaps would give. */
function straightedgeOf(plain: Plain): { bass: number; treble: number } {
  const { plans, crowns, seatLowest } = placeInstrument(valuesOf(jobOf(plain)), 'lastFretGap');
  const e = (i: number): number => {
    const plan = plans[i] as (typeof plans)[number];
    const s1 = crowns.places[1] as number;
    const z1 = crowns.crown(s1, yAlong(plan, s1));
    const slopes = crowns.places.slice(2).map((s) => (crowns.crown(s, yAlong(plan, s)) - z1) / (s - s1));
    return (seatLowest[i] as number) - (z1 + Math.max(...slopes) * (plan.sSaddle - s1));
  };
  return { bass: e(0), treble: e(plans.length - 1) };
}

function solvedFrom(job: Parameters<typeof solveEvidence>[0]) {
  const result = solveEvidence(job);
  if (!result.ok) throw new Error(result.findings.map((finding) => finding.message).join('; '));
  return result.value;
}

describe('evidence combined', () => {
  it('readings that agree leave the answer where each alone puts it, with a smaller ±', () => {
    const alone = solvedFrom(jobOf(base));
    const both = solvedFrom(jobOf({ ...base, straightedge: straightedgeOf(base) }));
    expect(both.solution.deepest).toBeCloseTo(alone.solution.deepest, 8);
    expect(both.uncertainty.deepest).toBeLessThan(alone.uncertainty.deepest);
    expect(both.p).toBeGreaterThan(0.99);
    expect(both.evidence.every(({ agrees }) => agrees)).toBe(true);
  });

  it('readings that contradict each other are said, with the odd one out by name', () => {
    const e = straightedgeOf(base);
    const both = solvedFrom(jobOf({ ...base, straightedge: { bass: e.bass + 1, treble: e.treble + 1 } }));
    expect(both.p).toBeLessThan(0.05);
    expect(both.warnings.map(({ code }) => code)).toEqual(['evidence-contradicts']);
    // Two readings and nothing else: neither can be told to be the wrong one, on one side as on both. One slip of the nut gap, read once
    // for both sides, would do it too.
    expect(both.warnings[0]?.message).toContain('most likely neck.nutGap, asFound.lastFretGap or asFound.straightedge, which');
    const bass = solvedFrom(jobOf({ ...base, straightedge: { bass: e.bass + 1, treble: e.treble } }));
    expect(bass.warnings[0]?.message).toContain('most likely asFound.lastFretGap.bass or asFound.straightedge.bass, which');
  });

  it('a combined answer keeps every equation to 1e-10 mm and lies between the two it combines', () => {
    fc.assert(
      fc.property(fc.double({ min: -0.15, max: 0.15, noNaN: true }), (off) => {
        const e = straightedgeOf(base);
        const job = jobOf({ ...base, straightedge: { bass: e.bass + off, treble: e.treble + off } });
        const values = valuesOf(job);
        const combined = combine(job, endsOf(placeInstrument(values, 'lastFretGap')), 'mouth');
        expect(combined).not.toBeNull();
        if (combined === null) return;
        const left = misfits(combined.values, combined.ends, 'mouth').map(({ misfit }) => Math.abs(misfit));
        expect(Math.max(...left)).toBeLessThanOrEqual(1e-10);
        expect(combined.freedom).toBe(2);
        const a = placeInstrument(values, 'lastFretGap').seatLowest[0] as number;
        const b = placeInstrument(values, 'straightedge').seatLowest[0] as number;
        expect(combined.ends.seat.bass).toBeGreaterThanOrEqual(Math.min(a, b) - 1e-6);
        expect(combined.ends.seat.bass).toBeLessThanOrEqual(Math.max(a, b) + 1e-6);
      }),
      { seed: 20261125, numRuns: 40 },
    );
  });
});

describe('depths that no floor has, where an adjustment may come on its way', () => {
  it('leave every equation in its place, those of the fit without a meaning', () => {
    const fitAt = (depth: number) => ({
      depth: m(depth),
      lastFretGap: m(0.4),
      raised: undefined,
      on: undefined,
      note: undefined,
    });
    const job = jobOf(base);
    const ends = endsOf(placeInstrument(valuesOf(job), 'lastFretGap'));
    const rowsAt = (depth: number) => misfits(valuesOf({ ...job, fits: [fitAt(depth), fitAt(0.5)] }), ends, 'mouth');
    const sound = rowsAt(0.4);
    const absurd = rowsAt(60);
    expect(absurd.map(({ of, side }) => `${of} ${side}`)).toEqual(sound.map(({ of, side }) => `${of} ${side}`));
    expect(sound.every(({ misfit }) => Number.isFinite(misfit))).toBe(true);
    expect(absurd.filter(({ misfit }) => !Number.isFinite(misfit)).map(({ of }) => of)).toEqual(['fits.0', 'fits.0']);
  });
});
