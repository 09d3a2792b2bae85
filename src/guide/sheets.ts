import { type Drawing, type LineMark, type Mark, type TextMark, textBox } from './drawing.ts';
import { layMap, mapNeeds } from './mapMarks.ts';
import { mapAt } from './sheetMap.ts';
import type { GuideTask } from './task.ts';
import { printable, wrapText } from './text.ts';
import { notes, sentences } from './words.ts';

/** mm. A4: ISO 216; Letter: ASME Y14.1, 8.5 x 11 in (both quoted); A3: ISO 216, twice A4 (memory). */
export const PAPERS = {
  A4: { width: 210, height: 297 },
  Letter: { width: 215.9, height: 279.4 },
  A3: { width: 297, height: 420 },
} as const;

/** mm. Wider than any common printer's blank rim. */
const MARGIN = 10;
const HEAD_TEXT = 4.6;
const TITLE_TEXT = 6.5;
const NOTE_TEXT = 4;
/** mm. The column of the upright check bar and the row of the other. */
const BAR_COLUMN = 10;
const BAR_ROW = 10;

interface Block {
  readonly marks: readonly TextMark[];
  readonly height: number;
}

function column(lines: readonly string[], x: number, top: number, size: number, bold: boolean, leading = 1.3): Block {
  const marks = lines.map(
    (text, i): TextMark => ({ kind: 'text', at: { x, y: top + (leading * i + 1) * size }, text, size, anchor: 'start', bold }),
  );
  return { marks, height: lines.length * leading * size };
}

function heading(task: GuideTask, width: number, top: number): Block {
  const marks: TextMark[] = [];
  const inner = width - 2 * MARGIN;
  const name = `job ${printable(task.fingerprint)}`;
  const first = column(['Pocket floor, true to size'], MARGIN, top, HEAD_TEXT, true);
  marks.push(...first.marks);
  marks.push({
    kind: 'text',
    at: { x: width - MARGIN, y: top + HEAD_TEXT },
    text: name,
    size: HEAD_TEXT,
    anchor: 'end',
    bold: false,
  });
  let y = top + first.height + 1;
  const title = wrapText(printable(task.title), TITLE_TEXT, true, inner, 2);
  const titleBlock = column(title, MARGIN, y, TITLE_TEXT, true, 1.56);
  marks.push(...titleBlock.marks);
  y += titleBlock.height;
  for (const sentence of sentences(task)) {
    const block = column(wrapText(sentence, HEAD_TEXT, false, inner), MARGIN, y, HEAD_TEXT, false);
    marks.push(...block.marks);
    y += block.height;
  }
  return { marks, height: y - top };
}

function noteBlock(texts: readonly string[], width: number, top: number, size: number): Block {
  const marks: TextMark[] = [];
  let y = top;
  for (const text of texts) {
    const block = column(wrapText(text, size, false, width - 2 * MARGIN), MARGIN, y, size, false, 1.25);
    marks.push(...block.marks);
    y += block.height + 0.8;
  }
  return { marks, height: y - top };
}

/** The bars are drawn 100 * 100 / measured long, so that a printer that is out by measured / 100 prints 100 mm. */
function bars(task: GuideTask, foot: number): Mark[] {
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
    label('100 mm across', start + long.x + 3, row + 0.37 * NOTE_TEXT),
    line('bar', left, high, left, low, 'check-bar-y'),
    line('tick', left - 2, high, left + 2, high),
    line('tick', left - 2, low, left + 2, low),
    label('100 mm', MARGIN, high - 7.5),
    label('down', MARGIN, high - 2.5),
  ];
}

interface MapPage extends Drawing {
  readonly hiddenScrews: number;
}

function mapPage(task: GuideTask, noted: 'here' | 'next'): MapPage | undefined {
  const { width, height } = PAPERS[task.sheet.paper];
  const head = heading(task, width, MARGIN - 1);
  const top = MARGIN + head.height + 2;
  const needs = mapNeeds(task);
  const area = { left: MARGIN + BAR_COLUMN, right: width - MARGIN, top };
  const texts = (hidden: number): string[] => {
    const all = notes(task, hidden);
    return noted === 'here' ? all : ['How to print, read and use this sheet: see the second one.'];
  };
  // Laid out for the longest notes, so that the map's place does not depend on what the map turns out to hold.
  const noteHeight = noteBlock(texts(task.screws.length), width, 0, NOTE_TEXT).height;
  const foot = height - MARGIN - noteHeight - 1;
  const bottom = foot - BAR_ROW;
  const barNeeds = 10000 / task.sheet.measuredY + 8 + 12;
  if (needs.height > bottom - top || barNeeds > foot - top || needs.width > area.right - area.left) return undefined;
  const { bounds } = needs;
  const origin = {
    x: (area.left + area.right - bounds.left - bounds.right) / 2,
    y: (top + bottom - bounds.top - bounds.bottom) / 2,
  };
  const checkBars = bars(task, foot);
  const taken = checkBars.flatMap((mark) => (mark.kind === 'text' ? [textBox(mark)] : []));
  const map = layMap(task, mapAt(task.sheet, origin), { ...area, bottom }, taken);
  const note = noteBlock(texts(map.hiddenScrews), width, foot + 2, NOTE_TEXT);
  const marks = [...head.marks, ...map.marks, ...checkBars, ...note.marks];
  return { width, height, marks, hiddenScrews: map.hiddenScrews };
}

function notePage(task: GuideTask, hiddenScrews: number): Drawing {
  const { width, height } = PAPERS[task.sheet.paper];
  const head = heading(task, width, MARGIN - 1);
  const note = noteBlock(notes(task, hiddenScrews), width, MARGIN + head.height + 6, HEAD_TEXT);
  return { width, height, marks: [...head.marks, ...note.marks] };
}

/** The guide's sheets, the map on the first; none where the paper is too small for the map. */
export function layGuide(task: GuideTask): Drawing[] | undefined {
  const single = mapPage(task, 'here');
  if (single !== undefined) return [single];
  const first = mapPage(task, 'next');
  return first === undefined ? undefined : [first, notePage(task, first.hiddenScrews)];
}
