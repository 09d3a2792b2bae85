import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const folder = join(dirname(fileURLToPath(import.meta.url)), '../programs-refused');
const files = readdirSync(folder).filter((name) => name.endsWith('.nc'));
/** The pocket every file here is written for: 30 x 20 mm, square corners, half a degree back, a 6 mm cutter, two levels. */
const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };
const HEAD = /^\(rule: ([a-z]+) line (\d+)(?: also ([a-z]+))?(?: cutter ([0-9.]+))?\)$/;

describe('programs that are refused', () => {
  it('looks at enough of them', () => {
    expect(files.length).toBeGreaterThanOrEqual(25);
  });

  it('the program they were made from is proved', () => {
    expect(proveProgram(textOf(plainProgram(SMALL)), workOf(SMALL), 'floor').faults).toEqual([]);
  });

  it.each(files)('%s is refused by its rule at its line', (name) => {
    const text = readFileSync(join(folder, name), 'latin1');
    const head = HEAD.exec(text.split('\n')[0] ?? '');
    expect(head, `${name}: its first line names no rule and line`).not.toBeNull();
    const [, rule, line, also, length] = head as RegExpExecArray;
    const work = workOf(SMALL);
    const cutter = { ...work.shop.cutter, length: length === undefined ? work.shop.cutter.length : Number(length) };
    const verdict = proveProgram(text, { ...work, shop: { ...work.shop, cutter } }, 'floor');
    expect(verdict.proved).toBe(false);
    const told = verdict.faults.map((fault) => `${fault.rule} ${fault.line}: ${fault.message}`).join('\n');
    expect(
      verdict.faults.some((fault) => fault.rule === rule && fault.line === Number(line)),
      told,
    ).toBe(true);
    const rules = new Set<string>(verdict.faults.map((fault) => fault.rule));
    rules.delete(rule ?? '');
    rules.delete(also ?? '');
    expect([...rules], `${name} has one fault, but other rules speak too:\n${told}`).toEqual([]);
  });
});
