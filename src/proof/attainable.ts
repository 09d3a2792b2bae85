import type { OutlinePiece } from '../kernel/outline.ts';
import type { Point2 } from '../kernel/vector.ts';
import { floorAt, lowestFaceAt, type Setting } from './setting.ts';
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

/**
 * The allowed axes K for convex walls: at least e = R + clearance.wall from every wall, behind -clearBefore + R. An arc tighter
 * than e bounds nothing: there the walls beside it alone decide. K is convex; `undefined` where the walls are not.
 */
export function allowedAxes(setting: Setting, walls: Walls): readonly Point2[] | undefined {
  if (!walls.convex) return undefined;
  const e = setting.radius + setting.shop.clearance.wall;
  const half = Math.max(...setting.outline.pieces.map((piece) => (piece.kind === 'line' ? Math.abs(piece.from.y) : 0))) * 4 + 100;
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
  return region;
}

function holds(region: readonly Point2[], x: number, y: number): boolean {
  let a = region.at(-1);
  for (const b of region) {
    if (a !== undefined && (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x) < 0) return false;
    a = b;
  }
  return region.length > 0;
}

/**
 * A(p) = min over allowed axes c with |c - p| ≤ `within` of floor(c) + R g; infinite where there is none. A linear function over a
 * convex region cut by a disc is least at the disc's own lowest point, at a corner of the region, or where an edge meets the circle.
 * Without a region (walls that are not convex) every axis counts as allowed, so that the rule can only become stricter.
 */
export function attainable(
  setting: Setting,
  region: readonly Point2[] | undefined,
  x: number,
  y: number,
  within: number,
): number {
  const { plane, lean } = setting;
  // floor = -D, so it falls fastest along (gx, gy).
  const bottomX = lean > 0 ? x + (within * plane.gx) / lean : x;
  const bottomY = lean > 0 ? y + (within * plane.gy) / lean : y;
  if (within >= 0 && (region === undefined || holds(region, bottomX, bottomY))) return lowestFaceAt(setting, bottomX, bottomY);
  if (region === undefined || within < 0) return Number.POSITIVE_INFINITY;
  const square = within * within;
  let least = Number.POSITIVE_INFINITY;
  let a = region.at(-1);
  for (const b of region) {
    if (a === undefined) break;
    const ax = a.x - x;
    const ay = a.y - y;
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const dd = dx * dx + dy * dy;
    const half = ax * dx + ay * dy;
    const root = half * half - dd * (ax * ax + ay * ay - square);
    if (root >= 0 && dd > 0) {
      const spread = Math.sqrt(root);
      const t0 = Math.max(0, (-half - spread) / dd);
      const t1 = Math.min(1, (-half + spread) / dd);
      // Corners of the region inside the disc are the ends t = 0 and t = 1 of its edges.
      if (t0 <= t1)
        least = Math.min(least, floorAt(setting, a.x + t0 * dx, a.y + t0 * dy), floorAt(setting, a.x + t1 * dx, a.y + t1 * dy));
    }
    a = b;
  }
  return least + setting.radius * lean;
}
