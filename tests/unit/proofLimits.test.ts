import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { type ProofWork, proveProgram } from '../../src/proof/prove.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

/** 30 x 20 mm, square corners, half a degree back, a 6 mm cutter, two levels. */
const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };

describe.each([
  ['mm', false],
  ['inch', true],
])('just inside and just outside, %s', (_name, inch) => {
  const given = { ...SMALL, inch };
  const work = workOf(given);
  const sound = plainProgram(given);
  const unit = inch ? 25.4 : 1;
  /** One rounding step of the program's numbers, mm. */
  const step = inch ? 0.00254 : 0.001;
  const text = (mm: number): string => (mm / unit).toFixed(inch ? 7 : 6);
  const F = (mm: number): string => `F${Math.floor((mm / unit) * 1000) / 1000}`;
  const lift = `G1 Z${text(25.4)}`;
  const first = sound.findIndex((line, index) => index > sound.indexOf('M3 S16000') && line.startsWith('G0 X'));

  /** The rules that speak when these moves are made before the first lane; all at the line asked for, counted from the first of them. */
  const rulesOf = (moves: readonly string[], line: number): string[] => {
    const lines = [...sound.slice(0, first), ...moves, lift, ...sound.slice(first)];
    const { faults } = proveProgram(textOf(lines), work, 'floor');
    return faults.map((fault) => (fault.line === first + line ? fault.rule : `${fault.rule} at ${fault.line}`));
  };
  const at = (x: number): string => `G0 X${text(x)} Y0`;

  it('a fall of 1 in 10 at the cutting feed, and one rounding step more', () => {
    const fall = (by: number): string[] =>
      rulesOf([at(-7), `G1 Z${text(1)} ${F(300)}`, `G1 X${text(-5)} Z${text(1 - by)} ${F(1200)}`], 3);
    expect(fall(0.2)).toEqual([]);
    expect(fall(0.2 + 0.99 * step)).toEqual([]);
    expect(fall(0.2 + 1.02 * step)).toEqual(['feed']);
  });

  it('the same fall in two moves', () => {
    const fall = (by: number): string[] =>
      rulesOf(
        [
          at(-7),
          `G1 Z${text(1)} ${F(300)}`,
          `G1 X${text(-6)} Z${text(1 - by / 2)} ${F(1200)}`,
          `G1 X${text(-5)} Z${text(1 - by)}`,
        ],
        4,
      );
    expect(fall(0.2 + 0.99 * step)).toEqual([]);
    // A run is given what rounding does to x and y as well, a tenth of a step.
    expect(fall(0.2 + 1.12 * step)).toEqual(['feed']);
  });

  it('a fall of 1 in 20 that takes wood, and one rounding step more', () => {
    const fall = (by: number): string[] =>
      rulesOf([at(10), `G1 Z${text(0.02)} ${F(300)}`, `G1 X${text(10.6)} Z${text(0.02 - by)}`], 3);
    expect(fall(0.03)).toEqual([]);
    expect(fall(0.03 + 0.99 * step)).toEqual([]);
    expect(fall(0.03 + 1.02 * step)).toEqual(['entry']);
  });

  it('a plunge that takes one rounding step', () => {
    const down = (by: number): string[] => rulesOf([at(10), `G1 Z${text(-by)} ${F(300)}`], 2);
    expect(down(0.99 * step)).toEqual([]);
    expect(down(1.02 * step)).toEqual(['entry']);
  });

  it('a plunge that takes it in many moves', () => {
    const down = (by: number): string[] => {
      const moves = Array.from({ length: 10 }, (_, i) => `G1 Z${text((-by * (i + 1)) / 10)}`);
      return rulesOf([at(10), `G1 Z${text(0)} ${F(300)}`, ...moves], 12);
    };
    expect(down(0.99 * step)).toEqual([]);
    expect(down(1.07 * step)).toEqual(['entry']);
  });

  it('going up and down between tiny plunges does not hide them', () => {
    const moves: string[] = [];
    for (let i = 1; i <= 8; i++)
      moves.push(`G1 Z${text(-0.8 * step * i)}`, `G1 X${text(10 + 0.0001 * i)}`, `G1 Z${text(-0.8 * step * i + 0.2 * step)}`);
    const lines = [...sound.slice(0, first), at(10), `G1 Z${text(0)} ${F(300)}`, ...moves, lift, ...sound.slice(first)];
    expect(proveProgram(textOf(lines), work, 'floor').faults.map(({ rule }) => rule)).toContain('entry');
  });

  it('rapids at the clear height', () => {
    expect(rulesOf([`G1 Z${text(25.4)} ${F(300)}`, at(10)], 2)).toEqual([]);
    expect(rulesOf([`G1 Z${text(25.39999)} ${F(300)}`, at(10)], 2)[0]).toBe('rapids');
  });

  it('the side walls, 0.15 mm, and before the mouth', () => {
    const beside = (y: number, x = 10): string[] => {
      const moves = [at(-7), `G1 Z${text(0.1)} ${F(300)}`, `G1 Y${text(y)} ${F(1200)}`, `G1 X${text(x)}`];
      return rulesOf(moves, 4).filter((rule) => rule === 'walls');
    };
    expect(beside(6.85)).toEqual([]);
    expect(beside(6.85001)).toEqual(['walls']);
    expect(beside(-6.85001)).toEqual(['walls']);
    expect(beside(0, 26.85)).toEqual([]);
    expect(beside(0, 26.85001)).toEqual(['walls']);
    expect(beside(0, -22)).toEqual([]);
    expect(beside(0, -22.00001)).toEqual(['walls']);
  });

  it('slanting in from over a wall: the beginning of a way counts as its end does', () => {
    expect(rulesOf([`G0 X${text(10)} Y${text(6.85)}`, `G1 Y0 Z${text(0.1)} ${F(300)}`], 2)).toEqual([]);
    expect(rulesOf([`G0 X${text(10)} Y${text(6.85001)}`, `G1 Y0 Z${text(0.1)} ${F(300)}`], 2)).toEqual(['walls']);
  });

  it('the floor before the mouth, carried on', () => {
    // At x = -7 the floor lies g (30 + 7) under the hinge; the cutter stays g R above it.
    const g = Math.tan((0.5 * Math.PI) / 180);
    const lowest = -g * 37 + 3 * g;
    const down = (below: number): string[] => rulesOf([at(-7), `G1 Z${text(lowest - below)} ${F(300)}`], 2);
    expect(down(0.99 * step)).toEqual([]);
    expect(down(1.02 * step)[0]).toBe('floor');
  });

  it('the feeds: one rounding step over, and a quarter less one', () => {
    const at1 = [at(-7), `G1 Z${text(1)} ${F(300)}`];
    const along = (feed: number): string[] =>
      rulesOf([...at1, `G1 X${text(-5)} F${text(feed)}`, `G1 X${text(-7)} ${F(1200)}`], 3);
    for (const feed of [1200 + 0.99 * step, 300 - 0.99 * step]) expect(along(feed)).toEqual([]);
    for (const feed of [1200 + 1.02 * step, 300 - 1.02 * step]) expect(along(feed)).toEqual(['feed']);
    const down = (feed: number): string[] => rulesOf([at(-7), `G1 Z${text(1)} F${text(feed)}`], 2);
    expect(down(300 + 0.99 * step)).toEqual([]);
    expect(down(300 + 1.02 * step)).toEqual(['feed']);
  });

  it('any feed at the clear height, none of them below it', () => {
    const along = (z: number, feed: number): string[] =>
      rulesOf([at(-7), `G1 Z${text(z)} ${F(300)}`, `G1 X${text(-6)} F${text(feed)}`, `G1 X${text(-7)} ${F(1200)}`], 3);
    for (const feed of [9000, 1]) {
      expect(along(25.4, feed)).toEqual([]);
      expect(along(25.39999, feed)).toEqual(['feed']);
    }
  });

  it('a stop and a dwell at the clear height', () => {
    for (const word of ['M0', 'G4 P1']) {
      expect(rulesOf([at(-7), `G1 Z${text(25.4)} ${F(300)}`, word], 3)).toEqual([]);
      expect(rulesOf([at(-7), `G1 Z${text(25.39999)} ${F(300)}`, word], 3)).toEqual(['spindle']);
    }
  });

  it('the end at the clear height', () => {
    const ending = (z: number): string[] => {
      const { faults } = proveProgram(textOf(sound.with(-3, `G1 Z${text(z)}`)), work, 'floor');
      return faults.map((fault) => `${fault.rule} ${fault.line - sound.length}`);
    };
    expect(ending(25.4)).toEqual([]);
    // M5 comes too low as well.
    expect(ending(25.39999)).toEqual(['spindle -1', 'end 0']);
  });

  it('a bite of pass.depth, and one rounding step more', () => {
    // Straight in, and slantwise either way.
    for (const y of [0, 5, -5]) {
      const along = (z: number): string[] => {
        const start = `G0 X${text(-7)} Y${text(-y)}`;
        const way = `G1 X${text(3)} Y${text(y)} ${F(1200)}`;
        return rulesOf([start, `G1 Z${text(z)} ${F(300)}`, way, `G1 Z${text(2)}`], 3);
      };
      expect(along(-0.15)).toEqual([]);
      expect(along(-0.15 - 0.99 * step)).toEqual([]);
      expect(along(-0.15 - 1.02 * step)).toEqual(['bite']);
    }
  });

  it('a bite from a ridge a little wider than the lattice, along the pocket and across it', () => {
    const bites = (moves: readonly string[]): string[] => rulesOf(moves, moves.length).filter((rule) => rule.startsWith('bite'));
    const over = (x: number, y: number): string[] => [`G1 Z${text(1)}`, `G1 X${text(x)} Y${text(y)} ${F(1200)}`];
    // Cut 0.15 mm deep on both sides of y = 1 or x = 2, which leaves 0.3 mm there; 0.16 mm deep through that.
    const down = `G1 Z${text(-0.15)} ${F(300)}`;
    const through = [`G1 Z${text(-0.16)}`, `G1 X${text(1)}`];
    const along = [at(-7), ...over(-7, -2.15), down, `G1 X${text(3)}`, ...over(-7, 4.15), down, `G1 X${text(3)}`];
    expect(bites([...along, ...over(-7, 1), ...through])).toEqual(['bite']);
    const across = [-1.15, 5.15].flatMap((x) => [...over(x, -5), down, `G1 Y${text(5)}`]);
    expect(bites([at(-7), ...across, ...over(-7, 0), ...through])).toEqual(['bite']);
  });

  it('the speed, from below and above', () => {
    const at = (speed: number): string[] =>
      proveProgram(textOf(sound.map((line) => line.replace('S16000', `S${speed}`))), work, 'floor').faults.map(
        ({ rule }) => rule,
      );
    for (const speed of [14400, 17600]) expect(at(speed)).toEqual([]);
    for (const speed of [14399.9, 17600.1]) expect(at(speed)).toEqual(['spindle']);
  });
});

