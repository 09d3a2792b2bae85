import { describe, expect, it } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
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

  it('the speed, from below and above', () => {
    const at = (speed: number): string[] =>
      proveProgram(textOf(sound.map((line) => line.replace('S16000', `S${speed}`))), work, 'floor').faults.map(
        ({ rule }) => rule,
      );
    for (const speed of [14400, 17600]) expect(at(speed)).toEqual([]);
    for (const speed of [14399.9, 17600.1]) expect(at(speed)).toEqual(['spindle']);
  });
});
