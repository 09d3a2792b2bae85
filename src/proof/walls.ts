import { flatten, type Outline, type OutlinePiece } from '../kernel/outline.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';

type Line = Extract<OutlinePiece, { kind: 'line' }>;
type Arc = Extract<OutlinePiece, { kind: 'arc' }>;

/**
 * The walls: every piece of the outline but the open mouth edge, with the side walls carried on straight before the mouth. Where such a wall opens
 * towards the mouth, only the mouth's own width is free before it, and the axis is kept from its edge as from a wall (program.md: free space is
 * given across the pocket's width).
 */
export interface Walls {
  /** Least and greatest y of the mouth on the sides whose wall opens towards it; infinite on the others. */
  readonly mouth: { readonly least: number; readonly most: number };
  readonly lines: readonly Line[];
  readonly arcs: readonly Arc[];
  /** The region they enclose, anticlockwise, arcs as chords: it tells inside from outside where no wall is near. */
  readonly polygon: readonly Point2[];
  readonly convex: boolean;
  /** `lines` and `arcs` made ready for asking how far a point is. */
  readonly spans: readonly Span[];
  readonly sectors: readonly Sector[];
}

/** From (x, y) by (dx, dy); `inverse` is 1 over the square of its length, 0 for a point. */
interface Span extends Point2 {
  readonly dx: number;
  readonly dy: number;
  readonly inverse: number;
}

/** An arc with the directions of its two ends. */
interface Sector {
  readonly arc: Arc;
  readonly first: Point2;
  readonly last: Point2;
}

const UNBOUND = { least: Number.NEGATIVE_INFINITY, most: Number.POSITIVE_INFINITY };
/** mm. A wall that opens by less than this over the whole free space is square to the mouth, but for arithmetic. */
const OPENS_FROM_MM = 1e-6;

function spanOf({ from, to }: Line): Span {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const square = dx * dx + dy * dy;
  return { x: from.x, y: from.y, dx, dy, inverse: square > 0 ? 1 / square : 0 };
}

function sectorOf(arc: Arc): Sector {
  const end = arc.start + arc.sweep;
  return {
    arc,
    first: { x: Math.cos(arc.start), y: Math.sin(arc.start) },
    last: { x: Math.cos(end), y: Math.sin(end) },
  };
}

function arcPoint(arc: Arc, angle: number): Point2 {
  return { x: arc.centre.x + arc.radius * Math.cos(angle), y: arc.centre.y + arc.radius * Math.sin(angle) };
}

/** The start and the heading (unit vector) with which a piece begins, or its end and heading there. */
function endOf(piece: OutlinePiece, end: boolean): { readonly at: Point2; readonly heading: Point2 } {
  if (piece.kind === 'line') {
    const length = Math.hypot(piece.to.x - piece.from.x, piece.to.y - piece.from.y);
    const heading = { x: (piece.to.x - piece.from.x) / length, y: (piece.to.y - piece.from.y) / length };
    return { at: end ? piece.to : piece.from, heading };
  }
  const angle = piece.start + (end ? piece.sweep : 0);
  return { at: arcPoint(piece, angle), heading: { x: -Math.sin(angle), y: Math.cos(angle) } };
}

function turnsLeft(polygon: readonly Point2[]): boolean {
  return polygon.every((b, i) => {
    const a = polygon.at(i - 1) as Point2;
    const c = polygon[(i + 1) % polygon.length] as Point2;
    const turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
    return turn >= -1e-9 * Math.hypot(b.x - a.x, b.y - a.y) * Math.hypot(c.x - b.x, c.y - b.y);
  });
}

/** The side walls are carried on by `before` mm: no further than a program may go, for tapered ones meet somewhere. */
export function wallsOf(outline: Outline, before: number): Walls {
  const pieces = outline.pieces.slice(0, -1);
  const first = pieces[0];
  const last = pieces.at(-1);
  if (first === undefined || last === undefined)
    return { mouth: UNBOUND, lines: [], arcs: [], polygon: [], convex: true, spans: [], sectors: [] };
  const entry = endOf(first, false);
  const exit = endOf(last, true);
  const start = { x: entry.at.x - before * entry.heading.x, y: entry.at.y - before * entry.heading.y };
  const beyond = { x: exit.at.x + before * exit.heading.x, y: exit.at.y + before * exit.heading.y };
  const lines: Line[] = [
    { kind: 'line', from: start, to: entry.at },
    ...pieces.filter((piece) => piece.kind === 'line'),
    { kind: 'line', from: exit.at, to: beyond },
  ];
  const arcs = pieces.filter((piece) => piece.kind === 'arc');
  const polygon = [start, ...flatten({ ...outline, pieces }, FLATTEN_WITHIN_MM), exit.at, beyond];
  const mouth = {
    least: start.y < entry.at.y - OPENS_FROM_MM ? entry.at.y : UNBOUND.least,
    most: beyond.y > exit.at.y + OPENS_FROM_MM ? exit.at.y : UNBOUND.most,
  };
  return { mouth, lines, arcs, polygon, convex: turnsLeft(polygon), spans: lines.map(spanOf), sectors: arcs.map(sectorOf) };
}

