import { differenceD, EndType, FillRule, inflatePathsD, JoinType } from 'clipper2-ts';
import { flatten, type Outline } from '../kernel/outline.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { clip } from './halfPlane.ts';
import { areaOf } from './ring.ts';

/** mm. Chords stand in for the arcs round corners that point inwards; they keep outside the arc, their ends this much more. */
const ARC_WITHIN_MM = 0.0007;
/** mm. The library's own rounding, and a little. */
const ROUNDING_MM = 2e-6;
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

/** A polygon round a circle, nowhere inside of it. */
function circleAround(centre: Point2, radius: number): Point2[] {
  const count = Math.ceil(Math.PI / Math.acos(radius / (radius + ARC_WITHIN_MM)));
  return Array.from({ length: count }, (_, k) => {
    const angle = (2 * Math.PI * k) / count;
    return { x: centre.x + (radius + ARC_WITHIN_MM) * Math.cos(angle), y: centre.y + (radius + ARC_WITHIN_MM) * Math.sin(angle) };
  });
}

/**
 * Rings (anticlockwise) of all places at least `inset` from every wall and behind `entryX`, for any outline; one for each part of the pocket
 * that a waist parts from the others. Round corners that point inwards `off` is kept besides: there a move may stray from the rings once its
 * ends are rounded, though both are still inside.
 */
export function insetRings(outline: Outline, inset: number, entryX: number, off: number): Point2[][] {
  const all = inset + ROUNDING_MM;
  const path = carriedOn(outline, entryX - 2 * all);
  const straight = inflatePathsD([path], -all, JoinType.Round, EndType.Polygon, 2, DECIMALS, ARC_WITHIN_MM);
  const bends = path.filter((b, i) => {
    const a = path.at(i - 1) as Point2;
    const c = path[(i + 1) % path.length] as Point2;
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) < 0;
  });
  const circles = bends.map((bend) => circleAround(bend, all + off));
  const rings = differenceD(straight, circles, FillRule.NonZero, DECIMALS);
  return rings.map((ring) => anticlockwise(clip(ring, { nx: -1, ny: 0, d: -entryX }))).filter((ring) => ring.length >= 3);
}

function anticlockwise(ring: readonly Point2[]): Point2[] {
  return areaOf(ring) < 0 ? ring.toReversed() : [...ring];
}
