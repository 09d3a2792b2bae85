import { leanOf } from '../kernel/plane.ts';
import { toDegrees } from '../kernel/units.ts';
import { CONTOUR_GAP, contourLevels, filingRounds } from './contours.ts';
import type { Drawing, LineMark, Mark, TextMark } from './drawing.ts';
import { frameOf, HEAD_TEXT, NOTE_TEXT } from './frame.ts';
import { mapAt } from './sheetMap.ts';
import { pausesOf } from './stages.ts';
import type { GuideTask } from './task.ts';
import { textWidth, wrapText } from './text.ts';
import { deepestAt, depthText, stageName } from './words.ts';

/** mm, the em of the figures that must be read from a metre away: a digit then stands about 10 mm tall. */
const FAR_TEXT = 14;
const FAR_COLUMN = 80;
const NAME_TEXT = 6.5;
/** mm, the em of the order of work: the largest with which all finds room. */
const WORK_TEXTS = [6.2, 5.4, HEAD_TEXT] as const;
const BOX_HEIGHT = 9;
const BOX_ROWS = 5;
const EDGE = { width: 0.3, grey: '#000' } as const;

function text(x: number, y: number, words: string, size: number, bold = false): TextMark {
  return { kind: 'text', at: { x, y }, text: words, size, anchor: 'start', bold };
}

function line(x1: number, y1: number, x2: number, y2: number): LineMark {
  return { kind: 'line', role: 'tick', from: { x: x1, y: y1 }, to: { x: x2, y: y2 }, stroke: EDGE };
}

/** The order of work, most of it for the file. */
export function orderOfWork(task: GuideTask): string[] {
  const lean = leanOf(task.plane);
  const [pause] = pausesOf(task);
  const { step } = filingRounds(task, contourLevels(task, mapAt(task.sheet, { x: 0, y: 0 }), CONTOUR_GAP));
  const pauseName = pause === undefined ? undefined : stageName(pause.stage);
  const until =
    pauseName === undefined
      ? 'as far as the hinge'
      : step > 0
        ? `until the map says to pause for ${pauseName}`
        : `as far as the double line ${pauseName} (where the map has it)`;
  const rounds =
    step > 0
      ? 'the first strip of the map, then the first two together, and so on, by the depths that the map gives'
      : 'a little at a time, each round reaching further';
  const filing =
    lean === 0
      ? 'Take the same off all over, a little at a time, and keep the floor flat.'
      : `File from the deep end (${deepestAt(task)}): ${rounds}, ${until}. Then file the steps away, flat from the deep end to the hinge.`;
  return [
    'Neck off, pocket clean, old finish and glue out. Print checked, map cut out and laid in.',
    ...(isFitFirst(task) ? ['Cut nothing yet: the first fit is with the floor as it is.'] : []),
    filing,
    `At each stop: clean, bolt the neck on, string up, set the saddles, measure, write it here and into the job (pocketpitch fit), and print the guide anew.${expectedOf(task)}`,
    'Straightedge over the floor both ways and corner to corner: no light under it.',
  ];
}

/** What the fits to come should read: a string that lies on a fret tells nothing, so the saddles may have to go up for it. */
function expectedOf(task: GuideTask): string {
  const { stages, units } = task;
  const lines = stages.map((stage, i) => {
    const { raised, gaps } = stage.read;
    const name = i === stages.length - 1 ? 'whole depth' : stageName(stage);
    const saddles = raised > 0 ? `saddles ${depthText(raised, units)} up` : 'saddles down';
    return `${name}, ${saddles}: ${depthText(gaps.bass, units)} and ${depthText(gaps.treble, units)}`;
  });
  return lines.length === 0
    ? ''
    : ` Expect over the last fret, bass and treble, in ${units === 'in' ? 'inches' : units}: ${lines.join('; ')}.`;
}

/** Whether the neck is to be fitted before anything is cut. */
function isFitFirst({ stages }: GuideTask): boolean {
  const [first] = stages;
  return stages.length > 1 && first !== undefined && first.at.bass + first.at.treble === 0;
}

interface Big {
  readonly name: string;
  readonly figure: string;
}

function bigFigures(task: GuideTask): Big[] {
  const { units } = task;
  const length = (mm: number): string => `${depthText(mm, units)} ${units}`;
  const stops = pausesOf(task).flatMap(({ stage }): Big[] => {
    const { bass, treble } = stage.at;
    const where = stage.edge === 'mouth' ? 'at the mouth' : 'at the rear';
    if (length(bass) === length(treble)) return [{ name: `${stageName(stage)}: stop here, ${where}`, figure: length(bass) }];
    return [
      { name: `${stageName(stage)}: stop here, bass ${where}`, figure: length(bass) },
      { name: `and treble ${where}`, figure: length(treble) },
    ];
  });
  const lean = leanOf(task.plane);
  const slope = lean === 0 ? [] : [{ name: 'slope', figure: `${toDegrees(Math.atan(lean)).toFixed(2)}°` }];
  return [...stops, { name: `whole depth, ${deepestAt(task)}`, figure: length(task.deepest) }, ...slope];
}