/** A level floor 0.1 mm deep under the small pocket: nothing is left to cusp or slope, so that the finish is exact. */
describe('the finish of a level floor, just inside and just outside', () => {
  const base = workOf(SMALL);
  const level = (depth: number): ProofWork => ({
    ...base,
    plane: { hinge: { x: 30, y: 0 }, skim: depth, gx: 0, gy: 0 },
    deepest: depth,
  });
  /** Lanes 0.1 mm deep to `x`, out to `y` on both sides, along the rear wall and, where they begin inside, along the mouth at `front`. */
  const lanes = (x: number, y: number, front = -7): string => {
    const lines = ['G21', 'G17', 'G90', 'G94', 'G0 Z25.4', 'G0 X-7 Y0', 'M3 S16000', 'G4 P4', 'M0', 'G1 Z-0.1 F300'];
    for (const side of [0, -2.4, -4.8, -y, 2.4, 4.8, y]) {
      lines.push(`G1 X${front} Y${side} F1200`);
      if (Math.abs(side) === y) lines.push('G1 X-7');
      lines.push(`G1 X${x}`, `G1 X${front}`);
    }
    // Both corners are touched, so that only what stays along the walls is asked about.
    const corners = [`G1 X${x}`, 'G1 X26.85 Y6.85', `G1 X${x} Y${y}`, `G1 Y${-y}`, 'G1 X26.85 Y-6.85'];
    return textOf([...lines, ...corners, 'G1 Z25.4', 'M5', 'M2']);
  };
  const told = (text: string, work: ProofWork): string[] => proveProgram(text, work, 'floor').faults.map(({ rule }) => rule);

  it('0.01 mm and one rounding step may stay', () => {
    expect(told(lanes(26.85, 6.85), level(0.1))).toEqual([]);
    expect(told(lanes(26.85, 6.85), level(0.1 + 0.01099))).toEqual([]);
    expect(told(lanes(26.85, 6.85), level(0.1 + 0.01102))).toEqual(['finish']);
  });

  it('is asked from 0.05 mm inside the strip along the walls', () => {
    expect(told(lanes(26.8, 6.8), level(0.1))).toEqual([]);
    expect(told(lanes(26.8, 6.79), level(0.1))).toEqual(['finish']);
    expect(told(lanes(26.79, 6.8), level(0.1))).toEqual(['finish']);
  });

  it('is asked from the mouth edge on', () => {
    expect(told(lanes(26.85, 6.85, 3), level(0.1))).toEqual([]);
    expect(told(lanes(26.85, 6.85, 3.01), level(0.1))).toEqual(['finish']);
  });

  it('counts wood that was never touched', () => {
    const deep = level(0.1);
    expect(told(lanes(26.85, 6.85).replaceAll('Z-0.1', 'Z0'), deep)).toEqual(['finish']);
  });
});

