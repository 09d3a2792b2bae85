import { describe, expect, it } from 'vitest';
import { adjust } from '../../src/kernel/adjust.ts';

/** A straight line a + b (x - middle) through uncertain y at exact x; the middle keeps the equations well scaled. */
function lineFit(x: readonly number[], y: readonly number[], u: readonly number[], middle: number) {
  const fit = adjust({
    observed: y,
    u,
    unknowns: [y[0] ?? 0, 0],
    unknownStep: 1e-3,
    equations: (values, [a = 0, b = 0]) => values.map((value, i) => value - (a + b * ((x[i] ?? 0) - middle))),
  });
  if (fit === null) throw new Error('no fit');
  const [a = 0, b = 0] = fit.unknowns;
  const covariance = (i: number, j: number): number =>
    u.reduce((sum, each, k) => sum + fit.unknownByObserved(i, k) * fit.unknownByObserved(j, k) * each * each, 0);
  return { intercept: a - b * middle, slope: b, chiSquare: fit.chiSquare, freedom: fit.freedom, covariance };
}

describe('the adjustment against published fits', () => {
  it('GNU GSL manual, weighted linear fit (read): -106.6 + 0.06 x, cov 39602, -19.9, 0.01, chisq 0.8', () => {
    const w = [0.1, 0.2, 0.3, 0.4];
    const fit = lineFit(
      [1970, 1980, 1990, 2000],
      [12, 11, 14, 13],
      w.map((each) => 1 / Math.sqrt(each)),
      0,
    );
    expect(fit.intercept).toBeCloseTo(-106.6, 6);
    expect(fit.slope).toBeCloseTo(0.06, 9);
    expect(fit.covariance(0, 0)).toBeCloseTo(39602, 1);
    expect(fit.covariance(0, 1)).toBeCloseTo(-19.9, 4);
    expect(fit.covariance(1, 1)).toBeCloseTo(0.01, 7);
    expect(fit.chiSquare).toBeCloseTo(0.8, 8);
    expect(fit.freedom).toBe(2);
  });

  it('NIST StRD Norris (quoted): B0 -0.262323073774029, B1 1.00211681802045', () => {
    const y = [
      0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7,
      228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
    ];
    const x = [
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0,
      228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
    ];
    const fit = lineFit(
      x,
      y,
      y.map(() => 1),
      500,
    );
    expect(fit.intercept).toBeCloseTo(-0.262323073774029, 9);
    expect(fit.slope).toBeCloseTo(1.00211681802045, 12);
    expect(fit.freedom).toBe(34);
  });
});
