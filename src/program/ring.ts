import type { Point2 } from '../kernel/vector.ts';

// Plane geometry of a simple polygon, anticlockwise, that need not be convex.

/** mm. Arithmetic at 100 mm, and what the inset's decimals cost. */
const ON_RING_MM = 1e-5;

/** mm², positive for an anticlockwise ring. */
export function areaOf(ring: readonly Point2[]): number {
  return ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length] as Point2;
    return sum + (p.x * q.y - q.x * p.y) / 2;
  }, 0);
}

/** Of the straight piece from a to b. */
function nearestOn(p: Point2, a: Point2, b: Point2): Point2 {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const dd = dx * dx + dy * dy;
  const t = dd === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / dd));
  return { x: a.x + t * dx, y: a.y + t * dy };
}

export function toRing(ring: readonly Point2[], p: Point2): number {
  let square = Number.POSITIVE_INFINITY;
  let a = ring.at(-1) as Point2;
  for (const b of ring) {
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const dd = dx * dx + dy * dy;
    const t = dd === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / dd));
    const ox = p.x - a.x - t * dx;
    const oy = p.y - a.y - t * dy;
    const own = ox * ox + oy * oy;
    if (own < square) square = own;
    a = b;
  }
  return Math.sqrt(square);
}

/** Places on the ring itself may be either. */
export function isInside(ring: readonly Point2[], p: Point2): boolean {
  let inside = false;
  let a = ring.at(-1) as Point2;
  for (const b of ring) {
    if (a.y > p.y !== b.y > p.y && p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)) inside = !inside;
    a = b;
  }
  return inside;
}

/** On the ring counts as inside. */
export function ringHolds(ring: readonly Point2[], p: Point2): boolean {
  return isInside(ring, p) || toRing(ring, p) <= ON_RING_MM;
}

/** From where to where the line of this y runs inside, by rising x. */
export function chordsAcross(ring: readonly Point2[], y: number): { readonly from: number; readonly to: number }[] {
  const xs = ring.flatMap((a, i) => {
    const b = ring[(i + 1) % ring.length] as Point2;
    return a.y > y !== b.y > y ? [a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)] : [];
  });
  xs.sort((a, b) => a - b);
  return Array.from({ length: Math.floor(xs.length / 2) }, (_, k) => ({
    from: xs[2 * k] as number,
    to: xs[2 * k + 1] as number,
  }));
}

/** The straight way from a to b stays inside; along the ring and touching it count as inside. */
export function ringHoldsWay(ring: readonly Point2[], a: Point2, b: Point2): boolean {
  if (!ringHolds(ring, a) || !ringHolds(ring, b)) return false;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length < ON_RING_MM) return true;
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  // Where the way meets the ring: between two such places next to one another it is inside or outside as a whole.
  const stops = [0, length];
  let c = ring.at(-1) as Point2;
  let sc = (c.x - a.x) * uy - (c.y - a.y) * ux;
  for (const d of ring) {
    const sd = (d.x - a.x) * uy - (d.y - a.y) * ux;
    let at = -1;
    if (Math.abs(sc) <= ON_RING_MM) at = (c.x - a.x) * ux + (c.y - a.y) * uy;
    else if (sc * sd < 0) {
      const from = (c.x - a.x) * ux + (c.y - a.y) * uy;
      at = from + (sc / (sc - sd)) * ((d.x - a.x) * ux + (d.y - a.y) * uy - from);
    }
    if (at > 0 && at < length) stops.push(at);
    c = d;
    sc = sd;
  }
  stops.sort((p, q) => p - q);
  return stops.every((s, i) => {
    const next = stops[i + 1];
    if (next === undefined || next - s < ON_RING_MM) return true;
    const t = (s + next) / 2;
    return ringHolds(ring, { x: a.x + t * ux, y: a.y + t * uy });
  });
}

/** The place itself where the ring holds it, else the nearest on the ring. */
function snapped(ring: readonly Point2[], p: Point2): Point2 {
  if (ringHolds(ring, p)) return p;
  let nearest = p;
  let least = Number.POSITIVE_INFINITY;
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length] as Point2;
    const q = nearestOn(p, a, b);
    const far = Math.hypot(p.x - q.x, p.y - q.y);
    if (far < least) {
      least = far;
      nearest = q;
    }
  });
  return nearest;
}

/**
 * Finds the shortest way inside the ring between two places; both ends are part of it. An end that rounding has put outside stands for the
 * nearest place on the ring.
 */
export function waysInside(ring: readonly Point2[]): (a: Point2, b: Point2) => Point2[] {
  // A shortest way bends only where the ring turns to the right, into the polygon.
  const bends = ring.filter((b, i) => {
    const a = ring.at(i - 1) as Point2;
    const c = ring[(i + 1) % ring.length] as Point2;
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) < 0;
  });
  const far = (p: Point2, q: Point2): number => Math.hypot(p.x - q.x, p.y - q.y);
  const seen = new Map<number, boolean>();
  const sees = (i: number, j: number): boolean => {
    const key = Math.max(i, j) * bends.length + Math.min(i, j);
    const known = seen.get(key) ?? ringHoldsWay(ring, bends[i] as Point2, bends[j] as Point2);
    seen.set(key, known);
    return known;
  };
  return (start, end) => {
    const [a, b] = [snapped(ring, start), snapped(ring, end)];
    if (ringHoldsWay(ring, a, b)) return [start, end];
    // Dijkstra over the bends, from b back to a; a's own neighbours are looked at as they are needed.
    const cost = bends.map((p) => (ringHoldsWay(ring, p, b) ? far(p, b) : Number.POSITIVE_INFINITY));
    const next = bends.map(() => -1);
    const done = new Set<number>();
    for (;;) {
      let best = -1;
      for (let i = 0; i < bends.length; i++)
        if (!done.has(i) && (cost[i] as number) < (best < 0 ? Number.POSITIVE_INFINITY : (cost[best] as number))) best = i;
      if (best < 0) break;
      done.add(best);
      const p = bends[best] as Point2;
      bends.forEach((q, j) => {
        const through = (cost[best] as number) + far(p, q);
        if (through < (cost[j] as number) && sees(best, j)) {
          cost[j] = through;
          next[j] = best;
        }
      });
    }
    let first = -1;
    let least = Number.POSITIVE_INFINITY;
    bends.forEach((p, i) => {
      const whole = far(a, p) + (cost[i] as number);
      if (whole < least && ringHoldsWay(ring, a, p)) {
        least = whole;
        first = i;
      }
    });
    const way = [start];
    for (let i = first; i >= 0; i = next[i] as number) way.push(bends[i] as Point2);
    return [...way, end];
  };
}
