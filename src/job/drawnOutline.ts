import { bothUnits } from '../kernel/dimension.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import type { Outline } from '../kernel/outline.ts';
import { MOST_OUTLINE_CORNERS } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { crossingOf } from './crossing.ts';
import { flattenPath } from './flattenPath.ts';
import type { Hand } from './job.ts';
import { JOB_RANGES, type Range } from './ranges.ts';
import { type Drawing, middleOf, outlineFault, readDrawing, type Shape } from './svgDrawing.ts';

/** mm. Ends of a path this near each other are one point; drawings round to hundredths. */
const JOINED_MM = 0.01;
/** mm. Corners this little off the line between their neighbours are left out: with the chords' own error within FLATTEN_WITHIN_MM. */
const STRAIGHT_MM = 0.001;
/** mm. The mark of the mouth lies this near the edge it marks. */
const MARK_NEAR_MM = 0.1;
/** mm. A mark must stand this clear of the centreline to say on which side it is. */
const ASIDE_MM = 1;
/** The mark covers at least this part of its edge: a shorter one may mean that the rest is wall, and the cutter goes in over all of it. */
const MARK_PART = 0.75;
/** mm. Nothing of the outline may lie this far before the mouth edge: ten times what coordinates are rounded to. */
const BEFORE_MM = 1e-5;
/** Coordinates are rounded to this part of a mm, so that what was drawn square to the mouth edge is so exactly. */
const STEPS_PER_MM = 1e6;

const say = (p: Point2): string => `x ${p.x.toFixed(2)}, y ${p.y.toFixed(2)} mm on the page`;

function distance(p: Point2, a: Point2, b: Point2): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const square = dx * dx + dy * dy;
  const t = square === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/** The ring without corners that lie on the line between those kept, nor points that repeat. */
function simplified(ring: readonly Point2[]): Point2[] {
  const count = ring.length;
  const at = (i: number): Point2 => ring[((i % count) + count) % count] as Point2;
  const corner = ring.findIndex((p, i) => distance(p, at(i - 1), at(i + 1)) > STRAIGHT_MM);
  if (corner < 0) return [];
  const kept: Point2[] = [];
  for (let i = corner; i < corner + count; ) {
    kept.push(at(i));
    let next = i + 1;
    while (next < corner + count) {
      const dropped = Array.from({ length: next - i }, (_, k) => at(i + 1 + k));
      if (dropped.some((p) => distance(p, at(i), at(next + 1)) > STRAIGHT_MM)) break;
      next += 1;
    }
    i = next;
  }
  return kept;
}

function areaOf(ring: readonly Point2[]): number {
  return ring.reduce((sum, a, i) => {
    const b = ring[(i + 1) % ring.length] as Point2;
    return sum + (a.x * b.y - b.x * a.y) / 2;
  }, 0);
}

/** The pocket's path as a ring on the page, or why it is none. */
function ringOf(pocket: Shape): Result<Point2[]> {
  const refuse = (code: string, message: string, found: string, expected: string): Result<Point2[]> =>
    bad([outlineFault(code, message, pocket.place, found, expected)]);
  const paths = flattenPath(pocket.path).filter(({ points }) => points.length > 1);
  const [path] = paths;
  const corners = Math.max(...paths.map(({ points }) => points.length));
  if (corners > MOST_OUTLINE_CORNERS)
    return refuse(
      'outline-too-fine',
      'the outline has too many corners',
      `${corners} or more`,
      `at most ${MOST_OUTLINE_CORNERS}`,
    );
  if (path === undefined) return refuse('outline-path-unreadable', 'the pocket is no path', 'a point', 'a closed path');
  if (paths.length > 1)
    return refuse(
      'outline-not-one-path',
      'the pocket is more than one path',
      `${paths.length} paths`,
      'one closed path, no islands',
    );
  const [first, last] = [path.points[0] as Point2, path.points.at(-1) as Point2];
  const gap = Math.hypot(first.x - last.x, first.y - last.y);
  if (!path.closed && gap > JOINED_MM)
    return refuse(
      'outline-open',
      'the path of the pocket is open',
      `${bothUnits(gap)} between ${say(first)}, and ${say(last)}`,
      'a closed path: the mouth edge is drawn too',
    );
  const ring = simplified(
    path.points
      .filter(
        (p, i) => i === 0 || Math.hypot(p.x - (path.points[i - 1] as Point2).x, p.y - (path.points[i - 1] as Point2).y) > 1e-9,
      )
      .filter((p, i) => i === 0 || Math.hypot(p.x - first.x, p.y - first.y) > 1e-9),
  );
  const crossing = crossingOf(ring);
  if (crossing !== undefined)
    return refuse(
      'outline-crosses-itself',
      'the outline crosses or touches itself',
      say(crossing),
      'a path that goes once round the pocket',
    );
  if (ring.length < 3 || Math.abs(areaOf(ring)) < 1)
    return refuse('outline-path-unreadable', 'the outline encloses nothing', 'no area', 'a closed path');
  return good(ring);
}

/**
 * The pocket drawn in an SVG as an outline in the body frame, mm: origin in the middle of the straight mouth edge, x square to it
 * into the pocket. The page shows the body's top from above. Refused, with the place in the drawing: whatever is open, crossing,
 * without unit, mirrored (its bass mark on the treble side of a `hand`ed instrument), before its own mouth edge, or of an unlikely size.
 */
