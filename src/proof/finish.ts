import { apart, bothUnits } from '../kernel/dimension.ts';
import { leanOf } from '../kernel/plane.ts';
import type { Point3 } from '../kernel/vector.ts';
import { allowedAxes, attainable } from './attainable.ts';
import { comesWithin, lowestWithin, overPlaneWithin, type Swath, swathOf } from './cover.ts';
import { type Fault, mm } from './faults.ts';
import { isKnown } from './motionRules.ts';
import { ARITHMETIC_MM, cuspOf, type Earlier, floorAt, halfAcross, lowestFaceAt, type Setting, woodAt } from './setting.ts';
import type { Move } from './strictReader.ts';
import { depthInside, distanceToWalls, type Walls } from './walls.ts';

/** mm. The finish is asked from this far inside the strip that `clearance.wall` leaves along the walls. */
const INSIDE_STRIP_MM = 0.05;
/** mm. What may stay above cusp and leave. */
const FINISH_SLACK_MM = 0.01;
/** mm. A(p) is asked with a cutter smaller by this: rounded coordinates stop short of the exact limit of reach. */
const REACH_SLACK_MM = 0.01;
/** mm. Squares begin at this size and are quartered down to the finest. */
const COARSEST_MM = 4;
const FINEST_MM = 0.003;
/** mm. Once wood was found standing squares need not tell more than figures: between these sizes, to this closeness. */
const FAILED_COARSEST_MM = 0.5;
const FAILED_FINEST_MM = 0.06;
const FIGURE_FINEST_MM = 0.015;
/** mm. How much `leftover` and `unreachable` may be too large, edges of standing wood narrower than the figures' finest squares apart. */
export const FIGURE_WITHIN_MM = 0.01;
/** Squares looked at before the proof gives up: an ordinary pocket takes some ten thousand, one within 0.001 mm of the limit a million. */
const MOST_SQUARES = 2_000_000;

interface Ask {
  readonly setting: Setting;
  readonly walls: Walls;
  readonly region: ReturnType<typeof allowedAxes>;
  /** mm above the higher of floor and A(p). */
  readonly allowed: number;
  readonly inset: number;
}

interface Found {
  /** Upper bounds so far, and what surely stands at single points. */
  leftover: number;
  unreachable: number;
  standing: number;
  rim: number;
  squares: number;
  /** Squares that failed. */
  failed: number;
  worst: { readonly x: number; readonly y: number; readonly excess: number } | undefined;
}

/** What is left at most within `around` of a point, of wood that stood up to `wood` there. */
function heightAt(wood: number, swaths: readonly Swath[], x: number, y: number, around: number): number {
  let height = wood;
  for (const swath of swaths) {
    const z = lowestWithin(swath, x, y, swath.radius - around);
    if (z < height) height = z;
  }
  return height;
}

/** How much more than allowed surely stands at one point. */
function excessAt({ setting, region, allowed }: Ask, swaths: readonly Swath[], x: number, y: number): number {
  const wanted = Math.max(floorAt(setting, x, y), attainable(setting, region, x, y, setting.radius - REACH_SLACK_MM));
  return heightAt(woodAt(setting, x, y), swaths, x, y, 0) - wanted - allowed;
}

function noteWorst(found: Found, x: number, y: number, excess: number): void {
  if (found.worst === undefined || excess > found.worst.excess) found.worst = { x, y, excess };
}

/** What is known of a square of side s, half diagonal d: bounds that hold everywhere in it. */
interface Bounds {
  /** Wood over the floor, at most. */
  readonly over: number;
  /** Wood over the higher of floor and A(p), at most. */
  readonly excess: number;
  /** A(p), no higher than the wood stands, over the floor, at most. */
  readonly rim: number;
}

/**
 * Everywhere in the square the wood is at most what a cutter of R - d leaves at its middle, the floor at least the middle's less its fall
 * within the square, and A(p) at least that of a cutter of R + d at the middle. The floor has a second, closer bound (`overPlaneWithin`).
 */
function boundsOf(ask: Ask, swaths: readonly Swath[], x: number, y: number, side: number): Bounds {
  const { setting, region } = ask;
  const { radius, plane, wood } = setting;
  const d = side * Math.SQRT1_2;
  const middle = floorAt(setting, x, y);
  const floor = middle - ((Math.abs(plane.gx) + Math.abs(plane.gy)) * side) / 2;
  const highest = woodAt(setting, x, y) + ((Math.abs(wood.gx) + Math.abs(wood.gy)) * side) / 2;
  const height = heightAt(highest, swaths, x, y, d);
  let over = height - floor;
  for (const swath of swaths) {
    const close = overPlaneWithin(swath, x, y, side, middle, -plane.gx, -plane.gy);
    if (close < over) over = close;
  }
  const lowest = attainable(setting, region, x, y, radius - REACH_SLACK_MM + d);
  const rim = Math.min(highest, attainable(setting, region, x, y, radius - d)) - floor;
  return { over, excess: Math.min(over, height - lowest), rim: Math.max(0, Math.min(over, rim)) };
}

