import { describe, expect, it } from 'vitest';
import { type Figures, propagate } from '../../src/solve/uncertainty.ts';

/** The propagation under test works on the solve's figures: a model's value stands in the place of `deepest`. */
function standardUncertainty(
  model: (x: readonly number[]) => number,
  x0: readonly number[],
  deviations: readonly number[],
): number {
  const figures = (value: number): Figures => ({
    pitch: 0,
    roll: 0,
    deepest: value,
    left: 0,
    past: 0,
    drawingBass: 0,
    drawingTreble: 0,
  });
  const base = figures(model(x0));
  const inputs = deviations.map((u, i) => ({ path: `x${i}`, bound: u * Math.sqrt(3), stated: true }));
  const figuresAt = (errors: readonly number[]): Figures => figures(model(x0.map((value, i) => value + (errors[i] ?? 0))));
  return propagate(base, { inputs, figuresAt }).deepest / 2;
}

describe('propagation of uncertainty (JCGM 100:2008, quoted)', () => {
  it('H.1, end gauge: u = 32 nm', () => {
    const model = ([ls = 0, d = 0, alpha = 0, theta = 0, dAlpha = 0, dTheta = 0]: readonly number[]): number =>
      ls + d - ls * (dAlpha * theta + alpha * dTheta);
    const x0 = [50_000_623, 215, 11.5e-6, -0.1, 0, 0];
    const u = standardUncertainty(model, x0, [25, 9.7, 1.2e-6, 0.41, 0.58e-6, 0.029]);
    expect(Math.round(model(x0))).toBe(50_000_838);
    expect(Math.round(u)).toBe(32);
  });

  it('H.2, resistance, reactance and impedance from correlated readings: u 0.071, 0.295, 0.236', () => {
    const mean = [4.999, 0.019661, 1.04446];
    const u = [0.0032, 0.0000095, 0.00075];
    const r = [
      [1, -0.36, 0.86],
      [-0.36, 1, -0.65],
      [0.86, -0.65, 1],
    ];
    // Independent unit errors e become the correlated ones L e, L Lᵀ = r (Cholesky).
    const L = [0, 1, 2].map(() => [0, 0, 0]);
    for (let i = 0; i < 3; i++)
      for (let j = 0; j <= i; j++) {
        let sum = r[i]?.[j] ?? 0;
        for (let k = 0; k < j; k++) sum -= (L[i]?.[k] ?? 0) * (L[j]?.[k] ?? 0);
        (L[i] as number[])[j] = i === j ? Math.sqrt(sum) : sum / (L[j]?.[j] ?? 1);
      }
    const reading = (e: readonly number[]): number[] =>
      mean.map((value, i) => value + (u[i] ?? 0) * e.reduce((sum, each, k) => sum + (L[i]?.[k] ?? 0) * each, 0));
    const of = (model: (v: number, i: number, phi: number) => number): [number, number] => {
      const f = (e: readonly number[]): number => {
        const [v = 0, i = 1, phi = 0] = reading(e);
        return model(v, i, phi);
      };
      return [f([0, 0, 0]), standardUncertainty(f, [0, 0, 0], [1, 1, 1])];
    };
    const [R, uR] = of((v, i, phi) => (v * Math.cos(phi)) / i);
    const [X, uX] = of((v, i, phi) => (v * Math.sin(phi)) / i);
    const [Z, uZ] = of((v, i) => v / i);
    expect([R, X, Z].map((value) => value.toFixed(2))).toEqual(['127.73', '219.85', '254.26']);
    // The means and deviations are quoted rounded to two digits, which leaves 1 % in the results.
    expect(Math.abs(uR - 0.071)).toBeLessThan(0.0012);
    expect(Math.abs(uX - 0.295)).toBeLessThan(0.003);
    expect(Math.abs(uZ - 0.236)).toBeLessThan(0.003);
  });
});

describe('where the two sides of a reading differ', () => {
  /** Slope 1 on one side of what was read and `flat` on the other; which side is which must not matter. */
  const deviations = (flat: number): number[] =>
    [1, -1].map((sign) => standardUncertainty(([x = 0]) => 10 + (sign * x > 0 ? sign * x : flat * sign * x), [0], [1]));

  it('by up to a tenth the larger side counts', () => {
    for (const u of deviations(0.91)) expect(u).toBeCloseTo(1, 12);
  });

  it('by more than a tenth the deviation is drawn, whichever side is the larger', () => {
    // x is drawn evenly from -a to a, a = sqrt(3). On one side y = x, on the other y = f x: E(y) = (1 - f) a / 4, E(y²) = (1 + f²) / 2.
    for (const flat of [0.89, 0.5, 0]) {
      const exact = Math.sqrt((1 + flat ** 2) / 2 - (3 * (1 - flat) ** 2) / 16);
      // 500 draws know a deviation to 3.2 %: three times that.
      for (const u of deviations(flat)) expect(Math.abs(u / exact - 1)).toBeLessThan(0.1);
      for (const u of deviations(flat)) expect(u).not.toBeCloseTo(1, 3);
    }
  });
});
