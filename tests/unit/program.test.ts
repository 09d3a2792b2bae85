import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/kernel/findings.ts';
import { gridDown, gridOf, gridText, gridUp } from '../../src/program/grid.ts';
import { readyTask } from '../../src/program/ready.ts';
import { staysWarnings } from '../../src/program/stays.ts';
import { cuspOf, mostTaken } from '../../src/program/surface.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from '../../src/program/write.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { CASES, pocket, type ShopParts, shopOf, taskOf } from './programTasks.ts';

function made(result: Result<Program>): Program {
  if (!result.ok) throw new Error(JSON.stringify(result.findings));
  return result.value;
}

function codes(task: ProgramTask): string[] {
  const result = writeFloorProgram(task);
  return result.ok ? [] : result.findings.map((finding) => finding.code);
}

const WRITERS = [
  ['floor', writeFloorProgram],
  ['air', writeAirProgram],
  ['trace', writeTraceProgram],
] as const;

/** A code line of the dialect (program.md): known words, one of each letter, plain decimals. */
const NUMBER = { mm: '-?(?:0|[1-9][0-9]*)\\.[0-9]{3}', in: '-?(?:0|[1-9][0-9]*)\\.[0-9]{4}' };
const line = (unit: 'mm' | 'in'): RegExp => {
  const n = NUMBER[unit];
  const words = `(?: X${n})?(?: Y${n})?(?: Z${n})?`;
  return new RegExp(
    `^(?:G0${words}|G1${words}(?: F[0-9]+(?:\\.[0-9]+)?)?|G4 P[0-9]+|G17|${unit === 'mm' ? 'G21' : 'G20'}|G40|G54|G80|G90|G94|M0|M2|M3 S[0-9]+|M5)$`,
  );
};

describe.each(CASES)('text: %s', (_name, task) => {
  test.each(WRITERS)('the %s program is written in the dialect and nothing else', (_kind, write) => {
    const { text } = made(write(task));
    const unit = task.shop.program.units ?? 'mm';
    const lines = text.split('\n');
    expect(lines.pop()).toBe('');
    expect(lines.length).toBeGreaterThan(30);
    for (const each of lines) {
      expect(each.length).toBeLessThanOrEqual(70);
      if (each.startsWith('(')) expect(each).toMatch(/^\((?:MSG, )?[A-Za-z0-9 .,\-_:=]+\)$/);
      else expect(each).toMatch(line(unit));
      expect(each).not.toMatch(/-0\.0+(?![0-9])/);
      expect(each).not.toMatch(/^G[01]$/);
    }
    const code = lines.filter((each) => !each.startsWith('('));
    expect(code.slice(-2)).toEqual(['M5', 'M2']);
    expect(code.find((each) => /^G[01] /.test(each))).toMatch(/^G0 Z\S+$/);
  });

  test('the air program makes every move of the floor program, lifted above the top, spindle off', () => {
    const moves = (text: string): string[] =>
      text
        .split('\n')
        .filter((each) => /^G[01] /.test(each))
        .map((each) => each.replace(/ Z\S+/, ' Z'));
    const air = made(writeAirProgram(task)).text;
    expect(moves(air)).toEqual(moves(made(writeFloorProgram(task)).text));
    expect(air).not.toMatch(/^(?:M3|G4 )|S[0-9]/m);
    const scale = task.shop.program.units === 'in' ? 25.4 : 1;
    const heights = [...air.matchAll(/^G[01].* Z(-?[0-9.]+)/gm)].map((match) => Number(match[1]) * scale);
    expect(Math.min(...heights)).toBeGreaterThan(task.pocketDepth);
  });
});