export function drawnOutline(drawing: Drawing, hand: Hand): Result<Outline> {
  const read = readDrawing(drawing);
  if (!read.ok) return read;
  const [pocket, mouth, bass] = ['pocket', 'mouth', 'bass'].map((id) => read.value.get(id as 'pocket')) as [Shape, Shape, Shape];
  const round = ringOf(pocket);
  if (!round.ok) return round;
  const marks = (shape: Shape): Point2[] => flattenPath(shape.path).flatMap(({ points }) => points);
  // Seen from above with y up: on the page it runs down.
  const up = (p: Point2): Point2 => ({ x: p.x, y: -p.y });
  const ring = round.value.map(up);
  if (areaOf(ring) < 0) ring.reverse();
  const line = marks(mouth).map(up);
  const ends = [line[0], line.at(-1)] as [Point2, Point2];
  const edge = ring.findIndex((a, i) => line.every((p) => distance(p, a, ring[(i + 1) % ring.length] as Point2) <= MARK_NEAR_MM));
  if (Math.hypot(ends[0].x - ends[1].x, ends[0].y - ends[1].y) < ASIDE_MM || edge < 0)
    return bad([
      outlineFault(
        'outline-mouth-off-edge',
        'the mark of the mouth lies along no straight edge of the pocket',
        mouth.place,
        `${say(up(ends[0]))} to ${say(up(ends[1]))}`,
        `a line within ${bothUnits(MARK_NEAR_MM, 1)} of the open edge`,
      ),
    ]);
  const [a, b] = [ring[edge] as Point2, ring[(edge + 1) % ring.length] as Point2];
  const half = Math.hypot(b.x - a.x, b.y - a.y) / 2;
  const marked = Math.hypot(ends[0].x - ends[1].x, ends[0].y - ends[1].y);
  if (marked < MARK_PART * 2 * half)
    return bad([
      outlineFault(
        'outline-mouth-part',
        'the mark of the mouth covers only part of its straight edge: the rest would be taken for open too',
        mouth.place,
        `${bothUnits(marked, 1)} of ${bothUnits(2 * half, 1)}`,
        `at least ${bothUnits(MARK_PART * 2 * half, 1)}, or a corner where a wall begins`,
      ),
    ]);
  // The ring runs anticlockwise: the pocket lies left of its mouth edge from a to b, and y runs from b to a.
  const y = { x: (a.x - b.x) / (2 * half), y: (a.y - b.y) / (2 * half) };
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const grid = (value: number): number => Math.round(value * STEPS_PER_MM) / STEPS_PER_MM + 0;
  const toBody = (p: Point2): Point2 => {
    const [dx, dy] = [p.x - middle.x, p.y - middle.y];
    return { x: grid(dx * y.y - dy * y.x), y: grid(dx * y.x + dy * y.y) };
  };
  const aside = toBody(up(middleOf(marks(bass)))).y * (hand === 'right' ? -1 : 1);
  if (aside < ASIDE_MM) {
    const found = `${bothUnits(Math.abs(aside))} ${aside < 0 ? 'on the treble side' : 'off the centreline'}`;
    return bad([
      outlineFault(
        'outline-mirrored',
        'the bass mark stands on the wrong side: the drawing is mirrored, seen from below, or of the other hand',
        bass.place,
        found,
        `on the bass side of a ${hand}-handed instrument seen from above`,
      ),
    ]);
  }
  const points = [...ring.slice(edge + 1), ...ring.slice(0, edge + 1)].map(toBody);
  const before = points.findIndex((p) => p.x < -BEFORE_MM);
  if (before >= 0)
    return bad([
      outlineFault(
        'outline-before-mouth',
        'the outline reaches before its mouth edge',
        pocket.place,
        bothUnits(-(points[before] as Point2).x),
        'a pocket that lies behind the mouth edge',
      ),
    ]);
  const mouthHalf = grid(half);
  points[0] = { x: 0, y: -mouthHalf };
  points[points.length - 1] = { x: 0, y: mouthHalf };
  const outline: Outline = {
    pieces: points.map((from, i) => ({ kind: 'line', from, to: points[(i + 1) % points.length] as Point2 })),
    length: Math.max(...points.map((p) => p.x)),
    mouthHalf,
    rearHalf: Math.max(...points.map((p) => p.y)) / 2 - Math.min(...points.map((p) => p.y)) / 2,
  };
  const sizes = sizeFaults(outline, pocket);
  return sizes.length > 0 ? bad(sizes) : good(outline);
}

function sizeFaults(outline: Outline, pocket: Shape): Finding[] {
  const rows: readonly (readonly [string, number, Range])[] = [
    ['long', outline.length, JOB_RANGES['pocket.length']],
    ['wide', 2 * outline.rearHalf, JOB_RANGES['pocket.width']],
  ];
  return rows
    .filter(([, size, range]) => size < range.least || size > range.most)
    .map(([way, size, range]) =>
      outlineFault(
        'outline-size',
        `the pocket is drawn ${bothUnits(size, 1)} ${way}`,
        pocket.place,
        bothUnits(size, 1),
        `${range.least} to ${range.most} mm (${range.why})`,
      ),
    );
}
