import { describe, expect, it } from 'vitest';
import { MOST_PROGRAM_LINES } from '../../src/kernel/tolerances.ts';
import type { Unit } from '../../src/kernel/units.ts';
import { type Fault, RULES, tellFaults } from '../../src/proof/faults.ts';
import { thickestChip } from '../../src/proof/load.ts';
import { type ProofKind, type ProofWork, proveProgram } from '../../src/proof/prove.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { ruleTable } from '../../src/report/ruleTable.ts';
import { verdictText } from '../../src/report/verdict.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };
const lines = plainProgram(SMALL);
const work = workOf(SMALL);

function tableOf(program: readonly string[], kind: ProofKind = 'floor', given: ProofWork = work, units: Unit = 'mm'): string {
  return ruleTable(proveProgram(textOf(program), given, kind), {
    title: 'invented',
    units,
    jobFingerprint: '0123456789ab',
    programFingerprint: 'ba9876543210',
    kind,
    shop: given.shop,
    clearBefore: given.clearBefore,
  });
}

const rowOf = (table: string, rule: string): string => table.split('\n').find((line) => line.startsWith(`  ${rule} `)) ?? '';
const withShop = (change: Partial<ProofWork['shop']>): ProofWork => ({ ...work, shop: { ...work.shop, ...change } });
const warningsOf = (given: ProofWork, program: readonly string[] = lines): string[] =>
  proveProgram(textOf(program), given, 'floor').warnings.map(({ code }) => code);

describe('the rule table', () => {
  it('has every rule, what was found and what is allowed', () => {
    const table = tableOf(lines);
    expect(table).toMatch(/^proof of a router program, as floor: PROVED\n/);
    for (const rule of RULES) expect(rowOf(table, rule), rule).toContain('holds');
    expect(rowOf(table, 'words')).toContain(`${lines.length} lines`);
    expect(rowOf(table, 'feed')).toMatch(/cuts at 1200 mm\/min +300 to 1200 mm\/min; plunge 300/);
    expect(rowOf(table, 'rapids')).toMatch(/25\.4 mm +at least 25\.4 mm/);
    expect(rowOf(table, 'walls')).toMatch(/0\.15 mm +at least 0\.15 mm; 25 mm free/);
    expect(rowOf(table, 'bite')).toMatch(/largest 0\.13\d* mm +at most 0\.15 mm/);
    expect(table.split('\n').every((line) => line.length <= 110)).toBe(true);
  });

  it('is in inches throughout for a job in inches, and so is the verdict', () => {
    const table = tableOf(lines, 'floor', work, 'in');
    for (const text of [table, verdictText(proveProgram(textOf(lines), work, 'floor'), 'floor', work.shop, 'in')])
      expect(text).not.toMatch(/\d (?:mm|cm3|m\/min)/);
    expect(rowOf(table, 'feed')).toMatch(/cuts at 47\.2 in\/min +11\.8 to 47\.2 in\/min; plunge 11\.8/);
    expect(rowOf(table, 'walls')).toMatch(/0\.00591 in +at least 0\.00591 in; 0\.98425 in free/);
  });

  it('says which line breaks which rule, and asks air programs for less', () => {
    const broken = tableOf(lines.filter((line) => line !== 'M5'));
    expect(broken).toMatch(/NOT PROVED/);
    expect(rowOf(broken, 'end')).toContain(`BROKEN, line ${lines.length - 1}`);
    expect(rowOf(broken, 'floor')).toContain('holds');
    const unread = tableOf(['T1', ...lines]);
    expect(rowOf(unread, 'words')).toContain('BROKEN, line 1');
    expect(rowOf(unread, 'floor').trim()).toBe('floor    not judged');
    const air = lines
      .filter((line) => !/^(M3|G4)/.test(line))
      .map((line) => line.replace(/Z(-?[\d.]+)/, (_all, z: string) => `Z${(Number(z) + 20).toFixed(3)}`));
    const flown = tableOf(air, 'air');
    expect(flown).toMatch(/as air: PROVED/);
    expect(rowOf(flown, 'finish').trim()).toBe('finish   not asked');
    expect(rowOf(flown, 'floor')).toContain("17.4 mm, the body's top");
  });
});

