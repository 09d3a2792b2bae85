import { join } from 'node:path';
import { readShop } from '../job/readShop.ts';
import { exitCodeOf, type Finding, findingText } from '../kernel/findings.ts';
import { type BatchRow, batchCsv, batchJson, batchText, worstExit, worstOf } from '../report/batch.ts';
import type { Named } from '../solveJob.ts';
import { gather } from './batchJobs.ts';
import { workOnAll } from './batchPool.ts';
import type { Done, Task } from './batchWork.ts';
import { readText, writeWhole } from './files.ts';
import { unwrap, usage } from './jobs.ts';
import { InputProblem } from './problem.ts';
import type { Said } from './said.ts';
import { starterNotes } from './starterFigures.ts';
import { type Stopper, timedProgress } from './terminal.ts';

export interface BatchOptions {
  readonly into: string;
  readonly shop?: string;
  readonly like?: string;
  readonly workers?: string;
  readonly json?: boolean;
  readonly replace?: boolean;
}

const SUMMARY_MARKS = {
  txt: /^pocketpitch batch: \d/,
  csv: /^\ufeff?name,file,title,state,exit,take_off_mm,/,
  json: /^\{\s*"summary": 1,\s*"pocketpitch": "/,
} as const;

const MOST_WORKERS = 64;

function workersOf(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const count = /^\d{1,3}$/.test(text) ? Number(text) : 0;
  if (count >= 1 && count <= MOST_WORKERS) return count;
  throw usage(`'${text}' is no number of workers`, `--workers takes a whole number from 1 to ${MOST_WORKERS}`);
}

function shopOf(path: string | undefined): { shop: Named | undefined; notes: string[] } {
  if (path === undefined) return { shop: undefined, notes: ['no shop file was given, so no router programs are made'] };
  const shop = { text: readText(path), file: path === '-' ? 'standard input' : path };
  // A wrong shop file is one fault, not one for every job.
  const read = readShop(shop.text, shop.file);
  unwrap(read);
  return { shop, notes: [...(read.ok ? read.warnings.map(findingText) : []), ...starterNotes([path])] };
}

const notBegun = ({ name, file }: Task): BatchRow => ({
  name,
  file,
  state: 'not begun',
  exit: 0,
  figures: null,
  hasProgram: false,
  findings: [],
});

/** What cannot be written comes back: the jobs are made by then, and their summary is still said. */
function writeSummary(
  into: string,
  summary: Readonly<Record<'txt' | 'csv' | 'json', string>>,
  replace: boolean,
): readonly Finding[] {
  const outputs = (['txt', 'csv', 'json'] as const).map((kind) => ({
    path: join(into, `summary.${kind}`),
    bytes: summary[kind],
    mark: SUMMARY_MARKS[kind],
  }));
  try {
    writeWhole(outputs, replace);
    return [];
  } catch (error) {
    if (error instanceof InputProblem) return error.findings;
    throw error;
  }
}

export interface BatchSaid extends Said {
  readonly exit: number;
  /** The signal that asked it to stop: what was begun is whole, the rest is not begun. */
  readonly stoppedBy: NodeJS.Signals | undefined;
}

/** What the two streams and a person at the terminal give a long work. */
export interface BatchStreams {
  readonly err: (text: string) => void;
  readonly isErrTerminal: boolean;
  readonly stopper: Stopper;
}

/**
 * Makes every job of a folder, or of a table over one base, each into its own subfolder, and one summary. Where nothing changed since an
 * earlier run nothing is made. The exit code is the worst job's.
 */
export async function batchAction(from: string, options: BatchOptions, streams: BatchStreams): Promise<BatchSaid> {
  const workers = workersOf(options.workers);
  const { shop, notes } = shopOf(options.shop);
  const replace = options.replace === true;
  const gathered = gather(from, options.like, { into: options.into, shop, replace });
  const { tasks } = gathered;
  for (const note of [...notes, ...gathered.notes]) streams.err(`${note}\n`);
  const progress = timedProgress(streams.err, streams.isErrTerminal, 'making', () => performance.now());
  let finished = 0;
  const { stopper } = streams;
  stopper.start(() => progress.say('stopping: what is begun is finished first; once more stops at once'));
  let done: (Done | undefined)[];
  try {
    done = await workOnAll(tasks, workers, stopper.isStopped, (one) => {
      finished += 1;
      if (one.row.state === 'failed') progress.say(`${one.row.name}: failed: ${one.row.findings[0]?.text ?? ''}`);
      progress.at(finished, tasks.length);
    });
  } finally {
    progress.end();
    stopper.end();
  }
  const rows = tasks.map((task, index) => done[index]?.row ?? notBegun(task));
  const text = batchText(rows);
  const json = `${JSON.stringify(batchJson(rows), null, 2)}\n`;
  const summary = { txt: text, csv: batchCsv(rows), json };
  const unwritten = writeSummary(options.into, summary, replace);
  const kept = done.filter((one) => one?.kept === true).length;
  const left = rows.filter(({ state }) => state === 'not begun').length;
  return {
    out: options.json === true ? json : text,
    notes: [
      ...done.flatMap((one) => one?.notes ?? []),
      ...(kept > 0 ? [`${kept} of ${tasks.length} had not changed since they were made, and were left as they are`] : []),
      ...(left > 0 ? [`stopped with ${left} of ${tasks.length} not begun: run it again for the rest`] : []),
      ...(unwritten.length > 0
        ? unwritten.map(findingText)
        : [`the summary is in ${join(options.into, 'summary.txt')}, summary.csv and summary.json`]),
    ],
    exit: worstOf([worstExit(rows), exitCodeOf(unwritten)]),
    stoppedBy: stopper.signal(),
  };
}
