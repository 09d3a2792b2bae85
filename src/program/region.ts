import type { Outline, OutlinePiece } from '../kernel/outline.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Grid, gridNear } from './grid.ts';
import { clip, type HalfPlane, ON_EDGE_MM } from './halfPlane.ts';
import { insetRings } from './inset.ts';
import { areaOf, chordsAcross, isInside, ringHolds, toRing, waysInside } from './ring.ts';

/**
 * Where the cutter's axis may be: a polygon, anticlockwise. A convex one is known by its half planes too; one that is not has none, and keeps
 * a little further off the corners that point into it, round which moves between rounded places may stray.
 */
export interface AxisRegion {
  readonly corners: readonly Point2[];
  readonly sides: readonly HalfPlane[];
  /** The edge before the mouth from which everything is entered. */
  readonly entryX: number;
  readonly least: Point2;
  readonly most: Point2;
  readonly convex: boolean;
  /** Shortest ways inside, from place to place. */
  readonly ways: (a: Point2, b: Point2) => readonly Point2[];
  /** Areas (mm²) of parts of the pocket that the axis cannot come to, a waist being too narrow. */
  readonly apart: readonly number[];
}

/**
 * Rounding steps by which a move may stray sideways once both its ends are rounded inwards: a step and a half at most, times the sine of the turn
 * from one chord of a bend to the next.
 */
const STRAY_STEPS = 0.2;

/** mm. Inner chords stand in for the arcs of the axis' way round the rear corners: this much more than `clearance.wall` stays. */
const CHORD_WITHIN_MM = 0.002;
/** mm. Shorter chords would let the rounding of Z tilt them too steeply; the 0.05 mm beside the walls that no one asks for pays for it. */
const CHORD_LEAST_MM = 0.15;
/** mm. A region thinner than this cannot hold moves on the inch grid. */
export const THINNEST_MM = 0.02;

export function sideOf(from: Point2, to: Point2, inset: number): HalfPlane {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const nx = (to.y - from.y) / length;
  const ny = -(to.x - from.x) / length;
  return { nx, ny, d: nx * from.x + ny * from.y - inset };
}

function chordsOf(arc: OutlinePiece & { kind: 'arc' }, inset: number): HalfPlane[] {
  const radius = arc.radius - inset;
  // A corner tighter than the cutter: the offset walls meet before the arc begins, and bound the axis alone.
  if (radius <= CHORD_WITHIN_MM) return [];
  const finest = Math.max(1, Math.floor((radius * arc.sweep) / CHORD_LEAST_MM));
  const step = 2 * Math.acos(Math.max(0, 1 - CHORD_WITHIN_MM / radius));
  const count = Math.max(1, Math.min(finest, Math.ceil(arc.sweep / step)));
  const at = (i: number): Point2 => {
    const t = arc.start + (arc.sweep * i) / count;
    return { x: arc.centre.x + radius * Math.cos(t), y: arc.centre.y + radius * Math.sin(t) };
  };
  return Array.from({ length: count }, (_, i) => sideOf(at(i), at(i + 1), 0));
}

/** A measured outline has three walls, the mouth and at most two rounded corners; any other was drawn. */
export function isDrawn(outline: Outline): boolean {
  return outline.pieces.length > 6 || outline.pieces.filter(({ kind }) => kind === 'line').length !== 4;
}

/** The first corner where the outline turns to the right, into the pocket; undefined for a convex one. */
export function inwardCorner(outline: Outline): Point2 | undefined {
  const ends = outline.pieces.flatMap((piece) => {
    if (piece.kind === 'line') {
      const heading = Math.atan2(piece.to.y - piece.from.y, piece.to.x - piece.from.x);
      return [{ heading, at: piece.to }];
    }
    return [0, piece.sweep].map((turned) => {
      const angle = piece.start + turned;
      const at = { x: piece.centre.x + piece.radius * Math.cos(angle), y: piece.centre.y + piece.radius * Math.sin(angle) };
      return { heading: angle + Math.PI / 2, at };
    });
  });
  return ends.find(({ heading }, i) => {
    const turn = (ends[(i + 1) % ends.length] as { heading: number }).heading - heading;
    return Math.sin(turn) < -1e-6 || Math.cos(turn) <= -1 + 1e-9;
  })?.at;
}

/** True where every turn of the outline is to the left; only then does an intersection of half planes describe it. */
export function isConvex(outline: Outline): boolean {
  return inwardCorner(outline) === undefined;
}

/** The mouth edge's ends: the outline's last piece. */
function mouthEnds(outline: Outline): { readonly low: number; readonly high: number } {
  const edge = outline.pieces.at(-1);
  if (edge?.kind !== 'line') return { low: -outline.mouthHalf, high: outline.mouthHalf };
  return { low: Math.min(edge.from.y, edge.to.y), high: Math.max(edge.from.y, edge.to.y) };
}

