import type { Point2 } from '../kernel/vector.ts';

function side(a: Point2, b: Point2, p: Point2): number {
  return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

/** p lies in the box of a and b: on their line that means between them. */
function inBox(a: Point2, b: Point2, p: Point2): boolean {
  return p.x >= Math.min(a.x, b.x) && p.x <= Math.max(a.x, b.x) && p.y >= Math.min(a.y, b.y) && p.y <= Math.max(a.y, b.y);
}

/** Where the straight ways a-b and c-d cross or touch, if they do. */
function meeting(a: Point2, b: Point2, c: Point2, d: Point2): Point2 | undefined {
  const [sc, sd, sa, sb] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (sc * sd < 0 && sa * sb < 0) return { x: a.x + ((b.x - a.x) * sa) / (sa - sb), y: a.y + ((b.y - a.y) * sa) / (sa - sb) };
  if (sc === 0 && inBox(a, b, c)) return c;
  if (sd === 0 && inBox(a, b, d)) return d;
  if (sa === 0 && inBox(c, d, a)) return a;
  if (sb === 0 && inBox(c, d, b)) return b;
  return undefined;
}

/** A place where a closed ring meets itself other than from one edge to the next, or folds back on itself. Every pair of edges is looked at. */
export function crossingOf(ring: readonly Point2[]): Point2 | undefined {
  const count = ring.length;
  const at = (i: number): Point2 => ring[i % count] as Point2;
  for (let i = 0; i < count; i++) {
    const [a, b] = [at(i), at(i + 1)];
    const next = at(i + 2);
    if (side(a, b, next) === 0 && (b.x - a.x) * (next.x - b.x) + (b.y - a.y) * (next.y - b.y) < 0) return b;
    const [left, right] = [Math.min(a.x, b.x), Math.max(a.x, b.x)];
    for (let j = i + 2; j < count; j++) {
      if (i === 0 && j === count - 1) continue;
      const [c, d] = [at(j), at(j + 1)];
      if (Math.max(c.x, d.x) < left || Math.min(c.x, d.x) > right) continue;
      const met = meeting(a, b, c, d);
      if (met !== undefined) return met;
    }
  }
  return undefined;
}
