import { expect } from 'vitest';
import type { Point2 } from '../../src/kernel/vector.ts';

/** The corners of a ring in their order, wherever it begins. */
export function expectCorners(found: readonly Point2[], wanted: readonly Point2[]): void {
  const first = found.findIndex((p) => Math.hypot(p.x - (wanted[0] as Point2).x, p.y - (wanted[0] as Point2).y) < 1e-6);
  const ring = [...found.slice(first), ...found.slice(0, first)];
  expect(ring).toHaveLength(wanted.length);
  ring.forEach((p, i) => {
    expect(p.x).toBeCloseTo((wanted[i] as Point2).x, 6);
    expect(p.y).toBeCloseTo((wanted[i] as Point2).y, 6);
  });
}
