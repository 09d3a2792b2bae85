import { describe, expect, it } from 'vitest';
import { inputsOf, measured } from '../../src/kernel/measured.ts';
import { sampling } from '../../src/solve/sampled.ts';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { stopsOf } from '../../src/solve/stops.ts';
import { jobOf, m } from '../support/jobs.ts';
import { solved as solvedOf } from '../support/solved.ts';

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

  it.each([
    ['asFound.lastFretGap', { lastFretGap: { bass: 1.9, treble: 1.8 } }, undefined],
    ['asFound.lastFretGap.treble', { lastFretGap: { bass: 1.2, treble: 1.8 } }, undefined],
    // Three readings meet in one equation a side, and none of them bears another out.
    ['neck.nutGap, asFound.lastFretGap or asFound.straightedge, which the others do not tell apart', {}, m(1.6, 0.6)],
    [
      'neck.nutGap.bass, asFound.lastFretGap.bass or asFound.straightedge.bass, which the others do not tell apart',
      {},
      { bass: m(1.6, 0.6), treble: m(0.5, 0.6) },
    ],
  ] as const)('also one of those before any fit, by its place in the file: %s', (path, plain, nutGap) => {
    const job = jobOf({ lastFretGap: gaps, ...plain });
    const fit = (depth: number, gap: number) => ({
      depth: m(depth, 0.03),
      lastFretGap: m(gap),
      raised: undefined,
      on: undefined,
      note: undefined,
    });
    const { gain } = solvedOf(jobOf({ lastFretGap: gaps }));
    // Fits that bear out 1.2 and 1.1 mm as found, or a straightedge that puts the seats where such gaps do.
    const fits = [0.2, 0.4, 0.6].map((depth) => fit(depth, 1.15 + gain * depth));
    const { seatLowest } = solvedOf(jobOf({ lastFretGap: gaps })).instrument;
    const straightedge = { bass: m((seatLowest[0] as number) - 23.5), treble: m((seatLowest[5] as number) - 23.5) };
    const given =
      nutGap === undefined
        ? { ...job, fits }
        : { ...job, neck: { ...job.neck, nutGap }, asFound: { ...job.asFound, straightedge } };
    const solved = solveEvidence(given, 'value-only');
    if (!solved.ok) throw new Error(JSON.stringify(solved.findings));
    const [{ message = '' } = {}] = solved.value.warnings;
    expect(message).toContain(`the odd one out is most likely ${path}: measure`);
    expect(message).toMatch(/: measure (?:it|them) again before you cut$/);
    expect(message.includes('measure them')).toBe(path.includes(' or '));
    expect(message).toMatch(/in (?:less than 0\.1|\d\.\d) % of cases/);
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

describe('what the evidence is told to be', () => {
  const readOf = (gap: number, depth: number) => ({
    depth: m(depth, 0.03),
    lastFretGap: m(gap),
    raised: undefined,
    on: undefined,
    note: undefined,
  });

  it('each kind by name, and whether it agrees', () => {
    const job = jobOf({ lastFretGap: gaps });
    const use = (...seen: readonly number[]) => {
      const solved = solveEvidence({ ...job, fits: seen.map((gap) => readOf(gap, 0.5)) });
      return solved.ok && solved.value.evidence;
    };
    const told = (agrees: boolean, ...kinds: readonly string[]) => kinds.map((kind) => ({ kind, agrees }));
    expect(use(0.42)).toEqual(told(true, 'nutGap', 'lastFretGap', 'fit 1'));
    expect(use(0.42, 0.62)).toEqual(told(false, 'nutGap', 'lastFretGap', 'fit 1', 'fit 2'));
  });

  it.each([
    ['where the readings put the seats', 0, true],
    ['5 mm higher', 5, false],
    ['5 mm lower', -5, false],
  ])('a drawing %s', (_where, off, agrees) => {
    const job = jobOf({ lastFretGap: gaps });
    const { instrument } = solvedOf(job);
    const drawn = (end: number): number => (instrument.seatLowest.at(end) ?? 0) - instrument.job.pocket.depth + off;
    const solved = solveEvidence(jobOf({ lastFretGap: gaps, lowest: { bass: drawn(0), treble: drawn(-1) } }));
    expect(solved.ok && solved.value.evidence.at(-1)).toEqual({ kind: 'drawing', agrees });
  });
});

/** A neck read both ways, the two a little apart; the straightedge on frets 1 and 20, as it lies where there is relief. */
function readBothWays(relief: number) {
  const plain = { lastFretGap: { bass: 1.2, treble: 1.1 }, nutGap: { bass: 0.5, treble: 0.5 }, radius: 280, relief };
  const { plans, crowns, seatLowest } = solvedOf(jobOf(plain)).instrument;
  const edge = (i: number): number => {
    const { yNut, ySaddle, sSaddle } = plans[i] as (typeof plans)[number];
    const crown = (s: number): number => crowns.crown(s, yNut + ((ySaddle - yNut) * s) / sSaddle);
    const [s1, last] = [crowns.places[1] as number, crowns.places[20] as number];
    const slope = (crown(last) - crown(s1)) / (last - s1);
    return (seatLowest[i] as number) - (crown(s1) + slope * (sSaddle - s1));
  };
  const job = jobOf({ ...plain, straightedge: { bass: edge(0) + 0.03, treble: edge(5) - 0.03 } });
  return { plain, job: { ...job, neck: { ...job.neck, relief: measured(relief, 0.05, true) } } };
}

it.each([-0.03, 0, 0.02, 0.04])(
  'the ± of combined readings is near the sampled one also where the straightedge may come to rest on another fret: relief %f',
  (relief) => {
    // Known within 0.05 mm: hollow, the straightedge lies on the ends of the frets, and humped on their middle.
    const { job } = readBothWays(relief);
    const both = solveEvidence(job);
    if (!both.ok) throw new Error(JSON.stringify(both.findings));
    const draws = sampling(job, 120, 11);
    let drawn = draws.next();
    while (drawn.done !== true) drawn = draws.next();
    const { unsolved, deepest } = drawn.value;
    expect(unsolved).toBeLessThanOrEqual(2);
    // JCGM 101:2008. A bend is followed by the mean of what lies on either side of it, so only roughly.
    const ratio = both.value.uncertainty.deepest / (2 * deepest.deviation);
    expect(ratio).toBeGreaterThan(0.83);
    expect(ratio).toBeLessThan(1.5);
  },
);

it('the ± of combined readings is what solving again gives, each reading moved by its own', () => {
  // Relief well above its ±, so that the straightedge rests on the same fret throughout.
  const { plain, job } = readBothWays(0.3);
  const both = solveEvidence(job);
  if (!both.ok) throw new Error(JSON.stringify(both.findings));
  expect(both.value.p).toBeGreaterThan(0.05);
  const moved = (tree: unknown, path: readonly string[], by: number): unknown => {
    if (path.length === 0) return { ...(tree as object), value: (tree as { value: number }).value + by };
    const [key = '', ...rest] = path;
    const child = moved((tree as Record<string, unknown>)[key], rest, by);
    return Array.isArray(tree) ? tree.with(Number(key), child) : { ...(tree as object), [key]: child };
  };
  const deepestAt = (path: string, by: number): number => {
    const again = solveEvidence(moved(job, path.split('.'), by) as typeof job, 'value-only');
    if (!again.ok) throw new Error(path);
    return again.value.solution.deepest;
  };
  let sum = 0;
  for (const { path, measured } of inputsOf(job)) {
    const u = measured.bound / Math.sqrt(3);
    if (u > 0) sum += ((deepestAt(path, u) - deepestAt(path, -u)) / 2) ** 2;
  }
  expect(both.value.uncertainty.deepest / (2 * Math.sqrt(sum))).toBeGreaterThan(0.97);
  expect(both.value.uncertainty.deepest / (2 * Math.sqrt(sum))).toBeLessThan(1.03);
  // Two ways to the seats leave less doubt than one.
  const one = solveEvidence(jobOf(plain));
  expect(both.value.uncertainty.deepest).toBeLessThan((one.ok ? one.value.uncertainty.deepest : 0) * 0.95);
});

it('readings that contradict each other widen the ± by the root of chi-square over how many are redundant', () => {
  const plain = { lastFretGap: { bass: 1.2, treble: 1.1 }, nutGap: { bass: 0.5, treble: 0.5 }, relief: 0.3 };
  const found = (off: number) => {
    const { seatLowest, crowns } = solvedOf(jobOf(plain)).instrument;
    // A flat neck without its relief at frets 1 and 20: the straightedge lies 23.5 mm over the seat.
    expect(crowns.crown(crowns.places[20] as number, 9)).toBeCloseTo(23.5, 9);
    const edge = (i: number): number => (seatLowest[i] as number) - 23.5 + off;
    const straightedge = { bass: edge(0), treble: edge(5) };
    const solved = solveEvidence(jobOf({ ...plain, straightedge, lowest: { bass: 8.5, treble: 8.5 } }));
    if (!solved.ok) throw new Error(JSON.stringify(solved.findings));
    return solved.value;
  };
  const [agreeing, odd] = [found(0), found(0.28)];
  expect(agreeing.p).toBeGreaterThan(0.99);
  expect(odd.p).toBeLessThan(0.05);
  // Two are redundant, one a side: with two degrees of freedom the chance of a larger chi-square is exp(-chi²/2).
  const chi = -2 * Math.log(odd.p as number);
  expect(odd.uncertainty.deepest / agreeing.uncertainty.deepest / Math.sqrt(chi / 2)).toBeCloseTo(1, 1);
  expect(odd.warnings.map(({ code }) => code)).toEqual(['evidence-contradicts']);
  expect(odd.warnings[0]?.message).toContain('chance alone would do this in less than 0.1 % of cases');
  // All of its figures alike.
  for (const key of ['pitch', 'left', 'drawingBass', 'drawingTreble'] as const)
    expect(odd.uncertainty[key] / agreeing.uncertainty[key] / Math.sqrt(chi / 2)).toBeCloseTo(1, 0);
  const less = found(0.1);
  expect(less.p).toBeGreaterThan(0.001);
  expect(less.p).toBeLessThan(0.05);
  expect(less.warnings[0]?.message).toContain(
    `chance alone would do this in ${(100 * (less.p as number)).toFixed(1)} % of cases`,
  );
});

it('without any reading there is nothing to solve, and nothing to say', () => {
  expect(solveEvidence(jobOf({}))).toMatchObject({ ok: false, findings: [] });
});

it('a drawing and one fit are no more than is needed: nothing can contradict, and no ± is widened', () => {
  const fit = { depth: m(0.4, 0.03), lastFretGap: m(0.9), raised: undefined, on: undefined, note: undefined };
  const found = solveEvidence({ ...jobOf({ lowest: { bass: 8.5, treble: 8.5 } }), fits: [fit] });
  if (!found.ok) throw new Error(JSON.stringify(found.findings));
  const { p, evidence, warnings, uncertainty } = found.value;
  expect(p).toBeUndefined();
  expect(warnings).toEqual([]);
  expect(evidence).toEqual([
    { kind: 'nutGap', agrees: true },
    { kind: 'fit 1', agrees: true },
    { kind: 'drawing', agrees: false },
  ]);
  expect(uncertainty.deepest).toBeGreaterThan(0.03);
  expect(uncertainty.deepest).toBeLessThan(0.08);
});

it('after a fit the next stop lies between the depth reached and the depth wanted', () => {
  // So little is forgiven here (0.02 mm of gap) that the readings do not tell the depth closely enough to go there at once.
  const job = jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 }, target: { within: 0.02 } });
  const { gain, deepest } = solvedOf(job);
  const depth = 0.3;
  const fit = { depth: m(depth, 0.03), lastFretGap: m(1.2 + gain * depth), raised: undefined, on: undefined, note: undefined };
  const solved = solveEvidence({ ...job, fits: [fit] });
  if (!solved.ok) throw new Error(JSON.stringify(solved.findings));
  const [next, end] = stopsOf(solved.value);
  expect(end?.deepest).toBeGreaterThan(deepest - 0.1);
  expect(next?.deepest).toBeLessThan((end?.deepest ?? 0) - 0.01);
  // It goes half the way at least.
  expect(next?.deepest).toBeGreaterThanOrEqual((depth + (end?.deepest ?? 0)) / 2 - 1e-9);
});

it('readings that no one instrument comes near are refused with the reason, and a fit that no floor could have by name', () => {
  const job = jobOf({ lastFretGap: { bass: 1.2, treble: 1.1 } });
  const with1 = (depth: number, bound: number, gap: number) =>
    solveEvidence({
      ...job,
      fits: [{ depth: m(depth, bound), lastFretGap: m(gap), raised: undefined, on: undefined, note: undefined }],
    });
  // The gap rose by 2 mm where the floor was taken down by 3: a floor that falls the other way, of which the depth cannot be read.
  const apart = with1(3, 1, 3);
  expect(apart.ok).toBe(false);
  expect(!apart.ok && apart.findings).toEqual([
    {
      code: 'evidence-cannot-combine',
      severity: 'error',
      exit: 3,
      message: 'with fit 1 counted in, the readings are so far apart that no one instrument comes near all of them',
      found: 'fit 1: depth 3.00 mm, gap 3.00 mm, saddles all the way down',
      remedy: 'look at each figure of that fit again, its decimal point and its unit; without the fits there is an answer',
    },
  ]);
  const tooDeep = with1(12, 0.03, 6);
  expect(!tooDeep.ok && tooDeep.findings.map(({ code }) => code)).toEqual(['fit-too-deep']);
});
