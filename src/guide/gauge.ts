import { flatten } from '../kernel/outline.ts';
import { depthAt } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import { fromMm } from '../kernel/units.ts';
import type { Drawing, LineMark, Mark, TextMark } from './drawing.ts';
import { stackFor, stackText } from './feelers.ts';
import { HEAD_TEXT, NOTE_TEXT } from './frame.ts';
import { LINE, type Ribbon, ribbonSheets } from './ribbon.ts';
import { insidePolygon } from './segments.ts';
import type { GuideTask } from './task.ts';
import { textWidth } from './text.ts';
import { depthText } from './words.ts';

/** mm of card over the slope, so that the gauge can be held. */
const CARD = 15;
const STRETCH = 10;
const HEIGHT_STEP = 10;
const ROW = 1.5 * HEAD_TEXT;
/** mm. How far inside a wall a depth is felt, and how near to the ends of the pocket its width is taken. */
const OFF_WALL = 4;
const NEAR_EDGE = 0.01;
/** mm. What is deeper and has no stack is too thick for one, not too thin. */
const LEAST_FELT = 0.5;

function steps(length: number, by: number): number[] {
  const whole = Array.from({ length: Math.floor(length / by + 1e-9) + 1 }, (_, i) => i * by);
  // A last figure too near to the end gives way to the end's own.
  return length - (whole[whole.length - 1] as number) > 0.9 * by ? [...whole, length] : [...whole.slice(0, -1), length];
}

interface Section {
  readonly name: string;
  readonly length: number;
  readonly depth: (s: number) => number;
  readonly ends: readonly [string, string];
}

/** The floor cut along the centreline from mouth to rear, and across at the mouth where it rolls. */
function sectionsOf(task: GuideTask): Section[] {
  const { plane, outline } = task;
  const half = outline.mouthHalf;
  const sides = task.hand === 'right' ? (['bass', 'treble'] as const) : (['treble', 'bass'] as const);
  const along: Section = {
    name: 'Along the centreline',
    length: outline.length,
    depth: (s) => depthAt(plane, s, 0),
    ends: ['mouth', 'rear'],
  };
  if (plane.gy === 0) return [along];
  return [along, { name: 'Across, at the mouth', length: 2 * half, depth: (s) => depthAt(plane, 0, s - half), ends: sides }];
}

function gaugeRibbons(task: GuideTask, section: Section): Ribbon[] {
  const { length, depth, ends } = section;
  const most = Math.max(depth(0), depth(length));
  const least = Math.min(depth(0), depth(length));
  const figures = steps(length, HEIGHT_STEP * (task.units === 'mm' ? 1 : 1.27)).map((s) => ({
    s,
    text: depthText(depth(s), task.units),
  }));
  const across = [
    { s: 0, text: ends[0] },
    { s: length, text: ends[1] },
  ];
  const gauge: Ribbon = {
    name: `${section.name}: gauge, true to size`,
    length,
    bends: [0, length],
    low: (s) => most - depth(s),
    high: () => most - least + CARD,
    lines: [],
    figures,
    across,
    inside: [{ s: length / 2, text: 'this edge up, level when done', short: 'up, level when done' }],
  };
  const tall: Ribbon = {
    name: `${section.name}: stretched tenfold, for the eye only`,
    length,
    bends: [0, length],
    low: (s) => STRETCH * (most - depth(s)),
    high: () => STRETCH * most,
    lines: [],
    figures,
    across,
    inside: [],
  };
  return [gauge, tall];
}

/** Depth, depth under the top and feeler stack from mouth to rear: at both walls where the floor rolls, else on the centreline. */
export function feelerRows(task: GuideTask): { readonly head: readonly string[]; readonly rows: readonly (readonly string[])[] } {
  const { plane, outline, units } = task;
  const sides: readonly { readonly name: string; readonly y: number }[] =
    plane.gy === 0
      ? [{ name: '', y: 0 }]
      : [
          { name: task.hand === 'right' ? 'bass' : 'treble', y: -1 },
          { name: task.hand === 'right' ? 'treble' : 'bass', y: 1 },
        ];
  const polygon = flatten(outline, FLATTEN_WITHIN_MM);
  // A little inside walls and corners, where a leaf and a straightedge can stand.
  const beside = (x: number, side: number): number => {
    const inside = Math.min(Math.max(x, NEAR_EDGE), outline.length - NEAR_EDGE);
    const spans = insidePolygon({ x: inside, y: 0 }, { x: 0, y: 1 }, polygon);
    const wall = side < 0 ? spans[0]?.from.y : spans[spans.length - 1]?.to.y;
    return side === 0 || wall === undefined ? 0 : wall - side * OFF_WALL;
  };
  const count = plane.gy === 0 ? 7 : 5;
  const unit = units === 'mm' ? 'mm' : 'in';
  const rows = sides.flatMap(({ name, y }) =>
    Array.from({ length: count }, (_, i) => {
      const x = (outline.length * i) / (count - 1);
      const depth = depthAt(plane, x, beside(x, y));
      const stack = stackFor(fromMm(depth, units), units);
      const far = fromMm(x, units).toFixed(units === 'mm' ? 1 : 2);
      return [
        `${far}${name === '' ? '' : ` ${name}`}`,
        depthText(depth, units),
        depthText(task.pocketDepth + depth, units),
        stack === undefined && depth > LEAST_FELT ? 'calipers' : stackText(stack, units),
      ];
    }),
  );
  return { head: [`from mouth, ${unit}`, `depth, ${unit}`, `under the top, ${unit}`, 'leaves together'], rows };
}

