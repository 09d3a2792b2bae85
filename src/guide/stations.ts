import { depthAt } from '../kernel/plane.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Board, isFree, placeText } from './board.ts';
import { type Box, boxAround, grown, overlap, type StationMark, type TextMark, textBox } from './drawing.ts';
import { edgesOf, holdsBox, insidePolygon, type Segment } from './segments.ts';
import { bodyToPage, boundsOf, pageToBody, type SheetMap } from './sheetMap.ts';
import type { GuideTask } from './task.ts';
import { depthText, MAP_TEXT } from './words.ts';

const RADIUS = 0.8;
/** mm from a station's middle to its figure, and from a wall to the nearest station. */
const STAND_OFF = 1.6;
const FROM_WALL = 3.4;
/** Fewest stations on a sheet (contract). */
export const LEAST_STATIONS = 12;

/** The outline as it lies on the sheet. */
export interface Shape {
  readonly polygon: readonly Point2[];
  readonly edges: readonly Segment[];
  readonly bounds: Box;
}

export function shapeOf(polygon: readonly Point2[]): Shape {
  return { polygon, edges: edgesOf(polygon), bounds: boundsOf(polygon) };
}

/** A station at about `near`; the depth belongs to the rounded place, so that what is printed and what is drawn agree exactly. */
function stationAt(task: GuideTask, map: SheetMap, near: Point2): StationMark {
  const rough = pageToBody(map, near);
  const x = Math.round(rough.x * 100) / 100;
  const y = Math.round(rough.y * 100) / 100;
  return { kind: 'station', at: bodyToPage(map, { x, y }), radius: RADIUS, x, y, depth: depthAt(task.plane, x, y) };
}

function figureBeside(task: GuideTask, station: StationMark, side: 'left' | 'right'): TextMark {
  const at = { x: station.at.x + (side === 'right' ? STAND_OFF : -STAND_OFF), y: station.at.y + 0.37 * MAP_TEXT };
  const text = depthText(station.depth, task.units);
  return { kind: 'text', at, text, size: MAP_TEXT, anchor: side === 'right' ? 'start' : 'end', bold: false };
}

function put(board: Board, station: StationMark, figure: TextMark): void {
  board.taken.push(boxAround(station.at, RADIUS));
  board.marks.push(station);
  placeText(board, figure);
}

function tryAt(
  board: Board,
  task: GuideTask,
  map: SheetMap,
  shape: Shape,
  near: Point2,
  sides: readonly ('left' | 'right')[],
): boolean {
  const station = stationAt(task, map, near);
  const dot = boxAround(station.at, RADIUS);
  if (!holdsBox(shape.polygon, shape.edges, grown(dot, 1)) || !isFree(board, grown(dot, 0.3))) return false;
  for (const side of sides) {
    const figure = figureBeside(task, station, side);
    const box = textBox(figure);
    if (!holdsBox(shape.polygon, shape.edges, grown(box, 1)) || !isFree(board, box) || overlap(box, dot)) continue;
    put(board, station, figure);
    return true;
  }
  return false;
}

/** One row: as many stations as were asked for, each the nearest free place to its share of the row. */
function layRow(board: Board, task: GuideTask, map: SheetMap, shape: Shape, v: number, columns: number): number {
  const spans = insidePolygon({ x: shape.bounds.left, y: v }, { x: 1, y: 0 }, shape.polygon);
  const first = spans[0]?.from.x;
  const last = spans[spans.length - 1]?.to.x;
  if (first === undefined || last === undefined) return 0;
  const from = first + FROM_WALL;
  const to = last - FROM_WALL;
  const pitch = (to - from) / (columns - 1);
  // Outer columns first: the places beside the walls are the ones a straightedge and a depth gauge can reach best.
  const order = [...Array(columns).keys()].sort((a, b) => Math.abs(b - (columns - 1) / 2) - Math.abs(a - (columns - 1) / 2));
  let count = 0;
  for (const column of order) {
    const target = from + column * pitch;
    const sides: readonly ('left' | 'right')[] = column <= (columns - 1) / 2 ? ['right', 'left'] : ['left', 'right'];
    for (let i = 0; i * 0.5 <= pitch * 0.6; i++) {
      const offset = (i % 2 === 0 ? 1 : -1) * Math.ceil(i / 2);
      if (tryAt(board, task, map, shape, { x: target + offset, y: v }, sides)) {
        count++;
        break;
      }
    }
  }
  return count;
}

/** Where contours run level, a row moves a little so that its figures do not sit on one. */
function clearOfContours(board: Board, shape: Shape, v: number): number {
  const levels = board.yielding
    .filter(({ role, from, to }) => role === 'contour' && Math.abs(from.y - to.y) < 2)
    .map(({ from, to }) => (from.y + to.y) / 2);
  const room = (y: number): number => Math.min(...levels.map((level) => Math.abs(level - y)), 2.7);
  const places = [0, 0.5, -0.5, 1, -1, 1.5, -1.5, 2, -2, 2.5, -2.5]
    .map((offset) => v + offset)
    .filter((y) => y >= shape.bounds.top + FROM_WALL - 0.6 && y <= shape.bounds.bottom - FROM_WALL + 0.6);
  return places.reduce((best, y) => (room(y) > room(best) ? y : best), v);
}

