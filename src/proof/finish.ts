import { allowedAxes, attainable } from './attainable.ts';
import { comesWithin, lowestWithin, type Swath, swathOf } from './cover.ts';
import { type Fault, mm } from './faults.ts';
import { ARITHMETIC_MM, cuspOf, floorAt, lowestFaceAt, type Setting } from './setting.ts';
import type { Move } from './strictReader.ts';
import { depthInside, type Walls } from './walls.ts';

/** mm. The finish is asked from this far inside the strip that `clearance.wall` leaves along the walls. */
const INSIDE_STRIP_MM = 0.05;
/** mm. What may stay above cusp and leave. */
const FINISH_SLACK_MM = 0.01;
/** mm. A(p) is asked with a cutter smaller by this: rounded coordinates stop short of the exact limit of reach. */
const REACH_SLACK_MM = 0.01;
/** mm. Squares begin at this size and are quartered down to the finest. */
const COARSEST_MM = 4;
const FINEST_MM = 0.003;
/** mm. Squares in which wood was found standing are quartered to this, for the figure only. */
const FAILED_MM = 0.5;
/** Squares looked at before the proof gives up: an ordinary pocket takes some ten thousands. */
const MOST_SQUARES = 6_000_000;

interface Ask {
  readonly setting: Setting;
  readonly walls: Walls;
  readonly region: ReturnType<typeof allowedAxes>;
  /** mm above the higher of floor and A(p). */
  readonly allowed: number;
  readonly inset: number;
}

interface Found {
  leftover: number;
  unreachable: number;
  squares: number;
  readonly failed: { readonly x: number; readonly y: number; readonly side: number }[];
}

function heightAt(swaths: readonly Swath[], x: number, y: number, reach: number): number {
  let height = 0;
  for (const swath of swaths) {
    const z = lowestWithin(swath, x, y, reach);
    if (z < height) height = z;
  }
  return height;
}

/** How much more than allowed surely stands at one point; only where the rule asks for it. */
function excessAt(ask: Ask, swaths: readonly Swath[], x: number, y: number): number {
  const { setting, region, allowed } = ask;
  const wanted = Math.max(floorAt(setting, x, y), attainable(setting, region, x, y, setting.radius - REACH_SLACK_MM));
  return heightAt(swaths, x, y, setting.radius) - wanted - allowed;
}

/**
 * One square of side s, half diagonal d, with the moves that come near it. Everywhere in it the wood is at most what a cutter of
 * R - d leaves at its middle, the floor at least the middle's less its fall within the square, and A(p) at least that of a cutter of
 * R + d at the middle. If that shows the rule, the square is done; if the middle itself breaks it, it is a fault; else it is quartered.
 */
function judge(ask: Ask, found: Found, swaths: readonly Swath[], x: number, y: number, side: number): void {
  const { setting, walls, region, allowed, inset } = ask;
  const { radius, plane } = setting;
  found.squares += 1;
  const d = side * Math.SQRT1_2;
  const depth = depthInside(walls, { x, y });
  if (depth + d < inset || x + side / 2 < 0) return;
  const near = swaths.filter((swath) => comesWithin(swath, x, y, radius + d));
  const whole = depth - d >= inset && x - side / 2 >= 0;
  const floor = floorAt(setting, x, y) - ((Math.abs(plane.gx) + Math.abs(plane.gy)) * side) / 2;
  const height = heightAt(near, x, y, radius - d);
  const wanted = Math.max(floor, attainable(setting, region, x, y, radius - REACH_SLACK_MM + d));
  if (height - wanted <= allowed + ARITHMETIC_MM) {
    const reached = Math.min(0, attainable(setting, region, x, y, radius - d), Math.max(height, floor));
    found.leftover = Math.max(found.leftover, height - floor);
    found.unreachable = Math.max(found.unreachable, reached - floor);
    return;
  }
  const asked = depth >= inset && x >= 0;
  const hopeless = asked && excessAt(ask, near, x, y) > ARITHMETIC_MM;
  if (hopeless || side <= FINEST_MM || found.squares > MOST_SQUARES) {
    // The finest squares that straddle the edge of what is asked are covered by their neighbours to within their own size.
    if (!hopeless && !whole && side <= FINEST_MM) return;
    found.failed.push({ x, y, side });
    return;
  }
  quarter(x, y, side, (cx, cy, half) => judge(ask, found, near, cx, cy, half));
}

