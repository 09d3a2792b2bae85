import type { Point2 } from '../kernel/vector.ts';
import { type Board, finished, newBoard, placeFirst } from './board.ts';
import {
  type Box,
  boxAround,
  type Drawing,
  type LineMark,
  type Mark,
  overlap,
  type PathMark,
  type Step,
  type Stroke,
  type TextMark,
} from './drawing.ts';
import { type Frame, frameOf, HEAD_TEXT, NOTE_TEXT, noteBlock } from './frame.ts';
import type { GuideTask } from './task.ts';
import { wrapText } from './text.ts';

/**
 * Something long and low at true size: a strip, a gauge, a rail's profile. `s` runs along it (mm from 0 to `length`), heights (mm) stand over
 * the row's foot. It is cut into tiles where it is longer than the sheet.
 */
export interface Ribbon {
  readonly name: string;
  readonly length: number;
  /** Places where an edge bends, 0 and `length` among them; between two of them all is straight. */
  readonly bends: readonly number[];
  readonly low: (s: number) => number;
  readonly high: (s: number) => number;
  /** Lines along it, over their whole length or from one place to another. */
  readonly lines: readonly RibbonLine[];
  /** Figures, each at its place: under the foot, or beside the line that has this height there. */
  readonly figures: readonly { readonly s: number; readonly text: string; readonly height?: number }[];
  /** Lines across, each with its name over it, down to the foot or to this height. */
  readonly across: readonly { readonly s: number; readonly text: string; readonly foot?: number }[];
  /** Words inside, where they find room; `span` is how far to both sides of `s` they may stand, `foot` what they stand over, `short` what is said where room is scarce. */
  readonly inside: readonly {
    readonly s: number;
    readonly text: string;
    readonly short?: string;
    readonly span?: number;
    readonly foot?: number;
  }[];
}

export interface RibbonLine {
  readonly id?: string;
  readonly height: (s: number) => number;
  readonly stroke: Stroke;
  readonly from?: number;
  readonly to?: number;
}

export const CUT: Stroke = { width: 0.3, grey: '#000' };
export const LINE: Stroke = { width: 0.18, grey: '#000' };
const FOLD: Stroke = { width: 0.2, grey: '#000', dash: [2, 1] };

/** mm by which two tiles of one thing overlap. */
const OVERLAP = 12;
const ROW_TEXT = 1.3 * NOTE_TEXT;

export interface Tile {
  readonly from: number;
  readonly to: number;
}

/** Equal tiles that overlap, each at most `room` long. */
export function tilesOf(length: number, room: number): Tile[] {
  const count = length <= room ? 1 : Math.ceil((length - OVERLAP) / (room - OVERLAP));
  const each = (length + (count - 1) * OVERLAP) / count;
  return Array.from({ length: count }, (_, i) => ({ from: i * (each - OVERLAP), to: i * (each - OVERLAP) + each }));
}

/** The names of the joins of a thing of several tiles: the same letter at the same place on both. */
function joinsOf(tiles: readonly Tile[]): { readonly s: number; readonly text: string }[] {
  return tiles.slice(1).map(({ from }, i) => ({ s: from + OVERLAP / 2, text: `join ${String.fromCharCode(65 + (i % 26))}` }));
}

interface Row {
  readonly height: number;
  readonly draw: (top: number) => Mark[];
}

function text(at: Point2, words: string, anchor: TextMark['anchor'], bold = false, size = NOTE_TEXT): TextMark {
  return { kind: 'text', at, text: words, size, anchor, bold };
}