function quarter(x: number, y: number, side: number, each: (x: number, y: number, side: number) => void): void {
  const q = side / 4;
  each(x - q, y - q, side / 2);
  each(x + q, y - q, side / 2);
  each(x - q, y + q, side / 2);
  each(x + q, y + q, side / 2);
}

/** The bounds of this square cannot make the figures too large by more than they may be: what stands at its middle helps to see it. */
function closeEnough(
  { setting, region, inset }: Ask,
  found: Found,
  near: readonly Swath[],
  x: number,
  y: number,
  over: number,
  rim: number,
  depth: number,
): boolean {
  const enough = (): boolean => over <= found.standing + FIGURE_WITHIN_MM && rim <= found.rim + FIGURE_WITHIN_MM;
  if (enough()) return true;
  if (depth < inset || x < 0) return false;
  const floor = floorAt(setting, x, y);
  const stands = heightAt(woodAt(setting, x, y), near, x, y, 0) - floor;
  found.standing = Math.max(found.standing, stands);
  found.rim = Math.max(found.rim, Math.min(stands, attainable(setting, region, x, y, setting.radius) - floor));
  return enough();
}

/** Those of the swaths that come so near that they may cut within `around` of the place. */
function nearOf(swaths: readonly Swath[], x: number, y: number, around: number): readonly Swath[] {
  const near: Swath[] = [];
  for (const swath of swaths) if (comesWithin(swath, x, y, swath.radius + around)) near.push(swath);
  return near;
}

/**
 * One square: done if its bounds show the rule, a fault if its middle breaks it, else quartered. `swaths` come near it; `least` is a depth inside
 * the walls that its middle surely has, so that only squares near a wall need look for it.
 */
function judge(ask: Ask, found: Found, swaths: readonly Swath[], x: number, y: number, side: number, least: number): void {
  const { walls, allowed, inset } = ask;
  found.squares += 1;
  const d = side * Math.SQRT1_2;
  // What is surely inside need not be asked on which side of the walls it is.
  const depth = least - d >= inset ? least : least > 0 ? distanceToWalls(walls, x, y) : depthInside(walls, { x, y });
  if (depth + d < inset || x + side / 2 < 0) return;
  const near = nearOf(swaths, x, y, d);
  const { over, excess, rim } = boundsOf(ask, near, x, y, side);
  if (excess <= allowed + ARITHMETIC_MM && (side <= FIGURE_FINEST_MM || closeEnough(ask, found, near, x, y, over, rim, depth))) {
    found.leftover = Math.max(found.leftover, over);
    found.unreachable = Math.max(found.unreachable, rim);
    return;
  }
  const broken = excess > allowed + ARITHMETIC_MM && depth >= inset && x >= 0 ? excessAt(ask, near, x, y) : 0;
  const finest = side <= (found.failed > 0 ? FAILED_FINEST_MM : FINEST_MM) || found.squares > MOST_SQUARES;
  if (broken <= ARITHMETIC_MM && !finest) {
    // Depth changes no faster than the place, and the quarters' middles lie half of d away.
    const rest = depth - d / 2;
    quarter(x, y, side, (cx, cy, half) => judge(ask, found, near, cx, cy, half, rest));
    return;
  }
  // The finest squares that straddle the edge of what is asked are covered by their neighbours to within their own size.
  const whole = depth - d >= inset && x - side / 2 >= 0;
  if (broken <= ARITHMETIC_MM && !whole && side <= FINEST_MM) return;
  found.failed += 1;
  noteWorst(found, x, y, broken);
}

/** The figures of a part where wood was found standing, with every move there is and not only the last ones. */
function measure(ask: Ask, found: Found, swaths: readonly Swath[], x: number, y: number, side: number): void {
  const { setting, walls, inset } = ask;
  const d = side * Math.SQRT1_2;
  const depth = depthInside(walls, { x, y });
  if (depth + d < inset || x + side / 2 < 0) return;
  const near = nearOf(swaths, x, y, d);
  const { over, rim } = boundsOf(ask, near, x, y, side);
  const real = heightAt(woodAt(setting, x, y), near, x, y, 0) - floorAt(setting, x, y);
  if (side > FAILED_COARSEST_MM || ((over - real > FIGURE_WITHIN_MM || depth < inset) && side > FIGURE_FINEST_MM)) {
    quarter(x, y, side, (cx, cy, half) => measure(ask, found, near, cx, cy, half));
    return;
  }
  if (depth >= inset && x >= 0) noteWorst(found, x, y, excessAt(ask, near, x, y));
  found.leftover = Math.max(found.leftover, over);
  found.unreachable = Math.max(found.unreachable, rim);
}