/** Stations with their figures beside them inside the outline. Returns how many found room. */
export function layInside(board: Board, task: GuideTask, map: SheetMap, shape: Shape, rows: number): number {
  const { bounds } = shape;
  const width = bounds.right - bounds.left;
  const figure = textBox(figureBeside(task, stationAt(task, map, { x: bounds.left, y: bounds.top }), 'right'));
  const most = Math.floor((width - 2 * FROM_WALL + 2) / (figure.right - figure.left + STAND_OFF + RADIUS + 1.5));
  const columns = Math.max(2, Math.min(most, Math.round(width / 20), 7));
  let count = 0;
  for (let row = 0; row < rows; row++) {
    const v = bounds.top + FROM_WALL + ((bounds.bottom - bounds.top - 2 * FROM_WALL) * row) / (rows - 1);
    count += layRow(board, task, map, shape, clearOfContours(board, shape, v), columns);
  }
  return count;
}

/** mm, the em of the second figures: digits then stand 2.2 mm tall. */
const SMALL_TEXT = 3;

/**
 * Under (or over) each station's figure a small one: the same place below the body's top, where that finds room inside the outline. Returns
 * how many do.
 */
export function layUnderTop(board: Board, task: GuideTask, shape: Shape): number {
  const stations = board.marks.filter((mark): mark is StationMark => mark.kind === 'station');
  let count = 0;
  for (const { at, depth } of stations) {
    const text = depthText(task.pocketDepth + depth, task.units);
    const figures = [1, -1].flatMap((down) =>
      (['right', 'left'] as const).map((side): TextMark => {
        const x = at.x + (side === 'right' ? STAND_OFF : -STAND_OFF);
        const y = at.y + (down > 0 ? 0.37 * MAP_TEXT + 1.1 + 0.76 * SMALL_TEXT : -0.39 * MAP_TEXT - 1.1);
        return { kind: 'text', at: { x, y }, text, size: SMALL_TEXT, anchor: side === 'right' ? 'start' : 'end', bold: false };
      }),
    );
    const beside = figures.filter(({ anchor }) => isBeside(board, at, anchor));
    const found = beside.find((mark) => isFree(board, textBox(mark)) && holdsBox(shape.polygon, shape.edges, textBox(mark)));
    if (found === undefined) continue;
    placeText(board, found);
    count++;
  }
  return count;
}

/** Whether a station's own figure stands on that side of it: the second one goes with it. */
function isBeside(board: Board, station: Point2, anchor: TextMark['anchor']): boolean {
  const x = station.x + (anchor === 'start' ? STAND_OFF : -STAND_OFF);
  return board.marks.some(
    (mark) => mark.kind === 'text' && mark.anchor === anchor && mark.at.x === x && Math.abs(mark.at.y - station.y) < MAP_TEXT,
  );
}

const NUDGES = [0, 0.6, -0.6, 1.2, -1.2, 1.8, -1.8, 2.4, -2.4, 3.2, -3.2, 4, -4];

/** For a pocket too small to hold its own figures: stations beside both walls, their figures outside at the ends of leaders. */
export function layFanned(board: Board, task: GuideTask, map: SheetMap, shape: Shape, rows: number): number {
  const { bounds } = shape;
  const height = bounds.bottom - bounds.top;
  const spread = Math.max(5, (height - 2 * FROM_WALL) / (rows - 1));
  let count = 0;
  for (const side of ['left', 'right'] as const) {
    const out = side === 'left' ? -1 : 1;
    // Figures and dots both keep their order down the page, so that no two leaders cross.
    let lastDot = Number.NEGATIVE_INFINITY;
    let lastLevel = Number.NEGATIVE_INFINITY;
    for (let row = 0; row < rows; row++) {
      const v = bounds.top + 3 + ((height - 6) * row) / (rows - 1);
      const middle = (bounds.top + bounds.bottom) / 2 + spread * (row - (rows - 1) / 2);
      const dots = NUDGES.map((nudge) => v + nudge).filter((y) => y > lastDot);
      const station = firstOf(dots, (y) => dotBeside(board, task, map, shape, y, side));
      if (station === undefined) continue;
      const end = (y: number): Point2 => ({ x: (out < 0 ? bounds.left : bounds.right) + 5 * out, y });
      const levels = NUDGES.map((nudge) => middle + nudge).filter((y) => y > lastLevel);
      const level = levels.find((y) => isFree(board, textBox(figureBeside(task, { ...station, at: end(y) }, side))));
      if (level === undefined) continue;
      put(board, station, figureBeside(task, { ...station, at: end(level) }, side));
      const from = { x: station.at.x + 1.3 * out, y: station.at.y };
      board.yielding.push({ kind: 'line', role: 'leader', from, to: end(level), stroke: { width: 0.15, grey: '#000' } });
      lastDot = station.at.y;
      lastLevel = level;
      count++;
    }
  }
  return count;
}

function firstOf<T, R>(items: readonly T[], make: (item: T) => R | undefined): R | undefined {
  for (const item of items) {
    const made = make(item);
    if (made !== undefined) return made;
  }
  return undefined;
}

function dotBeside(
  board: Board,
  task: GuideTask,
  map: SheetMap,
  shape: Shape,
  v: number,
  side: 'left' | 'right',
): StationMark | undefined {
  const spans = insidePolygon({ x: shape.bounds.left, y: v }, { x: 1, y: 0 }, shape.polygon);
  const wall = side === 'left' ? spans[0]?.from.x : spans[spans.length - 1]?.to.x;
  if (wall === undefined) return undefined;
  const most = (shape.bounds.right - shape.bounds.left) / 2 - RADIUS;
  for (let inwards = 2; inwards <= most; inwards += 0.25) {
    const station = stationAt(task, map, { x: wall + (side === 'left' ? inwards : -inwards), y: v });
    const dot = boxAround(station.at, RADIUS);
    if (holdsBox(shape.polygon, shape.edges, grown(dot, 0.6)) && isFree(board, dot)) return station;
  }
  return undefined;
}
