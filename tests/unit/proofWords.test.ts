import { describe, expect, it } from 'vitest';
import { apart } from '../../src/kernel/dimension.ts';
import type { Point3 } from '../../src/kernel/vector.ts';
import { breaksState, outsideDialect } from '../../src/proof/dialect.ts';
import { compareWithLibrary } from '../../src/proof/libraryReader.ts';
import { readLine } from '../../src/proof/lineReader.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { type Move, readStrictly } from '../../src/proof/strictReader.ts';
import { ruleTable } from '../../src/report/ruleTable.ts';
import { verdictText } from '../../src/report/verdict.ts';
import { plainProgram, textOf, workOf } from './proofProgram.ts';

describe('a second reader', () => {
  const text = 'G21\nG17\nG90\nG94\nG0 Z9\nG0 X1 Y2\nM3 S9\nG1 X3 F9\nG1 Z8 Y1\nM5\nM2\n';
  const read = readStrictly(text);
  const changed = (line: number, to: Partial<Point3>, more: Partial<Move> = {}) =>
    compareWithLibrary({
      ...read,
      steps: read.steps.map((step) =>
        step.kind === 'move' && step.line === line ? { ...step, to: { ...step.to, ...to }, ...more } : step,
      ),
    }).map((fault) => `${fault.rule} ${fault.line}`);

  it('must see the same moves: each axis, and whether it is a rapid', () => {
    expect(compareWithLibrary(read)).toEqual([]);
    expect(changed(8, {})).toEqual([]);
    expect(changed(8, { x: 3.00001 })).toEqual(['words 8']);
    expect(changed(8, { y: 2.00001 })).toEqual(['words 8']);
    expect(changed(9, { z: 8.00001 })).toEqual(['words 9']);
    expect(changed(8, { x: 3 + 1e-10 })).toEqual([]);
    expect(changed(8, {}, { rapid: true })).toEqual(['words 8']);
    expect(changed(6, {}, { rapid: false })).toEqual(['words 6']);
    expect(changed(6, { z: Number.NaN })).toEqual([]);
    // A move that only one of them sees.
    const without = read.steps.filter(({ line }) => line !== 8);
    expect(compareWithLibrary({ ...read, steps: without }).map(({ line }) => line)).toEqual([8]);
    expect(compareWithLibrary({ ...read, lines: read.lines.with(8, '') }).map(({ line }) => line)).toEqual([9]);
    expect(compareWithLibrary({ ...read, lines: read.lines.with(7, 'G2 X3 I1') }).map(({ line }) => line)).toEqual([8]);
    expect(compareWithLibrary({ ...read, lines: read.lines.with(7, 'G1 X3 G1 X4') }).map(({ line }) => line)).toEqual([8]);
    // Nothing is read behind the end.
    expect(compareWithLibrary({ ...read, lines: [...read.lines, 'G1 X9'] })).toEqual([]);
  });
});

describe('a place that the program has not given', () => {
  it('is told by the walls, and every other rule holds its peace', () => {
    const lines = plainProgram();
    const first = lines.findIndex((line) => line.startsWith('G0 X'));
    // Nobody says where X is when the cutter goes down.
    const text = textOf(
      lines.map((line, i) => (i === first || line.startsWith('G0 X') ? line.replace(/ ?X\S+/, '').replace('G0Y', 'G0 Y') : line)),
    );
    const verdict = proveProgram(text, workOf(), 'floor');
    const down = text.split('\n').findIndex((line) => /^G1 Z-/.test(line)) + 1;
    expect(verdict.faults.find(({ rule }) => rule === 'walls')).toEqual({
      rule: 'walls',
      line: down,
      message: 'goes below the clear height at a place the program has not given',
    });
    expect(verdict.proved).toBe(false);
    const sound = proveProgram(textOf(lines), workOf(), 'floor');
    expect([sound.proved, sound.faults, sound.warnings]).toEqual([true, [], []]);
  });
});

