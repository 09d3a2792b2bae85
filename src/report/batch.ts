import { stringify } from 'csv-stringify/sync';
import { VERSION } from '../kernel/version.ts';
import { fallsShort } from './aim.ts';
import type { Figures } from './figures.ts';
import { lengthsIn, table, wrap } from './text.ts';
import { CAUTION } from './words.ts';

/** One job of a batch, as its summary says it. */
export interface BatchRow {
  /** Of its subfolder. */
  readonly name: string;
  /** As it stands in the folder of jobs, or the table with its line. */
  readonly file: string;
  readonly state: 'made' | 'failed' | 'not begun';
  /** The exit code that the job alone would have had. */
  readonly exit: 0 | 1 | 2 | 3 | 4;
  /** Absent where it failed. */
  readonly figures: Figures | null;
  readonly hasProgram: boolean;
  readonly findings: readonly { readonly code: string; readonly text: string }[];
}

type ExitCode = BatchRow['exit'];

/** The worst exit code: a fault of the program's own, then wrong input, then what cannot be made, then what is not proved. */
export function worstOf(codes: readonly ExitCode[]): ExitCode {
  const bad = codes.filter((code) => code !== 0);
  return bad.length === 0 ? 0 : (Math.min(...bad) as ExitCode);
}

export function worstExit(rows: readonly BatchRow[]): ExitCode {
  return worstOf(rows.map(({ exit }) => exit));
}

const DEEPEST_AT = { rear: 'mouth', mouth: 'rear wall', side: 'one side', corner: 'a corner', none: 'evenly' } as const;
const deepestAt = ({ deepest, hinge }: Figures): string => (deepest === 0 ? '' : DEEPEST_AT[hinge]);

/** The table says these two by their figures. */
const SAID_AS_SHORT = new Set(['range-short', 'wish-short']);
/** More names than this after a warning tell nobody more. */
const NAMES_SHOWN = 8;

/** Characters. Warnings that begin alike are of one kind: what follows lists places and figures. */
const ALIKE = 60;

function rowCells({ name, state, exit, figures, hasProgram }: BatchRow): string[] {
  if (figures === null) return [name, '', '', '', '', '', '', state === 'failed' ? `FAILED (exit ${exit})` : state.toUpperCase()];
  const say = lengthsIn(figures.units);
  const short = fallsShort(figures.shortBy)
    ? `${say.short(figures.shortBy)}: action`
    : fallsShort(figures.wishShortBy)
      ? `${say.short(figures.wishShortBy)}: wish`
      : '';
  const { state: now, left, leftUncertainty, tooDeep } = figures.now;
  const made = hasProgram || left === 0 ? 'made' : 'made, no program';
  const what = figures.fromDrawingAlone ? `${made}; FROM THE DRAWING ALONE` : made;
  const off = left === 0 ? ['nothing', ''] : [say.short(left), say.spread(leftUncertainty)];
  const whole = figures.deepest === 0 ? 'none' : say.short(figures.deepest);
  return [name, tooDeep > 0 ? `${now} by ${say.short(tooDeep)}` : now, ...off, whole, deepestAt(figures), short, what];
}

/**
 * A warning said once with the jobs that have it: twenty necks of one model say the same with other figures, and the first one's stand for
 * them. What contradicts itself is never an example.
 */
function warningLines(rows: readonly BatchRow[]): string[] {
  const by = new Map<string, { readonly said: string; readonly names: string[]; readonly messages: Set<string> }>();
  for (const { name, figures } of rows)
    for (const { code, message } of figures?.warnings ?? []) {
      if (SAID_AS_SHORT.has(code)) continue;
      const key = code === 'evidence-contradicts' ? message : `${code} ${message.replace(/\d[\d./]*/g, '#').slice(0, ALIKE)}`;
      const group = by.get(key) ?? { said: `${message}. [${code}]`, names: [], messages: new Set() };
      if (!group.names.includes(name)) group.names.push(name);
      group.messages.add(message);
      by.set(key, group);
    }
  if (by.size === 0) return [];
  const lines = [...by.values()].flatMap(({ said, names, messages }) => {
    const more = names.length > NAMES_SHOWN ? ` and ${names.length - NAMES_SHOWN} more` : '';
    const first = messages.size > 1 ? ` (figures of ${names[0]})` : '';
    return wrap(`  ${names.slice(0, NAMES_SHOWN).join(', ')}${more}: ${said}${first}`);
  });
  return ['Warnings', ...lines, ''];
}

