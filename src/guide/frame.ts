import type { Box, Drawing, LineMark, Mark, TextMark } from './drawing.ts';
import type { GuideTask } from './task.ts';
import { printable, wrapText } from './text.ts';

/** mm. A4: ISO 216; Letter: ASME Y14.1, 8.5 x 11 in (both quoted); A3: ISO 216, twice A4 (memory). */
export const PAPERS = {
  A4: { width: 210, height: 297 },
  Letter: { width: 215.9, height: 279.4 },
  A3: { width: 297, height: 420 },
} as const;

/** mm. Wider than any common printer's blank rim. */
export const MARGIN = 10;
export const HEAD_TEXT = 4.6;
const TITLE_TEXT = 6.5;
export const NOTE_TEXT = 4;
/** mm. The column of the upright check bar and the row of the other. */
export const BAR_COLUMN = 10;
export const BAR_ROW = 10;

export interface Block {
  readonly marks: readonly TextMark[];
  readonly height: number;
}

function column(lines: readonly string[], x: number, top: number, size: number, bold: boolean, leading = 1.3): Block {
  const marks = lines.map(
    (text, i): TextMark => ({ kind: 'text', at: { x, y: top + (leading * i + 1) * size }, text, size, anchor: 'start', bold }),
  );
  return { marks, height: lines.length * leading * size };
}

const DRAWING_ALONE = 'FROM THE DRAWING ALONE, nothing was measured: to plan by, not to cut by. First fit the neck as it is.';

/** What stands at the head of a sheet: its name, the job, and what is said in full width below. */
export function heading(
  task: GuideTask,
  width: number,
  top: number,
  name: string,
  said: readonly string[],
  titleLines = 2,
): Block {
  const marks: TextMark[] = [];
  const inner = width - 2 * MARGIN;
  const first = column([name], MARGIN, top, HEAD_TEXT, true);
  marks.push(...first.marks);
  marks.push({
    kind: 'text',
    at: { x: width - MARGIN, y: top + HEAD_TEXT },
    text: pageName(task, 0, 0),
    size: HEAD_TEXT,
    anchor: 'end',
    bold: false,
  });
  let y = top + first.height + 1;
  const titleSize = titleLines > 1 ? TITLE_TEXT : HEAD_TEXT;
  const title = wrapText(printable(task.title), titleSize, true, inner, titleLines);
  const titleBlock = column(title, MARGIN, y, titleSize, true, 1.56);
  marks.push(...titleBlock.marks);
  y += titleBlock.height;
  for (const sentence of task.drawingAlone ? [DRAWING_ALONE, ...said] : said) {
    const block = column(wrapText(sentence, HEAD_TEXT, false, inner), MARGIN, y, HEAD_TEXT, false);
    marks.push(...block.marks);
    y += block.height;
  }
  return { marks, height: y - top };
}

/** What tells a sheet apart from those of another job. Page 0 of 0 is written before the sheets are counted. */
function pageName(task: GuideTask, page: number, pages: number): string {
  return `job ${printable(task.fingerprint)}, page ${page} of ${pages}`;
}

/** The sheets with their numbers, once it is known how many there are. */
export function numbered(task: GuideTask, sheets: readonly Drawing[]): Drawing[] {
  const blank = pageName(task, 0, 0);
  return sheets.map((sheet, i) => ({
    ...sheet,
    marks: sheet.marks.map((mark) =>
      mark.kind === 'text' && mark.text === blank ? { ...mark, text: pageName(task, i + 1, sheets.length) } : mark,
    ),
  }));
}

export function noteBlock(texts: readonly string[], width: number, top: number, size: number, left = MARGIN): Block {
  const marks: TextMark[] = [];
  let y = top;
  for (const text of texts) {
    const block = column(wrapText(text, size, false, width - MARGIN - left), left, y, size, false, 1.25);
    marks.push(...block.marks);
    y += block.height + 0.8;
  }
  return { marks, height: y - top };
}

/** The bars are drawn 100 * 100 / measured long, so that a printer that is out by measured / 100 prints 100 mm. */
export function bars(task: GuideTask, foot: number): Mark[] {
  const { measuredX, measuredY } = task.sheet;
  const long = { x: 10000 / measuredX, y: 10000 / measuredY };
  const stroke = { width: 0.3, grey: '#000' };
  const left = MARGIN + 2.5;
  const start = MARGIN + 7;
  const line = (role: LineMark['role'], x1: number, y1: number, x2: number, y2: number, id?: string): LineMark => ({
    kind: 'line',
    role,
    ...(id === undefined ? {} : { id }),
    from: { x: x1, y: y1 },
    to: { x: x2, y: y2 },
    stroke,
  });
  const label = (text: string, x: number, y: number): TextMark => ({
    kind: 'text',
    at: { x, y },
    text,
    size: NOTE_TEXT,
    anchor: 'start',
    bold: false,
  });
  const row = foot - 3;
  const low = row - 5;
  const high = low - long.y;
  return [
    line('bar', start, row, start + long.x, row, 'check-bar-x'),
    line('tick', start, row - 2, start, row + 2),
    line('tick', start + long.x, row - 2, start + long.x, row + 2),
    label(task.units === 'mm' ? '100 mm across' : '100 mm across (3 15/16 in)', start + long.x + 3, row + 0.37 * NOTE_TEXT),
    line('bar', left, high, left, low, 'check-bar-y'),
    line('tick', left - 2, high, left + 2, high),
    line('tick', left - 2, low, left + 2, low),
    // Two short lines: the column is narrow, and further sheets have something beside it.
    label('100', MARGIN, high - 7.5),
    label('mm', MARGIN, high - 2.5),
  ];
}

/** A sheet with its head and check bars, and the room left between them (mm, page). */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  readonly area: Box;
}

/** A sheet other than the map. */
export function frameOf(task: GuideTask, name: string, said: readonly string[]): Frame {
  const { width, height } = PAPERS[task.sheet.paper];
  const head = heading(task, width, MARGIN - 1, name, said, 1);
  const foot = height - MARGIN;
  const area = { left: MARGIN + BAR_COLUMN, right: width - MARGIN, top: MARGIN + head.height + 2, bottom: foot - BAR_ROW };
  return { width, height, marks: [...head.marks, ...bars(task, foot)], area };
}