function tileRow(
  ribbon: Ribbon,
  tile: Tile,
  k: { readonly x: number; readonly y: number },
  area: Box,
  joins: Ribbon['across'],
): Row {
  const places = [tile.from, ...ribbon.bends.filter((s) => s > tile.from + 1e-9 && s < tile.to - 1e-9), tile.to];
  const tallest = Math.max(...places.map(ribbon.high));
  const lowest = Math.min(0, ...places.map(ribbon.low));
  const within = ({ s }: { readonly s: number }): boolean => s >= tile.from - 1e-9 && s <= tile.to + 1e-9;
  const height = 2 * ROW_TEXT + 2 + (tallest - lowest) * k.y + 2 + ROW_TEXT + 2;
  const draw = (top: number): Mark[] => {
    const board = newBoard({ ...area, top, bottom: top + height });
    const foot = top + 2 * ROW_TEXT + 2 + tallest * k.y;
    const at = (s: number, h: number): Point2 => ({ x: area.left + 1 + (s - tile.from) * k.x, y: foot - h * k.y });
    const way = (heightAt: (s: number) => number): Point2[] => places.map((s) => at(s, heightAt(s)));
    const edge = [...way(ribbon.high), ...way(ribbon.low).reverse()];
    const steps: Step[] = edge.map((to, i) => ({ kind: i === 0 ? 'move' : 'line', to }));
    const outline: PathMark = { kind: 'path', steps: [...steps, { kind: 'close' }], stroke: CUT };
    edge.forEach((from, i) => {
      board.fixed.push({ from, to: edge[(i + 1) % edge.length] as Point2 });
    });
    for (const { height: heightAt, stroke, id, from: start = 0, to: end = ribbon.length } of ribbon.lines) {
      const [low, high] = [Math.max(start, tile.from), Math.min(end, tile.to)];
      if (high <= low) continue;
      const points = [low, ...places.filter((s) => s > low && s < high), high].map((s) => at(s, heightAt(s)));
      points.slice(1).forEach((to, i) => {
        const from = points[i] as Point2;
        // An id stands once in a sheet: on the first piece.
        const named = id === undefined || i > 0 || tile.from > 0 ? {} : { id };
        const line: LineMark = { kind: 'line', role: 'contour', from, to, stroke, ...named };
        board.marks.push(line);
        board.fixed.push(line);
      });
    }
    for (const { s, text: words, foot: stops } of [...ribbon.across, ...joins].filter(within)) {
      const foot = at(s, stops ?? ribbon.low(s));
      const head = at(s, ribbon.high(s));
      const over = (level: number): Point2 => ({ x: head.x, y: top + ROW_TEXT * (2 - level) - 0.25 * NOTE_TEXT });
      // Beside its line where there is no room over it; never far off.
      const spots = [0, 1].flatMap((level) => {
        const { x, y } = over(level);
        return [text({ x, y }, words, 'middle'), text({ x: x - 1, y }, words, 'start'), text({ x: x + 1, y }, words, 'end')];
      });
      placeFirst(board, spots);
      const isEnd = s < 1e-9 || s > ribbon.length - 1e-9;
      if (!isEnd) board.yielding.push({ kind: 'line', role: 'tick', from: { x: head.x, y: head.y - 2 }, to: foot, stroke: FOLD });
    }
    for (const { s, text: words, height: beside } of ribbon.figures.filter(within)) {
      if (beside !== undefined) {
        placeBeside(board, at(s, beside), words, beside < 0);
        continue;
      }
      const under = at(s, Math.min(0, ribbon.low(s)));
      const y = foot - lowest * k.y + 2 + 0.76 * NOTE_TEXT;
      const spots = (['middle', 'start', 'end'] as const).map((anchor) => text({ x: under.x, y }, words, anchor));
      if (placeFirst(board, spots) === undefined) continue;
      board.marks.push({
        kind: 'line',
        role: 'tick',
        from: at(s, ribbon.low(s)),
        to: { x: under.x, y: y - 0.76 * NOTE_TEXT - 0.8 },
        stroke: LINE,
      });
    }
    for (const { s, text: words, short, span = 0, foot } of ribbon.inside) {
      const places = [0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75]
        .map((share) => s + share * span)
        .filter((each) => within({ s: each }));
      const spots = (said: string): TextMark[] =>
        places.flatMap((each) => {
          const middle = at(each, ((foot ?? ribbon.low(each)) + ribbon.high(each)) / 2);
          const floor = at(each, foot ?? ribbon.low(each));
          return [
            { x: middle.x, y: middle.y + 0.3 * NOTE_TEXT },
            { x: floor.x, y: floor.y - 2 },
          ].map((p) => text(p, said, 'middle'));
        });
      placeFirst(board, [...spots(words), ...(short === undefined ? [] : spots(short))]);
    }
    return [outline, ...finished(board)];
  };
  return { height, draw };
}

