import type { Mounting } from '../instrument/mounting.ts';
import { flatten, type Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import { add, type Point2, type Point3, scale } from '../kernel/vector.ts';
import { clip, type HalfPlane } from './halfPlane.ts';
import { sideOf } from './region.ts';

/**
 * The body as it lies under the spindle, before it is turned: Z upright and counted from the machine's Z0, the origin over the body
 * frame's own, the mouth edge along Y. The floor as found is a plane there, the walls lean, and a flat cutter's face is level.
 */
export interface Clamped {
  readonly toMachine: (p: Point3) => Point3;
  /** The floor to cut and the floor as found, as depths below Z0. */
  readonly plane: FloorPlane;
  readonly found: FloorPlane;
  /** What an upright cutter may fill: within the walls at every height from the deepest cut to the body's top. */
  readonly outline: Outline;
  /** The floor's own outline, seen from above. */
  readonly seen: readonly Point2[];
  /** mm. The highest of the body's top round pocket and free space; the lowest of the floor to cut. */
  readonly top: number;
  readonly lowest: number;
  /** Greatest upright depth of cut over the outline. */
  readonly deepest: number;
  readonly clearBefore: number;
}

/** mm. The proof's chords may lie this much inside of ours: kept from the walls besides clearance.wall. */
const CHORDS_APART_MM = 0.001;
/** mm. Chords of the walls' arcs: the cutter keeps inside them. */
const CHORD_MM = Math.min(FLATTEN_WITHIN_MM, 0.002);

/**
 * Rx(b) Ry(a), the turn that keeps the mouth edge in the upright plane x = 0: with sin b = alongY and sin a = -alongX / cos b, a point (x, y, 0)
 * of the floor as found comes to stand alongX x + alongY y higher than the origin, as the four heights say.
 */
function toMachineOf({ height, alongX, alongY }: Mounting): (p: Point3) => Point3 {
  const sb = alongY;
  const cb = Math.sqrt(1 - sb * sb);
  const sa = -alongX / cb;
  const ca = Math.sqrt(1 - sa * sa);
  const ex = { x: ca, y: sb * sa, z: -cb * sa };
  const ey = { x: 0, y: cb, z: sb };
  const ez = { x: sa, y: -sb * ca, z: cb * ca };
  return (p) => add(add(add(scale(ex, p.x), scale(ey, p.y)), scale(ez, p.z)), { x: 0, y: 0, z: height });
}

/** The plane through the images of three points, as a depth below Z0. */
function planeThrough(a: Point3, b: Point3, c: Point3): FloorPlane {
  const [ux, uy, uz] = [b.x - a.x, b.y - a.y, b.z - a.z];
  const [vx, vy, vz] = [c.x - a.x, c.y - a.y, c.z - a.z];
  const det = ux * vy - uy * vx;
  const rx = (uz * vy - uy * vz) / det;
  const ry = (ux * vz - uz * vx) / det;
  return { hinge: { x: a.x, y: a.y }, skim: -a.z, gx: -rx, gy: -ry };
}

function apart(p: Point2, q: Point2): boolean {
  return Math.hypot(p.x - q.x, p.y - q.y) > SAME_POINT_MM;
}

/** mm. Points nearer than this are one. */
const SAME_POINT_MM = 1e-6;
/** mm. Far enough apart that arithmetic does not matter. */
const BASE = 100;

export function clampedOf(
  body: {
    readonly plane: FloorPlane;
    readonly outline: Outline;
    readonly pocketDepth: number;
    readonly deepest: number;
    readonly clearBefore: number;
  },
  mounting: Mounting,
): Clamped {
  const { outline } = body;
  const toMachine = toMachineOf(mounting);
  const through = (z: (x: number, y: number) => number): FloorPlane => {
    const at = (x: number, y: number): Point3 => toMachine({ x, y, z: z(x, y) });
    return planeThrough(at(0, 0), at(BASE, 0), at(0, BASE));
  };
  const plane = through((x, y) => -depthAt(body.plane, x, y));
  const found = through(() => 0);
  const top = through(() => body.pocketDepth);
  const all = flatten(outline, CHORD_MM);
  const corners = all.filter((p, i) => apart(p, all[(i + 1) % all.length] as Point2));
  const seen = corners.map((p) => toMachine({ ...p, z: 0 }));
  const half = Math.max(...corners.map((p) => Math.abs(p.y)));
  const heights = [-body.deepest, body.pocketDepth];
  const edge = (x: number, z: number): Point3[] => [-half, half].map((y) => toMachine({ x, y, z }));
  const box = [-body.clearBefore, outline.length].flatMap((x) => heights.flatMap((z) => edge(x, z)));
  // Over the whole of what the cutter's axis may reach, whichever way the top leans.
  const spanX = [Math.min(...box.map((p) => p.x)), Math.max(...box.map((p) => p.x))];
  const spanY = [Math.min(...box.map((p) => p.y)), Math.max(...box.map((p) => p.y))];
  return {
    toMachine,
    plane,
    found,
    outline: uprightOutline(corners, heights, toMachine),
    seen,
    top: Math.max(...spanX.flatMap((x) => spanY.map((y) => -depthAt(top, x, y)))),
    lowest: Math.min(...seen.map((p) => -depthAt(plane, p.x, p.y))),
    deepest: Math.max(...seen.map((p) => depthAt(plane, p.x, p.y) - depthAt(found, p.x, p.y))),
    clearBefore: -Math.max(...heights.flatMap((z) => edge(-body.clearBefore, z)).map((p) => p.x)),
  };
}

/** The place common to the pocket's sections at both heights, from the mouth's edge inwards; for convex outlines, walls in between lie outside it. */
function uprightOutline(corners: readonly Point2[], heights: readonly number[], toMachine: (p: Point3) => Point3): Outline {
  const far = 4 * Math.max(...corners.map((p) => Math.abs(p.x) + Math.abs(p.y)));
  const sides: HalfPlane[] = [{ nx: -1, ny: 0, d: 0 }];
  for (const z of heights)
    corners.forEach((from, i) => {
      const to = corners[(i + 1) % corners.length] as Point2;
      if (Math.abs(from.x) < 1e-9 && Math.abs(to.x) < 1e-9) return;
      sides.push(sideOf(toMachine({ ...from, z }), toMachine({ ...to, z }), CHORDS_APART_MM));
    });
  let polygon: Point2[] = [
    { x: -far, y: -far },
    { x: far, y: -far },
    { x: far, y: far },
    { x: -far, y: far },
  ];
  for (const side of sides) polygon = clip(polygon, side);
  polygon = polygon.filter((p, i) => apart(p, polygon[(i + 1) % polygon.length] as Point2));
  const start = polygon.findIndex((p, i) => {
    const before = polygon.at(i - 1) as Point2;
    return Math.abs(p.x) < 1e-9 && Math.abs(before.x) < 1e-9;
  });
  const points = [...polygon.slice(start), ...polygon.slice(0, start)];
  const ys = points.filter((p) => Math.abs(p.x) < 1e-9).map((p) => p.y);
  return {
    pieces: points.map((from, i) => ({ kind: 'line', from, to: points[(i + 1) % points.length] as Point2 })),
    length: Math.max(...points.map((p) => p.x)),
    mouthHalf: (Math.max(...ys) - Math.min(...ys)) / 2,
    rearHalf: Math.max(...points.map((p) => Math.abs(p.y))),
  };
}
