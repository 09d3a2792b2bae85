import { depthAt, leanOf } from '../kernel/plane.ts';
import { CUSP_MOST_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { ReadyTask } from './task.ts';

/** The cutter's face at one level of the cut. */
export interface Level {
  /** mm. How far this level's plane lies above the last one's. */
  readonly raise: number;
}

/** mm. Kept back from `pass.depth`: twice the error the proof's removal may have (program.md, `bite`), rounding of Z included. */
const BITE_KEPT_MM = 0.02;
/** mm. How far a cutter that has no wood under it is lifted (program.md, "Motion"). */
const LIFT_MM = 0.3;
/** The cusp aimed at, of what is allowed: the rounding of the lanes' places takes the rest. */
const CUSP_AIM = 0.9;

/** mm. What a level may take: `pass.depth` less what the proof may be out by, and by how much higher the wood may stand than it is taken to. */
export function mostTaken({ shop, higher }: ReadyTask): number {
  const { depth } = shop.pass;
  return depth - Math.min(BITE_KEPT_MM, depth / 3) - higher;
}

/** Equal levels, planes parallel to the floor; the last is the floor itself, so that one level makes the whole seat. */
export function levelsOf(task: ReadyTask): Level[] {
  const take = task.deepest - task.shop.leave;
  const most = mostTaken(task);
  const count = Math.max(1, Math.ceil(take / most - 1e-9));
  return Array.from({ length: count }, (_, k) => ({ raise: (take * (count - 1 - k)) / count }));
}

/**
 * Height of the cutter's face with its axis at c, so that no point of it goes below the level's plane:
 * -D(c) + leave + raise + R g, as a flat cutter touches a leaning floor with its uphill rim. In front of the mouth a plane that
 * goes on falling is followed only as far as the cutter touches the mouth edge (x = -R): deeper air need not be free there.
 */
export function faceAt(task: ReadyTask, level: Level, c: Point2): number {
  const { plane, radius, shop } = task;
  const x = plane.gx < 0 ? Math.max(c.x, -radius) : c.x;
  return -depthAt(plane, x, c.y) + shop.leave + level.raise + radius * leanOf(plane);
}

/** The highest of the floor as found, carried on in every direction, under a cutter with its axis at c. */
export function woodAt(task: ReadyTask, c: Point2): number {
  return task.radius * leanOf(task.found) - depthAt(task.found, c.x, c.y);
}

/** How far the level's face is above all wood under the cutter; negative where it cuts. */
export function overWood(task: ReadyTask, level: Level, c: Point2): number {
  return faceAt(task, level, c) - woodAt(task, c);
}

/** Height at which the cutter goes from place to place: above all wood inside the pocket, and above the plane carried on before it. */
export function travelAt(task: ReadyTask, c: Point2): number {
  return Math.max(woodAt(task, c), faceAt(task, { raise: 0 }, c)) + LIFT_MM;
}

/**
 * The ridge that lanes at distance w leave on a floor leaning by g, mm. With the slope at the angle a to the lanes, a lane that passes a
 * point at the distance Y leaves g (R - f(Y)), f(Y) = Y sin a + sqrt(R^2 - Y^2) cos a, |Y| <= R; the worst place is where two neighbours leave
 * the same: g (R - sqrt(R^2 - w^2 / (4 cos^2 a))), or where one of them no longer reaches the point at all: f(R - w).
 */
export function cuspOf(radius: number, gx: number, gy: number, w: number): number {
  const g = Math.hypot(gx, gy);
  if (g === 0) return 0;
  const cos = Math.abs(gx) / g;
  const sin = Math.abs(gy) / g;
  const f = (y: number): number => y * sin + Math.sqrt(Math.max(0, radius * radius - y * y)) * cos;
  const last = radius - w;
  if (w >= 2 * radius) return g * radius * 2;
  if (f(last) <= f(radius)) return g * (radius - f(last));
  return g * (radius - Math.sqrt(Math.max(0, radius * radius - (w * w) / (4 * cos * cos))));
}

/** The widest lanes up to `pass.width` (and nine tenths of the cutter) whose cusp stays within a share of what is allowed. */
export function laneWidthOf(task: ReadyTask, share: number = CUSP_AIM): number {
  const { plane, radius, shop } = task;
  const within = (w: number): boolean => cuspOf(radius, plane.gx, plane.gy, w) <= share * CUSP_MOST_MM;
  const widest = Math.min(shop.pass.width, 1.8 * radius);
  if (within(widest)) return widest;
  let low = 0;
  let high = widest;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (within(middle)) low = middle;
    else high = middle;
  }
  return low;
}