/** A figure above or under a place on a line, with a tick through the line there. */
function placeBeside(board: Board, at: Point2, words: string, isUnderFirst: boolean): void {
  const above = at.y - 1.5;
  const under = at.y + 1.5 + 0.76 * NOTE_TEXT;
  const spots = (isUnderFirst ? [under, above] : [above, under]).flatMap((y) => [
    text({ x: at.x, y }, words, 'middle'),
    text({ x: at.x - 1.2, y }, words, 'end'),
    text({ x: at.x + 1.2, y }, words, 'start'),
  ]);
  if (board.taken.some((box) => overlap(box, boxAround(at, TICK))) || placeFirst(board, spots) === undefined) return;
  const tick: LineMark = {
    kind: 'line',
    role: 'tick',
    from: { x: at.x, y: at.y - TICK },
    to: { x: at.x, y: at.y + TICK },
    stroke: LINE,
  };
  board.marks.push(tick);
  board.fixed.push(tick);
}

/** mm. Half a tick through a line. */
const TICK = 0.7;

function nameRow(words: string, area: Box): Row {
  const lines = wrapText(words, HEAD_TEXT, true, area.right - area.left);
  return {
    height: lines.length * 1.25 * HEAD_TEXT + 1,
    draw: (top) =>
      lines.map((line, i) => text({ x: area.left, y: top + (1.25 * i + 1) * HEAD_TEXT }, line, 'start', true, HEAD_TEXT)),
  };
}

function rowsOf(ribbon: Ribbon, k: { readonly x: number; readonly y: number }, area: Box): Row[] {
  const tiles = tilesOf(ribbon.length, (area.right - area.left - 2) / k.x);
  const joins = joinsOf(tiles);
  const [first, ...more] = tiles.map((tile) => tileRow(ribbon, tile, k, area, joins));
  const name = nameRow(ribbon.name, area);
  if (first === undefined) return [];
  // A name never stands at the foot of a sheet without its ribbon.
  const headed: Row = {
    height: name.height + first.height,
    draw: (top) => [...name.draw(top), ...first.draw(top + name.height)],
  };
  return [headed, ...more];
}

/** Ribbons one under the other on as many sheets as they need, words first. Nothing where a ribbon is taller than a sheet. */
export function ribbonSheets(
  task: GuideTask,
  name: string,
  said: readonly string[],
  ribbons: readonly Ribbon[],
): { readonly sheets: readonly Drawing[]; readonly last: Frame; readonly free: number } | undefined {
  const k = { x: 100 / task.sheet.measuredX, y: 100 / task.sheet.measuredY };
  const sheets: Drawing[] = [];
  let frame = frameOf(task, name, []);
  const words = (size: number) => noteBlock(said, frame.width, frame.area.top, size);
  const head = words(NOTE_TEXT);
  let marks: Mark[] = [...frame.marks, ...head.marks];
  let top = frame.area.top + head.height + 2;
  const turn = (): void => {
    sheets.push({ width: frame.width, height: frame.height, marks });
    frame = frameOf(task, `${name.split(',')[0]}, continued`, []);
    marks = [...frame.marks];
    top = frame.area.top;
  };
  for (const row of ribbons.flatMap((ribbon) => rowsOf(ribbon, k, frame.area))) {
    if (row.height > frame.area.bottom - frame.area.top) return undefined;
    if (top + row.height > frame.area.bottom) turn();
    marks.push(...row.draw(top));
    top += row.height + 2;
  }
  sheets.push({ width: frame.width, height: frame.height, marks });
  return { sheets, last: frame, free: top };
}
