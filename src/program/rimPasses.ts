import type { Point2 } from '../kernel/vector.ts';
import { gridUp } from './grid.ts';
import type { Left } from './left.ts';
import { cutTo, lifted, type Pass, type Plan, type Way, wayOf } from './passes.ts';
import { gridInside } from './region.ts';
import { faceAt, type Level, woodAt } from './surface.ts';

/** mm along the path between the places at which the wood under the cutter is looked at. */
const LOOK_MM = 0.5;
/** Wood is met at no steeper fall than this; the proof's limit is 1 in 20, and rounding takes its part. */
const RAMP = 1 / 22;
/** mm. Ridges between the first cutter's lanes that the mesh of what is left may miss: kept clear of where the cutter comes down. */
const UNSEEN_MM = 0.015;
/** mm. Cuts nearer one another than this on one path are run as one: lifting would take longer. */
const JOINED_MM = 8;

/**
 * mm. Where the second cutter's axis is nearer than this to where it first meets wood that the first never touched, it may take a thread of
 * it, a rounding step wide and as deep as the cut: there it goes level by level. Its ways along the walls are all of that kind.
 */
export const THREAD_MM = 0.01;

/** The second cutter's work: what the first left, and how much higher it may stand because each zero was set by itself. */
export interface RimWork {
  readonly plan: Plan;
  readonly left: Left;
  /**
   * mm. How far the second cutter reaches into wood that the first never touched: its axis' distance from the first one's less what their
   * radii differ. However thin that wood is, the mesh of what is left need not have seen it.
   */
  readonly intoFresh: (c: Point2) => number;
  /** mm. Wood that stands over the second cutter's face by less is the first one's ridges between its lanes: it stays. */
  readonly ridges: number;
  readonly higher: number;
}

/** A place on a path, at most LOOK_MM from the next, and what is there; the same at every level. */
interface Ground extends Point2 {
  /** mm along the path from its start. */
  readonly way: number;
  /** z of the highest wood under the cutter, what it may not have been seen in included; minus infinity before the mouth. */
  readonly stands: number;
  /** z above which nothing stands there, both zeros at their worst. */
  readonly free: number;
  /** z of the highest wood that is more than a thread. */
  readonly worth: number;
  /** A level passes through it, and not only along the straight way between its neighbours. */
  readonly corner: boolean;
}

function groundOf({ plan, left, intoFresh, higher }: RimWork, p: Point2, way: number, corner: boolean): Ground {
  const { task } = plan;
  const none = Number.NEGATIVE_INFINITY;
  if (p.x <= -task.radius) return { ...p, way, stands: none, free: none, worth: none, corner };
  const wood = woodAt(task, p);
  const into = intoFresh(p);
  const seen = into > THREAD_MM ? wood : left.highest(p, task.radius);
  const stands = into > -THREAD_MM ? wood : seen;
  return { ...p, way, stands, free: Math.min(stands + UNSEEN_MM + higher, wood), worth: seen, corner };
}

/** A path as places at most LOOK_MM apart, its own corners among them. */
export function groundAlong(work: RimWork, path: readonly Point2[]): Ground[] {
  const places: Ground[] = [];
  let way = 0;
  path.forEach((b, i) => {
    const a = path[i - 1];
    if (a === undefined) {
      places.push(groundOf(work, b, 0, true));
      return;
    }
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const count = Math.max(1, Math.ceil(length / LOOK_MM));
    // On a slanted way every level goes through the same places: each is rounded inwards a little, and a level that ran nearer the wall than
    // the one before it would take a thread of wood there as deep as both.
    const slanted = Math.abs(b.x - a.x) > 1e-9 && Math.abs(b.y - a.y) > 1e-9;
    for (let k = 1; k <= count; k++) {
      const p = { x: a.x + ((b.x - a.x) * k) / count, y: a.y + ((b.y - a.y) * k) / count };
      places.push(groundOf(work, p, way + (length * k) / count, slanted || k === count));
    }
    way += length;
  });
  return places;
}

/** A place at one level. */
interface Place extends Ground {
  /** z of the face. */
  readonly face: number;
  readonly cuts: boolean;
}

/** Nothing where the level passes over all there is. */
function placesAt({ plan, ridges }: RimWork, level: Level, ground: readonly Ground[]): Place[] {
  if (!ground.some((place) => place.stands > faceAt(plan.task, level, place) + ridges)) return [];
  return ground.map((place) => {
    const face = faceAt(plan.task, level, place);
    return { ...place, face, free: Math.max(face, place.free), cuts: place.stands > face + ridges };
  });
}

/** From which to which place the cutter is down; the places just before and behind wood are, too. */
function runsOf(places: readonly Place[]): [number, number][] {
  const runs: [number, number][] = [];
  places.forEach(({ cuts, way }, i) => {
    if (!cuts) return;
    const [from, to] = [Math.max(0, i - 1), Math.min(places.length - 1, i + 1)];
    const last = runs.at(-1);
    if (last !== undefined && way - (places[last[1]] as Place).way < JOINED_MM) last[1] = to;
    else runs.push([from, to]);
  });
  return runs;
}

/** Where the cutter can come down without touching wood and then reach the run's level along the path at a slope that may take some. */
function comeDown(places: readonly Place[], first: number): number {
  const { way, face } = places[first] as Place;
  for (let i = first; i > 0; i--) {
    const p = places[i] as Place;
    if (p.free - face <= RAMP * (way - p.way)) return i;
  }
  return 0;
}

/** A level, and whether it takes more than threads. */
export interface RimPass {
  readonly pass: Pass;
  readonly worth: boolean;
}

/** One level of the second cutter (`grounds` are its paths): everywhere on its lanes and along the walls where the first one left wood; undefined where nowhere. */
export function rimPassAt(work: RimWork, level: Level, grounds: readonly (readonly Ground[])[]): RimPass | undefined {
  const { plan } = work;
  const { grid, region } = plan;
  const way: Way = wayOf(plan);
  let worth = false;
  for (const ground of grounds) {
    const places = placesAt(work, level, ground);
    worth ||= places.some((place) => place.worth > place.face + work.ridges);
    for (const [first, last] of runsOf(places)) {
      const down = comeDown(places, first);
      const top = places[down] as Place;
      const start = places[first] as Place;
      const bottom = start.way - top.way;
      const inGrid = (p: Point2): Point2 => gridInside(region, grid, p);
      // Only the first time: down before the mouth, outside the body.
      if (way.here() === undefined) way.travel(inGrid(places[0] as Place));
      way.travel(inGrid(top));
      way.go({ ...inGrid(top), z: gridUp(grid, top.free) });
      places.slice(down + 1, last + 1).forEach((p, k) => {
        const index = down + 1 + k;
        if (!p.corner && index !== first && index !== last) return;
        const ramp = index < first ? top.free + ((start.face - top.free) * (p.way - top.way)) / bottom : p.face;
        const at = inGrid(p);
        way.go(cutTo(plan, () => Math.max(ramp, p.face), way.here(), at));
      });
    }
  }
  const pass = lifted(plan, way);
  return pass === undefined ? undefined : { pass, worth };
}