test.each(CASES)('falls at the plunge feed and goes every other way at the cutting feed: %s', (_name, task) => {
  const unit = task.shop.program.units === 'in' ? 25.4 : 1;
  const here = { X: 0, Y: 0, Z: 0, F: 0 };
  const seen = { falls: 0, cuts: 0 };
  for (const each of made(writeFloorProgram(task))
    .text.split('\n')
    .filter((said) => /^G[01] /.test(said))) {
    const from = { ...here };
    for (const [, letter, value] of each.matchAll(/([XYZF])(-?[0-9.]+)/g)) here[letter as 'X'] = Number(value) * unit;
    if (each.startsWith('G0')) continue;
    const fall = from.Z - here.Z;
    const across = Math.hypot(here.X - from.X, here.Y - from.Y);
    // Between 1 in 11 and 1 in 10, and within the rounding of a short way, it may be either.
    if (fall > 0.1 * across + 0.006) {
      expect(here.F, each).toBeCloseTo(300, -1);
      seen.falls += 1;
    } else if (fall < 0.09 * across - 0.006) {
      expect(here.F, each).toBeCloseTo(1200, -1);
      seen.cuts += 1;
    }
  }
  expect(seen.falls).toBeGreaterThan(3);
  expect(seen.cuts).toBeGreaterThan(10);
});

describe('lengths of the header', () => {
  const headerOf = (task: ProgramTask): string[] =>
    made(writeFloorProgram(task))
      .text.split('\n')
      .filter((each) => each.startsWith('('));

  test.each(CASES)('are in the program’s unit, and none stands on a line by itself: %s', (_name, task) => {
    const lines = headerOf(task);
    const isInch = task.shop.program.units === 'in';
    for (const each of lines) {
      expect(each).not.toMatch(/^\((?:inch|mm)\)$/);
      // Millimetres stand in an inch program only beside their inches.
      if (isInch) expect(each.replace(/inch = [\d.]+ mm/, '')).not.toMatch(/\bmm\b/);
      else expect(each).not.toMatch(/\binch\b/);
    }
  });

  test('give a depth in both units, what stays in inches', () => {
    const lines = headerOf(taskOf({ gx: -0.011, shop: shopOf({ program: { units: 'in' }, cutter: { diameter: 6.35 } }) }));
    expect(lines).toContain('(floor deepest at the mouth: 0.0179 inch = 0.45 mm on the centreline)');
    expect(lines).toContain('(- rim at the bass wall: 0.0014 and 0.131 inch)');
  });
});

describe('order', () => {
  const words = (text: string): string[] => text.split('\n').filter((each) => each !== '' && !/^\((?!MSG)/.test(each));

  test('zero, spindle and look are asked for before anything is cut', () => {
    const text = words(made(writeFloorProgram(taskOf({}))).text).map((each) => each.replace(/^\(MSG.*/, 'MSG'));
    expect(text.slice(0, 19)).toEqual([
      ...['G21', 'G17', 'G90', 'G94', 'G40', 'G54', 'G80', 'MSG', 'M0', 'G0 Z25.400'],
      expect.stringMatching(/^G0 X-7\.000 Y/),
      ...['MSG', 'M0', 'M3 S16000', 'G4 P4', 'MSG', 'M0'],
      expect.stringMatching(/^G1 Z0\.300 F300$/),
      expect.stringMatching(/^G1 Z-0\./),
    ]);
    const look = text.indexOf('M5');
    expect(text.slice(look - 1, look + 7)).toEqual(['G1 Z25.400 F1200', 'M5', 'MSG', 'M0', 'M3 S16000', 'G4 P4', 'MSG', 'M0']);
  });

  test.each([
    ['first', 2],
    ['every', 2],
    ['never', 1],
  ] as const)('look %s', (look, stops) => {
    const program = made(writeFloorProgram(taskOf({ shop: shopOf({ program: { look } }) })));
    expect(program.passes).toBe(2);
    expect(program.text.match(/^M5$/gm)).toHaveLength(stops);
  });

  test('the trace stops over both ends of the mouth and the rear, for either hand', () => {
    const right = words(made(writeTraceProgram(taskOf({}))).text).join('\n');
    expect(right).toMatch(/G0 X0\.000 Y-18\.850\n\(MSG, CUTTER OVER MOUTH-BASS[^)]*\)\nM0/);
    expect(right).toMatch(/G0 X0\.000 Y18\.850\n\(MSG, CUTTER OVER MOUTH-TREBLE[^)]*\)\nM0/);
    expect(right).toMatch(/G0 X41\.300 Y0\.000\n\(MSG, CUTTER OVER REAR[^)]*\)\nM0/);
    const left = made(writeTraceProgram(taskOf({ hand: 'left' }))).text;
    expect(left).toMatch(/G0 X0\.000 Y18\.850\n\(MSG, CUTTER OVER MOUTH-BASS/);
  });
});

