import { describe, expect, it } from 'vitest';
import type { EvidenceKind } from '../../src/instrument/evidence.ts';
import type { Sides } from '../../src/instrument/neck.ts';
import type { Fit, Job } from '../../src/job/job.ts';
import { edgeDepths, leftAtEdge, reachedOf } from '../../src/solve/edge.ts';
import { gapAt } from '../../src/solve/gaps.ts';
import { depthNoted } from '../../src/solve/noted.ts';
import { afterFit } from '../../src/solve/past.ts';
import { planeOf } from '../../src/solve/solve.ts';
import { type Stop, stopsOf } from '../../src/solve/stops.ts';
import { type Figures, figuresOf, type Movable, propagate, type Uncertainty } from '../../src/solve/uncertainty.ts';
import { jobOf, m, type Plain } from '../support/jobs.ts';
import { solved } from '../support/solved.ts';

const LEVEL: Plain = { lastFretGap: { bass: 1.2, treble: 1.2 } };
const LEANING: Plain = { lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll' } };

function fitAt(bass: number, treble = bass, shim?: number): Fit {
  return {
    depth: { bass: m(bass), treble: m(treble) },
    lastFretGap: m(1),
    raised: undefined,
    shim: shim === undefined ? undefined : m(shim),
    on: undefined,
    note: undefined,
  };
}

const withFits = (plain: Plain, ...fits: Fit[]): Job => ({ ...jobOf(plain), fits });

/** What the stops are worked out from, its ± of what is left given outright; after a fit it is that of the gap. */
function from(job: Job, left: number, kind?: EvidenceKind) {
  const solution = solved(job, kind);
  const past = left * afterFit({ solution, edge: 'mouth' }).perMm;
  const uncertainty = {
    ...figuresOf(solution, 'mouth'),
    left: job.fits.length === 0 ? left : Number.NaN,
    past,
    budget: [],
    pastBudget: [],
    assumed: [],
  };
  return { solution, uncertainty: uncertainty satisfies Uncertainty, edge: 'mouth' as const };
}

const whys = (stops: readonly Stop[]): string[] => stops.map(({ why }) => why.split(':')[0] as string);
const depths = (stops: readonly Stop[]): number[] => stops.map(({ deepest }) => deepest);

describe('where to stop, by hand', () => {
  it('before anything is cut: the depth less its ± and the hand’s, then the depth', () => {
    const given = from(jobOf(LEVEL), 0.2);
    const { deepest } = given.solution;
    const stops = stopsOf(given);
    expect(depths(stops)).toEqual([expect.closeTo(deepest - Math.hypot(0.2, 0.04), 12), expect.closeTo(deepest, 12)]);
    expect(whys(stops)).toEqual(['fit here', 'the depth worked out']);
    for (const { at, deepest: middle, edge } of stops) {
      expect([at.bass, at.treble]).toEqual([expect.closeTo(middle, 12), expect.closeTo(middle, 12)]);
      expect(edge).toBe('mouth');
    }
  });

  it('on a floor that leans both ends are the same part of the way', () => {
    const given = from(jobOf(LEANING), 0.2);
    const wanted = edgeDepths(given.solution, 'mouth');
    const half = (wanted.bass + wanted.treble) / 2;
    expect(wanted.treble - wanted.bass).toBeGreaterThan(0.1);
    const [first] = stopsOf(given);
    const part = (half - Math.hypot(0.2, 0.04)) / half;
    expect(first?.at.bass).toBeCloseTo(wanted.bass * part, 12);
    expect(first?.at.treble).toBeCloseTo(wanted.treble * part, 12);
  });

  it('nothing before another reading where the ± is the whole cut, or where there is only a drawing', () => {
    const { deepest } = solved(jobOf(LEVEL));
    // A first stop of less than a file's hand misses by, 0.02 mm, is none.
    const just = Math.sqrt((deepest - 0.02) ** 2 - 0.04 ** 2);
    expect(depths(stopsOf(from(jobOf(LEVEL), just - 0.001)))[0]).toBeGreaterThan(0.02);
    const stops = stopsOf(from(jobOf(LEVEL), just + 0.001));
    expect(depths(stops)).toEqual([0, expect.closeTo(deepest, 12)]);
    expect(whys(stops)[0]).toMatch(/^the ± is nearly as large/);
    const drawn = stopsOf(from(jobOf({ lowest: { bass: 8.5, treble: 8.5 } }), 0.1, 'drawing'));
    expect(drawn.map(({ deepest: middle }) => middle > 0)).toEqual([false, true]);
    expect(whys(drawn)[0]).toMatch(/^a drawing is for planning/);
    expect(stopsOf(from(jobOf({ lastFretGap: { bass: 0.5, treble: 0.5 }, raised: 1, travel: 9 }), 0.1))).toEqual([]);
  });

  it('after an early fit the first stop stands as it did; three times its ± is the limit', () => {
    const { deepest } = solved(jobOf(LEVEL));
    const reached = 0.2;
    const left = deepest - reached;
    const at = (open: number) => stopsOf(from(withFits(LEVEL, fitAt(reached)), Math.sqrt(open ** 2 - 0.04 ** 2)));
    const early = at(left / 3 - 0.001);
    expect(whys(early)).toEqual(['fit here', 'the depth worked out']);
    expect(early[0]?.deepest).toBeCloseTo(deepest - (left / 3 - 0.001), 8);
    expect(whys(at(left / 3 + 0.001))[0]).toBe('a little short of the depth worked out');
  });

  it('later ones are held back by 2.17 standard deviations less twice what is forgiven, half the way at least', () => {
    const { deepest } = solved(jobOf(LEVEL));
    const reached = deepest - 0.2;
    const forgivenAt = (depth: number): number =>
      0.05 / afterFit({ solution: solved(withFits(LEVEL, fitAt(depth))), edge: 'mouth' }).perMm;
    const forgiven = forgivenAt(reached);
    const at = (open: number, depth = reached) => stopsOf(from(withFits(LEVEL, fitAt(depth)), Math.sqrt(open ** 2 - 0.04 ** 2)));
    const held = (open: number): number => (2.17 / 2) * open - 2 * forgiven;
    const some = at(0.12);
    expect(held(0.12)).toBeGreaterThan(0.1 * forgiven);
    expect(depths(some)).toEqual([expect.closeTo(deepest - held(0.12), 8), expect.closeTo(deepest, 8)]);
    // So unsure that less than half the way would be gone.
    expect(depths(at(0.3))[0]).toBeCloseTo(reached + 0.1, 8);
    // So sure that one stop is enough: a tenth of what is forgiven short of the depth, again half the way at least.
    const near = forgivenAt(deepest - 0.15);
    const one = (2 / 2.17) * 2.1 * near;
    expect(depths(at(one - 0.0005, deepest - 0.15))).toEqual([expect.closeTo(deepest - 0.1 * near, 8)]);
    expect(at(one + 0.0005, deepest - 0.15)).toHaveLength(2);
    const close = stopsOf(from(withFits(LEVEL, fitAt(deepest - 0.1 * forgiven)), 0));
    expect(depths(close)).toEqual([expect.closeTo(deepest - 0.05 * forgiven, 8)]);
    expect(stopsOf(from(withFits(LEVEL, fitAt(deepest + 0.01)), 0.1))).toEqual([]);
  });

  it('what is read there: the gaps of that floor, the saddles up by whole steps where a string would lie on the frets', () => {
    for (const [units, step] of [
      ['mm', 0.5],
      ['in', 0.508],
    ] as const) {
      const given = from({ ...jobOf({ lastFretGap: { bass: 1.3, treble: 1.1 } }), units }, 0.2);
      const { instrument, outline } = given.solution;
      const gapsOn = (depth: number, up: number): Sides => {
        const plane = planeOf(outline, 0, Math.atan(depth / 71.5), 0, 1);
        return { bass: gapAt(instrument, plane, 0, 20, up), treble: gapAt(instrument, plane, 5, 20, up) };
      };
      for (const { read, deepest } of stopsOf(given)) {
        const low = gapsOn(deepest, 0).treble;
        // A saddle raised by 1 mm raises the string over the last fret by s_20 / L.
        const raised = low >= 0.25 ? 0 : step * Math.ceil((0.25 - low) / (1 - 2 ** (-20 / 12)) / step);
        expect(read.raised).toBeCloseTo(raised, 9);
        expect(read.gaps.bass).toBeCloseTo(gapsOn(deepest, raised).bass, 9);
        expect(read.gaps.treble).toBeCloseTo(gapsOn(deepest, raised).treble, 9);
        expect(Math.min(read.gaps.bass, read.gaps.treble)).toBeGreaterThan(0.24);
      }
      expect(stopsOf(given).map(({ read }) => read.raised > 0)).toContain(true);
    }
  });
});

describe('what the last fit says', () => {
  it('depths reached, as they were read and less a shim that lay there', () => {
    const job = withFits(LEVEL, fitAt(0.1), fitAt(0.5, 0.3, 0.15));
    expect(reachedOf(solved(job))).toEqual({ bass: expect.closeTo(0.35, 12), treble: expect.closeTo(0.15, 12) });
    expect(depthNoted(job)).toBeCloseTo(0.25, 12);
    expect(depthNoted(jobOf(LEVEL))).toBe(0);
    expect(reachedOf(solved(jobOf(LEVEL)))).toEqual({ bass: 0, treble: 0 });
    const wanted = solved(jobOf(LEVEL)).deepest;
    expect(leftAtEdge(solved(job), 'mouth')).toBeCloseTo(wanted - 0.25, 12);
  });

  it('left and past agree with the gap on the floor that was filed', () => {
    for (const reached of [0.3, 0.9]) {
      const solution = solved(withFits(LEVEL, fitAt(reached)));
      const { left, past, perMm } = afterFit({ solution, edge: 'mouth' });
      expect(left).toBeCloseTo(solution.deepest - reached, 8);
      const plane = planeOf(solution.outline, 0, Math.atan(reached / 71.5), 0, 1);
      // Over a flat neck a straight string is nearest at one end of the frets that count.
      const nearest = (i: number): number => Math.min(...[12, 20].map((fret) => gapAt(solution.instrument, plane, i, fret, 0)));
      const lowest = Math.max(...[0, 1, 2, 3, 4, 5].map(nearest));
      expect(past).toBeCloseTo(-lowest, 9);
      expect(perMm).toBeCloseTo(lowest / (solution.deepest - reached), 6);
    }
  });

  it('past it, too: on a floor that leans what is left is where the gap comes back to its target', () => {
    const wanted = edgeDepths(solved(jobOf(LEANING)), 'mouth');
    // Too deep at the side that needed the less.
    const solution = solved(withFits(LEANING, fitAt(wanted.bass + 0.4, wanted.treble + 0.1)));
    const { left, past, sidesAt } = afterFit({ solution, edge: 'mouth' });
    expect(past).toBeGreaterThan(0);
    expect(left).toBeLessThan(0);
    const middle = (wanted.bass + wanted.treble) / 2 + 0.25;
    const back = sidesAt(middle + left);
    // Less of both sides alike, and there the highest string just touches.
    expect(back.bass - back.treble).toBeCloseTo(wanted.bass + 0.3 - wanted.treble, 9);
    const again = afterFit({ solution: solved(withFits(LEANING, fitAt(back.bass, back.treble))), edge: 'mouth' });
    expect(again.past).toBeCloseTo(0, 7);
    expect(left).not.toBeCloseTo(leftAtEdge(solution, 'mouth'), 3);
  });

  it('a pitch forward is stopped by whichever comes first: the height wished for or the last of the low gap', () => {
    const plain: Plain = { lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 };
    const solution = solved(withFits(plain, fitAt(0.1)));
    const { past, left } = afterFit({ solution, edge: 'rear' });
    const plane = planeOf(solution.outline, 0, -Math.atan(0.1 / 71.5), 0, 1);
    const all = [0, 1, 2, 3, 4, 5];
    const high = Math.min(...all.map((i) => gapAt(solution.instrument, plane, i, 20, 5)));
    const low = Math.max(...all.map((i) => Math.min(...[12, 20].map((fret) => gapAt(solution.instrument, plane, i, fret, 0)))));
    expect(past).toBeCloseTo(Math.max(high - 3, low), 9);
    expect(past).toBeLessThan(0);
    // With a target over the frets, the lowest gap stops it by that much earlier.
    const over = solved(
      withFits({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 1, travel: 1, target: { gap: 0.1 } }, fitAt(0.1)),
    );
    const reached = afterFit({ solution: over, edge: 'rear' });
    const lowAt = (i: number): number => Math.min(...[12, 20].map((fret) => gapAt(over.instrument, plane, i, fret, 0)));
    expect(reached.past).toBeCloseTo(Math.max(...all.map(lowAt)) - 0.1, 9);
    expect(reached.left).toBeCloseTo(over.deepest - 0.1, 8);
    expect(left).toBeCloseTo(solution.deepest - 0.1, 8);
  });

  it('the edge’s ends on the way: towards the lean wanted first, then with it, and never up', () => {
    const wanted = edgeDepths(solved(jobOf(LEANING)), 'mouth');
    const lean = (wanted.treble - wanted.bass) / 2;
    const sides = (bass: number, treble: number, middle: number): number[] => {
      const { sidesAt } = afterFit({ solution: solved(withFits(LEANING, fitAt(bass, treble))), edge: 'mouth' });
      const at = sidesAt(middle);
      return [at.bass, at.treble];
    };
    // From a level 0.3 the bass side waits until the treble side is 2 lean deeper; from there both go down.
    expect(sides(0.3, 0.3, 0.3 + lean / 2)).toEqual([expect.closeTo(0.3, 12), expect.closeTo(0.3 + lean, 12)]);
    expect(sides(0.3, 0.3, 0.3 + 2 * lean)).toEqual([expect.closeTo(0.3 + lean, 12), expect.closeTo(0.3 + 3 * lean, 12)]);
    // Leaning too much already: the treble side waits.
    const deep = 0.3 + 4 * lean;
    expect(sides(0.3, deep, 0.3 + 2.5 * lean)).toEqual([expect.closeTo(0.3 + lean, 12), expect.closeTo(deep, 12)]);
    // No deeper than reached: as it is, moved as a whole.
    expect(sides(0.3, 0.5, 0.3)).toEqual([expect.closeTo(0.2, 12), expect.closeTo(0.4, 12)]);
  });
});

describe('how sure, by hand', () => {
  const base: Figures = { pitch: 1, roll: 2, deepest: 3, left: 4, past: 7, drawingBass: 5, drawingTreble: 6 };
  const input = (path: string, u: number, stated = true) => ({ path, bound: u * Math.sqrt(3), stated });

  it('twice the root of the sum of squares, shares of the variance, and what was assumed', () => {
    const movable: Movable = {
      inputs: [input('a', 0.1), input('b', 0.2, false), input('c', 9, false)],
      figuresAt: ([a = 0, b = 0, c = 0]) => ({
        pitch: 1 + a,
        roll: 2 - 2 * b,
        deepest: 3 + 3 * a - 2 * b,
        left: 4 + a + b + c,
        past: 7 - 3 * c,
        drawingBass: 5 - a,
        drawingTreble: 6,
      }),
    };
    const found = propagate(base, movable);
    expect(found.pitch).toBeCloseTo(0.2, 12);
    expect(found.roll).toBeCloseTo(0.8, 12);
    expect(found.deepest).toBeCloseTo(2 * Math.hypot(0.3, 0.4), 12);
    expect(found.left).toBeCloseTo(2 * Math.hypot(0.1, 0.2, 9), 12);
    expect([found.drawingBass, found.drawingTreble]).toEqual([expect.closeTo(0.2, 12), 0]);
    expect(found.budget).toEqual([
      { input: 'b', share: expect.closeTo(0.64, 12) },
      { input: 'a', share: expect.closeTo(0.36, 12) },
    ]);
    expect(found.assumed).toEqual(['b', 'c']);
  });

  it('an input that cannot be moved one way counts by the other', () => {
    const found = propagate(base, {
      inputs: [input('a', 0.1)],
      figuresAt: ([a = 0]) => (a > 0 ? undefined : { ...base, pitch: 1 - 5 * a }),
    });
    expect(found.pitch).toBeCloseTo(1, 12);
    expect(found.budget).toEqual([]);
  });

  it('where more than half of what is drawn cannot be solved, the linear ± stands', () => {
    const withFailures = (every: number) => {
      let calls = 0;
      return propagate(base, {
        inputs: [input('a', 1), input('b', 1)],
        figuresAt: ([a = 0, b = 0]) => {
          calls += 1;
          if (calls > 4 && calls % every === 0) return undefined;
          return { ...base, deepest: 3 + a + Math.max(0, b) };
        },
      });
    };
    const linear = 2 * Math.sqrt(2);
    // One in three cannot: what is drawn decides, and it is less.
    expect(withFailures(3).deepest).toBeLessThan(0.95 * linear);
    expect(withFailures(1).deepest).toBeCloseTo(linear, 12);
  });

  it('a kink is drawn for only where it is more than a hundredth of the variance', () => {
    const count = (size: number): number => {
      let calls = 0;
      propagate(base, {
        inputs: [input('a', 1), input('b', 1)],
        figuresAt: ([a = 0, b = 0]) => {
          calls += 1;
          return { ...base, deepest: 3 + a + size * Math.max(0, b) };
        },
      });
      return calls;
    };
    expect(count(0.09)).toBe(4);
    expect(count(0.11)).toBe(504);
  });

  it('the drawing’s seats over those of the readings, and the depths at the edge for either hand', () => {
    const right = solved(jobOf({ ...LEANING, lowest: { bass: 8, treble: 9 } }), 'lastFretGap');
    const { seatLowest } = right.instrument;
    const figures = figuresOf(right, 'mouth');
    expect(figures.drawingBass).toBeCloseTo(25.4 - (seatLowest[0] as number), 12);
    expect(figures.drawingTreble).toBeCloseTo(26.4 - (seatLowest[5] as number), 12);
    expect(figuresOf(solved(jobOf(LEANING)), 'mouth').drawingBass).toBe(0);
    const left = solved(jobOf({ ...LEANING, hand: 'left' }));
    for (const edge of ['mouth', 'rear'] as const) expect(edgeDepths(left, edge)).toEqual(edgeDepths(right, edge));
    const { plane } = right;
    const deep = (x: number, y: number): number => plane.skim + plane.gx * (x - plane.hinge.x) + plane.gy * (y - plane.hinge.y);
    expect(edgeDepths(right, 'rear')).toEqual({
      bass: expect.closeTo(deep(71.5, -29.1), 12),
      treble: expect.closeTo(deep(71.5, 29.1), 12),
    });
    expect(edgeDepths(right, 'mouth').treble).toBeCloseTo(deep(0, 29.1), 12);
  });
});