describe('what a line says, and why it is refused', () => {
  const why = (text: string): string => {
    const read = readLine(text);
    if (!read.ok) return read.message;
    return outsideDialect(read.words).join('; ');
  };

  it.each([
    ['G2 X1', /G2.*an arc/],
    ['G3 X1', /an arc/],
    ['G10 P1', /sets data/],
    ['G18', /another plane/],
    ['G19', /another plane/],
    ['G28', /outside the program/],
    ['G30', /outside the program/],
    ['G38.2 Z1', /probing/],
    ['G41', /radius compensation/],
    ['G42', /radius compensation/],
    ['G43', /length offset/],
    ['G43.1 Z1', /length offset/],
    ['G49', /length offset/],
    ['G53', /machine coordinates/],
    ['G55', /another zero/],
    ['G59.3', /another zero/],
    ['G61', /path mode/],
    ['G61.1', /path mode/],
    ['G64', /path mode/],
    ['G73', /canned cycle/],
    ['G81', /canned cycle/],
    ['G89', /canned cycle/],
    ['G91', /relative/],
    ['G91.1', /relative/],
    ['G92', /shifts the zero/],
    ['G92.1', /shifts the zero/],
    ['G93', /another feed mode/],
    ['G95', /another feed mode/],
    ['G98', /canned cycles/],
    ['G99', /canned cycles/],
  ] as const)('%s is named', (text, said) => {
    expect(why(text)).toMatch(said);
  });

  it.each([
    ['G5 X1', 'G5 is not in the dialect'],
    ['G0.5 X1', 'G0.5 is not in the dialect'],
    ['M6', 'M6 is not in the dialect: a tool change'],
    ['M8', 'M8 is not in the dialect: coolant'],
    ['T1', 'T is not in the dialect: chooses a tool'],
    ['E1', 'E is not in the dialect'],
    ['A1', 'A is not in the dialect: a fourth axis'],
    ['G0 G1 X1', 'G0 and G1 stand on one line: one motion word a line'],
    ['G17 G17', 'G17 and G17 stand on one line: one plane word a line'],
    ['X1 X2 G1', 'X stands twice on one line'],
    ['M3 M5', 'M stands twice on one line'],
    ['G80 G90', 'G80 does not stand alone on its line'],
    ['X1', 'axis words on a line without G0 or G1'],
    ['G90 Z1', 'axis words on a line without G0 or G1'],
    ['G1', 'G1 without an axis word'],
    ['G0 F100', 'G0 without an axis word'],
    ['P2', 'P without G4'],
    ['G4', 'G4 without P'],
    ['G4 P-1', 'a feed, speed or time is negative'],
    ['G1 X1 F-1', 'a feed, speed or time is negative'],
    ['S-1', 'a feed, speed or time is negative'],
    ['G1 X1 G1', 'G1 and G1 stand on one line: one motion word a line'],
  ])('%s: %s', (text, said) => {
    expect(why(text)).toBe(said);
  });

  it.each([
    'G0 X1',
    'G1 X1 Y-2 Z.5 F100',
    'G80',
    'G4 P2',
    'M3 S16000',
    'G90 G1 Z1',
    'g1x1',
    '',
    'F100',
    'G1 X-0 F0',
    'M30',
    'G01 X1.',
  ])('%s is taken', (text) => {
    expect(why(text)).toBe('');
  });

  it('numbers are read as they stand, and there is no minus zero', () => {
    const values = (text: string): unknown => {
      const read = readLine(text);
      return read.ok
        ? read.words.map(({ letter, value }) => `${letter}${Object.is(value, -0) ? '-0' : value}`).join(' ')
        : read.message;
    };
    for (const text of ['G01 X-1.50 Y.25 Z-0.', 'g01x-1.50 y.25\tz-0.', 'G01(a comment)X-1.50 Y.25 Z-0. (another)'])
      expect(values(text)).toBe('G1 X-1.5 Y0.25 Z0');
    expect(values('X1.2.3')).toBe('the number after X cannot be read');
    expect(values('(a) X1-2')).toBe('the number after X cannot be read');
    expect(values('X+1')).toBe('the number after X has a plus sign');
    expect(values('X')).toBe('the number after X cannot be read');
    expect(values('X1 (a')).toBe('the comment is not closed');
    expect(values('X1 a) Y1')).toBe("')' closes no comment");
    expect(values('(a (b) c)')).toBe('a comment stands inside a comment');
    expect(values('(50%)')).toMatch(/^a comment may hold/);
    expect(values('N10 G1 X1')).toMatch(/line numbers/);
    for (const [text, said] of [
      ['%', "'%' is not"],
      ['/G1 X1', "block delete '/'"],
      ['G1 X1 ; go', "';' is not"],
      ['#1=2', "parameters ('#')"],
      ['[1]', "expressions ('[')"],
      ['&', "'&' begins no word"],
      ['G1 X1 &', "'&' begins no word"],
    ] as const)
      expect(values(text)).toContain(said);
    expect(values('G1 X1\u00b5')).toBe('the character with code 181 is outside printable ASCII');
    expect(values('G1 X1\u0007')).toBe('the character with code 7 is outside printable ASCII');
    expect(values('G1 X1\u007f')).toBe('the character with code 127 is outside printable ASCII');
    expect(values('G1 X1~')).toBe("'~' begins no word");
  });
});