/** How far a straight way, where it lies before the mouth, keeps at least inside the mouth's width there; infinite where nothing bounds it. */
export function leastInMouth({ mouth }: Walls, a: Point2, b: Point2): number {
  if (Math.min(a.x, b.x) >= 0 || (mouth.least === UNBOUND.least && mouth.most === UNBOUND.most)) return Number.POSITIVE_INFINITY;
  const cut = (p: Point2, q: Point2): Point2 => (p.x <= 0 ? p : { x: 0, y: q.y + ((p.y - q.y) * q.x) / (q.x - p.x) });
  const inside = ({ y }: Point2): number => Math.min(y - mouth.least, mouth.most - y);
  return Math.min(inside(cut(a, b)), inside(cut(b, a)));
}

function pointToLine(p: Point2, { from, to }: Line): number {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const square = dx * dx + dy * dy;
  const t = square === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - from.x) * dx + (p.y - from.y) * dy) / square));
  const ox = p.x - from.x - t * dx;
  const oy = p.y - from.y - t * dy;
  // Not Math.hypot: these lengths are far from what would overflow, and this is asked some hundred thousand times.
  return Math.sqrt(ox * ox + oy * oy);
}

function side(a: Point2, b: Point2, p: Point2): number {
  return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

function crosses(a: Point2, b: Point2, line: Line): boolean {
  return side(a, b, line.from) * side(a, b, line.to) < 0 && side(line.from, line.to, a) * side(line.from, line.to, b) < 0;
}

/** (vx, vy) points from the arc's centre into its sector. */
function inSector({ arc, first, last }: Sector, vx: number, vy: number): boolean {
  const afterFirst = first.x * vy - first.y * vx >= 0;
  const beforeLast = vx * last.y - vy * last.x >= 0;
  return arc.sweep <= Math.PI ? afterFirst && beforeLast : afterFirst || beforeLast;
}

function insideWalls(walls: Walls, p: Point2): boolean {
  let inside = false;
  let a = walls.polygon.at(-1);
  for (const b of walls.polygon) {
    if (a !== undefined && a.y > p.y !== b.y > p.y && p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)) inside = !inside;
    a = b;
  }
  return inside;
}

/** Distance from a point to the nearest wall, inside or outside. */
export function distanceToWalls(walls: Walls, x: number, y: number): number {
  let square = Number.POSITIVE_INFINITY;
  for (const span of walls.spans) {
    const px = x - span.x;
    const py = y - span.y;
    const along = (px * span.dx + py * span.dy) * span.inverse;
    const t = Math.min(Math.max(along, 0), 1);
    const ox = px - t * span.dx;
    const oy = py - t * span.dy;
    const own = ox * ox + oy * oy;
    if (own < square) square = own;
  }
  let nearest = Math.sqrt(square);
  for (const sector of walls.sectors) {
    const vx = x - sector.arc.centre.x;
    const vy = y - sector.arc.centre.y;
    if (!inSector(sector, vx, vy)) continue;
    const own = Math.abs(sector.arc.radius - Math.sqrt(vx * vx + vy * vy));
    if (own < nearest) nearest = own;
  }
  return nearest;
}

/** The same, negative outside the walls. */
export function depthInside(walls: Walls, p: Point2): number {
  const nearest = distanceToWalls(walls, p.x, p.y);
  return insideWalls(walls, p) ? nearest : -nearest;
}

/** As `leastDistance` along way after way: where a way begins at the place at which the one before it ended, that is not asked again. */
export function leastDistances(walls: Walls): (a: Point2, b: Point2) => number {
  let place: Point2 | undefined;
  let depth = 0;
  return (a, b) => {
    if (!walls.convex) return leastDistance(walls, a, b);
    const before = a === place ? depth : depthInside(walls, a);
    place = b;
    depth = depthInside(walls, b);
    return Math.min(before, depth);
  };
}

/**
 * Least distance from the walls along a straight way from a to b; negative where it leaves them. Exact for any outline: between
 * two straight pieces it is taken at an end of one of them or is 0 where they cross; an arc bulges outwards, so inside its sector the
 * distance is least at an end of the way, or at the sector's rim, where it is that of the arc's own end.
 */
export function leastDistance(walls: Walls, a: Point2, b: Point2): number {
  let least = Math.min(depthInside(walls, a), depthInside(walls, b));
  if (walls.convex) return least;
  const way: Line = { kind: 'line', from: a, to: b };
  for (const line of walls.lines) {
    if (crosses(a, b, line)) return Math.min(least, 0);
    least = Math.min(least, pointToLine(line.from, way), pointToLine(line.to, way));
  }
  for (const arc of walls.arcs)
    for (const angle of [arc.start, arc.start + arc.sweep]) least = Math.min(least, pointToLine(arcPoint(arc, angle), way));
  return least;
}
