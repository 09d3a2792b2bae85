import { describe, expect, it } from 'vitest';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { stopsOf } from '../../src/solve/stops.ts';
import { jobOf, m } from '../support/jobs.ts';

const gaps = { bass: 1.2, treble: 1.1 };

function codesOf(job: Parameters<typeof solveEvidence>[0]): string[] {
  const solved = solveEvidence(job);
  return solved.ok ? [] : solved.findings.map(({ code, message }) => `${code}: ${message}`);
}

describe('every kind of evidence given is looked at', () => {
  it('a straightedge that puts the string under a crown is refused, beside sound gaps too', () => {
    expect(codesOf(jobOf({ straightedge: { bass: -3, treble: -3 } }))).toHaveLength(2);
    const both = codesOf(jobOf({ lastFretGap: gaps, straightedge: { bass: 2, treble: -3 } }));
    expect(both).toHaveLength(1);
    expect(both[0]).toMatch(/^string-under-crown: by neck.nutGap and asFound.straightedge the treble string/);
  });

  it('a first-fret gap that cannot be is refused where the nut gap is sound', () => {
    const job = jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, relief: -0.4, firstFretGap: { bass: 0.02, treble: 0.02 } });
    const found = codesOf({ ...job, neck: { ...job.neck, nutGap: m(1.5) } });
    expect(found.length).toBeGreaterThan(0);
    expect(found.every((each) => each.includes('asFound.firstFretGap and asFound.lastFretGap'))).toBe(true);
  });
});

describe('contradictions', () => {
  it('name the odd one out: the one of three readings that the other two do not bear out', () => {
    const job = jobOf({ lastFretGap: gaps });
    const fit = (gap: number) => ({
      depth: m(0.5, 0.03),
      lastFretGap: m(gap),
      raised: undefined,
      on: undefined,
      note: undefined,
    });
    // Three looks at the same floor, of which the second is 0.2 mm off.
    const solved = solveEvidence({ ...job, fits: [fit(0.42), fit(0.62), fit(0.42)] });
    if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join());
    expect(solved.value.warnings[0]?.message).toContain('lastFretGap of fit 2');
  });
});

describe('a job from a drawing alone', () => {
  it('has no depth to cut to before the neck has been on once; after that fit it has', () => {
    const job = jobOf({ lowest: { bass: 8.5, treble: 8.5 } });
    const planned = solveEvidence(job);
    if (!planned.ok) throw new Error('the drawing cannot be solved');
    expect(planned.value.solution.deepest).toBeGreaterThan(0);
    expect(stopsOf(planned.value)[0]?.deepest).toBe(0);
    const read = { depth: m(0, 0.03), lastFretGap: m(1.2), raised: undefined, on: undefined, note: undefined };
    const fitted = solveEvidence({ ...job, fits: [read] });
    if (!fitted.ok) throw new Error(fitted.findings.map(({ message }) => message).join());
    const asRead = solveEvidence(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 } }));
    if (!asRead.ok) throw new Error('the readings cannot be solved');
    expect(stopsOf(fitted.value)[0]?.deepest).toBeGreaterThan(0.3);
    // A fit of depth 0 is the as-found reading by another name.
    expect(fitted.value.solution.deepest).toBeCloseTo(asRead.value.solution.deepest, 6);
  });
});