describe('load', () => {
  it('chip, edge speed and removal by hand', () => {
    const { load } = proveProgram(textOf(lines), work, 'floor');
    // feed = rpm x flutes x chip, surface speed pi D n (sources.md, "Cutting": quoted).
    expect(load?.chip.most).toBeCloseTo(1200 / (16000 * 2), 6);
    expect(load?.surface).toBeCloseTo(Math.PI * 6 * 16000, 6);
    expect(load?.removal).toBeCloseTo((proveProgram(textOf(lines), work, 'floor').figures.largestBite ?? 0) * 6 * 1200, 6);
    // 30 x 20 mm under a wedge that is 0.262 mm deep at the mouth: 78 mm³, less what stays along the walls.
    expect(load?.volume).toBeGreaterThan(70);
    expect(load?.volume).toBeLessThan(78.6);
  });

  it('published examples (quoted): 2 x 0.1 x 18000 = 3600 mm/min; .017 in at 500 in/min; chips by diameter', () => {
    expect(3600 / (18000 * 2)).toBeCloseTo(0.1, 12);
    expect(500 / (15000 * 2)).toBeCloseTo(0.017, 3);
    expect(thickestChip(25.4 / 8)).toBeCloseTo(0.003 * 25.4, 12);
    expect(thickestChip(25.4 / 4)).toBeCloseTo(0.009 * 25.4, 12);
    expect(thickestChip((25.4 * 3) / 8)).toBeCloseTo(0.015 * 25.4, 12);
    expect(thickestChip((25.4 * 3) / 16)).toBeCloseTo(0.006 * 25.4, 12);
    expect(thickestChip(1)).toBeCloseTo(0.003 * 25.4, 12);
    expect(thickestChip(20)).toBeCloseTo(0.015 * 25.4, 12);
  });

  const atSpeed = (speed: number): [ProofWork, string[]] => [
    withShop({ spindle: { speed, warmUp: 4 } }),
    lines.map((line) => line.replace('S16000', `S${speed}`)),
  ];
  const limit = 1200 / (2 * thickestChip(6));

  it('a thin chip burns, a thick one chatters, a deep bite bends: just inside and just outside', () => {
    expect(warningsOf(work)).toEqual([]);
    expect(warningsOf(...atSpeed(29999))).toEqual([]);
    expect(warningsOf(...atSpeed(30001))).toEqual(['chip-thin']);
    expect(warningsOf(...atSpeed(Math.ceil(limit)))).toEqual([]);
    expect(warningsOf(...atSpeed(Math.floor(limit)))).toEqual(['chip-thick']);
    const thin = (diameter: number): ProofWork => withShop({ cutter: { ...work.shop.cutter, diameter } });
    // The same bite with a cutter of hardly its size: the program is no longer sound for it, the load is told all the same.
    expect(warningsOf(thin(0.27))).not.toContain('bite-deep');
    expect(warningsOf(thin(0.25))).toContain('bite-deep');
  });
});

describe('unreachable', () => {
  it('beside the side walls of a pure pitch is g (R - sqrt(R² - (R - 0.05)²)), told at most 0.01 mm too large', () => {
    const { figures } = proveProgram(textOf(plainProgram()), workOf(), 'floor');
    const g = Math.tan((0.5 * Math.PI) / 180);
    const exact = g * (3 - Math.sqrt(9 - 2.95 ** 2));
    expect(figures.unreachable).toBeGreaterThanOrEqual(exact - 1e-6);
    expect(figures.unreachable).toBeLessThanOrEqual(exact + 0.01);
    expect(figures.leftover).toBeGreaterThanOrEqual(exact);
  });
});

describe('how much is told, and how much is read', () => {
  const many = (count: number): Fault[] =>
    Array.from({ length: count }, (_, i) => ({ rule: 'feed', line: count - i, message: `at ${count - i}` }));

  it('25 faults of a rule are told one by one, of the 26th only that there is one', () => {
    expect(tellFaults(many(25)).map(({ message }) => message)).toEqual(Array.from({ length: 25 }, (_, i) => `at ${i + 1}`));
    const told = tellFaults([...many(26), ...many(3)]);
    expect(told).toHaveLength(25);
    expect(told.at(-2)?.message).toBe('at 24');
    expect(told.at(-1)?.message).toBe('at 25 (and 1 more line like it)');
    expect(tellFaults([...many(2), { rule: 'words', line: 2, message: 'first' }]).map(({ rule }) => rule)).toEqual([
      'feed',
      'words',
      'feed',
    ]);
  });

  it('as many lines as are taken, and one more', () => {
    expect(readStrictly('\n'.repeat(MOST_PROGRAM_LINES)).sound).toBe(true);
    const { sound, faults } = readStrictly('\n'.repeat(MOST_PROGRAM_LINES + 1));
    expect(sound).toBe(false);
    expect(faults.map(({ line }) => line)).toEqual([MOST_PROGRAM_LINES + 1]);
  });
});
