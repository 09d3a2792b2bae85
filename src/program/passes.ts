import type { Point2, Point3 } from '../kernel/vector.ts';
import { bentLanes } from './bentLanes.ts';
import { type Grid, gridUp } from './grid.ts';
import { type AxisRegion, bentWallPaths, chordAt, gridInside, wallPaths } from './region.ts';
import { faceAt, type Level, levelsOf, overWood, travelAt } from './surface.ts';
import type { ReadyTask } from './task.ts';

/** One straight move to a place on the grid. `cut` and `plunge` name the feed; every move here stays below the clear height. */
export interface Move extends Point3 {
  readonly feed: 'cut' | 'plunge';
}

export interface Pass {
  /** Before the mouth, outside the body: here the cutter goes down. */
  readonly start: Point3;
  readonly moves: readonly Move[];
}

export interface Plan {
  readonly task: ReadyTask;
  readonly grid: Grid;
  readonly region: AxisRegion;
  /** Where the lanes are: the region, or a little inside of it. */
  readonly forLanes: AxisRegion;
  readonly laneWidth: number;
}

/** mm along the path. A cut that begins inside the pocket is come down to this far before it finds wood. */
const RUN_IN_MM = 1;
/** Falls steeper than this go at the plunge feed; the proof's limit is 1 in 10. */
const PLUNGE_SLOPE = 0.095;
/** The steepest fall that may take wood is 1 in 20 (program.md, `entry`); this much is left to rounding. */
const STEEPEST_CUT_FALL = 1 / 20.4;

/**
 * The ways of one level, each entered from the mouth: lanes in along x, then both ways along the walls. Every lane goes in over fresh
 * wood and comes back lifted, so the mouth edge is never left through uncut wood.
 */
export function pathsOf(plan: Plan): Point2[][] {
  if (!plan.region.convex)
    return [...bentLanes(plan.forLanes, plan.laneWidth), ...bentWallPaths(plan.region).map((path) => [...path])];
  const { forLanes: region, laneWidth } = plan;
  const [bottom, top] = wallPaths(region).map(([first]) => (first as Point2).y) as [number, number];
  const across = region.most.y - region.least.y;
  const count = Math.max(1, Math.ceil(across / laneWidth - 1e-9));
  const paths: Point2[][] = [];
  for (let i = 1; i < count; i++) {
    const y = region.least.y + (across * i) / count;
    const chord = chordAt(region, y);
    if (chord.to <= chord.from) continue;
    const lane = [
      { x: Math.max(chord.from, region.entryX), y },
      { x: chord.to, y },
    ];
    // A pocket wider at the rear has lanes that do not reach the space before the mouth: they are entered along the wall.
    const inside = chord.from > region.entryX + 1e-6;
    paths.push(inside ? [{ x: region.entryX, y: y < 0 ? bottom : top }, ...lane] : lane);
  }
  return [...paths, ...wallPaths(plan.region).map((path) => [...path])];
}

function split(points: readonly Point2[], f: (p: Point2) => number, where: (a: Point2, b: Point2) => boolean): Point2[] {
  return points.flatMap((a, i) => {
    const b = points[i + 1];
    if (b === undefined || !where(a, b)) return [a];
    const fa = f(a);
    const fb = f(b);
    if (fa * fb >= 0) return [a];
    const t = fa / (fa - fb);
    return [a, { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }];
  });
}

/**
 * The path with corners added where the face's height bends (x = -R) or reaches the floor as found. A slanted way gets the corners of every
 * level: each is rounded inwards a little, and a level that ran closer to the wall than the one before it would take a thread of
 * wood there as deep as all levels so far.
 */
function refined(plan: Plan, level: Level, path: readonly Point2[]): Point2[] {
  const { task } = plan;
  const slanted = (a: Point2, b: Point2): boolean => Math.abs(b.x - a.x) > 1e-9 && Math.abs(b.y - a.y) > 1e-9;
  const bent = split(
    path,
    (p) => p.x + task.radius,
    () => true,
  );
  const all = levelsOf(task).reduce<Point2[]>((points, each) => split(points, (p) => overWood(task, each, p), slanted), bent);
  return split(
    all,
    (p) => overWood(task, level, p),
    (a, b) => !slanted(a, b),
  );
}

