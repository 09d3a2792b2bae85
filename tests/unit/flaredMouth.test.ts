import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { type ProofWork, proveProgram } from '../../src/proof/prove.ts';
import { shopOf, taskOf } from './programTasks.ts';
import { textOf } from './proofProgram.ts';

/** Straight walls from the mouth's corner of least y round to that of greatest y. */
function pocketOf(corners: readonly (readonly [number, number])[]): Outline {
  const points = corners.map(([x, y]): Point2 => ({ x, y }));
  return {
    pieces: points.map((from, i) => ({ kind: 'line', from, to: points[(i + 1) % points.length] as Point2 })),
    length: Math.max(...points.map(({ x }) => x)),
    mouthHalf: Math.max(...points.map(({ x, y }) => (x === 0 ? Math.abs(y) : 0))),
    rearHalf: Math.max(...points.map(({ x, y }) => (x > 20 ? Math.abs(y) : 0))),
  };
}

/** 44 x 32 mm; over the first `deep` mm both walls open by `out` towards the mouth. */
function flared(out: number, deep: number): Outline {
  return pocketOf([
    [0, -16 - out],
    [deep, -16],
    [44, -16],
    [44, 16],
    [deep, 16],
    [0, 16 + out],
  ]);
}

function workOf({ plane, outline, pocketDepth, clearBefore, deepest, shop }: ProgramTask): ProofWork {
  return { plane, outline, pocketDepth, clearBefore: clearBefore as number, deepest, shop };
}

function madeOf(task: ProgramTask): { readonly text: string; readonly stays: readonly string[] } {
  const written = writeFloorProgram(task);
  if (!written.ok) throw new Error(JSON.stringify(written.findings));
  const { text, stays } = written.value;
  return { text, stays: stays.map(({ where, width }) => `${where} ${width.toFixed(2)}`) };
}

describe('a wall that opens towards the mouth', () => {
  it.each([
    [4, 8, 3, 'mm'],
    [8, 8, 6, 'in'],
    [16, 8, 3, 'in'],
    [6, 2, 6, 'mm'],
  ] as const)('by %f mm over %f: cut and proved, with %f mm, in %s', (out, deep, diameter, units) => {
    const shop = shopOf({ cutter: { diameter }, pass: { width: 0.4 * diameter }, program: { units } });
    const task = taskOf({ outline: flared(out, deep), gx: -0.011, gy: 0.001, skim: 0.05, deepest: 0.6, shop });
    expect(proveProgram(madeOf(task).text, workOf(task), 'floor').faults).toEqual([]);
  });

  it('leaves the corner of the mouth that a cutter kept to its width cannot come to, and says so', () => {
    const task = taskOf({ outline: flared(8, 8), gx: -0.011, deepest: 0.5 });
    // Wall and width meet at 180 - 45 degrees: an axis 3.15 mm off both is 3.15 / sin 67.5 = 3.41 from the corner, 0.41 more than R.
    const { stays } = madeOf(task);
    expect(stays).toContain('mouth bass corner 0.41');
    expect(stays).toContain('mouth treble corner 0.41');
    // Walls 60 degrees steep face the mouth; nobody would look for them in the rear.
    const steep = madeOf(taskOf({ outline: flared(14, 8), gx: -0.011, deepest: 0.5 })).stays.join('; ');
    expect(steep).toContain('rim at the bass shoulder');
    expect(steep).toContain('rim at the treble shoulder');
  });

  it('leaves no more for it on the other side, which may bulge behind the mouth', () => {
    const outline = pocketOf([
      [0, -15],
      [15, -20],
      [40, -15],
      [40, 15],
      [0, 22],
    ]);
    const task = taskOf({ outline, gx: -0.011, deepest: 0.5 });
    expect(proveProgram(madeOf(task).text, workOf(task), 'floor').faults).toEqual([]);
  });

  it('has its zero set between the walls at the mouth, as they are not the same all along', () => {
    expect(madeOf(taskOf({ outline: flared(4, 8), deepest: 0.5 })).text).toContain(
      '(Y0 halfway between the side walls at the mouth)',
    );
  });
});

describe.each([
  [
    'straight walls',
    [
      [0, -20],
      [40, -15],
      [40, 15],
      [0, 20],
    ],
  ],
  [
    'walls with a corner that points inwards',
    [
      [0, -20],
      [10, -15],
      [40, -15],
      [40, 15],
      [10, 15],
      [0, 20],
    ],
  ],
] as const)('before a mouth that opens, %s', (_name, corners) => {
  const task = taskOf({ outline: pocketOf(corners), gx: -0.011, deepest: 0.5 });
  const faultsOf = (moves: readonly string[]): string[] => {
    const lines = ['G21', 'G17', 'G90', 'G94', 'G0 Z25.4', 'G0 X-9 Y0', 'G1 Z1 F300', 'G1 X-8 F1200', ...moves];
    const { faults } = proveProgram(textOf([...lines, 'G1 Z25.4', 'M2']), workOf(task), 'floor');
    return faults.flatMap(({ rule, line, message }) => (rule === 'walls' ? [`line ${line}: ${message}`] : []));
  };

  it("the cutter stays within the mouth's width, just inside and just outside, on both sides", () => {
    for (const sign of [1, -1]) {
      expect(faultsOf([`G1 X-4 Y${sign * 17}`])).toEqual([]);
      expect(faultsOf([`G1 X-4 Y${sign * 17.00001}`])[0]).toMatch(/^line 9: reaches .* past the mouth's width before it/);
    }
  });

  it('also where a way is past it only between its ends, or comes in over x = 0', () => {
    expect(faultsOf(['G1 X-8 Y17', 'G1 X-1 Y16.5'])).toEqual([]);
    expect(faultsOf(['G1 X-4 Y17.2', 'G1 X4 Y14'])).toHaveLength(2);
  });
});
