import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readShop } from '../../src/job/readShop.ts';
import { toDegrees } from '../../src/kernel/units.ts';
import { solveText } from '../../src/solveJob.ts';

const folder = join(dirname(fileURLToPath(import.meta.url)), '../../templates');
const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
const jobs = files.filter((name) => name !== 'shop.yaml');

describe('the starters', () => {
  it('are there, each kind of instrument', () => {
    const wanted = [
      'six-string-25-5',
      'six-string-24-75',
      'seven-string-27',
      'bass-four-34',
      'left-handed',
      'from-drawing',
      'shop',
    ];
    expect(files).toEqual(expect.arrayContaining(wanted.map((name) => `${name}.yaml`)));
  });

  it.each(files)('%s says first what it is about', (name) => {
    expect(readFileSync(join(folder, name), 'utf8')).toMatch(/^# about: .{20,100}\n/);
  });

  it.each(jobs)('%s is sound and leads to a modest cut, which the saddles can follow', (name) => {
    const result = solveText({ text: readFileSync(join(folder, name), 'utf8'), file: name });
    expect(result.ok ? [] : result.findings).toEqual([]);
    if (!result.ok) return;
    const { solution, floor, warnings } = result.value;
    expect(warnings).toEqual([]);
    // Common practice: such a fix usually takes about half a degree.
    expect(toDegrees(solution.pitch)).toBeGreaterThan(0.4);
    expect(toDegrees(solution.pitch)).toBeLessThan(0.7);
    expect(floor.deepest).toBeLessThan(1.6);
  });

  it('has a shop file that assumes nothing', () => {
    const result = readShop(readFileSync(join(folder, 'shop.yaml'), 'utf8'), 'shop.yaml');
    expect(result.ok && result.value.assumed).toEqual([]);
  });
});
