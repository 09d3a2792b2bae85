import { describe, expect, it } from 'vitest';
import { VARIETIES } from '../support/benchGuitar.ts';
import { figuresOfBench, oneBench, type Tale } from '../support/virtualBench.ts';

/** Seeds are fixed: the same 500 guitars every time, of every kind in turn. */
const GUITARS = 500;
const FIRST_SEED = 1000;
const kinds = Object.entries(VARIETIES);

describe('the virtual bench: hidden guitars of many kinds, honest errors, a hand that misses by a few hundredths', () => {
  const told = Array.from({ length: GUITARS }, (_, i): { kind: string; tale: Tale } => {
    const [kind, variety] = kinds[i % kinds.length] as (typeof kinds)[number];
    return { kind, tale: oneBench(FIRST_SEED + i, variety) };
  });
  const tales = told.map(({ tale }) => tale);
  const figures = figuresOfBench(tales);

  it('every kind was told', () => {
    expect(new Set(told.map(({ kind }) => kind)).size).toBe(kinds.length);
    expect(kinds.length).toBeGreaterThan(12);
  });

  it('97.5 % are not cut past contact by more than 0.10 mm, and none by more than 0.16', () => {
    expect(figures.past).toBeLessThanOrEqual(0.025);
    expect(figures.deepest).toBeGreaterThan(-0.16);
  });

  it('none is left too high by more than 0.10 mm', () => {
    // Of ten thousand others two are, where no leaf can tell: DEVELOPERS.md, "Tests".
    expect(figures.highest).toBeLessThanOrEqual(0.1);
  });

  it('the mean number of fits is at most 2.5, and few guitars are read again before they are done', () => {
    // A reading again is noted as a fit, so it counts as one.
    expect(figures.fits + figures.again).toBeLessThanOrEqual(2.5);
    expect(figures.again).toBeGreaterThan(0);
    expect(figures.again).toBeLessThanOrEqual(0.2);
  });

  it('the first ± covers the truth in at least 93 %, and is under 2.2 times the deviation seen', () => {
    // Drawings have a ± of their own, ten times that of readings: each guitar's error counts in units of its own ±.
    const inStated = tales.filter(({ stated }) => stated > 0).map(({ error, stated }) => error / stated);
    const deviation = Math.sqrt(inStated.reduce((sum, x) => sum + x * x, 0) / inStated.length);
    expect(inStated.length).toBeGreaterThan(GUITARS * 0.95);
    expect(figures.covered).toBeGreaterThanOrEqual(0.93);
    expect(1 / deviation).toBeLessThan(2.2);
  });

  it('evidence is said to contradict itself hardly more often than chance does', () => {
    // Each solve with redundant readings is judged at 5 %; about two are judged a guitar, of which the second shares the first's errors.
    expect(figures.surprised).toBeLessThan(0.1);
  });
});
