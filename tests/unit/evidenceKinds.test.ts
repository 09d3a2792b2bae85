import { describe, expect, it } from 'vitest';
import type { Fit, Job } from '../../src/job/job.ts';
import { measured } from '../../src/kernel/measured.ts';
import { lowestOf, lowOf, reachOf } from '../../src/solve/gaps.ts';
import { planeOf } from '../../src/solve/solve.ts';
import { type Solved, solveEvidence } from '../../src/solve/solveEvidence.ts';
import { jobOf, m, type Plain } from '../support/jobs.ts';
import { solved as solvedOf } from '../support/solved.ts';

const GAPS = { bass: 1.2, treble: 1.1 };

const fit = (depth: Fit['depth'], gap: Fit['lastFretGap'] = m(0.9)): Fit => ({
  depth,
  lastFretGap: gap,
  raised: undefined,
  shim: undefined,
  on: undefined,
  note: undefined,
});

function answer(job: Job, want: 'all' | 'value-only' = 'value-only'): Solved {
  const found = solveEvidence(job, want);
  if (!found.ok) throw new Error(JSON.stringify(found.findings));
  return found.value;
}

const kindsOf = ({ evidence }: Solved): string[] => evidence.map(({ kind }) => kind);
const codesOf = (job: Job): string[] => {
  const found = solveEvidence(job);
  return found.ok ? [] : found.findings.map(({ code, exit, message }) => `${code} ${exit}: ${message}`);
};

describe('the kinds of evidence of an answer', () => {
  it('are told in the order of the job, each that was given and no other', () => {
    const { seatLowest } = solvedOf(jobOf({ lastFretGap: GAPS })).instrument;
    // A flat neck 23.5 mm over its seat.
    const straightedge = { bass: (seatLowest[0] as number) - 23.5, treble: (seatLowest[5] as number) - 23.5 };
    expect(kindsOf(answer(jobOf({ lastFretGap: GAPS })))).toEqual(['nutGap', 'lastFretGap']);
    expect(kindsOf(answer(jobOf({ straightedge })))).toEqual(['nutGap', 'straightedge']);
    expect(kindsOf(answer(jobOf({ lastFretGap: GAPS, straightedge })))).toEqual(['nutGap', 'lastFretGap', 'straightedge']);
    const firstFretGap = { bass: 0.54, treble: 0.54 };
    expect(kindsOf(answer(jobOf({ lastFretGap: GAPS, firstFretGap })))).toEqual(['firstFretGap', 'lastFretGap']);
    expect(kindsOf(answer(jobOf({ lowest: { bass: 8.5, treble: 8.5 } })))).toEqual(['nutGap', 'drawing']);
    const fitted = { ...jobOf({ lastFretGap: GAPS }), fits: [fit(m(0.2, 0.03), m(0.9)), fit(m(0.4, 0.03), m(0.6))] };
    expect(kindsOf(answer(fitted))).toEqual(['nutGap', 'lastFretGap', 'fit 1', 'fit 2']);
  });

  it('a drawing that is off at one end alone does not agree, whichever end it is', () => {
    const { instrument } = solvedOf(jobOf({ lastFretGap: GAPS }));
    const seat = (i: number): number => (instrument.seatLowest.at(i) ?? 0) - instrument.job.pocket.depth;
    const agrees = (bass: number, treble: number): boolean | undefined => {
      const lowest = { bass: seat(0) + bass, treble: seat(-1) + treble };
      return answer(jobOf({ lastFretGap: GAPS, lowest }), 'all').evidence.at(-1)?.agrees;
    };
    expect(agrees(0, 0)).toBe(true);
    for (const [bass, treble] of [
      [3, 0],
      [-3, 0],
      [0, 3],
      [0, -3],
    ] as const)
      expect(agrees(bass, treble)).toBe(false);
  });

  it('what is not asked for is not worked out', () => {
    const quick = answer(jobOf({ lastFretGap: GAPS }));
    expect(quick.uncertainty).toMatchObject({ deepest: 0, pitch: 0, left: 0, budget: [], assumed: [] });
    const whole = answer(jobOf({ lastFretGap: GAPS }), 'all');
    expect(whole.solution.deepest).toBe(quick.solution.deepest);
    expect(whole.uncertainty.deepest).toBeGreaterThan(0.02);
    expect(whole.uncertainty.budget.length).toBeGreaterThan(3);
    expect([quick.p, whole.p, whole.warnings]).toEqual([undefined, undefined, []]);
  });

  it('the edge where fits are measured is the deeper one: the mouth, or the rear of a floor that falls forward', () => {
    expect(answer(jobOf({ lastFretGap: GAPS })).edge).toBe('mouth');
    expect(answer(jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 })).edge).toBe('rear');
    expect(answer(jobOf({ lastFretGap: { bass: 0.5, treble: 0.5 }, raised: 1, travel: 9 })).edge).toBe('mouth');
  });
});