it.each([
  [0.5, 0],
  [2, 0],
  [-0.8, 0],
  [0.6, 0.4],
])(
  'the finish of a floor pitched by %s and rolled by %s degrees: over the ridges between lanes 0.01 mm and a rounding step may stay',
  (pitch, roll) => {
    const given = { ...SMALL, pitch, roll, passDepth: 0.5 };
    const text = textOf(plainProgram(given));
    const base = workOf(given);
    // The floor asked for lies below the one that the program leaves.
    const told = (below: number): string[] => {
      const plane = { ...base.plane, skim: base.plane.skim + below };
      return proveProgram(text, { ...base, plane, deepest: base.deepest + below }, 'floor').faults.map(({ rule }) => rule);
    };
    // The text's numbers are rounded, each by up to half a step; so one step is open where the limit is met.
    expect(told(0.01)).toEqual([]);
    expect(told(0.0125)).toEqual(['finish']);
  },
);

it('a wall that points inwards is kept along the whole way, just inside and just outside', () => {
  const base = workOf(SMALL);
  const corners = [
    [0, -20],
    [30, -20],
    [30, -10],
    [60, -10],
    [60, 20],
    [0, 20],
  ].map(([x, y]) => ({ x: x as number, y: y as number }));
  const outline: Outline = {
    pieces: corners.map((from, i) => ({ kind: 'line', from, to: corners[(i + 1) % 6] as Point2 })),
    length: 60,
    mouthHalf: 20,
    rearHalf: 20,
  };
  /** Past the inner corner at this distance, 4 mm to either side; both ends are further from every wall. */
  const past = (distance: number): string[] => {
    const [n, t] = [distance * Math.SQRT1_2, 4 * Math.SQRT1_2];
    const place = (sign: number): string => `X${(30 - n + sign * t).toFixed(7)} Y${(-10 + n + sign * t).toFixed(7)}`;
    const lines = ['G21', 'G17', 'G90', 'G94', 'G0 Z25.4', `G0 ${place(-1)}`, 'G1 Z1 F300', `G1 ${place(1)} F1200`];
    const { faults } = proveProgram(textOf([...lines, 'G1 Z25.4', 'M2']), { ...base, outline }, 'floor');
    return faults.flatMap(({ rule, line }) => (rule === 'walls' ? [`line ${line}`] : []));
  };
  expect(past(3.15)).toEqual([]);
  expect(past(3.14999)).toEqual(['line 8']);
});

it('minutes and depth by hand', () => {
  const lines = ['G21', 'G17', 'G90', 'G94', 'G0 Z30', 'G0 X-17 Y0', 'M3 S16000', 'G4 P6', 'M0', 'G0 X-7'];
  const { figures } = proveProgram(textOf([...lines, 'G1 Z-0.1 F300', 'G1 Z30 F602', 'M5', 'M2']), workOf(SMALL), 'floor');
  // A dwell of 6 s, 10 mm at the cutting feed, 30.1 mm down and up; where the first two moves come from nobody knows.
  expect(figures.minutes).toBeCloseTo(6 / 60 + 10 / 1200 + 30.1 / 300 + 30.1 / 602, 12);
  expect(figures.deepest).toBeCloseTo(0.1, 12);
  expect(figures.lowestRapid).toBe(30);
});