function quarter(x: number, y: number, side: number, each: (x: number, y: number, side: number) => void): void {
  const q = side / 4;
  each(x - q, y - q, side / 2);
  each(x + q, y - q, side / 2);
  each(x - q, y + q, side / 2);
  each(x + q, y + q, side / 2);
}

/** The figures of a square that failed, with every move there is and not only the last ones. */
function measure(ask: Ask, found: Found, swaths: readonly Swath[], x: number, y: number, side: number): void {
  const { setting, walls, region, inset } = ask;
  const d = side * Math.SQRT1_2;
  if (depthInside(walls, { x, y }) + d < inset || x + side / 2 < 0) return;
  const near = swaths.filter((swath) => comesWithin(swath, x, y, setting.radius + d));
  if (side > FAILED_MM) {
    quarter(x, y, side, (cx, cy, half) => measure(ask, found, near, cx, cy, half));
    return;
  }
  const floor = floorAt(setting, x, y) - ((Math.abs(setting.plane.gx) + Math.abs(setting.plane.gy)) * side) / 2;
  const height = heightAt(near, x, y, setting.radius - d);
  found.leftover = Math.max(found.leftover, height - floor);
  found.unreachable = Math.max(
    found.unreachable,
    Math.min(height, attainable(setting, region, x, y, setting.radius - d)) - floor,
  );
}

/** `finish`: from `clearance.wall` + 0.05 mm inwards nothing stands above the higher of floor and A(p) by more than is allowed. */
export function finishRule(
  moves: readonly Move[],
  setting: Setting,
  walls: Walls,
): { readonly faults: Fault[]; readonly leftover: number; readonly unreachable: number } {
  const allowed = cuspOf(setting) + setting.shop.leave + FINISH_SLACK_MM + setting.step;
  const ask: Ask = {
    setting,
    walls,
    region: allowedAxes(setting, walls),
    allowed,
    inset: setting.shop.clearance.wall + INSIDE_STRIP_MM,
  };
  // A move whose face is more than `allowed` above its lowest finishes nothing: what it leaves is higher still over floor and A(p).
  const over = ({ from, to }: Move): number =>
    Math.min(from.z - lowestFaceAt(setting, from.x, from.y), to.z - lowestFaceAt(setting, to.x, to.y));
  const cutting = moves.filter(({ from, to }) => Math.min(from.z, to.z) < 0 && Number.isFinite(from.x + from.y + to.x + to.y));
  const swaths = cutting.filter((move) => over(move) <= allowed + ARITHMETIC_MM).map(swathOf);
  const found: Found = { leftover: 0, unreachable: 0, squares: 0, failed: [] };
  const { length, pieces } = setting.outline;
  const half = Math.max(
    ...pieces.map((piece) => (piece.kind === 'line' ? Math.max(Math.abs(piece.from.y), Math.abs(piece.to.y)) : 0)),
  );
  for (let x = COARSEST_MM / 2; x - COARSEST_MM / 2 < length; x += COARSEST_MM)
    for (let y = -half + COARSEST_MM / 2; y - COARSEST_MM / 2 < half; y += COARSEST_MM)
      judge(ask, found, swaths, x, y, COARSEST_MM);
  const first = found.failed[0];
  if (first === undefined) return { faults: [], leftover: found.leftover, unreachable: found.unreachable };
  const all = cutting.map(swathOf);
  let worst = { ...first, excess: Number.NEGATIVE_INFINITY };
  for (const square of found.failed) {
    measure(ask, found, all, square.x, square.y, square.side);
    const excess = excessAt(ask, all, square.x, square.y);
    if (excess > worst.excess) worst = { ...square, excess };
  }
  const place = `x ${worst.x.toFixed(2)}, y ${worst.y.toFixed(2)}`;
  const others = found.failed.length > 1 ? ` and ${found.failed.length - 1} places more` : '';
  const limit = `${mm(allowed)} over the floor or what the cutter can reach`;
  const message =
    worst.excess > 0
      ? `at ${place}${others} wood stays ${mm(worst.excess)} higher than the ${limit} that are allowed`
      : `at ${place}${others} it could not be shown that no more than ${limit} stays`;
  return {
    faults: [{ rule: 'finish', line: setting.lastLine, message }],
    leftover: found.leftover,
    unreachable: found.unreachable,
  };
}