describe('the header', () => {
  const task = taskOf({ gx: -0.011 });

  test('says what hurts where the cutter turns, and only there', () => {
    const told = /eyes and lungs covered[^)]*\)\n\(try it in the air and in scrap first\)/;
    expect(made(writeFloorProgram(task)).text).toMatch(told);
    for (const write of [writeAirProgram, writeTraceProgram])
      expect(made(write(task)).text).not.toMatch(/eyes and lungs|in scrap/);
  });

  test('has the numbers of the moves below it', () => {
    for (const units of ['mm', 'in'] as const) {
      const { text } = made(writeFloorProgram({ ...task, shop: shopOf({ program: { units } }) }));
      const all = (letter: string): number[] =>
        [...text.matchAll(new RegExp(`^G[01].* ${letter}(-?[0-9.]+)`, 'gm'))].map((match) => Number(match[1]));
      const radius = units === 'mm' ? 3 : 3 / 25.4;
      const step = units === 'mm' ? 0.001 : 0.0001;
      const said = (what: RegExp): number[] => (what.exec(text)?.slice(1) ?? []).map(Number);
      expect(said(/least Z (-?[0-9.]+), clear Z ([0-9.]+)/)).toEqual([Math.min(...all('Z')), Math.max(...all('Z'))]);
      const spans = [...said(/box of the cutter: X (-?[0-9.]+) to ([0-9.]+)/), ...said(/Y (-?[0-9.]+) to ([0-9.]+)\)/)];
      const [x, y] = [all('X'), all('Y')];
      const swept = [Math.min(...x) - radius, Math.max(...x) + radius, Math.min(...y) - radius, Math.max(...y) + radius];
      spans.forEach((edge, i) => {
        // The moves are rounded inwards, the box is not.
        expect(Math.abs(edge - (swept[i] as number))).toBeLessThanOrEqual(2 * step);
      });
      expect(spans).toHaveLength(4);
    }
  });
});

describe('numbers', () => {
  test('round the way that is asked, leave what is on the grid, and know no minus zero', () => {
    const mm = gridOf('mm');
    const inch = gridOf('in');
    expect(gridText(mm, gridUp(mm, -0.78649))).toBe('-0.786');
    expect(gridText(mm, gridDown(mm, -0.78649))).toBe('-0.787');
    expect(gridText(mm, gridUp(mm, 25.95))).toBe('25.950');
    expect(gridText(mm, gridUp(mm, -0.0004))).toBe('0.000');
    expect(gridText(inch, gridUp(inch, -0.0025))).toBe('0.0000');
    expect(gridText(inch, gridUp(inch, 25.4))).toBe('1.0000');
    expect(gridText(inch, gridUp(inch, 0.001))).toBe('0.0001');
  });

  test('of pass.depth a level keeps back 0.02 mm, of a thin one no more than a third', () => {
    const taken = (depth: number, higher: number): number => {
      const ready = readyTask(taskOf({ shop: shopOf({ pass: { depth } }) }), higher);
      if (!ready.ok) throw new Error(JSON.stringify(ready.findings));
      return mostTaken(ready.value);
    };
    expect(taken(0.3, 0)).toBeCloseTo(0.28, 12);
    expect(taken(0.06, 0)).toBeCloseTo(0.04, 12);
    expect(taken(0.03, 0)).toBeCloseTo(0.02, 12);
    expect(taken(0.3, 0.1)).toBeCloseTo(0.18, 12);
  });

  test('the ridge between lanes agrees with looking for it (derived)', () => {
    for (const [gx, gy, w] of [
      [-0.011, 0, 2.4],
      [0.01, 0.006, 2],
      [0.002, 0.015, 1.1],
      [0, 0.02, 0.4],
    ] as const) {
      const g = Math.hypot(gx, gy);
      let worst = 0;
      for (let phase = 0; phase < 1; phase += 0.0005) {
        let best = Number.NEGATIVE_INFINITY;
        for (let y = -3 + phase * w; y <= 3; y += w)
          best = Math.max(best, (y * Math.abs(gy) + Math.sqrt(Math.max(0, 9 - y * y)) * Math.abs(gx)) / g);
        worst = Math.max(worst, g * (3 - best));
      }
      expect(cuspOf(3, gx, gy, w)).toBeGreaterThanOrEqual(worst - 1e-9);
      expect(cuspOf(3, gx, gy, w)).toBeLessThan(worst + 2e-4);
    }
    // Lanes that do not meet leave strips: the wood between them stands its whole 2 R g.
    for (const w of [6, 7]) expect(cuspOf(3, -0.01, 0, w)).toBeCloseTo(0.06, 12);
    expect(cuspOf(3, 0, 0, 2)).toBe(0);
  });
});

