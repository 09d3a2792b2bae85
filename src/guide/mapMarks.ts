import { type FloorPlane, leanOf } from '../kernel/plane.ts';
import { fromMm, toMm, type Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Board, finished, labelsAtEnd, newBoard, placeFirst, placeText } from './board.ts';
import {
  type Box,
  boxAround,
  grown,
  type LineMark,
  type Mark,
  overlap,
  type PathMark,
  type TextMark,
  within,
} from './drawing.ts';
import { insideBox, insidePolygon } from './segments.ts';
import { bodyToPage, boundsOf, mapAt, outlineOnPage, outlineSteps, type SheetMap } from './sheetMap.ts';
import { LEAST_STATIONS, layFanned, layInside, type Shape, shapeOf } from './stations.ts';
import type { GuideTask } from './task.ts';
import { depthText, type Held, MAP_TEXT } from './words.ts';

const NAME_TEXT = 5.5;
/** mm between lines of equal depth on the paper, at least. */
const CONTOUR_GAP = 7.5;
const STRIP_TEXT = 4.4;
/** mm. */
const LEAST_RIM = 0.4;
/** mm. Space around the outline for labels (at the sides, and at the mouth and rear), and what the names take beyond it. */
const RING_END = 8;
const NAME_ROW = 6;
const NAME_SIDE = 21;
const RING_SIDE = { mm: 13.5, in: 16 } as const;

export interface MapLayout extends Held {
  readonly marks: readonly Mark[];
  readonly stations: number;
}

function name(text: string, at: Point2, anchor: TextMark['anchor']): TextMark {
  return { kind: 'text', at, text, size: NAME_TEXT, anchor, bold: true };
}

function layNames(board: Board, task: GuideTask, bounds: Box): void {
  const middle = (bounds.left + bounds.right) / 2;
  const top = bounds.top - RING_END;
  placeText(board, name('MOUTH', { x: middle, y: top }, 'middle'));
  placeText(board, name('REAR', { x: middle, y: bounds.bottom + RING_END + 0.8 * NAME_TEXT }, 'middle'));
  // Page x runs along body +y: the treble side of a right-handed instrument.
  const [left, right] = task.hand === 'right' ? ['BASS', 'TREBLE'] : ['TREBLE', 'BASS'];
  const levels = [0.5, 0.25, 0.75, 0.05, 0.95].map(
    (share) => bounds.top + share * (bounds.bottom - bounds.top) + 0.37 * NAME_TEXT,
  );
  placeFirst(board, [
    ...levels.map((y) => name(left as string, { x: bounds.left - NAME_SIDE, y }, 'end')),
    ...[0, -8, -16].map((dx) => name(left as string, { x: bounds.left + dx, y: top }, 'start')),
  ]);
  placeFirst(board, [
    ...levels.map((y) => name(right as string, { x: bounds.right + NAME_SIDE, y }, 'start')),
    ...[0, 8, 16].map((dx) => name(right as string, { x: bounds.right + dx, y: top }, 'end')),
  ]);
}

/** A screw hole: a ring with a cross. Drawn as a path: in the SVG a circle is always a station. */
function layScrews(board: Board, task: GuideTask, map: SheetMap): number {
  let hidden = 0;
  for (const screw of task.screws) {
    const at = bodyToPage(map, screw);
    const box = boxAround(at, 3);
    if (!within(box, board.area) || board.taken.some((other) => overlap(other, box))) {
      hidden++;
      continue;
    }
    board.taken.push(box);
    const stroke = { width: 0.25, grey: '#000' };
    const ring: PathMark = {
      kind: 'path',
      steps: [
        { kind: 'move', to: { x: at.x - 2, y: at.y } },
        { kind: 'arc', rx: 2, ry: 2, wide: true, clockwise: true, to: { x: at.x + 2, y: at.y } },
        { kind: 'arc', rx: 2, ry: 2, wide: true, clockwise: true, to: { x: at.x - 2, y: at.y } },
        { kind: 'close' },
      ],
      stroke,
    };
    const cross: LineMark[] = [
      { kind: 'line', role: 'screw', from: { x: at.x - 3, y: at.y }, to: { x: at.x + 3, y: at.y }, stroke },
      { kind: 'line', role: 'screw', from: { x: at.x, y: at.y - 3 }, to: { x: at.x, y: at.y + 3 }, stroke },
    ];
    board.marks.push(ring, ...cross);
  }
  return hidden;
}

/** Unit direction on the page along which the depth does not change, pointing right (or down). */
function levelDirection(plane: FloorPlane, map: SheetMap): Point2 {
  const x = map.kx * plane.gx;
  const y = -map.ky * plane.gy;
  const size = Math.hypot(x, y);
  const sign = x < 0 || (x === 0 && y < 0) ? -1 : 1;
  return { x: (sign * x) / size, y: (sign * y) / size };
}

