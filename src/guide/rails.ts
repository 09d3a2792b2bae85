import { depthAt, leanOf } from '../kernel/plane.ts';
import type { GuideTask } from './task.ts';

/** mm. A rail at its lowest: stiff enough to lie true on the body, low enough for the reach of a usual cutter. */
const LEAST_HEIGHT = 6;
/** mm. How wide a rail is, how far it keeps from the pocket's wall, and how much of it must stay under the router's base. */
const RAIL_WIDTH = 20;
const OFF_WALL = 6;
const LEAST_BEARING = 8;

/**
 * A rail, body frame: it lies on the body's top from x = `fromX` to `toX` between y = `inner` (its face to the pocket) and `outer`.
 * `left` and `right` are as on the map: left is the side of -y.
 */
export interface Rail {
  readonly side: 'left' | 'right';
  readonly name: 'bass' | 'treble';
  readonly inner: number;
  readonly outer: number;
  readonly fromX: number;
  readonly toX: number;
}

export interface Rails {
  readonly rails: readonly [Rail, Rail];
  /** Height (mm) of both rails' upper faces over the body's top: one plane, parallel to the floor to cut. */
  readonly heightAt: (x: number, y: number) => number;
  /** mm, square to the router's base: how far the cutter stands out of it. */
  readonly setting: number;
  /** How far the cutter goes in its own direction for 1 mm upright: the cosine of the lean. */
  readonly upright: number;
  /** mm. The router's base must be at least this wide to stay on both rails wherever the cutter goes. */
  readonly leastBase: number;
  /** mm. Shorter rails let the base tip at the ends of the pocket. */
  readonly leastLength: number;
}

/**
 * Rails that carry a router's base parallel to the floor to cut. A base on z = T + h(x, y), T the body's top over the floor as found, with
 * h = c - D(x, y), moves parallel to z = -D(x, y); the distance upright is T + c everywhere, square to both planes it is
 * (T + c) cos(lean), cos = 1/sqrt(1 + gx² + gy²). c is chosen so that h is nowhere under LEAST_HEIGHT. The cutter's axis is then square to
 * the floor: a flat cutter leaves no rim along the walls.
 */
export function railsOf(task: GuideTask): Rails {
  const { plane, outline, hand } = task;
  const inner = Math.max(outline.mouthHalf, outline.rearHalf) + OFF_WALL;
  const outer = inner + RAIL_WIDTH;
  const fromX = (outline.length - task.rails.length) / 2;
  const toX = fromX + task.rails.length;
  const radius = (task.cutter?.diameter ?? 0) / 2;
  const corners = [fromX, toX].flatMap((x) => [-outer, -inner, inner, outer].map((y) => depthAt(plane, x, y)));
  const c = LEAST_HEIGHT + Math.max(...corners);
  const upright = 1 / Math.hypot(1, leanOf(plane));
  const rail = (side: 'left' | 'right'): Rail => {
    const sign = side === 'left' ? -1 : 1;
    const name = (side === 'right') === (hand === 'right') ? 'treble' : 'bass';
    return { side, name, inner: sign * inner, outer: sign * outer, fromX, toX };
  };
  // The cutter at one wall: the base must still bear on the far rail.
  const reach = Math.max(0, Math.max(outline.mouthHalf, outline.rearHalf) - radius);
  const leastBase = 2 * (reach + inner + LEAST_BEARING);
  // The base's chord over a rail's inner face, at both ends of the pocket.
  const chord = Math.sqrt(Math.max(0, (task.rails.base / 2) ** 2 - inner ** 2));
  return {
    rails: [rail('left'), rail('right')],
    heightAt: (x, y) => c - depthAt(plane, x, y),
    setting: (task.pocketDepth + c) * upright,
    upright,
    leastBase,
    leastLength: outline.length + 2 * chord,
  };
}
