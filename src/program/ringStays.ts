import { flatten } from '../kernel/outline.ts';
import { depthAt, leanOf } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type AxisRegion, toRegion } from './region.ts';
import { NOTHING_MM, STRIP, sideName, WHOLE_FLOOR } from './stays.ts';
import type { ReadyTask, Stay } from './task.ts';

/** mm. A place the cutter stays further off than off the wall beside it by this much is a corner of its own. */
const CORNER_MORE_MM = 0.05;

/**
 * What stays for the chisel where the outline is drawn or the walls lean: measured from the floor's own outline to the nearest axis,
 * less R. Along a wall with the outward normal m a floor that falls along the unit vector u keeps up to R g (1 + u.m) as everywhere;
 * edges that face the same way are told as one.
 */
export function ringStaysOf(task: ReadyTask, region: AxisRegion): Stay[] {
  const { plane, found, radius, hand, shop } = task;
  const ring = task.clamped?.seen ?? flatten(task.outline, FLATTEN_WITHIN_MM);
  const g = leanOf(plane);
  const depth = (p: Point2): number => Math.max(0, depthAt(plane, p.x, p.y) - depthAt(found, p.x, p.y));
  const told = new Map<string, Stay>();
  const tell = (where: string, height: number, width: number): void => {
    const before = told.get(where);
    told.set(where, { where, height: Math.max(height, before?.height ?? 0), width: Math.max(width, before?.width ?? 0) });
  };
  const edges = ring.flatMap((from, i) => {
    const to = ring[(i + 1) % ring.length] as Point2;
    const size = Math.hypot(to.x - from.x, to.y - from.y);
    if (size < 1e-9 || (Math.abs(from.x) < 1e-6 && Math.abs(to.x) < 1e-6)) return [];
    const out = { x: (to.y - from.y) / size, y: -(to.x - from.x) / size };
    const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
    const side = sideName(out.y, hand);
    const isRear = middle.x > task.outline.length / 2;
    // A shoulder that faces the rear squarely has no side that it faces: it is on the side where it lies.
    const wall = out.x <= Math.SQRT1_2 ? `${side} wall` : isRear ? 'rear wall' : `${sideName(middle.y, hand)} shoulder`;
    return [{ from, to, out, wall, middle, gap: toRegion(region, middle) - radius }];
  });
  // Where the cutter comes nearest to a wall, there is its strip; where it stays further off there is a corner.
  const strips = new Map<string, number>();
  for (const { wall, gap } of edges) strips.set(wall, Math.min(gap, strips.get(wall) ?? gap));
  for (const { from, to, out, wall, middle } of edges) {
    const deepest = Math.max(depth(from), depth(to));
    const strip = strips.get(wall) ?? 0;
    if (strip > NOTHING_MM) tell(STRIP, deepest, strip);
    const share = g === 0 ? 0 : 1 + (plane.gx * out.x + plane.gy * out.y) / g;
    const rim = Math.min(radius * g * share, deepest);
    if (rim > NOTHING_MM) tell(`rim at the ${wall}`, rim, strip + radius * share);
    for (const p of [from, middle, to]) {
      const gap = toRegion(region, p) - radius;
      const end = p.x > task.outline.length / 2 ? 'rear' : 'mouth';
      if (gap > strip + CORNER_MORE_MM) tell(`${end} ${sideName(p.y, hand)} corner`, depth(p), gap);
    }
  }
  tell(WHOLE_FLOOR, shop.leave, 2 * task.outline.rearHalf);
  return [...told.values()].filter((stay) => stay.height > NOTHING_MM);
}
