import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { fromMm, toMm, type Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import { niceAbove } from './figures.ts';

/** Depths from `from` to `to`, shown in one shade; mm. */
export interface Band {
  readonly from: number;
  readonly to: number;
}

/** Most bands on a floor: more could not be told apart in grey. */
const MOST_BANDS = 8;

/** Bands between round depths of the job's unit that hold every depth of the floor, shallowest first; one band for a level floor. */
export function bandsOf(least: number, deepest: number, units: Unit): Band[] {
  const a = fromMm(least, units);
  const b = fromMm(deepest, units);
  // Within a millionth of an inch there is no slope to show.
  if (b - a < 1e-6) return [{ from: least, to: deepest }];
  const step = niceAbove((b - a) / MOST_BANDS);
  const levels = [a];
  for (let n = Math.floor(a / step) + 1; n * step < b - 1e-9; n++) if (n * step > a + 1e-9) levels.push(n * step);
  levels.push(b);
  return levels.slice(1).map((to, i) => ({ from: toMm(levels[i] ?? a, units), to: toMm(to, units) }));
}

/** The part of a convex polygon where `value` is not negative (Sutherland and Hodgman's clipping by one line). */
function clip(polygon: readonly Point2[], value: (p: Point2) => number): Point2[] {
  return polygon.flatMap((b, i) => {
    const a = polygon.at(i - 1) ?? b;
    const [va, vb] = [value(a), value(b)];
    const crossing =
      va < 0 !== vb < 0 ? [{ x: a.x + ((b.x - a.x) * va) / (va - vb), y: a.y + ((b.y - a.y) * va) / (va - vb) }] : [];
    return vb >= 0 ? [...crossing, b] : crossing;
  });
}

/** The part of a convex outline that lies in a band; empty where the band misses it. */
export function bandPolygon(polygon: readonly Point2[], plane: FloorPlane, { from, to }: Band): Point2[] {
  const depth = (p: Point2): number => depthAt(plane, p.x, p.y);
  // What rounding takes off the ends is put back: nothing of the floor is left without a shade.
  const slack = 1e-9;
  return clip(
    clip(polygon, (p) => depth(p) - from + slack),
    (p) => to + slack - depth(p),
  );
}

/** The ends of the straight line on which a function linear in x and y is 0, inside a convex polygon. */
export function chord(polygon: readonly Point2[], value: (p: Point2) => number): readonly [Point2, Point2] | undefined {
  const ends = polygon.flatMap((b, i) => {
    const a = polygon.at(i - 1) ?? b;
    const [va, vb] = [value(a), value(b)];
    if (va < 0 === vb < 0) return [];
    return [{ x: a.x + ((b.x - a.x) * va) / (va - vb), y: a.y + ((b.y - a.y) * va) / (va - vb) }];
  });
  const [first, second] = ends;
  return first === undefined || second === undefined ? undefined : [first, second];
}

/** The least and greatest depth over a polygon's corners, where a plane has them. */
export function depthsOver(polygon: readonly Point2[], plane: FloorPlane): { readonly least: number; readonly deepest: number } {
  const depths = polygon.map((p) => depthAt(plane, p.x, p.y));
  return { least: Math.min(...depths), deepest: Math.max(...depths) };
}
