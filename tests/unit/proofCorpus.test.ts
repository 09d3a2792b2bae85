import { describe, expect, it } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
import { type Sound, text } from '../support/damage.ts';
import { MOTION_DAMAGES } from '../support/motionDamages.ts';
import { TEXT_DAMAGES } from '../support/textDamages.ts';
import { CASE, plainProgram, workOf } from './proofProgram.ts';

const DAMAGES = [...TEXT_DAMAGES, ...MOTION_DAMAGES];
/** 30 x 20 mm, square corners, half a degree back, a 6 mm cutter, two levels. */
const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };

describe.each([
  ['mm', false],
  ['inch', true],
])('damage by construction, %s', (_name, inch) => {
  const given = { ...SMALL, inch };
  const work = workOf(given);
  const lines = plainProgram(given);
  const sound: Sound = { lines, unit: inch ? 25.4 : 1 };

  it('the program itself is proved', () => {
    expect(proveProgram(text(lines), work, 'floor').faults).toEqual([]);
  });

  it.each(DAMAGES.map((damage) => [damage.name, damage] as const))('%s', (_what, damage) => {
    const damaged = damage.make(sound);
    const { proved, faults } = proveProgram(damaged.text, work, 'floor');
    const told = faults.map((fault) => `${fault.rule} ${fault.line}: ${fault.message}`).join('\n');
    expect(proved).toBe(false);
    expect(
      faults.some(({ rule, line }) => damage.rule.split(' or ').includes(rule) && line === damaged.line),
      `${damage.rule} ${damaged.line} wanted, told:\n${told}`,
    ).toBe(true);
  });

  it('cut off after every line, and within every line', () => {
    for (let count = 0; count < lines.length; count++) {
      const whole = text(lines.slice(0, count));
      const cut = `${count === 0 ? '' : whole}${lines[count]?.slice(0, -1)}`;
      for (const [part, at] of [
        [whole, Math.max(1, count)],
        [cut, count + 1],
      ] as const) {
        const { proved, faults } = proveProgram(part, work, 'floor');
        expect(proved, part).toBe(false);
        // What is missing is told at the last line there is; a line that is no longer readable at its own.
        expect(
          faults.some(({ rule, line }) => (rule === 'end' || rule === 'words') && line === at),
          `${at}: ${faults.map(({ rule, line }) => `${rule} ${line}`)}`,
        ).toBe(true);
      }
    }
  });
});

it('the corpus is as large as is claimed', () => {
  expect(new Set(DAMAGES.map(({ name }) => name)).size).toBe(DAMAGES.length);
  expect(DAMAGES.length).toBeGreaterThanOrEqual(120);
});
