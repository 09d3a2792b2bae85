import { SAME_ANGLE_RAD } from './tolerances.ts';
import type { Point2 } from './vector.ts';

/** A straight wall, or an exact arc run anticlockwise (seen from above, body frame) from angle `start` through `sweep` > 0. */
export type OutlinePiece =
  | { readonly kind: 'line'; readonly from: Point2; readonly to: Point2 }
  | { readonly kind: 'arc'; readonly centre: Point2; readonly radius: number; readonly start: number; readonly sweep: number };

/**
 * The pocket seen from above, body frame, mm: pieces run anticlockwise and begin at the mouth's corner of least y, so the last
 * piece is the open mouth edge along x = 0. `length` is P, the greatest x; the half widths are those of the named points.
 */
export interface Outline {
  readonly pieces: readonly OutlinePiece[];
  readonly length: number;
  readonly mouthHalf: number;
  readonly rearHalf: number;
}

/** A measured pocket: straight mouth edge, straight walls, rear corners rounded by exact arcs. */
export function measuredOutline(size: {
  readonly length: number;
  readonly width: number;
  readonly widthAtMouth: number;
  readonly cornerRadius: number;
}): Outline {
  const { length, cornerRadius: radius } = size;
  const m = size.widthAtMouth / 2;
  const r = size.width / 2;
  // The wall of least y and the rear wall turn by theta where they meet; the other corner is its mirror image.
  const wall = Math.hypot(length, m - r);
  const ux = length / wall;
  const uy = (m - r) / wall;
  const theta = Math.PI / 2 - Math.atan2(uy, ux);
  const tangent = radius * Math.tan(theta / 2);
  const end = { x: length - ux * tangent, y: -r - uy * tangent };
  const centre = { x: end.x - uy * radius, y: end.y + ux * radius };
  const corner = { x: length, y: centre.y };
  const mirror = (p: Point2): Point2 => ({ x: p.x, y: -p.y });
  const arcs: readonly [OutlinePiece, OutlinePiece] = [
    { kind: 'arc', centre, radius, start: -theta, sweep: theta },
    { kind: 'arc', centre: mirror(centre), radius, start: 0, sweep: theta },
  ];
  const pieces: OutlinePiece[] = [
    { kind: 'line', from: { x: 0, y: -m }, to: end },
    ...(radius > 0 ? [arcs[0]] : []),
    { kind: 'line', from: corner, to: mirror(corner) },
    ...(radius > 0 ? [arcs[1]] : []),
    { kind: 'line', from: mirror(end), to: { x: 0, y: m } },
    { kind: 'line', from: { x: 0, y: m }, to: { x: 0, y: -m } },
  ];
  return { pieces, length, mouthHalf: m, rearHalf: r };
}

/** Area (mm²) and first moments (mm³) by Green's theorem, exact on lines and arcs. */
export function areaAndMoments(outline: Outline): { readonly area: number; readonly mx: number; readonly my: number } {
  let area = 0;
  let mx = 0;
  let my = 0;
  for (const piece of outline.pieces) {
    if (piece.kind === 'line') {
      const { from: a, to: b } = piece;
      const k = a.x * b.y - b.x * a.y;
      area += k / 2;
      mx += (k * (a.x + b.x)) / 6;
      my += (k * (a.y + b.y)) / 6;
      continue;
    }
    // ∮ x dy, ∮ x²/2 dy and -∮ y²/2 dx along (cx + R cos t, cy + R sin t); the line's terms above are ∮ (x dy - y dx)/2 and so on,
    // which differ by exact differentials only over the whole closed path, hence the arc is chord plus circular segment.
    const { centre: c, radius: R, start, sweep } = piece;
    const a = { x: c.x + R * Math.cos(start), y: c.y + R * Math.sin(start) };
    const b = { x: c.x + R * Math.cos(start + sweep), y: c.y + R * Math.sin(start + sweep) };
    const k = a.x * b.y - b.x * a.y;
    const segment = (R * R * (sweep - Math.sin(sweep))) / 2;
    // Distance of a circular segment's centroid from the centre: 4 R sin^3(sweep/2) / (3 (sweep - sin sweep)).
    const out = (2 * R ** 3 * Math.sin(sweep / 2) ** 3) / 3;
    const middle = start + sweep / 2;
    area += k / 2 + segment;
    mx += (k * (a.x + b.x)) / 6 + segment * c.x + out * Math.cos(middle);
    my += (k * (a.y + b.y)) / 6 + segment * c.y + out * Math.sin(middle);
  }
  return { area, mx, my };
}

/** The outline's point (or, where an edge is square to `direction`, the edge's midpoint) farthest along `direction`. */
export function farthestPoint(outline: Outline, direction: Point2): Point2 {
  const size = Math.hypot(direction.x, direction.y);
  const d = { x: direction.x / size, y: direction.y / size };
  const along = (p: Point2): number => p.x * d.x + p.y * d.y;
  let best: Point2 = { x: 0, y: 0 };
  let most = Number.NEGATIVE_INFINITY;
  const offer = (p: Point2, value: number): void => {
    if (value > most) {
      most = value;
      best = p;
    }
  };
  const heading = Math.atan2(d.y, d.x);
  for (const piece of outline.pieces) {
    if (piece.kind === 'arc') {
      const turned = (((heading - piece.start) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
      // An arc's ends are the neighbouring edges' own: rounding must not let one win over the middle of an edge square to the direction.
      if (turned > SAME_ANGLE_RAD && turned < piece.sweep - SAME_ANGLE_RAD) {
        const p = { x: piece.centre.x + piece.radius * d.x, y: piece.centre.y + piece.radius * d.y };
        offer(p, along(p));
      }
      continue;
    }
    const { from, to } = piece;
    const square = (to.x - from.x) * d.x + (to.y - from.y) * d.y === 0;
    // An edge square to the direction is all equally far: its midpoint stands for it, and wins over its own ends.
    if (square) {
      const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
      const value = along(from);
      if (value >= most) {
        most = value;
        best = middle;
      }
      continue;
    }
    offer(from, along(from));
    offer(to, along(to));
  }
  return best;
}

/** Corner points of the outline with arcs replaced by chords whose sagitta is at most `within` mm. */
export function flatten(outline: Outline, within: number): Point2[] {
  const points: Point2[] = [];
  for (const piece of outline.pieces) {
    if (piece.kind === 'line') {
      points.push(piece.from);
      continue;
    }
    const step = 2 * Math.acos(Math.max(0, 1 - within / piece.radius));
    const count = Math.max(1, Math.ceil(piece.sweep / step));
    for (let i = 0; i < count; i++) {
      const t = piece.start + (piece.sweep * i) / count;
      points.push({ x: piece.centre.x + piece.radius * Math.cos(t), y: piece.centre.y + piece.radius * Math.sin(t) });
    }
  }
  return points;
}