describe('what stays', () => {
  test('half a degree back: R g beside the side walls, nothing at the high rear', () => {
    const { stays } = made(writeFloorProgram(taskOf({ gx: -0.00873 })));
    expect(stays.map((stay) => stay.where)).toEqual(['strip along the walls', 'rim at the bass wall', 'rim at the treble wall']);
    expect(stays[1]?.height).toBeCloseTo(3 * 0.00873, 9);
    expect(stays[1]?.width).toBeCloseTo(3.15, 9);
  });

  test('a rounded corner that is tighter than the cutter keeps less than a square one', () => {
    const cornerOf = (cornerRadius: number) =>
      made(writeFloorProgram(taskOf({ gx: 0.01, outline: pocket({ cornerRadius }) }))).stays.find(
        (stay) => stay.where === 'rear bass corner',
      );
    // From the corner's own rounding to what the cutter sweeps: (R + w - r) sqrt 2 - (R - r).
    expect(cornerOf(2)?.width).toBeCloseTo(1.15 * Math.SQRT2 - 1, 9);
    expect(cornerOf(3.1)?.width).toBeCloseTo(0.05 * Math.SQRT2 + 0.1, 9);
    expect(cornerOf(3.2)).toBeUndefined();
  });

  test('forward: up to 2 R g at the low rear; a corner tighter than the cutter is named', () => {
    const { stays } = made(writeFloorProgram(taskOf({ gx: 0.01, outline: pocket({ cornerRadius: 0 }) })));
    expect(stays.find((stay) => stay.where === 'rim at the rear wall')?.height).toBeCloseTo(0.06, 9);
    const corner = stays.find((stay) => stay.where === 'rear treble corner');
    expect(corner?.width).toBeCloseTo(3.15 * Math.SQRT2 - 3, 9);
    expect(corner?.height).toBeCloseTo(0.413, 9);
    expect(staysWarnings(stays, 0.05, 'mm')).toHaveLength(1);
    expect(staysWarnings(stays, 1, 'mm')).toHaveLength(0);
    expect(staysWarnings([{ where: 'rim', height: 0.05, width: 1 }], 0.05, 'mm')).toEqual([]);
    const [{ message = '' } = {}] = staysWarnings(stays, 0.05, 'in');
    expect(message).toContain('rim at the rear wall 0.0024 in high, 0.242 in wide');
    expect(message).not.toContain('mm');
  });
});

