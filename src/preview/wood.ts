import type { Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane, leanOf } from '../kernel/plane.ts';
import type { Point3 } from '../kernel/vector.ts';
import { lowestWithin, type Swath, swathOf } from '../proof/cover.ts';
import { depthInside, wallsOf } from '../proof/walls.ts';
import { LEVEL } from './lie.ts';
import { STILL, type Timeline } from './timeline.ts';

// The wood as it stands at a moment: heights on a lattice, lowered by each move to what the proof says it leaves at a point.

/** Points at most: a picture of the pocket has no more use for. */
const MOST_POINTS = 40_000;
const FINEST_MM = 0.3;
/** Moments kept, from which the wood of an earlier moment is found again. */
const KEPT = 64;

export interface Lattice {
  readonly nx: number;
  readonly ny: number;
  /** mm between points. */
  readonly step: number;
  readonly x0: number;
  readonly y0: number;
  /** Height of the wood before the first move: 0 on the floor as found, the body's top outside the walls. */
  readonly start: Float32Array;
  /** 1 on the pocket's floor. */
  readonly floor: Uint8Array;
}

/** From the mouth edge to `margin` beyond the walls. */
export function latticeOf(outline: Outline, top: number, margin: number): Lattice {
  const half = Math.max(outline.mouthHalf, outline.rearHalf) + margin;
  const length = outline.length + margin;
  const step = Math.max(FINEST_MM, Math.sqrt((length * 2 * half) / MOST_POINTS));
  const nx = Math.ceil(length / step);
  const ny = Math.ceil((2 * half) / step);
  const walls = wallsOf(outline, 0);
  const start = new Float32Array(nx * ny);
  const floor = new Uint8Array(nx * ny);
  const x0 = step / 2;
  const y0 = -(ny - 1) * (step / 2);
  for (let j = 0; j < ny; j++)
    for (let i = 0; i < nx; i++) {
      const inside = depthInside(walls, { x: x0 + i * step, y: y0 + j * step }) >= 0;
      start[j * nx + i] = inside ? 0 : top;
      floor[j * nx + i] = inside ? 1 : 0;
    }
  return { nx, ny, step, x0, y0, start, floor };
}

/**
 * Lowers the wood to what a straight move of the cutter leaves; heights over `found`. Returns how many points were looked at. The cutter is
 * upright and its face level, whichever way the floor as found leans under it.
 */
function takeOff(
  lattice: Lattice,
  heights: Float32Array,
  from: Point3,
  to: Point3,
  { radius, found }: { readonly radius: number; readonly found: FloorPlane },
): number {
  const { nx, ny, step, x0, y0 } = lattice;
  const upright = (p: Point3): Point3 => ({ ...p, z: p.z - depthAt(found, p.x, p.y) });
  const ends = { from: upright(from), to: upright(to) };
  const swath: Swath = swathOf({ kind: 'move', line: 0, rapid: false, ...ends, feed: undefined, axes: '' }, radius);
  const i0 = Math.max(0, Math.ceil((Math.min(from.x, to.x) - radius - x0) / step));
  const i1 = Math.min(nx - 1, Math.floor((Math.max(from.x, to.x) + radius - x0) / step));
  const j0 = Math.max(0, Math.ceil((Math.min(from.y, to.y) - radius - y0) / step));
  const j1 = Math.min(ny - 1, Math.floor((Math.max(from.y, to.y) + radius - y0) / step));
  for (let j = j0; j <= j1; j++)
    for (let i = i0; i <= i1; i++) {
      const [x, y] = [x0 + i * step, y0 + j * step];
      const z = lowestWithin(swath, x, y, radius) + depthAt(found, x, y);
      if (z < (heights[j * nx + i] as number)) heights[j * nx + i] = z;
    }
  return Math.max(0, (i1 - i0 + 1) * (j1 - j0 + 1));
}

export interface Wood {
  readonly lattice: Lattice;
  /** The wood after `at()` whole steps. */
  readonly heights: Float32Array;
  readonly at: () => number;
  /** Goes on towards `done` steps, looking at no more than `budget` points or so; true once it is there. */
  readonly goTo: (done: number, budget: number) => boolean;
  /** The wood with a part of the next step taken off as well. */
  readonly with: (to: Point3) => Float32Array;
}

/**
 * The wood of a run that begins as another left it: `before` goes to its end (`count` steps) first. Until then its wood is what is shown, at
 * moments before 0.
 */
export function woodAfter(before: Wood, count: number, next: (lattice: Lattice) => Wood): Wood {
  let own: Wood | undefined;
  return {
    lattice: before.lattice,
    get heights() {
      return (own ?? before).heights;
    },
    at: () => own?.at() ?? before.at() - count - 1,
    goTo(done, budget) {
      if (own === undefined) {
        if (!before.goTo(count, budget)) return false;
        own = next({ ...before.lattice, start: before.heights });
      }
      return own.goTo(done, budget);
    },
    with: (to) => (own === undefined ? before.heights : own.with(to)),
  };
}

/**
 * The wood of a run, heights over the floor as found (mm). `found` is that floor as it stands under the upright cutter; level where it is not
 * given. A moment before the present one is reached from the nearest moment kept.
 */
export function woodOf(lattice: Lattice, timeline: Timeline, radius: number, top: number, found = LEVEL.wood): Wood {
  const cutter = { radius, found };
  // The rim of a level face over a floor that leans is lower than its middle.
  const free = top + radius * leanOf(found);
  const heights = Float32Array.from(lattice.start);
  const partly = new Float32Array(heights.length);
  const every = Math.max(200, Math.ceil(timeline.count / KEPT));
  const kept = new Map<number, Float32Array>();
  let at = 0;
  const end = (i: number): Point3 => ({ x: timeline.x[i] as number, y: timeline.y[i] as number, z: timeline.z[i] as number });
  const cuts = (from: Point3, to: Point3): boolean =>
    Math.min(from.z, to.z) < free && Number.isFinite(from.x + from.y + to.x + to.y);
  return {
    lattice,
    heights,
    at: () => at,
    goTo(done, budget) {
      let nearest = 0;
      for (const key of kept.keys()) if (key <= done && key > nearest) nearest = key;
      if (done < at || nearest > at) {
        heights.set(kept.get(nearest) ?? lattice.start);
        at = nearest;
      }
      let looked = 0;
      while (at < done && looked < budget) {
        if (at % every === 0 && at > 0 && !kept.has(at)) kept.set(at, Float32Array.from(heights));
        looked += 20;
        if (at > 0 && timeline.kind[at] !== STILL) {
          const [from, to] = [end(at - 1), end(at)];
          if (cuts(from, to)) looked += takeOff(lattice, heights, from, to, cutter);
        }
        at++;
      }
      return at === done;
    },
    with(to) {
      partly.set(heights);
      if (at > 0 && cuts(end(at - 1), to)) takeOff(lattice, partly, end(at - 1), to, cutter);
      return partly;
    },
  };
}
