import { join } from 'node:path';
import { exitCodeOf, type Finding, findingText, type Place } from '../kernel/findings.ts';
import { VERSION } from '../kernel/version.ts';
import type { BatchRow } from '../report/batch.ts';
import type { Figures } from '../report/figures.ts';
import { type MakeRecord, otherInputs, RECORD_NAME, readRecord } from '../report/record.ts';
import type { Named } from '../solveJob.ts';
import { isThere, readText } from './files.ts';
import { unwrap, withFamily } from './jobs.ts';
import { leftOver, writeSet } from './makeAction.ts';
import { inputTexts, makeSet } from './makeSet.ts';
import { InputProblem } from './problem.ts';
import { changedOutputs } from './sameAction.ts';
import { starterWarnings } from './starterFigures.ts';

// One job of a batch, from its file to its folder: what a worker does. Plain data in and out.

export interface Task {
  readonly name: string;
  /** As the summary names it. */
  readonly file: string;
  /** Where the job is read; for a row of a table, a place beside its base. */
  readonly path: string;
  /** A row of a table: its job's text, and the cell of each of its lines. */
  readonly row?: { readonly text: string; readonly cells: readonly Place[] } | undefined;
  /** Said against it before it was begun. */
  readonly refused?: readonly Finding[] | undefined;
  readonly folder: string;
  readonly shop: Named | undefined;
  readonly replace: boolean;
}

export interface Done {
  readonly row: BatchRow;
  /** Nothing had changed since an earlier run, so nothing was made. */
  readonly kept: boolean;
  readonly notes: readonly string[];
}

function recordOrNone(folder: string): MakeRecord | undefined {
  try {
    const path = join(folder, RECORD_NAME);
    return isThere(path) ? readRecord(readText(path)) : undefined;
  } catch (error) {
    if (error instanceof InputProblem) return undefined;
    throw error;
  }
}

const madeRow = ({ name, file }: Task, job: Named, figures: Figures, files: readonly string[]): BatchRow => ({
  name,
  file,
  state: 'made',
  exit: 0,
  // Whether a figure is a starter's is no part of the set: a set follows from its texts alone, starters or not.
  figures: {
    ...figures,
    warnings: [...figures.warnings, ...starterWarnings(job).map(({ code, message }) => ({ code, message }))],
  },
  hasProgram: files.includes('floor.nc'),
  findings: [],
});

/** A finding in a row's text is told at the cell that says it. */
function atCells(task: Task, finding: Finding): Finding {
  const { place } = finding;
  if (task.row === undefined || place?.file !== task.path) return finding;
  return { ...finding, place: task.row.cells[place.line - 1] ?? task.row.cells[0] };
}

function failedRow(task: Task, findings: readonly Finding[]): BatchRow {
  const { name, file } = task;
  const said = findings.map((finding) => ({ code: finding.code, text: findingText(atCells(task, finding)) }));
  // Every finding that stops a job calls for a code; one that did not would be our own fault.
  return { name, file, state: 'failed', exit: exitCodeOf(findings) || 1, figures: null, hasProgram: false, findings: said };
}

export function faultRow({ name, file }: Task, error: unknown): BatchRow {
  const text = `error: a fault of pocketpitch's own: ${error instanceof Error ? error.message : String(error)}`;
  return { name, file, state: 'failed', exit: 1, figures: null, hasProgram: false, findings: [{ code: 'own-fault', text }] };
}

async function make(task: Task): Promise<Done> {
  const { folder, path, shop, row } = task;
  const job = withFamily(path, row?.text ?? readText(path), row === undefined ? task.file : path);
  const notes: string[] = [];
  const record = recordOrNone(folder);
  if (record?.version === VERSION && otherInputs(record.inputs, inputTexts(job, shop)).length === 0) {
    const changed = changedOutputs(folder, record.outputs);
    const names = record.outputs.map(({ name }) => name);
    const left = leftOver(folder, new Set(names));
    if (changed.length === 0)
      return { row: madeRow(task, job, record.figures, names), kept: true, notes: left.map((name) => leftNote(folder, name)) };
    notes.push(...changed.map(({ name, why }) => `${join(folder, name)} ${why}: made again`));
  }
  const set = unwrap(await makeSet(job, shop));
  const left = writeSet(set, folder, task.replace);
  notes.push(...left.map((name) => leftNote(folder, name)));
  return {
    row: madeRow(
      task,
      job,
      set.figures,
      set.files.map(({ name }) => name),
    ),
    kept: false,
    notes,
  };
}

const leftNote = (folder: string, name: string): string =>
  `warning: ${join(folder, name)} is left from an earlier run and does not belong to this one`;

/** Makes one job, or finds that it is as it was. Never throws: what went wrong stands in its row, and the others go on. */
export async function workOn(task: Task): Promise<Done> {
  const old =
    recordOrNone(task.folder) === undefined
      ? []
      : [`warning: ${task.folder} still holds what an earlier run made; it does not belong to this job as it stands`];
  try {
    if (task.refused !== undefined) return { row: failedRow(task, task.refused), kept: false, notes: old };
    return await make(task);
  } catch (error) {
    const row = error instanceof InputProblem ? failedRow(task, error.findings) : faultRow(task, error);
    return { row, kept: false, notes: old };
  }
}
