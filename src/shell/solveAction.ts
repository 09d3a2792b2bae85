import { findingText } from '../kernel/findings.ts';
import { outcomeJson } from '../report/json.ts';
import { sampledJson, sampledText, sampledWarnings } from '../report/sampled.ts';
import { outcomeText } from '../report/words.ts';
import { type Sampled, sampling } from '../solve/sampled.ts';
import { solveText } from '../solveJob.ts';
import { namedJob, unwrap, usage } from './jobs.ts';
import type { Said } from './said.ts';
import type { Progress } from './terminal.ts';

export interface SolveOptions {
  readonly json?: boolean;
  readonly sampled?: string;
  readonly action?: string;
}

/** Fewer draws say too little of a deviation; more take longer than anybody waits. */
const DRAWS = { least: 100, most: 1_000_000 };
/** The same draws every time: the same job has the same report. */
const SEED = 20_261_125;

function drawsOf(text: string): number {
  const count = /^\d{1,7}$/.test(text) ? Number(text) : Number.NaN;
  if (count >= DRAWS.least && count <= DRAWS.most) return count;
  throw usage(
    `'${text}' is no number of draws`,
    `--sampled takes a whole number from ${DRAWS.least} to ${DRAWS.most}, such as 2000`,
  );
}

export function solveAction(job: string, options: SolveOptions, progress: Progress): Said {
  const count = options.sampled === undefined ? undefined : drawsOf(options.sampled);
  const outcome = unwrap(solveText(namedJob(job), options.action));
  let sampled: Sampled | undefined;
  if (count !== undefined) {
    const run = sampling(outcome.job, count, SEED);
    let step = run.next();
    while (step.done !== true) {
      progress.at(step.value, count);
      step = run.next();
    }
    progress.end();
    sampled = step.value;
  }
  const warnings = [...outcome.warnings, ...(sampled === undefined ? [] : sampledWarnings(outcome, sampled))];
  if (options.json === true) {
    const document = {
      ...outcomeJson({ ...outcome, warnings }),
      ...(sampled === undefined ? {} : { sampled: sampledJson(sampled) }),
    };
    // The report says its warnings itself; the JSON's reader may not look, so they go to standard error as well.
    return { out: `${JSON.stringify(document, null, 2)}\n`, notes: warnings.map(findingText) };
  }
  return { out: outcomeText({ ...outcome, warnings }, sampled === undefined ? [] : sampledText(outcome, sampled)), notes: [] };
}
