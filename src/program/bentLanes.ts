import type { Point2 } from '../kernel/vector.ts';
import type { AxisRegion } from './region.ts';
import { chordsAcross, ringHoldsWay } from './ring.ts';

/** One stretch of a lane: a row of one y may have several, parted by what points into the pocket. */
interface Stretch {
  readonly row: number;
  readonly y: number;
  readonly from: number;
  readonly to: number;
}

/** mm. Shorter stretches are left to the ways along the walls. */
const LEAST_MM = 0.01;

/**
 * The way of a stretch that is entered from one beside it, which is cut already: across from there, then along it. Where it is met in its
 * middle it is run to one end and then to the other.
 */
function enteredFrom(region: AxisRegion, cut: Stretch, next: Stretch): Point2[] | undefined {
  const [low, high] = [Math.max(cut.from, next.from), Math.min(cut.to, next.to)];
  if (high < low) return undefined;
  const at = (x: number, stretch: Stretch): Point2 => ({ x, y: stretch.y });
  const x = [low, high, (low + high) / 2].find((each) => ringHoldsWay(region.corners, at(each, cut), at(each, next)));
  if (x === undefined) return undefined;
  const ends = x - next.from <= next.to - x ? [next.from, next.to] : [next.to, next.from];
  return [at(x, cut), at(x, next), ...ends.filter((end) => Math.abs(end - x) > LEAST_MM).map((end) => at(end, next))];
}

/**
 * Lanes along x in a region that is not convex. Those that begin before the mouth come first; each other stretch is entered from one beside it that is
 * cut, or, where there is none, along the shortest way from before the mouth.
 */
export function bentLanes(region: AxisRegion, laneWidth: number): Point2[][] {
  const { least, most, entryX, corners } = region;
  const across = most.y - least.y;
  const count = Math.max(1, Math.ceil(across / laneWidth - 1e-9));
  const waiting: Stretch[] = [];
  for (let row = 1; row < count; row++) {
    const y = least.y + (across * row) / count;
    for (const { from, to } of chordsAcross(corners, y)) if (to - from > LEAST_MM) waiting.push({ row, y, from, to });
  }
  const cut: Stretch[] = [];
  const paths: Point2[][] = [];
  const take = (stretch: Stretch, path: Point2[]): void => {
    waiting.splice(waiting.indexOf(stretch), 1);
    cut.push(stretch);
    paths.push(path);
  };
  for (const stretch of [...waiting])
    if (stretch.from < entryX + 1e-6)
      take(stretch, [
        { x: entryX, y: stretch.y },
        { x: stretch.to, y: stretch.y },
      ]);
  const ys = corners.filter((p) => p.x < entryX + 1e-6).map((p) => p.y);
  const entry = { x: entryX, y: (Math.min(...ys) + Math.max(...ys)) / 2 };
  while (waiting.length > 0) {
    let path: Point2[] | undefined;
    const next = waiting.find((stretch) => {
      // The one cut last is the nearest to where the cutter is.
      for (const other of cut.toReversed()) {
        if (Math.abs(other.row - stretch.row) !== 1) continue;
        path = enteredFrom(region, other, stretch);
        if (path !== undefined) return true;
      }
      return false;
    });
    if (next !== undefined && path !== undefined) take(next, path);
    else {
      const first = waiting[0] as Stretch;
      take(first, [...region.ways(entry, { x: first.from, y: first.y }), { x: first.to, y: first.y }]);
    }
  }
  return paths;
}