function layHinge(board: Board, task: GuideTask, map: SheetMap, shape: Shape): void {
  const { plane } = task;
  if (leanOf(plane) === 0) return;
  const along = levelDirection(plane, map);
  const h = bodyToPage(map, plane.hinge);
  const far = (t: number): Point2 => ({ x: h.x + t * along.x, y: h.y + t * along.y });
  const span = insideBox({ from: far(-1000), to: far(1000) }, grown(shape.bounds, 4));
  if (span === undefined) return;
  const from = far(-1000 + 2000 * span[0]);
  const to = far(-1000 + 2000 * span[1]);
  board.yielding.push({
    kind: 'line',
    role: 'hinge',
    depth: plane.skim,
    from,
    to,
    stroke: { width: 0.5, grey: '#000', dash: [4, 1, 0.6, 1] },
  });
  const text = `hinge ${depthText(plane.skim, task.units)}`;
  const back = { x: -along.x, y: -along.y };
  const beside = (at: Point2, anchor: TextMark['anchor']): TextMark => ({
    kind: 'text',
    at,
    text,
    size: MAP_TEXT,
    anchor,
    bold: true,
  });
  placeFirst(board, [
    ...labelsAtEnd(to, along, text, MAP_TEXT, true),
    ...labelsAtEnd(from, back, text, MAP_TEXT, true),
    ...[1.5 + 0.76 * MAP_TEXT, -2.2].flatMap((dy) => [
      beside({ x: to.x, y: to.y + dy }, 'end'),
      beside({ x: from.x, y: from.y + dy }, 'start'),
    ]),
  ]);
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

function layContours(board: Board, task: GuideTask, map: SheetMap, shape: Shape, labels: 'outside' | 'inside'): void {
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
function layStrips(board: Board, task: GuideTask, map: SheetMap, shape: Shape): number {
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
function layRim(board: Board, task: GuideTask, map: SheetMap): boolean {
  const { plane, cutter } = task;
  const lean = leanOf(plane);
  if (cutter === undefined || lean === 0) return false;
  let drawn = false;
  for (const piece of task.outline.pieces.slice(0, -1)) {
    if (piece.kind !== 'line') continue;
    const { from, to } = piece;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const out = { x: (to.y - from.y) / length, y: (from.x - to.x) / length };
    const width = cutter.wall + (cutter.diameter / 2) * (1 + (plane.gx * out.x + plane.gy * out.y) / lean);
    // Nearer to the wall than this it could not be told from the wall's own line.
    if (width < LEAST_RIM || width > length / 2) continue;
    const inwards = (p: Point2): Point2 => bodyToPage(map, { x: p.x - width * out.x, y: p.y - width * out.y });
    const stroke = { width: 0.15, grey: '#000', dash: [0.8, 0.8] };
    board.yielding.push({ kind: 'line', role: 'rim', from: inwards(from), to: inwards(to), stroke });
    drawn = true;
  }
  return drawn;
}

function layOnce(
  task: GuideTask,
  map: SheetMap,
  area: Box,
  taken: readonly Box[],
  shape: Shape,
  mode: 'inside' | 'fanned',
  rows: number,
): MapLayout {
  const board = newBoard(area);
  board.taken.push(...taken);
  board.fixed.push(...shape.edges);
  layNames(board, task, shape.bounds);
  const hiddenScrews = layScrews(board, task, map);
  layHinge(board, task, map, shape);
  layContours(board, task, map, shape, mode === 'inside' ? 'outside' : 'inside');
  const stations = (mode === 'inside' ? layInside : layFanned)(board, task, map, shape, rows);
  const strips = layStrips(board, task, map, shape);
  const hasRim = layRim(board, task, map);
  const { top, bottom } = shape.bounds;
  board.yielding.push({
    kind: 'line',
    role: 'centreline',
    from: { x: map.origin.x, y: top - 5 },
    to: { x: map.origin.x, y: bottom + 5 },
    stroke: { width: 0.25, grey: '#000', dash: [6, 2] },
  });
  const outline: PathMark = {
    kind: 'path',
    id: 'floor-outline',
    steps: outlineSteps(map, task.outline),
    stroke: { width: 0.35, grey: '#000' },
  };
  return {
    marks: [outline, ...finished(board)],
    stations,
    hiddenScrews,
    strips,
    hasRim,
    ...filingSteps(task, contourLevels(task, map, CONTOUR_GAP)),
  };
}

/** The map within `area`, off the boxes `taken`: figures inside the outline where they find room, else fanned out beside it. */
export function layMap(task: GuideTask, map: SheetMap, area: Box, taken: readonly Box[]): MapLayout {
  const shape = shapeOf(outlineOnPage(map, task.outline));
  const usual = Math.max(5, Math.round((shape.bounds.bottom - shape.bounds.top) / 12));
  let best: MapLayout | undefined;
  const attempts = [
    ...[0, 1, 2, 3, 4].map((more) => ({ mode: 'inside' as const, rows: usual + more })),
    ...[6, 7, 8, 10, 12].map((rows) => ({ mode: 'fanned' as const, rows })),
  ];
  for (const { mode, rows } of attempts) {
    const layout = layOnce(task, map, area, taken, shape, mode, rows);
    if (layout.stations >= LEAST_STATIONS) return layout;
    if (best === undefined || layout.stations > best.stations) best = layout;
  }
  return best as MapLayout;
}

/** How much room (mm) the map needs on the paper, labels and names included. */
export function mapNeeds(task: GuideTask): { readonly width: number; readonly height: number; readonly bounds: Box } {
  const bounds = boundsOf(outlineOnPage(mapAt(task.sheet, { x: 0, y: 0 }), task.outline));
  return {
    width: bounds.right - bounds.left + 2 * RING_SIDE[task.units],
    height: bounds.bottom - bounds.top + 2 * (RING_END + NAME_ROW),
    bounds,
  };
}