describe('the words of a verdict', () => {
  const lines = plainProgram();
  const inAir = lines.map((line) => line.replace(/Z(-?[\d.]+)/, (_all, z: string) => `Z${(Number(z) + 20).toFixed(3)}`));
  const air = textOf(inAir.filter((line) => !/^(M3|G4)/.test(line)));
  const said = (text: string, kind: 'floor' | 'air' | 'trace', leave = 0): string => {
    const work = workOf();
    return verdictText(proveProgram(text, { ...work, shop: { ...work.shop, leave } }, kind), kind, { leave }, 'mm');
  };

  it('say of each kind what was proved: only what cuts leaves a floor', () => {
    expect(said(textOf(lines), 'floor')).toMatch(/^proved: the text leaves this floor and touches nothing else\n/);
    expect(said(textOf(lines), 'floor', 0.06)).toMatch(
      /^proved: the text leaves this floor, up to 0\.06 mm higher for the file, /,
    );
    expect(said(air, 'air')).toMatch(/^proved: a run in the air, the spindle off .* so nothing is cut\n/);
    expect(said(air, 'trace')).toMatch(/^proved: a walk round the pocket, the spindle off .* so nothing is cut\n/);
    for (const kind of ['air', 'trace'] as const) expect(said(air, kind)).not.toMatch(/floor and touches|gouge|leftover|passes/);
  });

  it('say what each figure is, the minutes to a tenth', () => {
    const text = said(textOf(lines), 'floor');
    expect(text).toMatch(/\n {2}gouge +-?[\d.]+ mm +how far the cutter goes below the new floor/);
    expect(text).toMatch(/\n {2}leftover +[\d.]+ mm +wood above the new floor/);
    expect(text).toMatch(/\n {2}unreachable +[\d.]+ mm +of that, what no way of this cutter could take/);
    expect(text).toMatch(/\n {2}passes +\d +cuts one below the other/);
    expect(text).toMatch(/\n {2}minutes +\d+(\.\d)? min +/);
  });

  it('have digits enough that what is found and what is asked differ', () => {
    expect(apart(0.199_98, 0.2, 'mm')).toEqual(['0.19998 mm', '0.2 mm']);
    expect(apart(0.199_998_6, 0.2, 'mm')).toEqual(['0.199999 mm', '0.2 mm']);
    expect(apart(0.15, 0.2, 'mm')).toEqual(['0.15 mm', '0.2 mm']);
    expect(apart(-0.000_01, 0, 'mm')).toEqual(['-0.00001 mm', '0 mm']);
    expect(apart(0.000_000_3, 0, 'mm')).toEqual(['0.0000003 mm', '0 mm']);
    expect(apart(20, 30, 'mm')).toEqual(['20 mm', '30 mm']);
    expect(apart(0.254, 25.4, 'in')).toEqual(['0.01 in', '1 in']);
    expect(apart(0.199_98, 0.2)).toEqual(['0.19998 mm (0.007873 in)', '0.2 mm (0.007874 in)']);
    // A wall that asks a hundredth of a thousandth more than the text keeps.
    const work = workOf();
    const wall = 0.150_01;
    const shop = { ...work.shop, clearance: { ...work.shop.clearance, wall } };
    const verdict = proveProgram(textOf(lines), { ...work, shop }, 'floor');
    const fault = verdict.faults.find(({ rule }) => rule === 'walls')?.message ?? '';
    const [, found, asked] =
      /passes ([\d.]+) mm \([\d.]+ in\) from a wall; ([\d.]+) mm \([\d.]+ in\) must be kept/.exec(fault) ?? [];
    expect(Number(found)).toBeLessThan(Number(asked));
    const table = ruleTable(verdict, {
      title: '',
      units: 'mm',
      jobFingerprint: '',
      programFingerprint: '',
      kind: 'floor',
      shop,
      clearBefore: work.clearBefore,
    });
    const [, nearest, least] = /walls +BROKEN.*nearest ([\d.]+) mm +at least ([\d.]+) mm/.exec(table) ?? [];
    expect(Number(nearest)).toBeLessThan(Number(least));
  });
});