/** Where the cutter comes down for a run that starts at points[first]: there, or a little before it where the way before is free. */
function comeDownAt(points: readonly Point2[], first: number): Point2 {
  const start = points[first] as Point2;
  const before = points[first - 1];
  if (before === undefined) return start;
  const length = Math.hypot(start.x - before.x, start.y - before.y);
  if (length <= RUN_IN_MM) return before;
  const t = RUN_IN_MM / length;
  return { x: start.x + t * (before.x - start.x), y: start.y + t * (before.y - start.y) };
}

/** The cutter's way while it is written down. Heights and places given to it are on the grid. */
export interface Way {
  /** Undefined until the first `travel`. */
  readonly here: () => Point3 | undefined;
  /** Straight to a place, at the feed that its fall asks for. */
  readonly go: (to: Point3) => void;
  /** Up above all wood, and there to over a place; the first one is where the pass starts. */
  readonly travel: (to: Point2) => void;
  readonly start: () => Point3 | undefined;
  readonly moves: readonly Move[];
}

export function wayOf({ task, grid, region }: Plan): Way {
  const moves: Move[] = [];
  let here: Point3 | undefined;
  let start: Point3 | undefined;
  const go = (to: Point3): void => {
    if (here === undefined) return;
    const across = Math.hypot(to.x - here.x, to.y - here.y);
    if (across < grid.step / 2 && Math.abs(to.z - here.z) < grid.step / 2) return;
    moves.push({ ...to, feed: here.z - to.z > PLUNGE_SLOPE * across + grid.step / 2 ? 'plunge' : 'cut' });
    here = to;
  };
  const travel = (to: Point2): void => {
    const at = { ...to, z: gridUp(grid, travelAt(task, to)) };
    if (here === undefined) {
      start = at;
      here = at;
      return;
    }
    go({ ...here, z: gridUp(grid, travelAt(task, here)) });
    for (const p of region.ways(here, to).slice(1, -1)) {
      const q = gridInside(region, grid, p);
      go({ ...q, z: gridUp(grid, travelAt(task, q)) });
    }
    go(at);
  };
  return { here: () => here, go, travel, start: () => start, moves };
}

/** The pass once its way is at its end: the cutter lifted there. Undefined where it never began. */
export function lifted({ task, grid }: Plan, way: Way): Pass | undefined {
  const [here, start] = [way.here(), way.start()];
  if (here === undefined || start === undefined) return undefined;
  way.go({ ...here, z: gridUp(grid, travelAt(task, here)) });
  return { start, moves: way.moves };
}

/** All moves of one level; undefined where it finds no wood at all. */
export function passAt(plan: Plan, level: Level): Pass | undefined {
  const { task, grid, region } = plan;
  const way = wayOf(plan);
  for (const path of pathsOf(plan)) {
    const exact = refined(plan, level, path);
    const points = exact.map((p) => gridInside(region, grid, p));
    const face = (p: Point2): number => faceAt(task, level, p);
    const over = (p: Point2): number => overWood(task, level, p);
    // Decided on the exact points: a rounded one may fall on either side of the floor as found. Lead-in alone is no cut.
    const cuts = exact.slice(1).map((p, i) => {
      const q = exact[i] as Point2;
      return (over(p) + over(q)) / 2 < -1e-9 && Math.max(p.x, q.x) > -task.radius + 1e-9;
    });
    const lead = exact.slice(1).map((p, i) => Math.max(p.x, (exact[i] as Point2).x) <= -task.radius + 1e-9);
    for (let i = 0; i < cuts.length; i++) {
      if (!cuts[i]) continue;
      let first = i;
      while (first > 0 && lead[first - 1] && over(exact[first] as Point2) < -1e-9) first--;
      let last = i;
      while (cuts[last + 1]) last++;
      if (way.here() === undefined) way.travel(points[0] as Point2);
      const down = gridInside(region, grid, comeDownAt(exact, first));
      way.travel(down);
      way.go({ ...down, z: gridUp(grid, face(down)) });
      for (const p of points.slice(first, last + 2)) way.go(cutTo(plan, face, way.here(), p));
      i = last;
    }
  }
  return lifted(plan, way);
}

/** The next place of a cut; a very short move is kept from falling too steeply by its own rounding. */
export function cutTo(plan: Plan, face: (p: Point2) => number, here: Point3 | undefined, to: Point2): Point3 {
  const z = gridUp(plan.grid, face(to));
  if (here === undefined) return { ...to, z };
  const across = Math.hypot(to.x - here.x, to.y - here.y);
  const steepest = here.z - across * STEEPEST_CUT_FALL;
  const raised = z < steepest && steepest - z <= 3 * plan.grid.step ? gridUp(plan.grid, steepest) : z;
  return { ...to, z: raised };
}
