import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Unit } from '../../src/kernel/units.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { solveText } from '../../src/solveJob.ts';
import { anyJobTree, fileText, type JobTree, type Tree } from '../support/jobTexts.ts';

const SEED = 20261127;
const RUNS = 30;
/** mm. What the same figure may differ by where only the arithmetic's order differs. */
const SAME_MM = 1e-9;

/** The outcome, or the codes of what refuses it: a refusal must be the same in every writing, too. */
function answer(job: JobTree, unit: Unit): Outcome | string {
  const solved = solveText({ text: fileText(job, unit), file: 'job' });
  return solved.ok ? solved.value : solved.findings.map(({ code, exit }) => `${code} ${exit}`).join(', ');
}

function close(one: number, other: number, what: string): void {
  expect(Math.abs(one - other), `${what}: ${one} and ${other}`).toBeLessThanOrEqual(SAME_MM);
}

/** Runs `compare` on every job that can be solved both ways; fails where hardly one can. */
function alike(one: (job: JobTree) => Outcome | string, other: typeof one, compare: (a: Outcome, b: Outcome) => void): void {
  let compared = 0;
  fc.assert(
    fc.property(anyJobTree(), (job) => {
      const [a, b] = [one(job), other(job)];
      if (typeof a === 'string' || typeof b === 'string') {
        expect(b).toEqual(a);
        return;
      }
      compared += 1;
      compare(a, b);
    }),
    { seed: SEED, numRuns: RUNS },
  );
  expect(compared).toBeGreaterThan(RUNS / 2);
}

/** The same instrument seen in a mirror by somebody who still calls its lower strings' side bass. */
const otherHand = (job: JobTree): JobTree => {
  const pocket = job.pocket as JobTree;
  const screws = pocket.screws as readonly { x: Tree; y: { mm: number } }[] | undefined;
  return {
    ...job,
    hand: job.hand === 'left' ? 'right' : 'left',
    pocket: { ...pocket, screws: screws?.map(({ x, y }) => ({ x, y: { mm: -y.mm } })) },
  };
};

/** Bass and treble change places: readings and compensations. */
const sidesSwapped = (job: JobTree): JobTree => {
  const { lastFretGap } = job.asFound as { lastFretGap: { bass: Tree; treble: Tree } };
  const strings = job.strings as JobTree;
  const list = strings.compensation as readonly Tree[] | undefined;
  return {
    ...job,
    strings: { ...strings, compensation: list?.toReversed() },
    asFound: { lastFretGap: { bass: lastFretGap.treble, treble: lastFretGap.bass } },
  };
};

describe('the same job written otherwise', () => {
  it('in inches gives the same floor', () => {
    alike(
      (job) => answer(job, 'mm'),
      (job) => answer(job, 'in'),
      (a, b) => {
        for (const key of Object.keys(a.floor.depths) as (keyof typeof a.floor.depths)[])
          close(a.floor.depths[key], b.floor.depths[key], key);
        close(a.floor.deepest, b.floor.deepest, 'deepest');
        close(a.floor.thinnest, b.floor.thinnest, 'thinnest');
        close(a.solution.nutDrop, b.solution.nutDrop, 'nutDrop');
        close(a.solution.afterCut.lowest, b.solution.afterCut.lowest, 'lowest');
        close(a.solution.afterCut.highest, b.solution.afterCut.highest, 'highest');
        expect(b.floor.volume).toBeCloseTo(a.floor.volume, 6);
        expect(b.uncertainty.deepest).toBeCloseTo(a.uncertainty.deepest, 6);
        expect(b.job.assumed.length).toBe(a.job.assumed.length);
        expect(b.uncertainty.assumed).toEqual(a.uncertainty.assumed);
      },
    );
  });

  it('for the other hand gives exactly the same depths by name, and the plane mirrored', () => {
    alike(
      (job) => answer(job, 'mm'),
      (job) => answer(otherHand(job), 'mm'),
      (a, b) => {
        expect(b.floor.depths).toEqual(a.floor.depths);
        expect(b.solution.plane.gx).toBe(a.solution.plane.gx);
        expect(b.solution.plane.gy + 0).toBe(0 - a.solution.plane.gy);
        expect(b.solution.afterCut).toEqual(a.solution.afterCut);
        expect(b.uncertainty.deepest).toBeCloseTo(a.uncertainty.deepest, 12);
        expect(b.floor.screws.map(({ hold }) => hold)).toEqual(a.floor.screws.map(({ hold }) => hold));
      },
    );
  });

  it('with bass and treble changed about gives a floor changed about', () => {
    alike(
      (job) => answer(job, 'mm'),
      (job) => answer(sidesSwapped(job), 'mm'),
      (a, b) => {
        close(a.floor.depths.mouthBass, b.floor.depths.mouthTreble, 'mouth, bass');
        close(a.floor.depths.mouthTreble, b.floor.depths.mouthBass, 'mouth, treble');
        close(a.floor.depths.rearBass, b.floor.depths.rearTreble, 'rear, bass');
        close(a.floor.depths.rearTreble, b.floor.depths.rearBass, 'rear, treble');
        a.solution.afterCut.low.forEach(({ gap }, i) => {
          close(gap, b.solution.afterCut.low.at(-1 - i)?.gap ?? Number.NaN, `string ${i + 1}`);
        });
      },
    );
  });
});