const count = (rows: readonly BatchRow[], state: BatchRow['state']): number => rows.filter((row) => row.state === state).length;

/** The summary for the bench. The same jobs give the same text, whichever of them were made just now. */
export function batchText(rows: readonly BatchRow[]): string {
  const failed = rows.filter(({ state }) => state === 'failed');
  const left = count(rows, 'not begun');
  const head = `pocketpitch batch: ${rows.length} job${rows.length === 1 ? '' : 's'}, ${count(rows, 'made')} made, ${failed.length} failed${left > 0 ? `, ${left} not begun` : ''}`;
  const why = failed.flatMap(({ name, findings }) => findings.flatMap(({ text }) => wrap(`  ${name}: ${text}`)));
  return `${[
    head,
    '',
    ...table(['job', 'now', 'take off', '±', 'whole cut', 'deepest at', 'saddles short by', ''], rows.map(rowCells)),
    '',
    ...(failed.length > 0 ? ['What failed, and why', ...why, ''] : []),
    ...warningLines(rows),
    ...wrap(CAUTION),
  ].join('\n')}\n`;
}

export function batchJson(rows: readonly BatchRow[]) {
  return {
    summary: 1,
    pocketpitch: VERSION,
    exit: worstExit(rows),
    made: count(rows, 'made'),
    failed: count(rows, 'failed'),
    notBegun: count(rows, 'not begun'),
    jobs: rows.map((row) => ({ ...row })),
  };
}

const CSV_HEAD = [
  'name',
  'file',
  'title',
  'state',
  'exit',
  'take_off_mm',
  'uncertainty_mm',
  'deepest_at',
  'slope_degrees',
  'slope_uncertainty_degrees',
  'slope_way',
  'short_of_action_mm',
  'short_of_wish_mm',
  'from_drawing_alone',
  'program',
  'warnings',
  'why',
  // Later than the rest, and after it: a column keeps its place.
  'now',
  'left_mm',
  'left_uncertainty_mm',
  'too_deep_mm',
] as const;

/** `name`, `file`, `title`, `state` and `exit` before the figures, `why` and what stands now after them. */
const COLUMNS_OF_FIGURES = CSV_HEAD.length - 10;

/** Four decimals: a tenth of a thousandth is under anything measured. */
const figure = (value: number): number => Number(value.toFixed(4)) + 0;

/** The summary for a spreadsheet: mm and degrees whatever the job's unit, and no cell that would run as a formula. */
export function batchCsv(rows: readonly BatchRow[]): string {
  const lines = rows.map(({ name, file, state, exit, figures, hasProgram, findings }) => [
    name,
    file,
    figures?.title ?? '',
    state,
    exit,
    ...(figures === null
      ? new Array(COLUMNS_OF_FIGURES).fill('')
      : [
          figure(figures.deepest),
          figure(figures.deepestUncertainty),
          deepestAt(figures),
          figure(Math.abs(figures.pitch)),
          figure(figures.pitchUncertainty),
          figures.pitch === 0 ? '' : figures.pitch > 0 ? 'back' : 'forward',
          figure(figures.shortBy),
          figure(figures.wishShortBy),
          figures.fromDrawingAlone ? 'yes' : 'no',
          hasProgram ? 'yes' : 'no',
          figures.warnings.map(({ code }) => code).join(' '),
        ]),
    findings.map(({ text }) => text).join(' | '),
    ...(figures === null
      ? ['', '', '', '']
      : [figures.now.state, ...[figures.now.left, figures.now.leftUncertainty, figures.now.tooDeep].map(figure)]),
  ]);
  // The mark at the beginning tells spreadsheets that it is UTF-8.
  return stringify([[...CSV_HEAD], ...lines], { bom: true, escape_formulas: true });
}
