import type { Point2 } from '../kernel/vector.ts';

/** mm. Arithmetic at 100 mm. */
export const ON_EDGE_MM = 1e-9;

/** Points with nx x + ny y <= d; (nx, ny) is a unit normal that points out of the region. */
export interface HalfPlane {
  readonly nx: number;
  readonly ny: number;
  readonly d: number;
}

/** The part of a polygon on the inner side; of one that is not convex only where the line cuts off a single piece. */
export function clip(corners: readonly Point2[], side: HalfPlane): Point2[] {
  const over = (p: Point2): number => side.nx * p.x + side.ny * p.y - side.d;
  return corners.flatMap((a, i) => {
    const b = corners[(i + 1) % corners.length] as Point2;
    const fa = over(a);
    const fb = over(b);
    const kept = fa <= ON_EDGE_MM ? [a] : [];
    if (fa <= ON_EDGE_MM === fb <= ON_EDGE_MM || Math.abs(fa - fb) < ON_EDGE_MM) return kept;
    const t = fa / (fa - fb);
    if (t <= 0 || t >= 1) return kept;
    return [...kept, { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }];
  });
}
