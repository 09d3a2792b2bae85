import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writeFloorProgram } from '../../src/program/write.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from '../unit/programTasks.ts';

const SEED = 20261126;
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Invented pockets, floors, ways to lie on the table, and small tilts. */
const lying = fc.record({
  turn: fc.constantFrom(0 as const, 90 as const, 180 as const, 270 as const),
  hand: fc.constantFrom('right' as const, 'left' as const),
  units: fc.constantFrom('mm' as const, 'in' as const),
  length: real(34, 52),
  width: real(30, 40),
  taper: real(-4, 4),
  cornerRadius: real(0, 7),
  gx: real(-0.02, 0.02),
  gy: real(-0.006, 0.006),
  skim: real(0, 0.2),
  x: real(-0.015, 0.015),
  y: real(-0.015, 0.015),
  height: real(-5, 5),
  part: real(0, 0.999),
});

describe('properties of programs for a turned and tilted body', () => {
  it('are written, proved, and refused once one number of a cut is lowered', () => {
    let written = 0;
    fc.assert(
      fc.property(lying, ({ turn, hand, units, length, width, taper, cornerRadius, gx, gy, skim, part, ...tilt }) => {
        const outline = pocket({ length, width, widthAtMouth: width + taper, cornerRadius });
        const shop = shopOf({ cutter: { length: 32 }, program: { turn, units } });
        const base = taskOf({ outline, gx, gy, skim: skim + 0.05, hand, shop });
        const task = { ...base, mounted: mountedOf(base, tilt) };
        const work = { ...task, clearBefore: task.clearBefore ?? 0 };
        const made = writeFloorProgram(task);
        expect(made.ok ? [] : made.findings).toEqual([]);
        if (!made.ok) return;
        written += 1;
        expect(proveProgram(made.value.text, work, 'floor').faults).toEqual([]);
        const lines = made.value.text.split('\n');
        const low = 0.2 * (units === 'in' ? 1 / 25.4 : 1);
        const cuts = lines.flatMap((line, i) => (/^G1 .*Z/.test(line) && !/ F/.test(line) ? [i] : []));
        const at = cuts[Math.floor(part * cuts.length)];
        const damaged = lines.map((line, i) =>
          i === at
            ? line.replace(
                /Z(-?[0-9.]+)/,
                (_, z: string) => `Z${(Number(z) - low - task.deepest / (units === 'in' ? 25.4 : 1) - 0.4).toFixed(4)}`,
              )
            : line,
        );
        expect(proveProgram(damaged.join('\n'), work, 'floor').proved).toBe(false);
      }),
      { seed: SEED, numRuns: 10 },
    );
    expect(written).toBe(10);
  });
});