/**
 * Corners of a convex way without its runs of very short edges, which a curve drawn as chords leaves once it is inset: each run
 * becomes chords of at least CHORD_LEAST_MM where it is long enough for one, inside the way, as `chordsOf` takes them on an arc.
 */
function withoutShortWays(corners: readonly Point2[]): Point2[] {
  const count = corners.length;
  const size = (i: number): number => {
    const [a, b] = [corners[i % count] as Point2, corners[(i + 1) % count] as Point2];
    return Math.hypot(b.x - a.x, b.y - a.y);
  };
  const short = (i: number): boolean => size(i) < CHORD_LEAST_MM;
  const start = corners.findIndex((_, i) => !short(i));
  if (start < 0) return [...corners];
  const kept: Point2[] = [];
  for (let i = start; i < start + count; ) {
    kept.push(corners[i % count] as Point2);
    let last = i;
    let way = 0;
    while (short(last) && last < start + count) way += size(last++);
    if (last - i < 2) {
      i += 1;
      continue;
    }
    const pieces = Math.max(1, Math.floor(way / CHORD_LEAST_MM));
    let gone = 0;
    for (let k = i, next = 1; k < last; k++) {
      gone += size(k);
      if (next < pieces && gone >= (way * next) / pieces && k + 1 < last) {
        kept.push(corners[(k + 1) % count] as Point2);
        while (next < pieces && gone >= (way * next) / pieces) next++;
      }
    }
    i = last;
  }
  return kept;
}

/**
 * Every axis that keeps `inset` (cutter's radius and clearance.wall) from the walls. Before the mouth the side walls are carried on
 * both ways they can be read, along themselves and along x, and the narrower counts. Undefined: there is no such place.
 */
export function axisRegion(outline: Outline, inset: number, entryX: number, grid: Grid): AxisRegion | undefined {
  if (!isConvex(outline)) return bentRegion(insetRings(outline, inset, entryX, STRAY_STEPS * grid.step), entryX);
  const sides: HalfPlane[] = [{ nx: -1, ny: 0, d: -entryX }];
  for (const piece of outline.pieces) {
    if (piece.kind === 'arc') sides.push(...chordsOf(piece, inset));
    else if (!(Math.abs(piece.from.x) < ON_EDGE_MM && Math.abs(piece.to.x) < ON_EDGE_MM))
      sides.push(sideOf(piece.from, piece.to, inset));
  }
  const far = 4 * (outline.length + outline.mouthHalf + outline.rearHalf);
  let corners: Point2[] = [
    { x: -far, y: -far },
    { x: far, y: -far },
    { x: far, y: far },
    { x: -far, y: far },
  ];
  for (const side of sides) corners = clip(corners, side);
  // Walls that open towards the mouth: carried on along x they are the narrower, and behind the mouth the cap is never met,
  // since a slanted wall's inset lies deeper in than the cap.
  const ends = mouthEnds(outline);
  const caps: HalfPlane[] = [
    { nx: 0, ny: 1, d: ends.high - inset },
    { nx: 0, ny: -1, d: -ends.low - inset },
  ];
  const before = corners.filter((p) => p.x <= 0);
  // Each side by itself: the other one may well bulge behind the mouth.
  for (const cap of caps.filter(({ ny, d }) => before.some((p) => ny * p.y > d + ON_EDGE_MM))) {
    corners = clip(corners, cap);
    sides.push(cap);
  }
  corners = corners.filter((p, i) => {
    const q = corners[(i + 1) % corners.length] as Point2;
    return Math.hypot(p.x - q.x, p.y - q.y) > 1e-7;
  });
  if (corners.length < 3) return undefined;
  const fewer = withoutShortWays(corners);
  if (fewer.length < corners.length) {
    corners = fewer;
    sides.splice(0, sides.length, ...corners.map((p, i) => sideOf(p, corners[(i + 1) % corners.length] as Point2, 0)));
  }
  const xs = corners.map((p) => p.x);
  const ys = corners.map((p) => p.y);
  const least = { x: Math.min(...xs), y: Math.min(...ys) };
  const most = { x: Math.max(...xs), y: Math.max(...ys) };
  if (most.y - least.y < THINNEST_MM || most.x < 0 || least.x > entryX + 1e-6) return undefined;
  return { corners, sides, entryX, least, most, convex: true, ways: (a, b) => [a, b], apart: [] };
}

/** The part that is entered from before the mouth. */
function bentRegion(rings: readonly (readonly Point2[])[], entryX: number): AxisRegion | undefined {
  const corners = rings.find((ring) => ring.filter((p) => p.x < entryX + 1e-6).length >= 2);
  if (corners === undefined) return undefined;
  const xs = corners.map((p) => p.x);
  const ys = corners.map((p) => p.y);
  const least = { x: Math.min(...xs), y: Math.min(...ys) };
  const most = { x: Math.max(...xs), y: Math.max(...ys) };
  if (most.y - least.y < THINNEST_MM || most.x < 0) return undefined;
  const apart = rings.filter((ring) => ring !== corners).map(areaOf);
  return { corners, sides: [], entryX, least, most, convex: false, ways: waysInside(corners), apart };
}

