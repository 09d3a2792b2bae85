import type { OutlinePiece } from '../kernel/outline.ts';
import type { Point2 } from '../kernel/vector.ts';
import { bentAxes } from './bentAxes.ts';
import { floorAt, halfAcross, lowestFaceAt, type Setting } from './setting.ts';
import type { Walls } from './walls.ts';

/** mm. Arcs of the allowed region are replaced by tangents this far outside at most: by g times this too low, never too high. */
const TANGENT_WITHIN_MM = 0.0005;

/** Keeps what lies left of the line through `at` along `heading`. */
function clip(polygon: readonly Point2[], at: Point2, heading: Point2): Point2[] {
  const kept: Point2[] = [];
  const left = (p: Point2): number => heading.x * (p.y - at.y) - heading.y * (p.x - at.x);
  polygon.forEach((b, i) => {
    const a = polygon.at(i - 1) as Point2;
    const sa = left(a);
    const sb = left(b);
    if (sa >= 0 !== sb >= 0) {
      const t = sa / (sa - sb);
      kept.push({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
    }
    if (sb >= 0) kept.push(b);
  });
  return kept;
}

/** The allowed axes K, or a little more than them: what is lower counts as reached, so that the rule can only become stricter. */
export interface Axes {
  readonly holds: (x: number, y: number) => boolean;
  /** Its boundary: straight pieces, in any order. */
  readonly edges: readonly AxesEdge[];
}

/** From (x, y) by (dx, dy), of the squared length dd. */
export interface AxesEdge {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  readonly dd: number;
}

export function edgeOf(a: Point2, b: Point2): AxesEdge {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  return { x: a.x, y: a.y, dx, dy, dd: dx * dx + dy * dy };
}

/** At least e = R + clearance.wall from every wall, behind -clearBefore + R, and before a mouth that opens as far inside its width. */
export function allowedAxes(setting: Setting, walls: Walls): Axes {
  if (!walls.convex) return bentAxes(setting, walls);
  const polygon = convexAxes(setting, walls);
  const edges = polygon.map((b, i) => edgeOf(polygon.at(i - 1) as Point2, b)).filter(({ dd }) => dd > 0);
  return {
    edges,
    holds: (x, y) => {
      for (const e of edges) if (e.dx * (y - e.y) - e.dy * (x - e.x) < 0) return false;
      return edges.length > 0;
    },
  };
}

/** K for convex walls. An arc tighter than e bounds nothing: there the walls beside it alone decide. K is convex. */
function convexAxes(setting: Setting, walls: Walls): readonly Point2[] {
  const e = setting.radius + setting.shop.clearance.wall;
  const half = 4 * halfAcross(setting.outline) + 100;
  const left = -setting.clearBefore + setting.radius;
  const right = setting.outline.length;
  let region: Point2[] = [
    { x: left, y: -half },
    { x: right, y: -half },
    { x: right, y: half },
    { x: left, y: half },
  ];
  const cut = (at: Point2, heading: Point2): void => {
    region = clip(region, { x: at.x - e * heading.y, y: at.y + e * heading.x }, heading);
  };
  const bound = (piece: OutlinePiece): void => {
    if (piece.kind === 'line') {
      const length = Math.hypot(piece.to.x - piece.from.x, piece.to.y - piece.from.y);
      if (length > 0) cut(piece.from, { x: (piece.to.x - piece.from.x) / length, y: (piece.to.y - piece.from.y) / length });
      return;
    }
    const inner = piece.radius - e;
    if (inner <= 0) return;
    const count = Math.max(2, Math.ceil(piece.sweep / (2 * Math.acos(inner / (inner + TANGENT_WITHIN_MM)))));
    for (let i = 0; i <= count; i++) {
      const angle = piece.start + (piece.sweep * i) / count;
      const out = { x: Math.cos(angle), y: Math.sin(angle) };
      cut({ x: piece.centre.x + piece.radius * out.x, y: piece.centre.y + piece.radius * out.y }, { x: -out.y, y: out.x });
    }
  };
  for (const line of walls.lines) bound(line);
  for (const arc of walls.arcs) bound(arc);
  // A convex outline whose wall opens towards the mouth is nowhere wider on that side: behind the mouth these two cut nothing off.
  // Where its wall does not open the mouth's end there is infinitely far away.
  cut({ x: 0, y: walls.mouth.least }, { x: 1, y: 0 });
  cut({ x: 0, y: walls.mouth.most }, { x: -1, y: 0 });
  return region;
}

/**
 * A(p) = min over allowed axes c with |c - p| ≤ `within` of floor(c) + R g; infinite where there is none. A linear function over a
 * region cut by a disc is least at the disc's own lowest point or on the region's boundary: at a corner, or where an edge meets the circle. (On
 * an arc that points into the region it is never least between the arc's ends, so its chords serve as well.)
 */
export function attainable(setting: Setting, region: Axes, x: number, y: number, within: number): number {
  const { plane, lean } = setting;
  if (within < 0) return Number.POSITIVE_INFINITY;
  // floor = -D, so it falls fastest along (gx, gy).
  const bottomX = lean > 0 ? x + (within * plane.gx) / lean : x;
  const bottomY = lean > 0 ? y + (within * plane.gy) / lean : y;
  if (region.holds(bottomX, bottomY)) return lowestFaceAt(setting, bottomX, bottomY);
  const square = within * within;
  let least = Number.POSITIVE_INFINITY;
  for (const edge of region.edges) {
    const { dx, dy, dd } = edge;
    const ax = edge.x - x;
    const ay = edge.y - y;
    const half = ax * dx + ay * dy;
    const root = half * half - dd * (ax * ax + ay * ay - square);
    if (root < 0) continue;
    const spread = Math.sqrt(root);
    const t0 = Math.max(0, (-half - spread) / dd);
    const t1 = Math.min(1, (-half + spread) / dd);
    // Corners of the region inside the disc are the ends t = 0 and t = 1 of its edges.
    if (t0 > t1) continue;
    const z0 = floorAt(setting, edge.x + t0 * dx, edge.y + t0 * dy);
    const z1 = floorAt(setting, edge.x + t1 * dx, edge.y + t1 * dy);
    if (z0 < least) least = z0;
    if (z1 < least) least = z1;
  }
  return least + setting.radius * lean;
}
