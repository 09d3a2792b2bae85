import { Matrix, solve } from 'ml-matrix';
import type { Hand, Job } from '../job/job.ts';
import type { Shop } from '../job/shop.ts';
import { flatten, type Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { add, cross, type Point2, type Point3, scale } from '../kernel/vector.ts';
import type { Move } from './strictReader.ts';

/** mm. Chords in place of the outline's arcs, inside them: walls are taken this much too near at most. */
const CHORD_WITHIN_MM = 0.0005;
/** mm. The same where an outline is only looked at. */
const CHORD_SEEN_MM = 0.02;
/** mm. Points of a polygon nearer than this are one. */
const SAME_POINT_MM = 1e-6;

/** The body as the job says: what the rules are asked about. */
export interface BodyWork {
  readonly plane: FloorPlane;
  readonly outline: Outline;
  readonly pocketDepth: number;
  readonly clearBefore: number;
  readonly deepest: number;
  readonly shop: Shop;
  readonly hand?: Hand;
  /** Floor heights as clamped, from Z0; absent: the body lies level and Z0 is on the floor as found. */
  readonly mounted?: Job['pocket']['mounted'];
}

/** The same as it stands under an upright spindle: Z from Z0, X and Y from over the body's origin, the floor as found a plane of its own. */
export interface ClampedWork extends BodyWork {
  readonly wood: FloorPlane;
}

/** The moves of a body turned on the table as they pass over the body: the table's X and Y turned back, clockwise seen from above. */
export function overBody(moves: readonly Move[], turn: Shop['program']['turn']): readonly Move[] {
  if (turn === 0) return moves;
  const sine = turn === 90 ? 1 : turn === 270 ? -1 : 0;
  const cosine = turn === 180 ? -1 : 0;
  const back = ({ x, y, z }: Point3): Point3 =>
    cosine === 0 ? { x: sine * y, y: -sine * x, z } : { x: cosine * x, y: cosine * y, z };
  return moves.map((move) => ({ ...move, from: back(move.from), to: back(move.to) }));
}

/** The body's axes and origin in the machine's frame. */
interface Axes {
  readonly x: Point3;
  readonly y: Point3;
  readonly z: Point3;
  readonly height: number;
}

/**
 * The plane z = h + p x + q y nearest to the four heights (least squares). Heights rise by the sine of an axis' slope for each mm of floor: the body's y axis
 * lies in the machine's plane X = 0 and rises q, its x axis is square to that and rises p.
 */
function axesOf(outline: Outline, hand: Hand, mounted: NonNullable<BodyWork['mounted']>): Axes {
  const treble = hand === 'right' ? 1 : -1;
  const { length, mouthHalf, rearHalf } = outline;
  const places = [
    [1, 0, -treble * mouthHalf],
    [1, 0, treble * mouthHalf],
    [1, length, -treble * rearHalf],
    [1, length, treble * rearHalf],
  ];
  const heights = [mounted.mouthBass, mounted.mouthTreble, mounted.rearBass, mounted.rearTreble];
  const [height, p, q] = solve(new Matrix(places), Matrix.columnVector(heights)).to1DArray() as [number, number, number];
  const y = { x: 0, y: Math.sqrt(1 - q * q), z: q };
  const aside = (-p * q) / y.y;
  const x = { x: Math.sqrt(1 - p * p - aside * aside), y: aside, z: p };
  return { x, y, z: cross(x, y), height };
}

function placed(axes: Axes, p: Point3): Point3 {
  const { x, y, z } = add(add(scale(axes.x, p.x), scale(axes.y, p.y)), scale(axes.z, p.z));
  return { x, y, z: z + axes.height };
}

/** A plane of the body (its normal is (gx, gy, 1)) as a plane of the machine. */
function planeOf(axes: Axes, plane: FloorPlane): FloorPlane {
  const normal = add(add(scale(axes.x, plane.gx), scale(axes.y, plane.gy)), axes.z);
  const at = placed(axes, { ...plane.hinge, z: -plane.skim });
  return { hinge: { x: at.x, y: at.y }, skim: -at.z, gx: normal.x / normal.z, gy: normal.y / normal.z };
}

/** The part of a polygon left of the line from a to b. */
function leftOf(polygon: readonly Point2[], a: Point2, b: Point2): Point2[] {
  const side = (p: Point2): number => (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
  const kept: Point2[] = [];
  polygon.forEach((to, i) => {
    const from = polygon.at(i - 1) as Point2;
    const [s, t] = [side(from), side(to)];
    if (s * t < 0) kept.push({ x: from.x + ((to.x - from.x) * s) / (s - t), y: from.y + ((to.y - from.y) * s) / (s - t) });
    if (t >= 0) kept.push(to);
  });
  return kept;
}

/** The pocket's section at a height of the body seen from above, its side walls carried on before the mouth; anticlockwise. */
function sectionAt(axes: Axes, corners: readonly Point2[], z: number): Point2[] {
  const points = corners.map((p) => placed(axes, { ...p, z }));
  const [first, second] = points as [Point3, Point3];
  const [beyond, last] = [points.at(-2), points.at(-1)] as [Point3, Point3];
  const on = (from: Point3, to: Point3): Point2 => ({ x: 2 * to.x - from.x, y: 2 * to.y - from.y });
  return [on(second, first), ...points, on(beyond, last)];
}

/** What an upright cutter may fill, from the deepest cut to the body's top: for convex walls those of the two ends of that height bound it. */
function uprightOutline(axes: Axes, corners: readonly Point2[], low: number, high: number): Outline {
  const foot = sectionAt(axes, corners, low);
  let room = sectionAt(axes, corners, high);
  foot.slice(0, -1).forEach((a, i) => {
    room = leftOf(room, a, foot[i + 1] as Point2);
  });
  room = leftOf(room, { x: 0, y: 1 }, { x: 0, y: 0 });
  room = room.filter((p, i) => {
    const before = room.at(i - 1) as Point2;
    return Math.hypot(p.x - before.x, p.y - before.y) > SAME_POINT_MM;
  });
  const mouth = room.filter((p) => Math.abs(p.x) < SAME_POINT_MM);
  const ys = mouth.map((p) => p.y);
  const start = room.findIndex((p) => Math.abs(p.x) < SAME_POINT_MM && p.y === Math.min(...ys));
  const ring = [...room.slice(start), ...room.slice(0, start)];
  return {
    pieces: ring.map((from, i) => ({ kind: 'line', from, to: ring[(i + 1) % ring.length] as Point2 })),
    length: Math.max(...ring.map((p) => p.x)),
    mouthHalf: (Math.max(...ys) - Math.min(...ys)) / 2,
    rearHalf: Math.max(...ring.map((p) => Math.abs(p.y))),
  };
}

const AS_FOUND: FloorPlane = { hinge: { x: 0, y: 0 }, skim: 0, gx: 0, gy: 0 };

/**
 * The rules' question in the machine's frame, where the cutter is upright and its face level: planes stay planes there, so a floor of another
 * slope over wood that slopes itself. Every length is conservative: the walls' narrowest, the top's highest, the nearest end of the free space.
 */
export function asClamped(work: BodyWork): ClampedWork {
  const { outline, mounted, deepest, pocketDepth } = work;
  if (mounted === undefined) return { ...work, wood: AS_FOUND };
  const axes = axesOf(outline, work.hand ?? 'right', mounted);
  const plane = planeOf(axes, work.plane);
  const corners = flatten({ ...outline, pieces: outline.pieces.slice(0, -1) }, CHORD_WITHIN_MM);
  const last = outline.pieces.at(-1);
  if (last?.kind === 'line') corners.push(last.from);
  const half = Math.max(...corners.map((p) => Math.abs(p.y)));
  const ends = (x: number, z: number): Point3[] => [-half, half].map((y) => placed(axes, { x, y, z }));
  const tops = [...ends(-work.clearBefore, pocketDepth), ...ends(outline.length, pocketDepth)];
  const front = [...ends(-work.clearBefore, pocketDepth), ...ends(-work.clearBefore, -deepest)];
  const feet = corners.map((p) => placed(axes, { ...p, z: -depthAt(work.plane, p.x, p.y) }));
  return {
    ...work,
    plane,
    wood: planeOf(axes, AS_FOUND),
    outline: uprightOutline(axes, corners, -deepest, pocketDepth),
    pocketDepth: Math.max(...tops.map((p) => p.z)),
    deepest: -Math.min(...feet.map((p) => p.z)),
    clearBefore: -Math.max(...front.map((p) => p.x)),
  };
}

/** The body for somebody who looks down along the spindle: planes and outline there, and how far the top stands over the floor as found. */
export interface SeenWork {
  readonly plane: FloorPlane;
  readonly wood: FloorPlane;
  /** The edge of the floor as found; its last piece is the open mouth. */
  readonly outline: Outline;
  readonly pocketDepth: number;
}

/** The same frame as `asClamped`, but as things are: nothing is narrowed or raised to be on the safe side. */
export function asSeen(work: Pick<BodyWork, 'plane' | 'outline' | 'pocketDepth' | 'hand' | 'mounted'>): SeenWork {
  const { outline, mounted, plane, pocketDepth } = work;
  if (mounted === undefined) return { plane, wood: AS_FOUND, outline, pocketDepth };
  const axes = axesOf(outline, work.hand ?? 'right', mounted);
  const corners = flatten(outline, CHORD_SEEN_MM).map((p) => placed(axes, { ...p, z: 0 }));
  const points = corners.map(({ x, y }) => ({ x, y }));
  return {
    plane: planeOf(axes, plane),
    wood: planeOf(axes, AS_FOUND),
    outline: {
      pieces: points.map((from, i) => ({ kind: 'line', from, to: points[(i + 1) % points.length] as Point2 })),
      length: Math.max(...points.map((p) => p.x)),
      mouthHalf: outline.mouthHalf * axes.y.y,
      rearHalf: Math.max(...points.map((p) => Math.abs(p.y))),
    },
    // Planes an upright distance apart that are pocketDepth apart square to themselves.
    pocketDepth: pocketDepth / axes.z.z,
  };
}
