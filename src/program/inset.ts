import { EndType, inflatePathsD, JoinType } from 'clipper2-ts';
import { flatten, type Outline } from '../kernel/outline.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { clip } from './halfPlane.ts';
import { areaOf } from './ring.ts';

/** mm. Chords stand in for the arcs round corners that point inwards; they lie this much nearer the corner than the arc at most. */
const ARC_WITHIN_MM = 0.002;
/** Decimals of a mm that the library keeps. */
const DECIMALS = 6;

/** The outline with its side walls carried on to x = `end` before the mouth, both ways they can be read: the narrower counts. */
function carriedOn(outline: Outline, end: number): Point2[] {
  const points = flatten(outline, FLATTEN_WITHIN_MM);
  const mouth = outline.pieces.at(-1);
  if (mouth?.kind !== 'line') return points;
  const high = mouth.from;
  const low = points[0] as Point2;
  const beyond = (at: Point2, from: Point2): number => {
    const slope = Math.abs(at.x - from.x) < 1e-9 ? 0 : (at.y - from.y) / (at.x - from.x);
    return at.y + slope * (end - at.x);
  };
  const first = points[1] as Point2;
  const last = (points.at(-1)?.x === high.x ? points.at(-2) : points.at(-1)) as Point2;
  return [
    { x: end, y: Math.max(low.y, beyond(low, first)) },
    ...points.filter((p) => !(p.x === high.x && p.y === high.y)),
    high,
    { x: end, y: Math.min(high.y, beyond(high, last)) },
  ];
}

/**
 * Rings (anticlockwise) of all places at least `inset` from every wall and behind `entryX`, for any outline; one for each part of the pocket
 * that a waist parts from the others. `off` is kept besides, for what moves may stray from the rings once their ends are rounded.
 */
export function insetRings(outline: Outline, inset: number, entryX: number, off: number): Point2[][] {
  const all = inset + ARC_WITHIN_MM + off;
  const path = carriedOn(outline, entryX - 2 * all);
  const rings = inflatePathsD([path], -all, JoinType.Round, EndType.Polygon, 2, DECIMALS, ARC_WITHIN_MM);
  return rings.map((ring) => anticlockwise(clip(ring, { nx: -1, ny: 0, d: -entryX }))).filter((ring) => ring.length >= 3);
}

function anticlockwise(ring: readonly Point2[]): Point2[] {
  return areaOf(ring) < 0 ? ring.toReversed() : [...ring];
}
