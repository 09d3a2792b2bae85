import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Axes, type AxesEdge, edgeOf } from './attainable.ts';
import type { Setting } from './setting.ts';
import { depthInside, type Walls } from './walls.ts';

/** mm. An axis this much too near a wall still counts as allowed: what is lower than it need be only makes the rule stricter. */
const NEAR_ENOUGH_MM = 0.0005;
/** mm. Boundary that is no longer allowed is looked for down to pieces of this size, and at its ends down to the finest. */
const PIECE_MM = 0.05;
const FINEST_PIECE_MM = 0.0005;

/**
 * The allowed axes K for walls that are not convex: all places at least e from every wall, and before a mouth that opens as far inside its
 * width. Their boundary lies among the walls moved inwards by e, that width's two edges likewise, and the arcs of radius e round corners that
 * point inwards; of these the parts are kept that no wall is nearer to than e. A chord in place of
 * an arc lies on the corner's side, a tangent on an arc of the walls outside it: the K that they bound is a little larger than the real one.
 */
export function bentAxes(setting: Setting, walls: Walls): Axes {
  // The polygon's chords lie inside arcs of the walls.
  const e = setting.radius + setting.shop.clearance.wall - (walls.arcs.length > 0 ? FLATTEN_WITHIN_MM : 0);
  const front = -setting.clearBefore + setting.radius;
  const { least, most } = walls.mouth;
  /** How far inside the walls and, before the mouth, inside its width. */
  const depthOf = (p: Point2): number => {
    const depth = depthInside(walls, p);
    return p.x < 0 ? Math.min(depth, p.y - least, most - p.y) : depth;
  };
  const inside = (x: number, y: number): boolean => x >= front - NEAR_ENOUGH_MM && depthOf({ x, y }) >= e - NEAR_ENOUGH_MM;
  const edges: AxesEdge[] = [];
  const keep = (a: Point2, b: Point2): void => {
    if (Math.hypot(b.x - a.x, b.y - a.y) > 0) edges.push(edgeOf(a, b));
  };
  /** Keeps of the edge from a to b whatever may be allowed: distance from the walls changes no faster than the place. */
  const sift = (a: Point2, b: Point2): void => {
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const depth = Math.max(a.x, b.x) < 0 ? depthOf(middle) : depthInside(walls, middle);
    if (depth + length / 2 < e - NEAR_ENOUGH_MM || Math.max(a.x, b.x) < front) return;
    const kept = (p: Point2): boolean => depthOf(p) >= e - NEAR_ENOUGH_MM;
    if (length <= FINEST_PIECE_MM || (length <= PIECE_MM && kept(a) && kept(b))) {
      keep(a, b);
      return;
    }
    sift(a, middle);
    sift(middle, b);
  };
  const { polygon } = walls;
  polygon.forEach((b, i) => {
    const a = polygon.at(i - 1) as Point2;
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    // The last piece closes the polygon before the mouth, where no wall is.
    if (i === 0 || length === 0) return;
    const [nx, ny] = [-(b.y - a.y) / length, (b.x - a.x) / length];
    sift({ x: a.x + e * nx, y: a.y + e * ny }, { x: b.x + e * nx, y: b.y + e * ny });
    const c = polygon[(i + 1) % polygon.length] as Point2;
    const next = Math.hypot(c.x - b.x, c.y - b.y);
    const [mx, my] = [-(c.y - b.y) / next, (c.x - b.x) / next];
    if (i + 1 >= polygon.length || nx * my - ny * mx >= 0) return;
    // Clockwise from the one normal to the other, round a corner that points inwards.
    const from = Math.atan2(ny, nx);
    const sweep = -Math.acos(Math.max(-1, Math.min(1, nx * mx + ny * my)));
    const step = 2 * Math.acos(Math.max(0, 1 - NEAR_ENOUGH_MM / 2 / e));
    const count = Math.max(1, Math.ceil(-sweep / step));
    const on = (k: number): Point2 => ({
      x: b.x + e * Math.cos(from + (sweep * k) / count),
      y: b.y + e * Math.sin(from + (sweep * k) / count),
    });
    for (let k = 0; k < count; k++) sift(on(k), on(k + 1));
  });
  for (const y of [least + e, most - e]) if (Number.isFinite(y)) sift({ x: front, y }, { x: 0, y });
  // The end of the free space.
  const ys = polygon.map((p) => p.y);
  sift({ x: front, y: Math.min(...ys) }, { x: front, y: Math.max(...ys) });
  return { holds: inside, edges: joined(edges) };
}

/** Neighbouring pieces of one straight line as one edge, so that there are few of them. */
function joined(edges: readonly AxesEdge[]): AxesEdge[] {
  const out: AxesEdge[] = [];
  for (const edge of edges) {
    const last = out.at(-1);
    const meets = last !== undefined && Math.hypot(last.x + last.dx - edge.x, last.y + last.dy - edge.y) < 1e-9;
    if (last !== undefined && meets && Math.abs(last.dx * edge.dy - last.dy * edge.dx) <= 1e-9 * Math.sqrt(last.dd * edge.dd))
      out[out.length - 1] = edgeOf({ x: last.x, y: last.y }, { x: edge.x + edge.dx, y: edge.y + edge.dy });
    else out.push(edge);
  }
  return out;
}