describe('refused, exit 3', () => {
  const refusals: readonly (readonly [string, Partial<ProgramTask> & { gx?: number }, ShopParts])[] = [
    ['cutter-diameter-missing', {}, { cutter: { diameter: undefined } }],
    ['cutter-length-missing', {}, { cutter: { length: undefined } }],
    ['program-units-missing', {}, { program: { units: undefined } }],
    ['clear-before-missing', { clearBefore: undefined }, {}],
    ['clear-before-short', { clearBefore: 9.99 }, {}],
    ['wall-clearance-small', { widthBound: 0.21 }, {}],
    ['cutter-too-short', { gx: -0.01 }, { cutter: { length: 18.8 } }],
    ['cutter-too-wide', {}, { cutter: { diameter: 18 }, clearance: { wall: 10, beyondMouth: 4 } }],
    ['mounted-too-steep', { mounted: { mouthBass: 0, mouthTreble: 0, rearBass: 1.45, rearTreble: 1.45 } }, {}],
    ['nothing-to-cut', {}, { leave: 2 }],
    ['too-steep-to-enter', { gx: 0.0515 }, {}],
  ];

  test.each(refusals)('%s', (code, task, shop) => {
    const result = writeFloorProgram(taskOf({ ...task, shop: shopOf(shop) }));
    expect(result.ok).toBe(false);
    if (result.ok) return;
    expect(result.findings.map((finding) => finding.code)).toEqual([code]);
    expect(result.findings[0]?.exit).toBe(3);
    expect(result.findings[0]?.remedy).toBeTruthy();
  });

  test.each([
    [
      { clearBefore: 9.75 },
      {},
      '9.75 mm (0.384 in) (pocket.clearBefore)',
      'at least 10.00 mm (0.394 in) (cutter.diameter + clearance.beyondMouth)',
      '0.25 mm (0.010 in) are missing: a thinner cutter, or less clearance.beyondMouth',
    ],
    // As many digits as it takes to see that one is less than the other.
    [
      { clearBefore: 9.998 },
      {},
      '9.998 mm (0.39362 in) (pocket.clearBefore)',
      'at least 10 mm (0.3937 in) (cutter.diameter + clearance.beyondMouth)',
      '0.002 mm (0.00008 in) are missing: a thinner cutter, or less clearance.beyondMouth',
    ],
    [
      {},
      { leave: 0.4545 },
      'deepest 0.4543 mm (0.017886 in)',
      'more than 0.4545 mm (0.017894 in) (leave)',
      'take this much off by hand, or leave less',
    ],
    [
      { widthBound: 0.22 },
      {},
      '0.15 mm (0.006 in) (clearance.wall)',
      'at least 0.160 mm (0.0063 in): half the +/- of pocket.width, 0.110 mm (0.0043 in), and zeroing, 0.050 mm (0.0020 in)',
      '0.010 mm (0.0004 in) are missing: measure pocket.width more closely, or allow more clearance.wall',
    ],
    [
      { widthBound: 0.02 },
      { zeroing: 0.2 },
      '0.15 mm (0.006 in) (clearance.wall)',
      'at least 0.210 mm (0.0083 in): half the +/- of pocket.width, 0.010 mm (0.0004 in), and zeroing, 0.200 mm (0.0079 in)',
      '0.060 mm (0.0024 in) are missing: set the zero more closely (zeroing), or allow more clearance.wall',
    ],
    [
      { gx: -0.01 },
      { cutter: { length: 18.5 } },
      '18.50 mm (0.728 in) (cutter.length)',
      'at least 18.81 mm (0.741 in) (pocket depth, deepest cut and 1.00 mm (0.039 in))',
      '0.31 mm (0.012 in) are missing: let the cutter stick out further, or take a longer one',
    ],
    [
      {},
      { cutter: { diameter: 18 }, clearance: { wall: 10, beyondMouth: 4 } },
      '18.00 mm (0.709 in) (cutter.diameter) and 10.00 mm (0.394 in) (clearance.wall) on each side, in 37.70 mm (1.484 in) of width and 41.30 mm (1.626 in) of length',
      'cutter.diameter at most 17.68 mm (0.696 in)',
      '0.32 mm (0.013 in) are missing: a thinner cutter, or less clearance.wall',
    ],
    // It fits between the walls, with less room than moves in steps of a ten-thousandth of an inch need.
    [
      {},
      { cutter: { diameter: 17.69 }, clearance: { wall: 10, beyondMouth: 4 } },
      '17.69 mm (0.696 in) (cutter.diameter) and 10.00 mm (0.394 in) (clearance.wall) on each side, in 37.70 mm (1.484 in) of width and 41.30 mm (1.626 in) of length',
      'cutter.diameter at most 17.6800 mm (0.69606 in)',
      '0.0100 mm (0.00039 in) are missing: a thinner cutter, or less clearance.wall',
    ],
    [
      { outline: pocket({ length: 3, width: 30, cornerRadius: 0 }) },
      {},
      '6.00 mm (0.236 in) (cutter.diameter) and 0.15 mm (0.006 in) (clearance.wall) on each side, in 30.00 mm (1.181 in) of width and 3.00 mm (0.118 in) of length',
      'cutter.diameter at most 5.70 mm (0.224 in)',
      '0.30 mm (0.012 in) are missing: a thinner cutter, or less clearance.wall',
    ],
    [
      {},
      { leave: 2 },
      'deepest 0.45 mm (0.018 in)',
      'more than 2.00 mm (0.079 in) (leave)',
      'take this much off by hand, or leave less',
    ],
    [
      { gx: 0.0515 },
      {},
      'a fall of 1 in 19.1',
      'at most 1 in 20',
      'cut this floor (deepest 2.13 mm (0.084 in)) by the guide, or share the correction with the bridge',
    ],
    // Rolled, not pitched: along the rear wall the cutter goes across.
    [
      { gx: 0, gy: 0.0515 },
      {},
      'a fall of 1 in 19.2',
      'at most 1 in 20',
      'cut this floor (deepest 1.94 mm (0.076 in)) by the guide, or share the correction with the bridge',
    ],
  ] as const)('%o %o: what was found, what is asked for, and by how much it misses', (task, shop, ...said) => {
    const result = writeFloorProgram(taskOf({ ...task, shop: shopOf(shop) }));
    const [{ found, expected, remedy } = {}] = result.ok ? [] : result.findings;
    expect([found, expected, remedy]).toEqual(said);
  });

  test('free space that is as long as the cutter is wide may be too short once numbers are rounded', () => {
    const task = (units: 'mm' | 'in', clearBefore: number) =>
      taskOf({ clearBefore, shop: shopOf({ program: { units }, clearance: { beyondMouth: 0 } }) });
    expect(codes(task('mm', 6))).toEqual([]);
    const result = writeFloorProgram(task('in', 6));
    const [{ code, found, expected, remedy } = {}] = result.ok ? [] : result.findings;
    // 3 mm are 1181.1 steps of 0.0001 inch; 1181 of them are 2.99974 mm.
    expect([code, found, expected, remedy]).toEqual([
      'clear-before-short',
      '6.0000 mm (0.23622 in) (pocket.clearBefore)',
      'at least 6.0003 mm (0.23623 in)',
      '0.0003 mm (0.00001 in) are missing: a thinner cutter',
    ]);
    expect(codes(task('in', 6.003))).toEqual([]);
  });

  test('a body out of level asks for a longer cutter, told by how much', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const mounted = mountedOf(base, { x: 0.012, y: 0.007, height: 0.6 });
    const ready = readyTask({ ...base, mounted });
    if (!ready.ok) throw new Error(JSON.stringify(ready.findings));
    // The top over the whole free space against the lowest of the floor.
    const needed = ready.value.top - ready.value.lowest + 1;
    expect(needed).toBeGreaterThan(17.4 + base.deepest + 1.5);
    const of = (length: number) => readyTask({ ...base, mounted, shop: shopOf({ cutter: { length } }) });
    expect(of(needed + 1e-6).ok).toBe(true);
    const both = (mm: number): string => `${mm.toFixed(2)} mm (${(mm / 25.4).toFixed(3)} in)`;
    const short = of(needed - 0.25);
    expect(
      short.ok ? [] : short.findings.map(({ code, found, expected, remedy }) => [code, found, expected, remedy?.split(':')[0]]),
    ).toEqual([
      [
        'cutter-too-short',
        `${both(needed - 0.25)} (cutter.length)`,
        `at least ${both(needed)} (pocket depth, deepest cut and 1.00 mm (0.039 in))`,
        '0.25 mm (0.010 in) are missing',
      ],
    ]);
  });

  test('just inside each limit is written, and every reason is given at once', () => {
    const wide = (diameter: number) =>
      codes(
        taskOf({ shop: shopOf({ cutter: { diameter }, clearance: { wall: 10, beyondMouth: 4 }, program: { units: 'in' } }) }),
      );
    expect([wide(17.685), wide(17.679)]).toEqual([['cutter-too-wide'], []]);
    expect(codes(taskOf({ clearBefore: 10 }))).toEqual([]);
    expect(codes(taskOf({ widthBound: 0.2 }))).toEqual([]);
    expect(codes(taskOf({ gx: -0.01, shop: shopOf({ cutter: { length: 18.813 } }) }))).toEqual([]);
    expect(codes(taskOf({ gx: 0.0475 }))).toEqual([]);
    expect(codes(taskOf({ gx: 0, gy: 0.048 }))).toEqual([]);
    expect(
      codes(taskOf({ clearBefore: undefined, shop: shopOf({ cutter: { diameter: undefined }, clearance: { wall: 0 } }) })),
    ).toEqual(['cutter-diameter-missing', 'clear-before-missing', 'wall-clearance-small']);
  });
});
