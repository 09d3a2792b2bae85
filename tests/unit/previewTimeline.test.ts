import { describe, expect, it } from 'vitest';
import {
  levelAt,
  levelsOf,
  type Moment,
  momentAtLine,
  momentAtTime,
  placeAt,
  secondsAt,
  timelineOf,
} from '../../src/preview/timeline.ts';
import { latticeOf, woodOf } from '../../src/preview/wood.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const WORK = workOf();
const TEXT = textOf(plainProgram());
const READ = readStrictly(TEXT);
const TIMELINE = timelineOf(READ, WORK.shop.feed.cut);

describe('the timeline', () => {
  it('takes as long as the proof says', () => {
    expect(TIMELINE.seconds / 60).toBeCloseTo(proveProgram(TEXT, WORK, 'floor').figures.minutes ?? Number.NaN, 9);
  });

  it('stands at the end of each line that moves, and in between on the straight way', () => {
    let looked = 0;
    for (const step of READ.steps) {
      if (step.kind !== 'move' || Number.isNaN(step.from.x + step.from.y)) continue;
      expect(placeAt(TIMELINE, momentAtLine(TIMELINE, step.line))).toEqual(step.to);
      const before = momentAtLine(TIMELINE, step.line - 1);
      const half = placeAt(TIMELINE, { done: before.done, part: 0.5 });
      for (const axis of ['x', 'y', 'z'] as const) expect(half[axis]).toBeCloseTo((step.from[axis] + step.to[axis]) / 2, 9);
      looked += 1;
    }
    expect(looked).toBeGreaterThan(100);
  });

  it('gives back the time of a moment', () => {
    for (let share = 0; share < 1; share += 0.037) {
      const seconds = share * TIMELINE.seconds;
      expect(secondsAt(TIMELINE, momentAtTime(TIMELINE, seconds))).toBeCloseTo(seconds, 6);
    }
    expect(momentAtTime(TIMELINE, TIMELINE.seconds + 1)).toEqual({ done: TIMELINE.count, part: 0 });
  });

  it('does not know where the cutter is before the text says so', () => {
    expect(placeAt(TIMELINE, { done: 0, part: 0 })).toEqual({ x: Number.NaN, y: Number.NaN, z: Number.NaN });
  });

  it('finds the levels, though nobody named them', () => {
    const levels = levelsOf(TIMELINE, WORK.plane, WORK.pocketDepth);
    expect(levels.length).toBe(Math.ceil(WORK.deepest / (CASE.passDepth - 0.01)));
    expect(levels.map(({ deepest }) => deepest)).toEqual([...levels].map(({ deepest }) => deepest).sort((a, b) => a - b));
    expect(levelAt(levels, 0)).toBe(0);
    expect(levelAt(levels, TIMELINE.count)).toBe(levels.length - 1);
  });
});

describe('the wood', () => {
  const lattice = latticeOf(WORK.outline, WORK.pocketDepth, 4);
  const fresh = () => woodOf(lattice, TIMELINE, CASE.diameter / 2, WORK.pocketDepth);

  it('is at the end where the floor is wanted, by what the proof allows, and the body is untouched', () => {
    const wood = fresh();
    expect(wood.goTo(TIMELINE.count, Number.POSITIVE_INFINITY)).toBe(true);
    const { gouge, leftover } = proveProgram(TEXT, WORK, 'floor').figures;
    let inside = 0;
    wood.heights.forEach((z, at) => {
      const x = lattice.x0 + (at % lattice.nx) * lattice.step;
      const y = lattice.y0 + Math.floor(at / lattice.nx) * lattice.step;
      if (lattice.floor[at] === 0) {
        expect(z).toBeCloseTo(WORK.pocketDepth, 5);
        return;
      }
      const wanted = WORK.plane.gx * (WORK.plane.hinge.x - x) + WORK.plane.gy * (WORK.plane.hinge.y - y);
      expect(z - wanted).toBeGreaterThan(-(gouge ?? 0) - 1e-5);
      // Beside the walls their own strip stays; inside it no more than the proof's bound.
      if (x > WORK.outline.length - 1 || Math.abs(y) > WORK.outline.rearHalf - 1) return;
      expect(z - wanted).toBeLessThan((leftover ?? 0) + 1e-5);
      inside += 1;
    });
    expect(inside).toBeGreaterThan(10_000);
  });

  it('is the same however a moment is come by', () => {
    const [forth, back] = [fresh(), fresh()];
    const moment: Moment = { done: Math.floor(TIMELINE.count / 3), part: 0 };
    forth.goTo(moment.done, Number.POSITIVE_INFINITY);
    back.goTo(TIMELINE.count, Number.POSITIVE_INFINITY);
    // A little at a time, as a page does it.
    let turns = 0;
    while (!back.goTo(moment.done, 5_000)) turns += 1;
    expect(turns).toBeGreaterThan(0);
    expect(back.at()).toBe(moment.done);
    expect(back.heights).toEqual(forth.heights);
  });
});
