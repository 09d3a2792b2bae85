import type { Point2 } from '../kernel/vector.ts';
import { gridUp } from './grid.ts';
import type { Left } from './left.ts';
import { cutTo, lifted, type Pass, type Plan, pathsOf, type Way, wayOf } from './passes.ts';
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

/** The second cutter's work: what the first left, and how much higher it may stand because each zero was set by itself. */
export interface RimWork {
  readonly plan: Plan;
  readonly left: Left;
  /**
   * True where the second cutter would take wood that the first never touched: its axis is further from the first one's than their radii
   * differ. However thin that wood is, the mesh of what is left need not have seen it.
   */
  readonly isFresh: (c: Point2) => boolean;
  /** mm. Wood that stands over the second cutter's face by less is the first one's ridges between its lanes: it stays. */
  readonly ridges: number;
  readonly higher: number;
}

/** A path as places at most LOOK_MM apart, its own corners among them, with the way from its start and what is there. */
interface Place extends Point2 {
  readonly way: number;
  /** z of the face at this level. */
  readonly face: number;
  /** z above which nothing stands under the cutter, both zeros at their worst. */
  readonly free: number;
  readonly cuts: boolean;
  readonly corner: boolean;
}

function placesOf({ plan, left, isFresh, ridges, higher }: RimWork, level: Level, path: readonly Point2[]): Place[] {
  const { task } = plan;
  const places: Place[] = [];
  let way = 0;
  const add = (p: Point2, corner: boolean): void => {
    const face = faceAt(task, level, p);
    const wood = woodAt(task, p);
    const fresh = isFresh(p);
    // Before the mouth there is none.
    const stands = p.x <= -task.radius ? Number.NEGATIVE_INFINITY : fresh ? wood : left.highest(p, task.radius);
    const free = Math.max(face, Math.min(stands + UNSEEN_MM + higher, wood));
    places.push({ ...p, way, face, free, cuts: stands > face + ridges, corner });
  };
  path.forEach((b, i) => {
    const a = path[i - 1];
    if (a === undefined) {
      add(b, true);
      return;
    }
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const count = Math.max(1, Math.ceil(length / LOOK_MM));
    // On a slanted way every level goes through the same places: each is rounded inwards a little, and a level that ran nearer the wall than
    // the one before it would take a thread of wood there as deep as both.
    const slanted = Math.abs(b.x - a.x) > 1e-9 && Math.abs(b.y - a.y) > 1e-9;
    const start = way;
    for (let k = 1; k <= count; k++) {
      way = start + (length * k) / count;
      add({ x: a.x + ((b.x - a.x) * k) / count, y: a.y + ((b.y - a.y) * k) / count }, slanted || k === count);
    }
  });
  return places;
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

/** One level of the second cutter: everywhere on its lanes and along the walls where the first one left wood; undefined where nowhere. */
export function rimPassAt(work: RimWork, level: Level): Pass | undefined {
  const { plan } = work;
  const { grid, region } = plan;
  const way: Way = wayOf(plan);
  for (const path of pathsOf(plan)) {
    const places = placesOf(work, level, path);
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
  return lifted(plan, way);
}
