import { describe, expect, it } from 'vitest';
import { PLAIN } from '../support/benchGuitar.ts';
import { oneBench } from '../support/virtualBench.ts';

/** Seeds are fixed: the same 500 guitars every time. */
const GUITARS = 500;
const FIRST_SEED = 1000;

describe('the virtual bench: hidden guitars, honest errors, a hand that misses by a few hundredths', () => {
  const tales = Array.from({ length: GUITARS }, (_, i) => oneBench(FIRST_SEED + i, PLAIN));
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

  it('97.5 % are not cut past contact by more than 0.10 mm, and none by more than 0.15', () => {
    const past = tales.filter(({ gap }) => gap < -0.1).length;
    expect(past / GUITARS).toBeLessThanOrEqual(0.025);
    expect(Math.min(...tales.map(({ gap }) => gap))).toBeGreaterThan(-0.15);
  });

  it('none is left too high by more than 0.10 mm', () => {
    expect(Math.max(...tales.map(({ gap }) => gap))).toBeLessThanOrEqual(0.15);
  });

  it('the mean number of fits is at most 2.5', () => {
    expect(mean(tales.map(({ fits }) => fits))).toBeLessThanOrEqual(2.5);
  });

  it('the first ± covers the truth in at least 93 % and is under 2.2 times the deviation seen', () => {
    expect(mean(tales.map(({ covered }) => (covered ? 1 : 0)))).toBeGreaterThanOrEqual(0.93);
    const seen = Math.sqrt(mean(tales.map(({ error }) => error ** 2)));
    expect(mean(tales.map(({ stated }) => stated)) / seen).toBeLessThan(2.2);
  });
});
