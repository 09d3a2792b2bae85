import { leanOf } from '../kernel/plane.ts';
import { FILE_HAND_MM, SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { fromMm, toMm, type Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import { COVERAGE } from '../solve/uncertainty.ts';
import { type Board, isFree, labelsAtEnd, placeFirst } from './board.ts';
import { boxAround, type PathMark, type Step, type Stroke, type TextMark } from './drawing.ts';
import { holdsBox, insidePolygon } from './segments.ts';
import { bodyToPage, levelDirection, type SheetMap } from './sheetMap.ts';
import { leftToTake } from './stages.ts';
import type { Shape } from './stations.ts';
import type { GuideTask } from './task.ts';
import { depthText, MAP_TEXT } from './words.ts';

const STRIP_TEXT = 3.8;
/** mm between lines of equal depth on the paper, at least. */
export const CONTOUR_GAP = 7.5;
/** mm. A router's rim narrower than this could not be told from the wall's own line. */
const LEAST_RIM = 0.4;

/** Steps a person counts in, in the job's units. */
const STEPS = {
  mm: [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10],
  in: [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5],
} as const;

/** Depths (mm) of the lines: round figures of the job's units, at least `apart` mm from each other on the paper. */
export function contourLevels(task: GuideTask, map: SheetMap, apart: number): number[] {
  const lean = leanOf(task.plane);
  if (lean === 0) return [];
  const perStep = (step: number): number => (toMm(step, task.units) / lean) * Math.min(map.kx, map.ky);
  const step = STEPS[task.units].find((each) => perStep(each) >= apart);
  if (step === undefined) return [];
  const inUnits = (mm: number): number => fromMm(mm, task.units as Unit) / step;
  const levels: number[] = [];
  for (let n = Math.ceil(inUnits(task.plane.skim) + 0.2); n < inUnits(task.deepest) - 0.05; n++)
    levels.push(toMm(n * step, task.units));
  return levels;
}

/** mm between two neighbouring lines; 0 where there are not two. */
export function stepOf(levels: readonly number[]): number {
  const [first, second] = levels;
  return first === undefined || second === undefined ? 0 : second - first;
}

export function layContours(board: Board, task: GuideTask, map: SheetMap, shape: Shape, labels: 'outside' | 'inside'): void {
  const { plane } = task;
  const lean = leanOf(plane);
  const other: Unit = task.units === 'mm' ? 'in' : 'mm';
  for (const depth of contourLevels(task, map, CONTOUR_GAP)) {
    const run = (depth - plane.skim) / lean ** 2;
    const through = bodyToPage(map, { x: plane.hinge.x + run * plane.gx, y: plane.hinge.y + run * plane.gy });
    const along = levelDirection(plane, map);
    const spans = insidePolygon(through, along, shape.polygon);
    const first = spans[0]?.from;
    const last = spans[spans.length - 1]?.to;
    if (first === undefined || last === undefined) continue;
    const text = depthText(depth, task.units);
    const out = (p: Point2, sign: number): Point2 => ({ x: p.x + 2.5 * sign * along.x, y: p.y + 2.5 * sign * along.y });
    const middle = { x: (first.x + last.x) / 2, y: (first.y + last.y) / 2 + 0.37 * MAP_TEXT };
    // In both units where there is room for it, else in the job's own.
    const ends = (end: Point2, way: Point2): TextMark[] =>
      [`${text} (${depthText(depth, other)})`, text].flatMap((words) => labelsAtEnd(end, way, words, MAP_TEXT, false));
    const atRight = ends(out(last, 1), along);
    const atLeft = ends(out(first, -1), { x: -along.x, y: -along.y });
    const inside: TextMark = { kind: 'text', at: middle, text, size: MAP_TEXT, anchor: 'middle', bold: false };
    const found = placeFirst(board, [...(labels === 'inside' ? [inside] : []), ...atRight, ...atLeft]);
    if (found === undefined) continue;
    const stroke = { width: 0.2, grey: '#555' };
    spans.forEach(({ from, to }, index) => {
      const longFrom = atLeft.includes(found) && index === 0 ? out(from, -1) : from;
      const longTo = atRight.includes(found) && index === spans.length - 1 ? out(to, 1) : to;
      board.yielding.push({ kind: 'line', role: 'contour', depth, from: longFrom, to: longTo, stroke });
    });
  }
}

/** rad. Lines this little askew to what is left to take off are level in it: at a lean of 0.01 that is 0.02 mm over half a pocket. */
const SAME_WAY_RAD = 0.05;
/** mm. A round thinner than a hand's own miss says nothing about where the file has been. */
const LEAST_ROUND = COVERAGE * FILE_HAND_MM;

export interface Rounds {
  /** mm. What each round of filing takes off, and what first comes off all over; no step where there are no rounds. */
  readonly step: number;
  readonly even: number;
  /** Lines, from the shallowest, that no round reaches: less is left there than one takes off. */
  readonly skipped: number;
}

/**
 * The rounds of filing, so that no strip ever gets below its shallower line: with w the share of the floor's lean that is left to take off,
 * and L what is left at a line, after all rounds the strip down to L = even + n step has lost just that. None where the floor filed so far
 * leans another way, or where a round would be thinner than a hand can keep to.
 */
export function filingRounds(task: GuideTask, levels: readonly number[]): Rounds {
  const none = { step: 0, even: 0, skipped: 0 };
  const { plane } = task;
  const left = leftToTake(task);
  const turn = Math.atan2(left.gy * plane.gx - left.gx * plane.gy, left.gx * plane.gx + left.gy * plane.gy);
  if (levels.length === 0 || leanOf(left) === 0 || Math.abs(turn) > SAME_WAY_RAD) return none;
  const share = leanOf(left) / leanOf(plane);
  const [first, second] = levels.map((level) => left.skim + share * (level - plane.skim));
  if (first === undefined) return none;
  const step = second === undefined ? first - left.skim : second - first;
  if (step < LEAST_ROUND) return none;
  const skipped = first < step - SOLVED_WITHIN_MM ? 1 : 0;
  return { step, even: Math.max(0, Math.min(left.skim, first - (1 - skipped) * step)), skipped };
}

export interface Before {
  /** How many strips have had their whole round when the work pauses. */
  readonly full: number;
  /** mm. What the round of the next strip takes off then, all before it counted in; 0 where that is no round. */
  readonly last: number;
}

/**
 * The rounds before a pause `short` mm above the last floor. Of n strips, strip i has lost even + (full - i + 1) step + last by then, and may
 * lose what all rounds take off it, even + (n - i + 1) step, less what the pause keeps back: full step + last <= n step - short. The last round
 * is given in whole hundredths of a millimetre (thousandths of an inch), rounded down.
 */
export function roundsBefore(step: number, strips: number, short: number, units: Unit): Before {
  const most = strips * step - short;
  if (most <= 0) return { full: 0, last: 0 };
  const full = Math.floor(most / step);
  const grain = toMm(units === 'mm' ? 0.01 : 0.001, units);
  const last = grain * Math.floor((most - full * step) / grain + SOLVED_WITHIN_MM);
  return { full, last: last < LEAST_ROUND / 2 ? 0 : last };
}

const RING = { radius: 3.1, stroke: { width: 0.25, grey: '#000' } } as const;

/** A circle; drawn as a path, since in the SVG a circle is always a station. */
export function ringAt(at: Point2, radius: number, stroke: Stroke): PathMark {
  const half = (x: number): Step => ({ kind: 'arc', rx: radius, ry: radius, wide: true, clockwise: true, to: { x, y: at.y } });
  const start: Step = { kind: 'move', to: { x: at.x - radius, y: at.y } };
  return { kind: 'path', steps: [start, half(at.x + radius), half(at.x - radius), { kind: 'close' }], stroke };
}

/**
 * Ringed numbers between the lines, deepest strip first: inside the strip, so that they stay when the map is cut out, else at its end. All or
 * none: an order with a gap would mislead.
 */
export function layStrips(board: Board, task: GuideTask, map: SheetMap, shape: Shape): number {
  const { plane } = task;
  const lean = leanOf(plane);
  const levels = contourLevels(task, map, CONTOUR_GAP);
  const { step, skipped } = filingRounds(task, levels);
  if (step === 0 || levels.length === skipped) return 0;
  const along = levelDirection(plane, map);
  const edges = [task.deepest, ...levels.slice(skipped).reverse()];
  const trial: Board = { ...board, taken: [...board.taken], marks: [], yielding: [] };
  for (const [i, low] of edges.slice(1).entries()) {
    const depth = ((edges[i] as number) + low) / 2;
    const run = (depth - plane.skim) / lean ** 2;
    const through = bodyToPage(map, { x: plane.hinge.x + run * plane.gx, y: plane.hinge.y + run * plane.gy });
    const at = firstFree(trial, shape, through, along);
    if (at === undefined) return 0;
    trial.taken.push(boxAround(at, RING.radius));
    const number: TextMark = {
      kind: 'text',
      at: { x: at.x, y: at.y + 0.365 * STRIP_TEXT },
      text: `${i + 1}`,
      size: STRIP_TEXT,
      anchor: 'middle',
      bold: true,
    };
    trial.marks.push(ringAt(at, RING.radius, RING.stroke), number);
  }
  board.taken.push(...trial.taken.slice(board.taken.length));
  board.marks.push(...trial.marks);
  return edges.length - 1;
}

/** mm from place to place where a number is tried along its strip. */
const TRY_STEP = 1;

/** A place for a ring on a line inside the outline, from its start on, else beyond one of its ends. */
function firstFree(board: Board, shape: Shape, through: Point2, along: Point2): Point2 | undefined {
  const spans = insidePolygon(through, along, shape.polygon);
  const isRoom = (at: Point2, isInside: boolean): boolean => {
    const box = boxAround(at, RING.radius);
    return isFree(board, box) && holdsBox(shape.polygon, shape.edges, box) === isInside;
  };
  const beyond = (from: Point2, by: number): Point2 => ({ x: from.x + by * along.x, y: from.y + by * along.y });
  for (const { from, to } of spans) {
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    for (let by = RING.radius; by <= length - RING.radius; by += TRY_STEP)
      if (isRoom(beyond(from, by), true)) return beyond(from, by);
  }
  const [start, end] = [spans[0]?.from, spans[spans.length - 1]?.to];
  if (start === undefined || end === undefined) return undefined;
  const ends = [5, 7, 9, 11].flatMap((by) =>
    [0, 3, -3, 6, -6].flatMap((dy) => [beyond(start, -by), beyond(end, by)].map(({ x, y }) => ({ x, y: y + dy }))),
  );
  return ends.find((at) => isRoom(at, false));
}

/**
 * What a router would leave along the walls, as a broken line: within the wall's clearance and R (1 + u·m) of it, u the way the floor falls
 * and m the wall's outward normal (program.md, "Motion"; the cutter's face stays R lean over the floor at its axis).
 */
export function layRim(board: Board, task: GuideTask, map: SheetMap): boolean {
  const { cutter } = task;
  if (cutter === undefined) return false;
  const drawn = layRimOf(board, task, map, cutter.diameter, cutter.wall, [0.8, 0.8]);
  if (cutter.rim !== undefined) layRimOf(board, task, map, cutter.rim, cutter.wall, [0.3, 0.6]);
  return drawn;
}

function layRimOf(board: Board, task: GuideTask, map: SheetMap, diameter: number, wall: number, dash: number[]): boolean {
  const { plane } = task;
  const lean = leanOf(plane);
  if (lean === 0) return false;
  let drawn = false;
  for (const piece of task.outline.pieces.slice(0, -1)) {
    if (piece.kind !== 'line') continue;
    const { from, to } = piece;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const out = { x: (to.y - from.y) / length, y: (from.x - to.x) / length };
    const width = wall + (diameter / 2) * (1 + (plane.gx * out.x + plane.gy * out.y) / lean);
    if (width < LEAST_RIM || width > length / 2) continue;
    const inwards = (p: Point2): Point2 => bodyToPage(map, { x: p.x - width * out.x, y: p.y - width * out.y });
    const stroke = { width: 0.15, grey: '#000', dash };
    board.yielding.push({ kind: 'line', role: 'rim', from: inwards(from), to: inwards(to), stroke });
    drawn = true;
  }
  return drawn;
}
