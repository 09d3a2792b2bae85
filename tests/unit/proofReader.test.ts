import { describe, expect, it } from 'vitest';
import { readLine } from '../../src/proof/lineReader.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { type Move, readStrictly } from '../../src/proof/strictReader.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const HEAD = ['G21', 'G17', 'G90', 'G94'];
const faultsOf = (...lines: string[]): string[] =>
  readStrictly(lines.join('\n')).faults.map(({ rule, line, message }) => `${rule} ${line} ${message}`);
const movesOf = (...lines: string[]): Move[] =>
  readStrictly(lines.join('\n')).steps.filter((step): step is Move => step.kind === 'move');
const words = (line: string): string => {
  const read = readLine(line);
  return read.ok ? read.words.map(({ letter, value }) => `${letter}${value}`).join(' ') : `refused: ${read.message}`;
};

describe('what the strict reader takes', () => {
  it.each([
    ['g1 x3 y1 f20.0', 'G1 X3 Y1 F20'],
    ['\tG01 X .5 Y-0.250 ', 'G1 X0.5 Y-0.25'],
    ['M03S16000', 'M3 S16000'],
    ['G1 X-0 Y-.0 Z0.', 'G1 X0 Y0 Z0'],
    ['G1 (to the rear) X5 (stop)', 'G1 X5'],
    ['', ''],
    ['()', ''],
  ])('%j', (line, wanted) => {
    expect(words(line)).toBe(wanted);
  });

  it('never hands on a minus zero', () => {
    const read = readLine('X-0.000');
    expect(read.ok && Object.is(read.words[0]?.value, 0)).toBe(true);
  });

  it('CRLF, blank lines, a missing last line end, M30 for M2', () => {
    const sound = textOf(plainProgram());
    for (const text of [
      sound.replaceAll('\n', '\r\n'),
      sound.replaceAll('\n', '\n\n'),
      sound.trimEnd(),
      sound.replace('M2\n', 'M30\n'),
      sound.toLowerCase(),
      sound.replaceAll('G1 ', 'G01'),
      sound.replaceAll('\n', ' (as before)\n').replaceAll(') (as before)', ')'),
    ])
      expect(proveProgram(text, workOf(), 'floor').faults).toEqual([]);
  });

  it('the order of execution within a line: F, S, spindle, dwell, modes, motion, stop', () => {
    const read = readStrictly([...HEAD, 'M0 X1 G1 F100 M0'.replace(' M0', ''), 'G1 X2 F200'].join('\n'));
    expect(read.faults).toEqual([]);
    expect(read.steps.map((step) => step.kind)).toEqual(['move', 'stop', 'move']);
    expect(read.steps.map((step) => (step.kind === 'move' ? step.feed : 0))).toEqual([100, 0, 200]);
  });

  it('inches, in the decimals as written', () => {
    const [, move] = movesOf('G20', 'G17', 'G90', 'G94', 'G0 Z1', 'G1 X0.1 F10');
    expect(move?.to.x).toBeCloseTo(2.54, 12);
    expect(move?.feed).toBeCloseTo(254, 12);
  });
});

