import type { Move } from './strictReader.ts';

/** A move prepared for asking how low it cuts somewhere: from (x, y, z) along the unit vector (ux, uy) over `length`. */
export interface Swath {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly ux: number;
  readonly uy: number;
  readonly length: number;
  /** dz per mm of way. */
  readonly slope: number;
  /** Of the cutter that makes the move. */
  readonly radius: number;
}

export function swathOf({ from, to }: Move, radius: number): Swath {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const still = length === 0;
  return {
    x: from.x,
    y: from.y,
    z: still ? Math.min(from.z, to.z) : from.z,
    ux: still ? 1 : (to.x - from.x) / length,
    uy: still ? 0 : (to.y - from.y) / length,
    length,
    slope: still ? 0 : (to.z - from.z) / length,
    radius,
  };
}

/**
 * The lowest the cutter's face is while its axis is within `reach` of the point; infinite if it never is. With reach = R this is
 * the height the move leaves at the point; with reach = R - d it leaves no more than this anywhere within d of the point.
 */
export function lowestWithin(swath: Swath, x: number, y: number, reach: number): number {
  const px = x - swath.x;
  const py = y - swath.y;
  const across = px * swath.uy - py * swath.ux;
  const rest = reach * reach - across * across;
  if (rest < 0 || reach < 0) return Number.POSITIVE_INFINITY;
  const along = px * swath.ux + py * swath.uy;
  const half = Math.sqrt(rest);
  const first = Math.max(along - half, 0);
  const last = Math.min(along + half, swath.length);
  if (first > last) return Number.POSITIVE_INFINITY;
  return swath.z + swath.slope * (swath.slope < 0 ? last : first);
}

/** The way of the cutter's axis comes within `reach` of the point. */
export function comesWithin(swath: Swath, x: number, y: number, reach: number): boolean {
  const px = x - swath.x;
  const py = y - swath.y;
  const along = Math.max(0, Math.min(swath.length, px * swath.ux + py * swath.uy));
  const dx = px - along * swath.ux;
  const dy = py - along * swath.uy;
  return dx * dx + dy * dy <= reach * reach;
}

/**
 * How high the move leaves the wood over a plane at most, anywhere in a square of the given side. The axis position that serves
 * the middle is carried along the move for every other point, so that only the shift across the move (at most `wide`) brings the point
 * nearer the rim, and what z gains on the plane is the part of the plane's slope that the move does not follow. `plane` is the plane's z at the
 * middle, (fx, fy) its slope. Infinite where the move is too short for that or does not reach.
 */
export function overPlaneWithin(swath: Swath, x: number, y: number, side: number, plane: number, fx: number, fy: number): number {
  const { ux, uy, slope, radius } = swath;
  const wide = (side / 2) * (Math.abs(ux) + Math.abs(uy));
  const px = x - swath.x;
  const py = y - swath.y;
  const across = Math.abs(px * uy - py * ux) + wide;
  const rest = radius * radius - across * across;
  if (rest < 0) return Number.POSITIVE_INFINITY;
  const along = px * ux + py * uy;
  const half = Math.sqrt(rest);
  const first = Math.max(along - half, wide);
  const last = Math.min(along + half, swath.length - wide);
  if (first > last) return Number.POSITIVE_INFINITY;
  const drift = (side / 2) * (Math.abs(slope * ux - fx) + Math.abs(slope * uy - fy));
  return swath.z + slope * (slope < 0 ? last : first) - plane + drift;
}