describe('depths of a fit', () => {
  it('of nothing are known without a ±, given once or for both sides; of a little at one side they are not', () => {
    const at = (depth: Fit['depth']): Solved =>
      answer({ ...jobOf({ lowest: { bass: 8.5, treble: 8.5 } }), fits: [fit(depth, m(1.15))] }, 'all');
    const none = at(measured(0, 0, true));
    for (const depth of [m(0, 0.3), { bass: m(0, 0.3), treble: m(0, 0.3) }]) {
      const { solution, uncertainty } = at(depth);
      expect(solution.deepest).toBeCloseTo(none.solution.deepest, 9);
      expect(uncertainty.deepest).toBeCloseTo(none.uncertainty.deepest, 9);
    }
    for (const depth of [m(0.01, 0.3), { bass: m(0, 0.3), treble: m(0.01, 0.3) }, { bass: m(0.01, 0.3), treble: m(0, 0.3) }])
      expect(at(depth).uncertainty.deepest).toBeGreaterThan(1.2 * none.uncertainty.deepest);
  });

  it('that no floor of this pocket has are refused, each by its number', () => {
    const job = { ...jobOf({ lastFretGap: GAPS, body: 60 }) };
    // 3 in 10 over 71.5 mm are 21.45 mm.
    const told = codesOf({ ...job, fits: [fit(m(0.2, 0.03)), fit(m(22, 0.03))] }).filter((each) => each.startsWith('fit-floor'));
    expect(told).toEqual([
      'fit-floor 2: fit 2 gives depths at its deepest edge that no floor of this pocket has: it would be far too steep',
    ]);
    expect(codesOf({ ...job, fits: [fit(m(21, 0.03))] }).filter((each) => each.startsWith('fit-floor'))).toEqual([]);
  });
});

describe('the least gap of a string, and where it is', () => {
  it('counts from the 12th fret on; the nearest of them to the string is told', () => {
    const of = (plain: Plain) => {
      const { instrument, outline, plane } = solvedOf(jobOf(plain));
      return { instrument, uncut: planeOf(outline, 0, 0, 0, 1), plane };
    };
    // A straight string over a flat neck: rising to the bridge it is nearest at the 12th fret, falling to it at the last.
    const rising = of({ lastFretGap: GAPS });
    expect(lowOf(rising.instrument, rising.uncut, 0).fret).toBe(12);
    const s = (n: number): number => 1 - 2 ** (-n / 12);
    expect(lowOf(rising.instrument, rising.uncut, 0).gap).toBeCloseTo(0.5 + (0.7 * s(12)) / s(20), 9);
    const falling = of({ lastFretGap: { bass: 0.4, treble: 0.3 } });
    const { low, high, lowest, highest } = reachOf(falling.instrument, falling.uncut);
    expect(low.map(({ fret }) => fret)).toEqual([20, 20, 20, 20, 20, 20]);
    expect([low[0]?.gap, low[5]?.gap]).toEqual([expect.closeTo(0.4, 9), expect.closeTo(0.3, 9)]);
    expect(lowest).toBeCloseTo(0.4, 9);
    expect(lowestOf(falling.instrument, falling.uncut)).toBe(lowest);
    // 7 mm of travel raise the string over the last fret by 7 s_20 / L.
    expect([high[0], high[5]]).toEqual([expect.closeTo(0.4 + 7 * s(20), 9), expect.closeTo(0.3 + 7 * s(20), 9)]);
    expect(highest).toBeCloseTo(0.3 + 7 * s(20), 9);
    // Relief: the lowest is somewhere between.
    const hollow = of({ lastFretGap: { bass: 0.35, treble: 0.35 }, relief: -0.4 });
    const middle = lowOf(hollow.instrument, hollow.uncut, 0);
    expect(middle.fret).toBeGreaterThanOrEqual(12);
    expect(middle.gap).toBeLessThan(0.35);
  });
});
