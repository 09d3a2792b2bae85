import { describe, expect, it } from 'vitest';
import type { Correction } from '../../src/instrument/combine.ts';
import { oddOnes } from '../../src/instrument/oddOnes.ts';

/**
 * A mean of readings as it is adjusted: with weights w = 1/u², the mean m = sum(w r) / sum(w), each reading r corrected by m - r, and one u of
 * reading j adds w_j u_j / sum(w) to every correction, less u_j to its own.
 */
function meanOf(readings: Readonly<Record<string, readonly [value: number, u: number]>>): Correction[] {
  const entries = Object.entries(readings);
  const whole = entries.reduce((sum, [, [, u]]) => sum + 1 / u ** 2, 0);
  const mean = entries.reduce((sum, [, [value, u]]) => sum + value / u ** 2, 0) / whole;
  return entries.map(([path, [value, u]], i) => ({
    path,
    by: mean - value,
    u,
    loads: entries.map(([, [, each]], j) => 1 / each / whole - (i === j ? each : 0)),
  }));
}

describe('the odd one out', () => {
  it('of three is the one that the other two do not bear out', () => {
    const three = {
      'asFound.lastFretGap': [1, 0.03],
      'fits.0.lastFretGap': [1.5, 0.03],
      'fits.1.lastFretGap': [1.01, 0.03],
    } as const;
    expect(oddOnes(meanOf(three))).toEqual(['fits.0.lastFretGap']);
  });

  it('of two is either, also where the one is known far less closely and takes nearly all of the correction', () => {
    const two = { 'asFound.lastFretGap': [1, 0.03], 'asFound.straightedge': [1.5, 0.3] } as const;
    const [close, coarse] = meanOf(two);
    expect(Math.abs(coarse?.by ?? 0)).toBeGreaterThan(50 * Math.abs(close?.by ?? 0));
    expect(oddOnes(meanOf(two))).toEqual(['asFound.lastFretGap', 'asFound.straightedge']);
  });

  it('is a reading, no length of the instrument, and none that nothing checks', () => {
    const alone: Correction = { path: 'asFound.edge.bass', by: 1e-17, u: 0.03, loads: [1e-17, 0, 0] };
    const two = meanOf({ 'scale.length': [612, 0.3], 'neck.nutGap': [611, 0.03] });
    expect(oddOnes([alone, ...two])).toEqual(['neck.nutGap']);
    expect(oddOnes([alone])).toEqual([]);
    expect(oddOnes([])).toEqual([]);
  });

  it('is both sides of a reading where neither alone accounts for it, and one side where that does', () => {
    const sides = (bass: number, treble: number): Correction[] => {
      const side = (name: string, value: number) =>
        meanOf({
          [`fits.0.lastFretGap.${name}`]: [1, 0.03],
          [`fits.1.lastFretGap.${name}`]: [value, 0.03],
          [`fits.2.lastFretGap.${name}`]: [1, 0.03],
        });
      const [low, high] = [side('bass', bass), side('treble', treble)];
      const none = [0, 0, 0];
      return [
        ...low.map((each) => ({ ...each, loads: [...each.loads, ...none] })),
        ...high.map((each) => ({ ...each, loads: [...none, ...each.loads] })),
      ];
    };
    expect(oddOnes(sides(1.5, 1.4))).toEqual(['fits.1.lastFretGap']);
    expect(oddOnes(sides(1.5, 1))).toEqual(['fits.1.lastFretGap.bass']);
    expect(oddOnes(sides(1, 1.5))).toEqual(['fits.1.lastFretGap.treble']);
  });
});