/** mm. What may stay over the higher of floor and A(p): the coarser cusp of the cutters, leave, 0.01 mm and one rounding step. */
export function finishAllowed(setting: Setting, earlier?: Earlier): number {
  const cusp = Math.max(cuspOf(setting), earlier === undefined ? 0 : cuspOf(earlier.setting));
  const step = Math.max(setting.step, earlier?.setting.step ?? 0);
  return cusp + setting.shop.leave + FINISH_SLACK_MM + step;
}

/** Those of a cutter's moves that take wood, and of them those that come down far enough to finish the floor. */
function cuttingOf(moves: readonly Move[], setting: Setting, allowed: number): { all: Swath[]; finishing: Swath[] } {
  // A move whose face is more than `allowed` above its lowest finishes nothing: what it leaves is higher still over floor and A(p).
  const above = ({ from, to }: Move): number =>
    Math.min(from.z - lowestFaceAt(setting, from.x, from.y), to.z - lowestFaceAt(setting, to.x, to.y));
  // The highest wood under a cutter is its axis' and R times the wood's slope.
  const under = setting.radius * leanOf(setting.wood);
  const below = ({ x, y, z }: Point3): boolean => z < woodAt(setting, x, y) + under;
  const all: Swath[] = [];
  const finishing: Swath[] = [];
  for (const move of moves) {
    const { from, to } = move;
    if (!isKnown(move) || !(below(from) || below(to))) continue;
    const swath = swathOf(move, setting.radius);
    all.push(swath);
    if (above(move) <= allowed + ARITHMETIC_MM) finishing.push(swath);
  }
  return { all, finishing };
}

/**
 * `finish`: from `clearance.wall` + 0.05 mm inwards nothing stands above the higher of floor and A(p) by more than is allowed. What an
 * earlier program took with a larger cutter is gone: A(p) is what this one reaches, never higher than what that one did.
 */
export function finishRule(
  moves: readonly Move[],
  setting: Setting,
  walls: Walls,
  earlier?: Earlier,
): { readonly faults: Fault[]; readonly leftover: number; readonly unreachable: number } {
  const allowed = finishAllowed(setting, earlier);
  const inset = setting.shop.clearance.wall + INSIDE_STRIP_MM;
  const ask: Ask = { setting, walls, region: allowedAxes(setting, walls), allowed, inset };
  const cut = [
    ...(earlier === undefined ? [] : [cuttingOf(earlier.moves, earlier.setting, allowed)]),
    cuttingOf(moves, setting, allowed),
  ];
  const swaths = cut.flatMap(({ finishing }) => finishing);
  const found: Found = { leftover: 0, unreachable: 0, standing: 0, rim: 0, squares: 0, failed: 0, worst: undefined };
  const failed: [number, number][] = [];
  const { length } = setting.outline;
  const half = halfAcross(setting.outline);
  // From one square over all down to the coarsest that is judged, so that each looks only at moves that come near its parent.
  const descend = (near: readonly Swath[], x: number, y: number, side: number): void => {
    if (side <= COARSEST_MM) {
      const before = found.failed;
      judge(ask, found, near, x, y, side, Number.NEGATIVE_INFINITY);
      if (found.failed > before) failed.push([x, y]);
      return;
    }
    if (depthInside(walls, { x, y }) + side * Math.SQRT1_2 < inset || x + side / 2 < 0) return;
    const nearer = nearOf(near, x, y, side * Math.SQRT1_2);
    quarter(x, y, side, (cx, cy, quarterSide) => descend(nearer, cx, cy, quarterSide));
  };
  const doublings = Math.max(0, Math.ceil(Math.log2(Math.max(length, 2 * half) / COARSEST_MM)));
  descend(swaths, length / 2, 0, COARSEST_MM * 2 ** doublings);
  const { worst } = found;
  if (worst === undefined) return { faults: [], leftover: found.leftover, unreachable: found.unreachable };
  const all = cut.flatMap((each) => each.all);
  found.worst = { ...worst, excess: excessAt(ask, all, worst.x, worst.y) };
  for (const [x, y] of failed) measure(ask, found, all, x, y, COARSEST_MM);
  const place = `at x ${bothUnits(found.worst.x)}, y ${bothUnits(found.worst.y)}`;
  const limit = `${mm(allowed)} over the floor or what the cutter can reach`;
  const message =
    found.worst.excess > 0
      ? `${place} wood stays ${apart(found.worst.excess, 0)[0]} higher than the ${limit} that are allowed`
      : `${place} it could not be shown that no more than ${limit} stays`;
  return {
    faults: [{ rule: 'finish', line: setting.lastLine, message }],
    leftover: found.leftover,
    unreachable: found.unreachable,
  };
}
