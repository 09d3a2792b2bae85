import { STILL, type Timeline } from '../timeline.ts';
import { zoomNow } from './dom.ts';
import type { Projection } from './lineLayer.ts';
import type { SceneUnder } from './run.ts';

/** mm. How far beyond pocket and free space a program's moves are followed. */
const FOLLOW_MM = 60;
/** px. The height of the side view. */
const SIDE_HEIGHT = 210;
/** The plan takes a share of a screen's height, so that its controls are seen with it; px at least and at most. */
const PLAN_SHARE = 0.56;
const PLAN_LEAST = 400;
const PLAN_MOST = 1100;
const EDGE = { left: 34, right: 16, top: 16, bottom: 16 };
/** px at the top of the side view in which everything above the break is squeezed. */
const SQUEEZED = 44;

export interface Extent {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
  readonly z0: number;
  readonly z1: number;
}

/** The box of pocket and moves; moves far off are not followed. */
export function extentOf(scene: SceneUnder, timeline: Timeline): Extent {
  const { outline } = scene;
  const half = Math.max(outline.mouthHalf, outline.rearHalf);
  const box = { x0: -2, x1: outline.length + 2, y0: -half - 2, y1: half + 2, z0: -scene.deepest, z1: scene.pocketDepth };
  const radius = scene.program.radius ?? 0;
  const most = { x0: -FOLLOW_MM, x1: outline.length + FOLLOW_MM, y: half + FOLLOW_MM };
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < timeline.count; i++) {
    if (timeline.kind[i] === STILL) continue;
    const [x, y, z] = [timeline.x[i] as number, timeline.y[i] as number, timeline.z[i] as number];
    if (x - radius < box.x0) box.x0 = Math.max(x - radius, most.x0);
    if (x + radius > box.x1) box.x1 = Math.min(x + radius, most.x1);
    if (y - radius < box.y0) box.y0 = Math.max(y - radius, -most.y);
    if (y + radius > box.y1) box.y1 = Math.min(y + radius, most.y);
    if (z > box.z1) box.z1 = z;
    if (z < lowest) lowest = z;
  }
  // A program that never reaches the floor is looked at where it runs.
  return { ...box, z0: lowest > scene.pocketDepth && Number.isFinite(lowest) ? lowest : Math.min(lowest, -scene.deepest) };
}

export interface Frame {
  readonly width: number;
  readonly height: number;
  /** px an mm along and across. */
  readonly k: number;
  readonly projection: Projection;
}

/** From above: x to the right, y up. */
export function frameAbove(extent: Extent, width: number): Frame {
  const [wide, high] = [extent.x1 - extent.x0, extent.y1 - extent.y0];
  const tallest = Math.max(PLAN_LEAST, Math.min(PLAN_MOST, (innerHeight / zoomNow()) * PLAN_SHARE));
  const k = Math.min((width - EDGE.left - EDGE.right) / wide, (tallest - EDGE.top - EDGE.bottom) / high);
  const projection: Projection = {
    px: (x) => EDGE.left + (x - extent.x0) * k,
    py: (_x, y) => EDGE.top + (extent.y1 - y) * k,
  };
  return { width, height: EDGE.top + high * k + EDGE.bottom, k, projection };
}

export interface SideFrame extends Frame {
  /** How many times larger heights are drawn than lengths, below the break. */
  readonly times: number;
  /** z at which the scale changes; everything above up to `extent.z1` is squeezed into the top. */
  readonly breakZ: number;
}

/** From the side, under the plan and in line with it; the cut itself fills the height, what is far above is squeezed. */
export function frameSide(extent: Extent, above: Frame, deepest: number): SideFrame {
  const { k } = above;
  const room = SIDE_HEIGHT - EDGE.top - EDGE.bottom - SQUEEZED;
  const shown = Math.max(0.4, Math.min(extent.z1 - extent.z0, 2 * Math.max(deepest, Math.min(0, extent.z0) * -1)));
  const times = Math.max(1, Math.floor(room / (shown * k)));
  const kz = times * k;
  const breakZ = extent.z0 + room / kz;
  const squeeze = Math.max(1e-9, extent.z1 - breakZ);
  const bottom = SIDE_HEIGHT - EDGE.bottom;
  const projection: Projection = {
    px: above.projection.px,
    py: (_x, _y, z) =>
      z <= breakZ ? bottom - (z - extent.z0) * kz : bottom - room - (SQUEEZED - 6) * Math.min(1, (z - breakZ) / squeeze) - 3,
  };
  return { width: above.width, height: SIDE_HEIGHT, k, projection, times, breakZ };
}