/** When to stop for good: the gap the solve brings the strings to, and how far off it counts. */
function goalOf(task: GuideTask): string {
  const length = (mm: number): string => `${depthText(mm, task.units)} ${task.units}`;
  if (task.pitch < 0)
    return `Done when, saddles all the way up, the lowest string stands ${length(task.highest)} over the last fret, within ${length(task.within)}.`;
  const over = `${length(task.gap)} over its nearest fret, within ${length(task.within)}`;
  // A gap of nothing is not read with feelers: it follows from what is read with the saddles up.
  const { raised } = task.stages.at(-1)?.read ?? { raised: 0 };
  return raised > 0
    ? `Done when, saddles all the way down, the highest string would stand ${over}: pocketpitch fit tells it from what you read with them up.`
    : `Done when, saddles all the way down, the highest string stands ${over}.`;
}

/** The page to stand on the bench: figures to be read from afar, what to do, and where to write what was measured. */
export function cardSheet(task: GuideTask): Drawing | undefined {
  for (const size of WORK_TEXTS) {
    const card = cardAt(task, size);
    if (card !== undefined) return card;
  }
  return undefined;
}

function cardAt(task: GuideTask, size: number): Drawing | undefined {
  const frame = frameOf(task, 'Bench card', []);
  const { area } = frame;
  const marks: Mark[] = [...frame.marks];
  const right = area.right;
  let y = area.top + 1;
  const bigs = bigFigures(task);
  for (const { name, figure } of bigs) {
    marks.push(text(area.left, y + 0.78 * FAR_TEXT, figure, FAR_TEXT, true));
    const beside = Math.max(area.left + textWidth(figure, FAR_TEXT, true) + 5, area.left + FAR_COLUMN);
    const nameSize = Math.min(NAME_TEXT, (right - beside) / textWidth(name, 1, false));
    marks.push(text(beside, y + 0.78 * FAR_TEXT, name, nameSize));
    y += 1.15 * FAR_TEXT;
  }
  y += 2;
  orderOfWork(task).forEach((words, i) => {
    marks.push(text(area.left, y + size, `${i + 1}`, size, true));
    for (const part of wrapText(words, size, false, right - area.left - 7)) {
      marks.push(text(area.left + 7, y + size, part, size));
      y += 1.25 * size;
    }
    y += 1;
  });
  y += 2;
  const table = fitTable(task, area.left, right, y);
  marks.push(...table.marks);
  y = table.bottom + 3;
  const goal = `${goalOf(task)} Wood taken off is not put back. Eyes, ears and lungs covered; hands behind the edge; body clamped. Read SAFETY.md.`;
  for (const part of wrapText(goal, size, true, right - area.left - 3)) {
    marks.push(text(area.left, y + size, part, size, true));
    y += 1.25 * size;
  }
  return y > area.bottom ? undefined : { width: frame.width, height: frame.height, marks };
}

function fitTable(
  task: GuideTask,
  left: number,
  right: number,
  top: number,
): { readonly marks: Mark[]; readonly bottom: number } {
  const heads = ['fit', 'depth bass', 'depth treble', 'gap bass', 'gap treble', 'saddles up'];
  const first = 12;
  const each = (right - left - first) / (heads.length - 1);
  const edges = [left, ...heads.map((_, i) => left + first + i * each)];
  const marks: Mark[] = [
    text(
      left,
      top + HEAD_TEXT,
      `At each fit, in ${task.units === 'mm' ? 'mm' : 'inches'} (gaps over the last fret)`,
      HEAD_TEXT,
      true,
    ),
  ];
  const head = top + 1.5 * HEAD_TEXT + 1;
  heads.forEach((words, i) => {
    marks.push(text((edges[i] as number) + 1.2, head + NOTE_TEXT + 0.6, words, NOTE_TEXT));
  });
  const rows = Array.from({ length: BOX_ROWS + 2 }, (_, i) => (i === 0 ? head : head + NOTE_TEXT + 2.6 + (i - 1) * BOX_HEIGHT));
  const bottom = rows[rows.length - 1] as number;
  for (const y of rows) marks.push(line(left, y, right, y));
  for (const x of edges) marks.push(line(x, head, x, bottom));
  for (let i = 0; i < BOX_ROWS; i++) marks.push(text(left + 2, (rows[i + 1] as number) + 6, `${i + 1}`, HEAD_TEXT));
  return { marks, bottom };
}
