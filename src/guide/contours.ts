import { type FloorPlane, leanOf } from '../kernel/plane.ts';
import { fromMm, toMm, type Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Board, labelsAtEnd, placeFirst, placeText } from './board.ts';
import type { TextMark } from './drawing.ts';
import { insidePolygon } from './segments.ts';
import { bodyToPage, type SheetMap } from './sheetMap.ts';
import type { Shape } from './stations.ts';
import type { GuideTask } from './task.ts';
import { depthText, MAP_TEXT } from './words.ts';

const STRIP_TEXT = 4.4;
/** mm between lines of equal depth on the paper, at least. */
export const CONTOUR_GAP = 7.5;
/** mm. A router's rim narrower than this could not be told from the wall's own line. */
const LEAST_RIM = 0.4;

/** Unit direction on the page along which the depth does not change, pointing right (or down). */
export function levelDirection(plane: FloorPlane, map: SheetMap): Point2 {
  const x = map.kx * plane.gx;
  const y = -map.ky * plane.gy;
  const size = Math.hypot(x, y);
  const sign = x < 0 || (x === 0 && y < 0) ? -1 : 1;
  return { x: (sign * x) / size, y: (sign * y) / size };
}

/** Steps a person counts in, in the job's units. */
const STEPS = {
  mm: [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10],
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

export function layContours(board: Board, task: GuideTask, map: SheetMap, shape: Shape, labels: 'outside' | 'inside'): void {
  const { plane } = task;
  const lean = leanOf(plane);
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
    const atRight = labelsAtEnd(out(last, 1), along, text, MAP_TEXT, false);
    const atLeft = labelsAtEnd(out(first, -1), { x: -along.x, y: -along.y }, text, MAP_TEXT, false);
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

/**
 * What each round of filing takes off, and what first comes off all over, so that no strip ever gets below its shallower line: after all
 * rounds the strip down to the line L = even + n step has lost just that.
 */
export function filingSteps(task: GuideTask, levels: readonly number[]): { readonly step: number; readonly even: number } {
  const [first, second] = levels;
  if (first === undefined) return { step: 0, even: 0 };
  const step = second === undefined ? first - task.plane.skim : second - first;
  return { step, even: Math.max(0, Math.min(task.plane.skim, first - step)) };
}

/**
 * Numbers between the lines, deepest strip first, at the end of the strips away from the lines' own figures. All or none: an order with a gap
 * would mislead.
 */
export function layStrips(board: Board, task: GuideTask, map: SheetMap, shape: Shape): number {
  const { plane } = task;
  const lean = leanOf(plane);
  const levels = contourLevels(task, map, CONTOUR_GAP);
  if (levels.length === 0) return 0;
  const along = levelDirection(plane, map);
  const edges = [task.deepest, ...levels.reverse()];
  const placed: TextMark[] = [];
  const trial: Board = { ...board, taken: [...board.taken], marks: [], yielding: [] };
  for (const [i, low] of edges.slice(1).entries()) {
    const depth = ((edges[i] as number) + low) / 2;
    const run = (depth - plane.skim) / lean ** 2;
    const through = bodyToPage(map, { x: plane.hinge.x + run * plane.gx, y: plane.hinge.y + run * plane.gy });
    const spans = insidePolygon(through, along, shape.polygon);
    const [start, end] = [spans[0]?.from, spans[spans.length - 1]?.to];
    if (start === undefined || end === undefined) return 0;
    const out = (p: Point2, sign: number): Point2 => ({ x: p.x + 2 * sign * along.x, y: p.y + 2 * sign * along.y });
    const back = { x: -along.x, y: -along.y };
    const found = placeFirst(trial, [
      ...labelsAtEnd(out(start, -1), back, `${i + 1}`, STRIP_TEXT, true),
      ...labelsAtEnd(out(end, 1), along, `${i + 1}`, STRIP_TEXT, true),
    ]);
    if (found === undefined) return 0;
    placed.push(found);
  }
  for (const mark of placed) placeText(board, mark);
  return placed.length;
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
