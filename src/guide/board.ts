import type { Point2 } from '../kernel/vector.ts';
import { type Box, grown, type LineMark, type Mark, overlap, type TextMark, textBox, within } from './drawing.ts';
import { crossesBox, outsideBoxes, type Segment } from './segments.ts';

/** mm kept free around every text. */
const AIR = 0.7;
/** mm. A piece of a broken line shorter than this would look like dirt. */
const CRUMB = 1;

/** A sheet's part while it is laid out: what is taken, and the lines that give way to text. */
export interface Board {
  readonly area: Box;
  readonly taken: Box[];
  /** Lines that text must keep off and that are never broken. */
  readonly fixed: Segment[];
  readonly marks: Mark[];
  readonly yielding: LineMark[];
}

export function newBoard(area: Box): Board {
  return { area, taken: [], fixed: [], marks: [], yielding: [] };
}

export function isFree(board: Board, box: Box): boolean {
  const roomy = grown(box, AIR);
  return (
    within(box, board.area) &&
    !board.taken.some((other) => overlap(roomy, other)) &&
    !board.fixed.some((segment) => crossesBox(segment, roomy))
  );
}

/** Puts the first of the texts that finds room. */
export function placeFirst(board: Board, candidates: readonly TextMark[]): TextMark | undefined {
  const found = candidates.find((mark) => isFree(board, textBox(mark)));
  if (found !== undefined) placeText(board, found);
  return found;
}

export function placeText(board: Board, mark: TextMark): void {
  board.taken.push(textBox(mark));
  board.marks.push(mark);
}

/** All marks, with the yielding lines broken where something stands on them. */
export function finished(board: Board): Mark[] {
  const holes = board.taken.map((box) => grown(box, AIR * 0.8));
  const lines = board.yielding.flatMap((line) =>
    outsideBoxes(line, holes, CRUMB).map((part): LineMark => ({ ...line, ...part })),
  );
  return [...lines, ...board.marks];
}

/** Where a label may stand at the end of a line that runs towards `towards`: beyond it, else beside it. */
export function labelsAtEnd(end: Point2, towards: Point2, text: string, size: number, bold: boolean): TextMark[] {
  const mark = (at: Point2, anchor: TextMark['anchor']): TextMark => ({ kind: 'text', at, text, size, anchor, bold });
  const level = end.y + 0.37 * size;
  const right = mark({ x: end.x + 1.2, y: level }, 'start');
  const left = mark({ x: end.x - 1.2, y: level }, 'end');
  const below = mark({ x: end.x, y: end.y + 1.3 + 0.76 * size }, 'middle');
  const above = mark({ x: end.x, y: end.y - 1.5 }, 'middle');
  const sideways = towards.x > 0 ? right : left;
  const upright = towards.y > 0 ? below : above;
  return Math.abs(towards.x) >= Math.abs(towards.y) ? [sideways, upright] : [upright, sideways];
}