/** Distance from p to the nearest axis of a region. */
export function toRegion(region: AxisRegion, p: Point2): number {
  if (!region.convex) return ringHolds(region.corners, p) ? 0 : toRing(region.corners, p);
  if (region.sides.every((side) => side.nx * p.x + side.ny * p.y <= side.d)) return 0;
  let least = Number.POSITIVE_INFINITY;
  region.corners.forEach((b, i) => {
    const a = region.corners.at(i - 1) as Point2;
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy)));
    least = Math.min(least, Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy));
  });
  return least;
}

function holds(region: AxisRegion, p: Point2): boolean {
  if (!region.convex) return isInside(region.corners, p);
  return region.sides.every((side) => side.nx * p.x + side.ny * p.y - side.d <= ON_EDGE_MM);
}

/** The nearest point of the grid that is inside the region: X and Y are only ever rounded inwards. */
export function gridInside(region: AxisRegion, grid: Grid, p: Point2): Point2 {
  const x = gridNear(grid, p.x);
  const y = gridNear(grid, p.y);
  if (holds(region, { x, y })) return { x, y };
  const reach = [0, 1, -1, 2, -2, 3, -3];
  const offers = reach.flatMap((i) =>
    reach.map((j) => {
      const q = { x: gridNear(grid, x + i * grid.step), y: gridNear(grid, y + j * grid.step) };
      return { q, far: Math.hypot(q.x - p.x, q.y - p.y) };
    }),
  );
  offers.sort((a, b) => a.far - b.far);
  const inside = offers.find(({ q }) => holds(region, q));
  // A corner so sharp that no grid point near it is inside: from there towards the region's middle there is one.
  if (inside !== undefined) return inside.q;
  const middle = { x: (region.least.x + region.most.x) / 2, y: (region.least.y + region.most.y) / 2 };
  const size = Math.hypot(middle.x - p.x, middle.y - p.y);
  if (size < grid.step) return { x, y };
  const t = Math.min(1, (2 * grid.step) / size);
  return gridInside(region, grid, { x: p.x + t * (middle.x - p.x), y: p.y + t * (middle.y - p.y) });
}

/** From where to where the line of this y runs inside a convex region. */
export function chordAt(region: AxisRegion, y: number): { readonly from: number; readonly to: number } {
  let from = Number.NEGATIVE_INFINITY;
  let to = Number.POSITIVE_INFINITY;
  for (const side of region.sides) {
    if (Math.abs(side.nx) < 1e-12) continue;
    const x = (side.d - side.ny * y) / side.nx;
    if (side.nx > 0) to = Math.min(to, x);
    else from = Math.max(from, x);
  }
  return { from, to };
}

/** The greatest x at which the line of this y leaves the region. */
export function farthestAt(region: AxisRegion, y: number): number {
  if (region.convex) return chordAt(region, y).to;
  return chordsAcross(region.corners, y).at(-1)?.to ?? region.most.x;
}

/** The two ways along the walls of a region that is not convex, from before the mouth to half way round. */
export function bentWallPaths({ corners, entryX }: AxisRegion): readonly [readonly Point2[], readonly Point2[]] {
  const start = corners.findIndex((p, i) => p.x < entryX + 1e-6 && (corners.at(i - 1) as Point2).x < entryX + 1e-6);
  const ring = [...corners.slice(start), ...corners.slice(0, start)];
  const ways = ring.map((p, i) => (i === 0 ? 0 : Math.hypot(p.x - (ring[i - 1] as Point2).x, p.y - (ring[i - 1] as Point2).y)));
  const half = ways.reduce((a, b) => a + b, 0) / 2;
  let gone = 0;
  const middle = ways.findIndex((way) => {
    gone += way;
    return gone >= half;
  });
  return [ring.slice(0, middle + 1), ring.slice(middle).reverse()];
}

/** The two ways along the walls of a convex region: each begins before the mouth and ends in the middle of the rear. */
export function wallPaths(region: AxisRegion): readonly [readonly Point2[], readonly Point2[]] {
  const { corners, entryX } = region;
  const entries = corners.filter((p) => p.x < entryX + 1e-6).map((p) => p.y);
  const low = { x: entryX, y: Math.min(...entries) };
  const high = { x: entryX, y: Math.max(...entries) };
  const middle = (low.y + high.y) / 2;
  const rear = { x: chordAt(region, middle).to, y: middle };
  const rest = corners.filter((p) => p.x >= entryX + 1e-6);
  // Anticlockwise from the low entry: corners below the middle first, in order, then those above it up to the high entry.
  const around = (p: Point2): number => Math.atan2(p.y - middle, p.x - entryX);
  const sorted = [...rest].sort((a, b) => around(a) - around(b));
  const below = sorted.filter((p) => around(p) < 0);
  const above = sorted.filter((p) => around(p) > 0).reverse();
  return [
    [low, ...below, rear],
    [high, ...above, rear],
  ];
}
