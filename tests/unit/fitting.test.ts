import { describe, expect, it } from 'vitest';
import { combine } from '../../src/instrument/combine.ts';
import { placeInstrument } from '../../src/instrument/evidence.ts';
import { endsOf } from '../../src/instrument/fromEnds.ts';
import type { Fit, Job } from '../../src/job/job.ts';
import type { Finding } from '../../src/kernel/findings.ts';
import { valuesOf } from '../../src/kernel/measured.ts';
import { STEEPEST_TILT_RAD } from '../../src/kernel/tolerances.ts';
import { edgeDepths } from '../../src/solve/edge.ts';
import { type FitState, fitStateOf } from '../../src/solve/fitting.ts';
import { solve, solveFloor } from '../../src/solve/solve.ts';
import { type Solved, solveEvidence } from '../../src/solve/solveEvidence.ts';
import { stopsOf } from '../../src/solve/stops.ts';
import { figuresOf } from '../../src/solve/uncertainty.ts';
import { jobOf, m, type Plain } from '../support/jobs.ts';
import { outlineOf, solved } from '../support/solved.ts';

const LEVEL: Plain = { lastFretGap: { bass: 1.2, treble: 1.2 } };
const LEANING: Plain = { lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll' } };

const fitAt = (bass: number, treble: number): Fit => ({
  depth: { bass: m(bass), treble: m(treble) },
  lastFretGap: m(1),
  raised: undefined,
  shim: undefined,
  on: undefined,
  note: undefined,
});

/** A job after one fit, what is left known to `left` mm. */
function after(plain: Plain, fit: Fit, left = 0.02, warnings: readonly Finding[] = []): Solved {
  const job: Job = { ...jobOf(plain), fits: [fit] };
  const solution = solved(job);
  const uncertainty = { ...figuresOf(solution, 'mouth'), left, past: 0, budget: [], pastBudget: [], assumed: [] };
  return { solution, uncertainty, evidence: [], p: undefined, edge: 'mouth', warnings };
}

const levelAt = (depth: number, warnings: readonly Finding[] = []): FitState =>
  fitStateOf(after(LEVEL, fitAt(depth, depth), 0.02, warnings), [fitAt(depth, depth)]);

describe('where a job stands after a fit', () => {
  const wanted = edgeDepths(solved(jobOf(LEANING)), 'mouth');
  const gain = solved(jobOf(LEVEL)).gain;
  const { deepest } = solved(jobOf(LEVEL));

  it('on its way: how deep it is, how deep it shall be, and where to stop next', () => {
    const given = after(LEANING, fitAt(0.3, 0.5));
    const state = fitStateOf(given, [fitAt(0.3, 0.5)]);
    const [stop] = stopsOf(given);
    expect(state).toMatchObject({ edge: 'mouth', done: false, surprise: null, wayBack: 0, leftUncertainty: 0.02 });
    expect(state.reached).toEqual({ bass: 0.3, treble: 0.5 });
    expect(state.wanted).toEqual({ bass: expect.closeTo(wanted.bass, 12), treble: expect.closeTo(wanted.treble, 12) });
    expect(state.left).toBeCloseTo((wanted.bass + wanted.treble) / 2 - 0.4, 6);
    expect(stop?.deepest).toBeGreaterThan(0.4);
    expect([state.next, state.nextAt]).toEqual([stop?.deepest, stop?.at]);
    expect(state.past).toBeLessThan(-0.05);
  });

  describe('within what is forgiven, but coarsely read', () => {
    // 0.05 mm of gap are forgiven, so a string that stands 0.03 too high is doubted from a ± of 0.0825 on: 2.25 times as much in all.
    const known = (past: number, fits: readonly Fit[], of = 'fits.0.lastFretGap.bass', share = 1): FitState => {
      const given = after(LEVEL, fits[fits.length - 1] as Fit);
      const uncertainty = { ...given.uncertainty, past, pastBudget: [{ input: of, share }] };
      return fitStateOf({ ...given, uncertainty }, fits);
    };
    const fitShort = (short: number): Fit => fitAt(deepest + short / gain, deepest + short / gain);
    const state = (short: number, past: number, ...more: [of?: string, share?: number]): FitState =>
      known(past, [fitShort(short)], ...more);

    it('it is read once more, nothing filed, where it may stand twice as much too high', () => {
      const doubted = state(0.03, 0.085);
      expect(doubted.doubt).toBeCloseTo(0.115, 3);
      expect([doubted.done, doubted.wayBack]).toEqual([false, 0]);
      expect(doubted.nextAt.bass).toBeCloseTo(deepest + 0.03 / gain, 9);
      expect(doubted.next).toBeCloseTo(deepest + 0.03 / gain, 9);
      expect(state(0.03, 0.08)).toMatchObject({ done: true, doubt: null });
    });

    it('half of what is forgiven, too low, and beyond what is forgiven are not doubted', () => {
      expect(state(0.024, 0.3)).toMatchObject({ done: true, doubt: null });
      expect(state(0.026, 0.3)).toMatchObject({ done: false, doubt: expect.closeTo(0.326, 3) });
      expect(state(-0.04, 0.3)).toMatchObject({ done: true, doubt: null });
      expect(state(0.052, 0.3)).toMatchObject({ done: false, doubt: null });
    });

    it('gaps and raised saddles are read again only where a quarter of the doubt is theirs', () => {
      expect(state(0.03, 0.09, 'fits.0.raised', 0.26).doubt).not.toBeNull();
      expect(state(0.03, 0.09, 'fits.0.raised', 0.24)).toMatchObject({ done: true, doubt: null });
      for (const other of ['neck.relief', 'fits.0.depth', 'asFound.lastFretGap.bass'])
        expect(state(0.03, 0.09, other), other).toMatchObject({ done: true, doubt: null });
    });

    it('the same floor is read three times at most; one filed deeper, or with another shim, is another floor', () => {
      const [now, before] = [fitShort(0.03), fitShort(0.1)];
      const doubts = (...fits: Fit[]): boolean => known(0.09, fits).doubt !== null;
      expect(doubts(now, now)).toBe(true);
      expect(doubts(now, now, now)).toBe(false);
      expect(doubts(before, now, now)).toBe(true);
      expect(doubts(before, now, now, now)).toBe(false);
      expect(doubts({ ...now, shim: m(0.1) }, now, now)).toBe(true);
      // Wood does not grow: a depth read a little smaller is of the same floor.
      expect(doubts(fitShort(0.028), fitShort(0.029), now)).toBe(false);
    });
  });

  it('done within what is forgiven, on either side, and then there is nothing to go on to', () => {
    // 0.05 mm of gap are forgiven.
    const part = 0.05 / Math.abs(gain);
    for (const off of [-0.98 * part, 0, 0.98 * part]) {
      const state = levelAt(deepest + off);
      expect(state.done).toBe(true);
      expect(state.next).toBeCloseTo(deepest + off, 12);
      expect(state.nextAt).toEqual(state.reached);
      expect(state.wayBack).toBe(0);
    }
    const short = levelAt(deepest - 1.02 * part);
    expect(short.done).toBe(false);
    expect(short.next).toBeGreaterThan(deepest - 1.02 * part);
    const past = levelAt(deepest + 1.02 * part);
    expect([past.done, past.next]).toEqual([false, deepest + 1.02 * part]);
    // What was taken off too much is what a wedge would put back.
    expect(past.wayBack).toBeCloseTo(1.02 * part, 6);
    expect(past.past).toBeCloseTo(1.02 * 0.05, 3);
  });

  it('says what surprises, of all warnings that one alone', () => {
    const warning = (code: string): Finding => ({ code, severity: 'warning', exit: null, message: `${code} it is` });
    const said = (...codes: string[]) => levelAt(0.3, codes.map(warning)).surprise;
    expect(said('hardly-so-small')).toBeNull();
    expect(said('hardly-so-small', 'evidence-contradicts')).toBe('evidence-contradicts it is');
  });
});

describe('a neighbour’s pitch to begin from', () => {
  it('takes nothing for a floor that is too steep: the same answer as without it, up to the limit and beyond', () => {
    let steep = 0;
    for (const gap of [4.9, 5.3, 5.5, 5.7, 6.2]) {
      const plain: Plain = { lastFretGap: { bass: gap, treble: gap } };
      const instrument = placeInstrument(valuesOf(jobOf(plain)), 'lastFretGap');
      const outline = outlineOf(jobOf(plain));
      const alone = solveFloor(instrument, outline);
      for (const near of [0.04, 0.051, STEEPEST_TILT_RAD]) {
        const from = solveFloor(instrument, outline, near);
        expect(from.ok).toBe(alone.ok);
        if (from.ok && alone.ok) expect(from.value.pitch).toBeCloseTo(alone.value.pitch, 9);
        if (!from.ok) {
          steep += 1;
          expect(from.findings.map(({ code }) => code)).toEqual(['tilt-too-steep']);
        }
      }
      expect(solve(instrument, outline).ok).toBe(alone.ok);
    }
    // Some of them are, and some are not.
    expect(steep).toBeGreaterThan(0);
    expect(steep).toBeLessThan(15);
  });
});

describe('a fit of the depth of the one before', () => {
  const at = (depth: number, gap: number, bound: number, spread: number): Fit => ({
    ...fitAt(depth, depth),
    depth: m(depth, bound),
    lastFretGap: { bass: m(gap, spread), treble: m(gap - 0.1, spread) },
  });
  const answer = (fits: readonly Fit[]): Solved => {
    const found = solveEvidence({ ...jobOf({ lastFretGap: { bass: 1.2, treble: 1.1 } }), fits });
    if (!found.ok) throw new Error('it can be solved');
    return found.value;
  };
  const pastOf = (gaps: readonly number[], bound = 0.05, spread = 0.08): number => {
    const fits = gaps.map((gap) => at(0.3, gap, bound, spread));
    return fitStateOf(answer(fits), fits).past;
  };

  it('is the same floor read again: in which order its readings were noted makes no difference', () => {
    const [one, other, third] = [
      [0.6, 0.64, 0.56],
      [0.64, 0.56, 0.6],
      [0.56, 0.6, 0.64],
    ].map((gaps) => pastOf(gaps));
    expect(other).toBeCloseTo(one as number, 6);
    expect(third).toBeCloseTo(one as number, 6);
    // As their mean read three times.
    expect(pastOf([0.6, 0.6, 0.6])).toBeCloseTo(one as number, 3);
  });

  it('makes the answer surer with each reading, by the share that is the readings own', () => {
    const open = [1, 2, 3].map((count) => {
      const fits = Array.from({ length: count }, () => at(0.3, 0.7, 0.05, 0.08));
      return answer(fits).uncertainty.past;
    }) as [number, number, number];
    expect(open[1]).toBeLessThan(0.95 * open[0]);
    expect(open[2]).toBeLessThan(0.97 * open[1]);
    expect(open[2]).toBeGreaterThan(open[0] / Math.sqrt(3));
  });

  it('is another floor where its depth, the ± of that or a shim differs, on either side', () => {
    const inputs = (...fits: Fit[]): string[] => answer(fits).uncertainty.pastBudget.map(({ input }) => input);
    const first = at(0.3, 0.6, 0.05, 0.08);
    expect(inputs(first, first)).toContain('fits.0.depth');
    expect(inputs(first, first)).not.toContain('fits.1.depth');
    expect(inputs(first, first, first).filter((input) => input.endsWith('.depth'))).toEqual(['fits.0.depth']);
    expect(inputs(first, at(0.302, 0.6, 0.05, 0.08))).toContain('fits.1.depth');
    expect(inputs(first, at(0.3, 0.6, 0.04, 0.08))).toContain('fits.1.depth');
    const sides = (treble: number): Fit => ({ ...first, depth: { bass: m(0.3, 0.05), treble: m(treble, 0.05) } });
    expect(inputs(sides(0.31), sides(0.31)).filter((input) => input.startsWith('fits.1.depth'))).toEqual([]);
    expect(inputs(sides(0.31), sides(0.32))).toEqual(expect.arrayContaining(['fits.1.depth.bass', 'fits.1.depth.treble']));
    expect(inputs(sides(0.31), first)).toContain('fits.1.depth');
    const shimmed = (shim: number): Fit => ({ ...first, depth: m(0.5, 0.05), shim: m(shim, 0.02) });
    expect(inputs(shimmed(0.2), shimmed(0.2)).filter((input) => /^fits\.1\.(depth|shim)/.test(input))).toEqual([]);
    expect(inputs(shimmed(0.2), shimmed(0.19))).toEqual(expect.arrayContaining(['fits.1.depth', 'fits.1.shim']));
  });
});

describe('readings given once for both sides', () => {
  // Each floor filed a little deeper: the very same depth would be the same floor read again.
  const read = (gap: number, i: number): Fit => ({ ...fitAt(0.5, 0.5), depth: m(0.5 + 0.01 * i, 0.03), lastFretGap: m(gap) });
  const contradicting: Job = { ...jobOf({ lastFretGap: { bass: 1.2, treble: 1.1 } }), fits: [0.42, 0.62, 0.42].map(read) };

  it('are let apart only where that alone makes them agree', () => {
    const start = endsOf(placeInstrument(valuesOf(contradicting), 'lastFretGap'));
    const [alike, nearly] = (['alike', 'nearly'] as const).map((way) => combine(contradicting, start, 'mouth', way));
    const answer = solveEvidence(contradicting, 'value-only');
    if (!answer.ok || alike == null || nearly == null) throw new Error('it can be combined');
    expect(nearly.chiSquare).toBeLessThan(alike.chiSquare - 0.1);
    // Contradicting both ways: they are held to what was said.
    expect(answer.value.p).toBeLessThan(0.05);
    const [bass] = answer.value.solution.instrument.seatLowest;
    expect(bass).toBeCloseTo(alike.ends.seat.bass, 9);
    expect(bass).not.toBeCloseTo(nearly.ends.seat.bass, 5);
  });
});
