import { describe, expect, it } from 'vitest';
import { findRoot } from '../../src/kernel/roots.ts';

/** The problems of GSL's roots/test.c (read). */
const SOLVABLE: readonly [string, (x: number) => number, number, number, number, number][] = [
  ['sin on [3, 4]', Math.sin, 3, 4, Math.PI, 1e-12],
  ['x^20 - 1 on [.1, 2]', (x) => x ** 20 - 1, 0.1, 2, 1, 1e-12],
  ['sqrt|x| sgn x on [-1/3, 1]', (x) => Math.sqrt(Math.abs(x)) * Math.sign(x), -1 / 3, 1, 0, 1e-12],
  ['x^2 - 1e-8 on [0, 1]', (x) => x * x - 1e-8, 0, 1, 1e-4, 1e-9],
  ['x exp(-x) on [-1/3, 2]', (x) => x * Math.exp(-x), -1 / 3, 2, 0, 1e-12],
  ['(x - 1)^7 on [.9995, 1.0002]', (x) => (x - 1) ** 7, 0.9995, 1.0002, 1, 1e-3],
];

describe('the root finder', () => {
  it.each(SOLVABLE)('%s', (_, f, lo, hi, expected, within) => {
    const root = findRoot(f, lo, hi, { within: 1e-14 });
    expect(root.ok && Math.abs(root.x - expected)).toBeLessThan(within);
  });
  it.each([
    ['[4, 0]', 4, 0, 'no-interval'],
    ['[1, 1]', 1, 1, 'no-interval'],
    ['sin on [.1, .2]', 0.1, 0.2, 'not-bracketed'],
  ])('refuses %s', (_, lo, hi, why) => {
    expect(findRoot(Math.sin, lo, hi, { within: 1e-12 })).toEqual({ ok: false, why });
  });
});
