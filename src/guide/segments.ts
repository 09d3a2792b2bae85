import type { Point2 } from '../kernel/vector.ts';
import type { Box } from './drawing.ts';

export interface Segment {
  readonly from: Point2;
  readonly to: Point2;
}

function at(segment: Segment, t: number): Point2 {
  const { from, to } = segment;
  return { x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y) };
}

/** The part of a segment inside a box, as parameters from 0 to 1 (Liang and Barsky's clipping), or nothing. */
export function insideBox(segment: Segment, box: Box): readonly [number, number] | undefined {
  const { from, to } = segment;
  // Most segments lie well away from most boxes: those are told apart without any arithmetic.
  if ((from.x <= box.left && to.x <= box.left) || (from.x >= box.right && to.x >= box.right)) return undefined;
  if ((from.y <= box.top && to.y <= box.top) || (from.y >= box.bottom && to.y >= box.bottom)) return undefined;
  let enter = 0;
  let leave = 1;
  const sides: readonly (readonly [number, number])[] = [
    [from.x - to.x, from.x - box.left],
    [to.x - from.x, box.right - from.x],
    [from.y - to.y, from.y - box.top],
    [to.y - from.y, box.bottom - from.y],
  ];
  for (const [run, room] of sides) {
    if (run === 0) {
      if (room <= 0) return undefined;
      continue;
    }
    const t = room / run;
    if (run < 0) enter = Math.max(enter, t);
    else leave = Math.min(leave, t);
  }
  return enter < leave ? [enter, leave] : undefined;
}

export function crossesBox(segment: Segment, box: Box): boolean {
  return insideBox(segment, box) !== undefined;
}

/** What is left of a segment where boxes are kept free; crumbs shorter than `least` mm are dropped. */
export function outsideBoxes(segment: Segment, boxes: readonly Box[], least: number): Segment[] {
  const length = Math.hypot(segment.to.x - segment.from.x, segment.to.y - segment.from.y);
  let spans: (readonly [number, number])[] = [[0, 1]];
  for (const box of boxes) {
    const hole = insideBox(segment, box);
    if (hole === undefined) continue;
    spans = spans.flatMap(([a, b]) => {
      const parts: (readonly [number, number])[] = [
        [a, Math.min(b, hole[0])],
        [Math.max(a, hole[1]), b],
      ];
      return parts.filter(([start, end]) => end > start);
    });
  }
  return spans.filter(([a, b]) => (b - a) * length >= least).map(([a, b]) => ({ from: at(segment, a), to: at(segment, b) }));
}

/** The stretches of an endless line through `through` along unit `along` that lie inside a polygon, in order along the line. */
export function insidePolygon(through: Point2, along: Point2, polygon: readonly Point2[]): Segment[] {
  const side = (p: Point2): number => (p.x - through.x) * along.y - (p.y - through.y) * along.x;
  const reach = (p: Point2): number => (p.x - through.x) * along.x + (p.y - through.y) * along.y;
  const cuts: number[] = [];
  polygon.forEach((a, i) => {
    const b = polygon[(i + 1) % polygon.length] as Point2;
    const sa = side(a);
    const sb = side(b);
    // Half-open: a corner on the line counts for one of its two edges, so the cuts always come in pairs.
    if (sa >= 0 !== sb >= 0) cuts.push(reach(a) + (sa / (sa - sb)) * (reach(b) - reach(a)));
  });
  cuts.sort((a, b) => a - b);
  const point = (t: number): Point2 => ({ x: through.x + t * along.x, y: through.y + t * along.y });
  const segments: Segment[] = [];
  for (let i = 0; i + 1 < cuts.length; i += 2)
    segments.push({ from: point(cuts[i] as number), to: point(cuts[i + 1] as number) });
  return segments;
}

export function edgesOf(polygon: readonly Point2[]): Segment[] {
  return polygon.map((from, i) => ({ from, to: polygon[(i + 1) % polygon.length] as Point2 }));
}

/** Whether a whole box lies inside a polygon. */
export function holdsBox(polygon: readonly Point2[], edges: readonly Segment[], box: Box): boolean {
  if (edges.some((edge) => crossesBox(edge, box))) return false;
  const middle = { x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2 };
  return insidePolygon(middle, { x: 1, y: 0 }, polygon).some(({ from, to }) => from.x <= middle.x && middle.x <= to.x);
}