describe('what the strict reader refuses', () => {
  it.each([
    ['X+1', 'plus sign'],
    ['X1e3', 'E is not'],
    ['X1.2.3', 'cannot be read'],
    ['X--1', 'cannot be read'],
    ['X.', 'cannot be read'],
    ['X', 'cannot be read'],
    ['X1(c)5', 'begins no word'],
    ['X(c)5', 'cannot be read'],
    ['5', 'begins no word'],
    ['N5 G1 X1', 'line numbers'],
    ['/G1 X1', 'block delete'],
    ['G1 X1 ; done', "';'"],
    ['(a (b) c)', 'inside a comment'],
    ['(a', 'not closed'],
    ['a)', 'closes no comment'],
    ['%', "'%'"],
    ['#1=2', 'parameters'],
    ['X[1+2]', 'cannot be read'],
    ['(50%)', 'a comment may hold'],
    ['(\u00e9)', 'outside printable ASCII'],
    ['G1\u00a0X1', 'outside printable ASCII'],
    ['G1\u0000X1', 'outside printable ASCII'],
    ['G1\rX1', 'outside printable ASCII'],
  ])('%j: %s', (line, part) => {
    const told = faultsOf(...HEAD, line);
    expect(
      told.some((fault) => fault.startsWith('words 5') && fault.includes(part)),
      told.join('\n'),
    ).toBe(true);
  });

  it('256 characters are taken, 257 are not', () => {
    const comment = (length: number): string => `(${'x'.repeat(length - 2)})`;
    expect(faultsOf(...HEAD, comment(256))).toEqual([]);
    expect(faultsOf(...HEAD, comment(257))).toEqual(['words 5 the line has 257 characters; at most 256 are taken']);
  });

  it('a long line of long numbers that ends in nothing readable, at once', () => {
    expect(faultsOf(...HEAD, `${'X11111111'.repeat(28)}!`)).toEqual(["words 5 '!' begins no word"]);
    expect(faultsOf(...HEAD, `${'X1111.111'.repeat(28)}X`)).toEqual(['words 5 the number after X cannot be read']);
  });

  it('every fault of a text at once', () => {
    expect(faultsOf('T1', 'G2 X1', 'M6').map((fault) => fault.slice(0, 7))).toEqual(['words 1', 'words 2', 'words 3']);
  });

  it('an empty text, at line 1', () => {
    for (const text of ['', '\n', '  ']) {
      const { proved, faults } = proveProgram(text, workOf(), 'floor');
      expect(proved).toBe(false);
      expect(faults.every(({ line }) => line === 1)).toBe(true);
      expect(faults.map(({ rule }) => rule)).toContain('end');
    }
  });

  it('what two readers see differently', () => {
    const lines = plainProgram();
    const at = lines.findIndex((line) => line.startsWith('G1 X'));
    const swapped = (lines[at] ?? '').replace(/^G1 (X\S+) (Y\S+)/, '$1 G1 $2');
    const verdict = proveProgram(textOf(lines.with(at, swapped)), workOf(), 'floor');
    expect(verdict.faults).toEqual([
      { rule: 'words', line: at + 1, message: 'two independent readers see different moves here: put the G word first' },
    ]);
    // The last line counts as any other.
    const last = proveProgram(textOf(lines.with(-1, 'X-6 G1 Y0 M2')), workOf(), 'floor');
    expect(last.faults.map(({ rule, line }) => `${rule} ${line}`)).toEqual([`words ${lines.length}`]);
  });
});

describe('units and modes', () => {
  it('each must be set before the first move', () => {
    for (const left of HEAD) {
      const told = faultsOf(...HEAD.filter((word) => word !== left), 'G0 Z20');
      expect(told).toHaveLength(1);
      expect(told[0]).toMatch(/^state 4 .* is not set before the first move$/);
    }
    // One line with all of them, the move included, is the standard's own order.
    expect(faultsOf('G21 G17 G90 G94 G0 Z20')).toEqual([]);
  });

  it('may be given twice before it, never changed, never after it', () => {
    expect(faultsOf('G21', ...HEAD, 'G40', 'G54', 'G80', 'G0 Z20')).toEqual([]);
    expect(faultsOf('G20', ...HEAD, 'G0 Z20')).toEqual(['state 2 G21 changes what G20 has set']);
    for (const word of ['G21', 'G20', 'G17', 'G90', 'G94', 'G54'])
      expect(faultsOf(...HEAD, 'G0 Z20', word)[0]).toMatch(/^state 6 /);
  });

  it('other modes break the dialect and the state', () => {
    for (const word of ['G91', 'G93', 'G18', 'G55', 'G59.1'])
      expect(faultsOf(...HEAD, word).map((fault) => fault.slice(0, 7))).toEqual(['words 5', 'state 5']);
  });
});

