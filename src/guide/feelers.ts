import type { Unit } from '../kernel/units.ts';

/** Thickness of the leaves of a common feeler set, in its own unit (common practice, from memory). */
export const LEAVES = {
  mm: [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1],
  in: [0.0015, 0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.01, 0.012, 0.015, 0.02, 0.025],
} as const;

/** A stack of more leaves than this is springy and reads thick (common practice, from memory). */
export const MOST_LEAVES = 3;

export interface Stack {
  readonly leaves: readonly number[];
  /** What the leaves come to together. */
  readonly total: number;
}

/** Whole numbers of the set's finest step, so that sums are exact. */
const PER_UNIT = { mm: 100, in: 10000 } as const;

/**
 * The stack of different leaves nearest to a thickness (both in `unit`), of the fewest leaves where several are as near, and of the thickest
 * first leaf where several are as few. Nothing thinner than half the thinnest leaf, or thicker than any stack, has one.
 */
export function stackFor(thickness: number, unit: Unit): Stack | undefined {
  const per = PER_UNIT[unit];
  const leaves = LEAVES[unit].map((leaf) => Math.round(leaf * per)).reverse();
  const wanted = thickness * per;
  let best: { readonly off: number; readonly chosen: readonly number[] } | undefined;
  const search = (from: number, chosen: readonly number[], sum: number): void => {
    if (chosen.length > 0) {
      const off = Math.abs(sum - wanted);
      const better = best === undefined || off < best.off - 1e-9 || (off < best.off + 1e-9 && chosen.length < best.chosen.length);
      if (better) best = { off, chosen };
    }
    if (chosen.length === MOST_LEAVES) return;
    for (let i = from; i < leaves.length; i++) {
      const leaf = leaves[i] as number;
      search(i + 1, [...chosen, leaf], sum + leaf);
    }
  };
  search(0, [], 0);
  const thinnest = leaves[leaves.length - 1] as number;
  if (best === undefined || wanted < thinnest / 2 || best.off > thinnest) return undefined;
  return { leaves: best.chosen.map((leaf) => leaf / per), total: best.chosen.reduce((sum, leaf) => sum + leaf, 0) / per };
}

export function stackText(stack: Stack | undefined, unit: Unit): string {
  if (stack === undefined) return '-';
  return stack.leaves
    .map((leaf) => (unit === 'mm' ? leaf.toFixed(2) : `.${(leaf * 10000).toFixed(0).padStart(4, '0')}`))
    .join(' + ');
}
