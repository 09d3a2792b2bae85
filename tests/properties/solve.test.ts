import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { namedDepths } from '../../src/floor/floor.ts';
import { fretPlace } from '../../src/instrument/neck.ts';
import { yAlong } from '../../src/instrument/strings.ts';
import { lowOf, reachOf } from '../../src/solve/gaps.ts';
import { planeOf } from '../../src/solve/solve.ts';
import { jobOf, type Plain } from '../support/jobs.ts';
import { plainPitch } from '../support/plainSolver.ts';
import { outlineOf, solved } from '../support/solved.ts';

const SEED = 20261125;
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Invented necks that need a pitch back of a usual size. */
const necks = fc.record({
  scale: real(590, 860),
  frets: fc.integer({ min: 19, max: 24 }),
  count: fc.integer({ min: 4, max: 8 }),
  spreadAtNut: real(30, 45),
  spreadAtSaddle: real(48, 66),
  seatToCrown: real(18, 30),
  relief: real(0, 0.3),
  length: real(60, 95),
  bass: real(0.9, 1.8),
  treble: real(0.8, 1.6),
  nutGap: real(0.3, 0.8),
  mouthPart: real(0.78, 0.92),
});

function plainOf(n: {
  scale: number;
  frets: number;
  count: number;
  spreadAtNut: number;
  spreadAtSaddle: number;
  seatToCrown: number;
  relief: number;
  length: number;
  bass: number;
  treble: number;
  nutGap: number;
  mouthPart: number;
}): Plain {
  const last = fretPlace(n.scale, n.frets);
  return {
    ...n,
    nutToMouth: last * n.mouthPart,
    lastFretGap: { bass: n.bass, treble: n.treble },
    nutGap: { bass: n.nutGap, treble: n.nutGap },
    radius: 300,
  };
}

describe('properties of the solve', () => {
  it('agrees with the plain solver', () => {
    fc.assert(
      fc.property(necks, (n) => {
        const plain = plainOf(n);
        const nutToMouth = plain.nutToMouth as number;
        const one = solved(jobOf({ ...plain, target: { highest: 0 } }));
        const two = plainPitch(
          {
            L: n.scale,
            N: n.frets,
            k: n.count,
            nutSpread: n.spreadAtNut,
            saddleSpread: n.spreadAtSaddle,
            M: nutToMouth,
            seat: n.seatToCrown,
            nutGap: n.nutGap,
            R: 300,
            relief: n.relief,
            P: n.length,
            travel: 7,
            bass: n.bass,
            treble: n.treble,
          },
          0,
        );
        expect(one.deepest).toBeCloseTo(two.deepest, 7);
        expect(one.nutDrop).toBeCloseTo(two.nutDrop, 7);
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('a left-handed twin swaps bass and treble exactly', () => {
    fc.assert(
      fc.property(necks, (n) => {
        const target = { floor: 'pitch-and-roll' as const };
        const right = solved(jobOf({ ...plainOf(n), target }));
        const left = solved(jobOf({ ...plainOf(n), hand: 'left', target }));
        expect(left.plane.gx).toBe(right.plane.gx);
        expect(left.plane.gy).toBe(-right.plane.gy);
        expect(left.roll).toBe(right.roll);
        expect(namedDepths(left)).toEqual(namedDepths(right));
        expect(left.afterCut.low).toEqual(right.afterCut.low);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('the three kinds of evidence, read off one instrument, give one answer', () => {
    fc.assert(
      fc.property(necks, (n) => {
        const first = solved(jobOf(plainOf(n)), 'lastFretGap');
        const { instrument } = first;
        const { plans, crowns, seatLowest } = instrument;
        const e = (i: number): number => {
          const plan = plans[i] as (typeof plans)[number];
          const s1 = crowns.places[1] as number;
          const z1 = crowns.crown(s1, yAlong(plan, s1));
          const slopes = crowns.places.slice(2).map((s) => (crowns.crown(s, yAlong(plan, s)) - z1) / (s - s1));
          return (seatLowest[i] as number) - (z1 + Math.max(...slopes) * (plan.sSaddle - s1));
        };
        const k = plans.length - 1;
        const byEdge = solved(jobOf({ ...plainOf(n), straightedge: { bass: e(0), treble: e(k) } }), 'straightedge');
        const drawn = { bass: (seatLowest[0] as number) - 17.4, treble: (seatLowest[k] as number) - 17.4 };
        const byDrawing = solved(jobOf({ ...plainOf(n), lowest: drawn }), 'drawing');
        expect(byEdge.deepest).toBeCloseTo(first.deepest, 9);
        expect(byDrawing.deepest).toBeCloseTo(first.deepest, 9);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('firstFretGap read off the instrument gives the same answer as nutGap', () => {
    fc.assert(
      fc.property(necks, (n) => {
        const first = solved(jobOf(plainOf(n)));
        const { plans, crowns, nut, seatLowest } = first.instrument;
        const s1 = crowns.places[1] as number;
        const gap = (i: number): number => {
          const plan = plans[i] as (typeof plans)[number];
          const z = (nut[i] as number) + (((seatLowest[i] as number) - (nut[i] as number)) * s1) / plan.sSaddle;
          return z - crowns.crown(s1, yAlong(plan, s1));
        };
        const { nutGap: _, ...rest } = plainOf(n);
        const second = solved(jobOf({ ...rest, firstFretGap: { bass: gap(0), treble: gap(plans.length - 1) } }));
        expect(second.deepest).toBeCloseTo(first.deepest, 8);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('deeper is lower', () => {
    fc.assert(
      fc.property(necks, (n) => {
        const job = jobOf(plainOf(n));
        const { instrument } = solved(job);
        const outline = outlineOf(job);
        let last = Number.POSITIVE_INFINITY;
        for (let pitch = 0; pitch < 0.03; pitch += 0.003) {
          const { lowest } = reachOf(instrument, planeOf(outline, 0, pitch, 0, 1));
          expect(lowest).toBeLessThan(last);
          last = lowest;
          expect(lowOf(instrument, planeOf(outline, 0.2, pitch, 0, 1), 0).gap).toBeGreaterThan(
            lowOf(instrument, planeOf(outline, 0, pitch, 0, 1), 0).gap,
          );
        }
      }),
      { seed: SEED, numRuns: 40 },
    );
  });
});