const COLUMNS = [0, 40, 70, 114] as const;

function tableMarks(
  task: GuideTask,
  left: number,
  top: number,
): { readonly marks: readonly Mark[]; readonly height: number; readonly right: number } {
  const { head, rows } = feelerRows(task);
  const marks: Mark[] = [];
  let right = left;
  [head, ...rows].forEach((cells, row) => {
    cells.forEach((words, column) => {
      const mark: TextMark = {
        kind: 'text',
        at: { x: left + (COLUMNS[column] as number), y: top + ROW * row + HEAD_TEXT },
        text: words,
        size: row === 0 ? NOTE_TEXT : HEAD_TEXT,
        anchor: 'start',
        bold: row === 0,
      };
      right = Math.max(right, mark.at.x + textWidth(words, mark.size, mark.bold));
      marks.push(mark);
    });
  });
  const rule: LineMark = {
    kind: 'line',
    role: 'tick',
    from: { x: left, y: top + HEAD_TEXT + 1.6 },
    to: { x: right, y: top + HEAD_TEXT + 1.6 },
    stroke: LINE,
  };
  return { marks: [...marks, rule], height: ROW * (rows.length + 1), right };
}

/** A square whose diagonals agree where the printer is square: bars alone do not show a skew. */
function squareMarks(left: number, top: number, side: number, k: { readonly x: number; readonly y: number }): Mark[] {
  const [right, low] = [left + side * k.x, top + side * k.y];
  const line = (x1: number, y1: number, x2: number, y2: number, id: string): LineMark => ({
    kind: 'line',
    role: 'bar',
    id,
    from: { x: x1, y: y1 },
    to: { x: x2, y: y2 },
    stroke: LINE,
  });
  return [
    line(left, top, right, top, 'square-top'),
    line(right, top, right, low, 'square-right'),
    line(right, low, left, low, 'square-foot'),
    line(left, low, left, top, 'square-left'),
    line(left, top, right, low, 'diagonal-down'),
    line(left, low, right, top, 'diagonal-up'),
  ];
}

const SIDE = 50;

/** Gauges, feeler table and the printer's square. */
export function gaugeSheets(task: GuideTask): readonly Drawing[] | undefined {
  const words = [
    'Gauge: glue to card, cut out, stand it on the finished floor. Its upper edge then runs level with the floor as found: a straightedge over the body shows it.',
    `Figures: the depth there, in ${task.units === 'mm' ? 'mm, every 10 mm' : 'inches, every half inch'}.`,
  ];
  const laid = ribbonSheets(
    task,
    'Slope gauge and feelers',
    words,
    sectionsOf(task).flatMap((section) => gaugeRibbons(task, section)),
  );
  if (laid === undefined) return undefined;
  const k = { x: 100 / task.sheet.measuredX, y: 100 / task.sheet.measuredY };
  const extra = extraMarks(task, laid.last.area.left, k);
  return withExtra(task, laid, extra);
}

interface Extra {
  readonly height: number;
  readonly draw: (left: number, top: number) => readonly Mark[];
}

function extraMarks(task: GuideTask, left: number, k: { readonly x: number; readonly y: number }): Extra {
  const text = (words: string, x: number, y: number, bold = false): TextMark => ({
    kind: 'text',
    at: { x, y },
    text: words,
    size: bold ? HEAD_TEXT : NOTE_TEXT,
    anchor: 'start',
    bold,
  });
  const table = tableMarks(task, left, 0);
  const height = 2 * ROW + table.height + 4 + Math.max(SIDE * k.y, 22) + 2;
  return {
    height,
    draw: (x, top) => {
      const under = top + 2 * ROW + table.height + 4;
      const beside = x + SIDE * k.x + 4;
      const size = (SIDE * Math.SQRT2).toFixed(1);
      return [
        text('Feelers', x, top + HEAD_TEXT, true),
        text(
          `A block as high as the pocket was deep (${depthText(task.pocketDepth, task.units)} ${task.units}) stands on the floor under a`,
          x,
          top + ROW + 3.4,
        ),
        text('straightedge laid over the body: the gap between them is the depth.', x, top + ROW + 8.4),
        ...tableMarks(task, x, top + 2 * ROW + 2).marks,
        ...squareMarks(x, under, SIDE, k),
        text('Both diagonals must measure', beside, under + 5),
        text(
          `the same, ${size} mm${task.units === 'mm' ? '' : ` (${((SIDE * Math.SQRT2) / 25.4).toFixed(2)} in)`}. If they`,
          beside,
          under + 10,
        ),
        text('do not, the printer is askew:', beside, under + 15),
        text('use another one.', beside, under + 20),
      ];
    },
  };
}

function withExtra(
  task: GuideTask,
  laid: NonNullable<ReturnType<typeof ribbonSheets>>,
  extra: Extra,
): readonly Drawing[] | undefined {
  const { sheets, last, free } = laid;
  const x = last.area.left;
  const final = sheets[sheets.length - 1] as Drawing;
  if (free + extra.height <= last.area.bottom) {
    return [...sheets.slice(0, -1), { ...final, marks: [...final.marks, ...extra.draw(x, free)] }];
  }
  const next = ribbonSheets(task, 'Slope gauge and feelers, continued', [], []);
  if (next === undefined || next.free + extra.height > next.last.area.bottom) return undefined;
  const blank = next.sheets[0] as Drawing;
  return [...sheets, { ...blank, marks: [...blank.marks, ...extra.draw(x, next.free)] }];
}