// NISTIR 6556, "The NIST RS274NGC Interpreter - Version 3" (mark: read, sources.md).
describe('NISTIR 6556', () => {
  it('3.3.1 (read): blanks and tabs mean nothing; the plus sign of its example is the only thing refused here', () => {
    expect(words('g0x 0. 12\t34y 7')).toBe(words('g0 x0.1234 y7'));
    expect(words('g0x 0. 12 34y 7')).toBe('G0 X0.1234 Y7');
    expect(words('g0x +0. 12 34y 7')).toMatch(/^refused: .*plus sign/);
  });

  it('Table 10 (read): from (0,0,0) mm `g1 x3 y1 f20.0` feeds to (3,1,0)', () => {
    const [, , move] = movesOf('g21 g17 g90 g94', 'g0 z0', 'g0 x0 y0', 'g1 x3 y1 f20.0');
    expect(move).toMatchObject({ rapid: false, feed: 20, from: { x: 0, y: 0, z: 0 }, to: { x: 3, y: 1, z: 0 } });
  });

  it.each([
    ['G2 X3 Y1 I1 J0', 'G2 is not in the dialect: an arc'],
    ['G3 X3 Y1 R2', 'G3 is not in the dialect: an arc'],
    ['T1 M6', 'T is not in the dialect: chooses a tool'],
    ['T1 M6', 'M6 is not in the dialect: a tool change'],
    ['G81 X1 Y1 Z-1 R1', 'G81 is not in the dialect: a canned cycle'],
    ['G43 H1', 'G43 is not in the dialect: changes the length offset'],
    ['G28 Z0', 'G28 is not in the dialect: goes to a place outside the program'],
    ['G53 G0 Z0', 'G53 is not in the dialect: machine coordinates'],
    ['G92 X0', 'G92 is not in the dialect: shifts the zero'],
    ['G64', 'G64 is not in the dialect: a path mode'],
    ['M8', 'M8 is not in the dialect: coolant'],
    ['M7', 'M7 is not in the dialect: coolant'],
    ['M9', 'M9 is not in the dialect: coolant'],
    ['M1', 'M1 is not in the dialect: a stop that a switch may ignore'],
    ['M4', 'M4 is not in the dialect: turns the cutter backwards'],
    ['M48', 'M48 is not in the dialect: overrides'],
    ['M49', 'M49 is not in the dialect: overrides'],
    ['M60', 'M60 is not in the dialect: a pallet change'],
    ['M98', 'M98 is not in the dialect'],
    ['G1 X1 A5', 'A is not in the dialect: a fourth axis'],
    ['G1 X1 B5', 'B is not in the dialect: a fourth axis'],
    ['G1 X1 C5', 'C is not in the dialect: a fourth axis'],
    ['G43 H1', 'H is not in the dialect: a length offset'],
    ['G41 D1', 'D is not in the dialect: a radius offset'],
    ['G41 D1', 'G41 is not in the dialect: cutter radius compensation'],
    ['G2 X1 I1 J0 K2', 'I is not in the dialect: belongs to arcs'],
    ['G2 X1 I1 J0 K2', 'J is not in the dialect: belongs to arcs'],
    ['G2 X1 I1 J0 K2', 'K is not in the dialect: belongs to arcs'],
    ['G2 X1 R1', 'R is not in the dialect: belongs to arcs and cycles'],
    ['G83 Z-1 Q1 L2', 'Q is not in the dialect: belongs to cycles'],
    ['G83 Z-1 Q1 L2', 'L is not in the dialect: repeats'],
    ['O100', 'O is not in the dialect: subprograms'],
    ['G10 P1', 'G10 is not in the dialect: sets data in the control'],
    ['G18', 'G18 is not in the dialect: another plane than XY'],
    ['G30', 'G30 is not in the dialect: goes to a place outside the program'],
    ['G38.2 Z-1', 'G38.2 is not in the dialect: a probing move'],
    ['G49', 'G49 is not in the dialect: changes the length offset'],
    ['G59.3', 'G59.3 is not in the dialect: another zero than G54'],
    ['G61.1', 'G61.1 is not in the dialect: a path mode'],
    ['G73 Z-1', 'G73 is not in the dialect: a canned cycle'],
    ['G89 Z-1', 'G89 is not in the dialect: a canned cycle'],
    ['G91.1', 'G91.1 is not in the dialect: relative coordinates'],
    ['G95', 'G95 is not in the dialect: another feed mode than G94'],
    ['G98', 'G98 is not in the dialect: belongs to canned cycles'],
  ])('what its appendix C.1 and others hold is refused by name (derived): %s', (line, part) => {
    const told = faultsOf(...HEAD, line);
    expect(
      told.some((fault) => fault.includes(part)),
      told.join('\n'),
    ).toBe(true);
  });

  it('a whole program with arcs and a change of cutter (our own: the text of appendix C.1 is not at hand), each by name and line', () => {
    const lines = [
      '(an invented plate with rounded corners)',
      'G21 G17',
      'G90 G94',
      'T1 M6',
      'M3 S8000',
      'G0 X0 Y-5 Z10',
      'G1 Z-1 F100',
      'G1 X35 F400',
      'G3 X40 Y0 I0 J5',
      'G1 Y20',
      'G2 X35 Y25 R5',
      'G1 X0',
      'g02 x-5 y20 i0 j-5',
      'M5',
      'T2',
      'M6',
      'M3',
      'G1 Z-2',
      'G03X0Y-5I5J0',
      'G0 Z10',
      'M2',
    ];
    const told = faultsOf(...lines);
    const of = (line: number, what: string): void => {
      expect(
        told.some((fault) => fault.startsWith(`words ${line} `) && fault.includes(what)),
        `${line} ${what}\n${told.join('\n')}`,
      ).toBe(true);
    };
    for (const line of [9, 19]) of(line, 'G3 is not in the dialect: an arc');
    for (const line of [11, 13]) of(line, 'G2 is not in the dialect: an arc');
    for (const line of [4, 15]) of(line, 'T is not in the dialect: chooses a tool');
    for (const line of [4, 16]) of(line, 'M6 is not in the dialect: a tool change');
    // Nothing else of it is refused in its words.
    const lineOf = (fault: string): number => Number(fault.split(' ')[1]);
    expect([...new Set(told.filter((fault) => fault.startsWith('words')).map(lineOf))].sort((a, b) => a - b)).toEqual([
      4, 9, 11, 13, 15, 16, 19,
    ]);
  });

  it.each([
    ['(a (nested) comment)', 'a comment stands inside a comment'],
    ['(an open comment', 'the comment is not closed'],
    ['G0 G1 X1', 'G0 and G1 stand on one line: one motion word a line'],
    ['G17 G18', 'G18 is not in the dialect: another plane than XY'],
    ['G20 G21', 'G20 and G21 stand on one line: one units word a line'],
    ['G1 X1 X2', 'X stands twice on one line'],
    ['M3 M5', 'M stands twice on one line'],
    ['X1', 'axis words on a line without G0 or G1'],
    ['G1 F100', 'G1 without an axis word'],
    ['G4', 'G4 without P'],
    ['P2', 'P without G4'],
  ])('bad lines of a published reader (derived): %s', (line, message) => {
    expect(faultsOf(...HEAD, line)).toContain(`words 5 ${message}`);
  });

  it('G1 before any F, a feed that is zero (derived)', () => {
    const rules = (text: string): string[] =>
      proveProgram(text, workOf(CASE), 'floor').faults.map(({ rule, line }) => `${rule} ${line}`);
    expect(rules([...HEAD, 'G0 Z30', 'G1 Z29'].join('\n'))).toContain('feed 6');
    expect(rules([...HEAD, 'G0 Z30', 'G1 Z29 F0'].join('\n'))).toContain('feed 6');
  });
});