describe('every word there may be, by a list of its own', () => {
  const saidOf = (letter: string, value: number): string => outsideDialect([{ letter, value }]).join('; ');
  const from = (first: number, last: number): number[] => Array.from({ length: last - first + 1 }, (_, i) => first + i);

  it('G0 to G99.9: taken, refused by name, or refused', () => {
    const taken = [0, 1, 4, 17, 20, 21, 40, 54, 80, 90, 94];
    const named: readonly (readonly [readonly number[], string])[] = [
      [[2, 3], 'an arc: only straight moves are taken'],
      [[10], 'sets data in the control'],
      [[18, 19], 'another plane than XY'],
      [[28, 30], 'goes to a place outside the program'],
      [[41, 42], 'cutter radius compensation'],
      [[49], 'changes the length offset, which moves the cutter by an amount not in the text'],
      [[53], 'machine coordinates'],
      [[64], 'a path mode'],
      [[73, ...from(810, 890).map((tenths) => tenths / 10)], 'a canned cycle'],
      [[93, 95], 'another feed mode than G94'],
      [[98, 99], 'belongs to canned cycles'],
    ];
    // Their tenths are variants of the same.
    const withTenths: readonly (readonly [readonly number[], string])[] = [
      [[38], 'a probing move'],
      [[43], 'changes the length offset, which moves the cutter by an amount not in the text'],
      [from(55, 59), 'another zero than G54'],
      [[61], 'a path mode'],
      [[91], 'relative coordinates'],
      [[92], 'shifts the zero'],
    ];
    const changing: number[] = [];
    for (let tenths = 0; tenths < 1000; tenths++) {
      const value = tenths / 10;
      if (breaksState({ letter: 'G', value })) changing.push(value);
      const why =
        named.find(([all]) => all.includes(value))?.[1] ?? withTenths.find(([all]) => all.includes(Math.floor(value)))?.[1];
      const said = saidOf('G', value);
      if (taken.includes(value)) expect(said, `G${value}`).not.toContain('dialect');
      else expect(said).toBe(`G${value} is not in the dialect${why === undefined ? '' : `: ${why}`}`);
    }
    const tenthsOf = (all: readonly number[]): number[] => all.flatMap((g) => from(0, 9).map((tenth) => (10 * g + tenth) / 10));
    expect(changing).toEqual([18, 19, ...tenthsOf(from(55, 59)), ...tenthsOf([91]), 93, 95]);
    for (const letter of ['M', 'X']) expect(breaksState({ letter, value: 91 })).toBe(false);
  });

  it('M0 to M99, and the letters', () => {
    const names = new Map<number, string>([
      [1, 'a stop that a switch may ignore'],
      [4, 'turns the cutter backwards'],
      [6, 'a tool change'],
      [7, 'coolant'],
      [8, 'coolant'],
      [9, 'coolant'],
      [48, 'overrides'],
      [49, 'overrides'],
      [60, 'a pallet change'],
    ]);
    for (const value of from(0, 99)) {
      const why = names.get(value);
      const wanted = [0, 2, 3, 5, 30].includes(value)
        ? ''
        : `M${value} is not in the dialect${why === undefined ? '' : `: ${why}`}`;
      expect(saidOf('M', value)).toBe(wanted);
    }
    const outside = 'ABCDEHIJKLOQRTUVW';
    for (const letter of outside) expect(saidOf(letter, 1)).toMatch(new RegExp(`^${letter} is not in the dialect`));
    for (const letter of 'FSXYZP') expect(saidOf(letter, 1)).not.toContain('dialect');
  });

  it('a plain move is one motion word first, then axes and a feed, each once; all else is looked at the long way', () => {
    const word = (text: string) => ({ letter: text.charAt(0), value: Number(text.slice(1)) });
    const said = (...words: string[]): string => outsideDialect(words.map(word)).join('; ');
    for (const axis of 'XYZ') {
      expect(said('G1', `${axis}2`)).toBe('');
      expect(said('G0', `${axis}-2`, 'F0')).toBe('');
      expect(said(`${axis}2`, 'G0')).toBe('');
      expect(said('G1', `${axis}2`, `${axis}2`)).toBe(`${axis} stands twice on one line`);
      expect(said('G80', `${axis}2`)).toContain('G80 does not stand alone on its line');
      expect(said('G4', 'P1', `${axis}2`)).toBe('axis words on a line without G0 or G1');
    }
    expect(said('G1', 'X2', 'F-1')).toBe('a feed, speed or time is negative');
    expect(said('G1', 'X2', 'S-1')).toBe('a feed, speed or time is negative');
    expect(said('G1', 'X2', 'T3')).toBe('T is not in the dialect: chooses a tool');
    expect(said('G1', 'F9', 'F9')).toBe('F stands twice on one line');
    expect(said('F9', 'S9')).toBe('');
    expect(said('G1', 'X2', 'M5', 'S9', 'G90')).toBe('');
    expect(said('G4', 'P0', 'F0', 'S0')).toBe('');
    expect(said('M1', 'M6')).toBe(
      'M1 is not in the dialect: a stop that a switch may ignore; M stands twice on one line; M6 is not in the dialect: a tool change',
    );
  });
});
