import { addFit, type FitText } from '../job/addFit.ts';
import { calledBy, entryOf, notedTwice } from '../job/notedFit.ts';
import { withoutLastFit } from '../job/withoutLastFit.ts';
import { findingText, type Result } from '../kernel/findings.ts';
import { fitText } from '../report/fit.ts';
import { leadParagraphs } from '../report/head.ts';
import { outcomeJson } from '../report/json.ts';
import type { Outcome } from '../report/outcome.ts';
import { wrap } from '../report/text.ts';
import { solveText } from '../solveJob.ts';
import { holding, readText, writeWhole } from './files.ts';
import { askFit, missingOf } from './fitAsk.ts';
import { namedJob, unwrap, usage, withFamily } from './jobs.ts';
import { InputProblem } from './problem.ts';
import type { Said } from './said.ts';
import type { Asker } from './terminal.ts';

export interface FitOptions {
  readonly depth?: string;
  readonly depthBass?: string;
  readonly depthTreble?: string;
  readonly gap?: string;
  readonly gapBass?: string;
  readonly gapTreble?: string;
  readonly raised?: string;
  readonly lowest?: string;
  readonly highest?: string;
  readonly shim?: string;
  readonly note?: string;
  readonly on?: string;
  readonly undo?: boolean;
  readonly json?: boolean;
}

/** One reading from its options: one value, or both sides. */
function reading(name: string, both: string | undefined, bass: string | undefined, treble: string | undefined): FitText['depth'] {
  if (both !== undefined && bass === undefined && treble === undefined) return both;
  if (both === undefined && bass !== undefined && treble !== undefined) return { bass, treble };
  throw usage(
    `the fit's ${name} is not given, or given twice`,
    `give --${name} for both sides at once, or --${name}-bass and --${name}-treble`,
  );
}

function fitOf(options: FitOptions): FitText {
  const { gap, gapBass, gapTreble, lowest, highest } = options;
  const isGaugedAlone = [gap, gapBass, gapTreble].every((each) => each === undefined) && (lowest ?? highest) !== undefined;
  return {
    depth: reading('depth', options.depth, options.depthBass, options.depthTreble),
    gap: isGaugedAlone ? undefined : reading('gap', gap, gapBass, gapTreble),
    raised: options.raised,
    lowest,
    highest,
    shim: options.shim,
    on: options.on,
    note: options.note,
  };
}

/** Whether a fit would say what the last one in the job file says. */
function isLastAgain(job: string, options: FitOptions): boolean {
  const text = readText(job);
  const after = addFit(text, fitOf(options));
  const solved = after === undefined ? undefined : solveText({ ...withFamily(job, text), text: after }, undefined, 'value-only');
  return solved?.ok === true && notedTwice(solved.value.job.fits).length > 0;
}

/** Where fits are measured in this job: the deepest edge, before the first fit as after it. */
function edgeOf(outcome: Outcome): 'mouth' | 'rear' {
  return outcome.fitting?.edge ?? (outcome.solution.pitch < 0 ? 'rear' : 'mouth');
}

/** Takes the last fit out of a job file and says where it stands without it. */
function withoutLast(job: string, given: FitOptions): Said {
  const others = Object.keys(given).filter((key) => key !== 'undo' && key !== 'json');
  if (others.length > 0) throw usage('--undo takes the last fit out and notes none', 'leave the readings out');
  readText(job);
  return holding(job, () => {
    const text = readText(job);
    const after = withoutLastFit(text);
    if (after === undefined)
      throw usage(
        `'${job}' has no fit that can be taken out by itself`,
        'there is none, or it is written in a way of its own: edit the file',
      );
    const outcome = unwrap(solveText(withFamily(job, after)));
    writeWhole([{ path: job, bytes: after, mark: undefined, was: text }], true);
    const { fits } = outcome.job;
    const now =
      fits.length > 0
        ? fitText(outcome)
        : `${leadParagraphs(outcome)
            .flatMap((part) => wrap(part))
            .join('\n')}\n`;
    const json = outcomeJson(outcome);
    const said = `Took fit ${fits.length + 1} out of ${job}`;
    return given.json === true
      ? { out: `${JSON.stringify(json, null, 2)}\n`, notes: [said] }
      : { out: `${said}.\n\n${now}`, notes: [] };
  });
}

/** What each reading of a fit is called on the command line. */
const OPTION_FOR: Readonly<Record<string, string>> = {
  depth: '--depth',
  lastFretGap: '--gap',
  raised: '--raised',
  lowest: '--lowest',
  highest: '--highest',
  shim: '--shim',
  on: '--on',
  note: '--note',
};

/** The job with the fit in it. What is wrong with the fit is told by its options: it stands in no line of the file yet. */
function taken(solved: Result<Outcome>, file: string, text: string): Outcome {
  if (!solved.ok) {
    throw new InputProblem(
      solved.findings.map((finding) => {
        const entry = finding.place?.file === file ? entryOf(finding, text) : undefined;
        const option = OPTION_FOR[entry?.key ?? ''];
        if (entry === undefined || option === undefined) return finding;
        const bySide = entry.side !== undefined && entry.key !== 'raised';
        return calledBy(finding, entry, text, bySide ? `${option}-${entry.side}` : option);
      }),
    );
  }
  const twice = notedTwice(solved.value.job.fits);
  if (twice.length > 0) throw new InputProblem(twice);
  return solved.value;
}

/**
 * Notes a test fit into the job file and says what is left. What the command line does not give is asked for where somebody is there to
 * ask. A fit that the job then refuses leaves the file as it was.
 */
export async function fitAction(job: string, given: FitOptions, askerFor: (() => Asker) | undefined): Promise<Said> {
  if (job === '-') throw usage('a fit is noted into a job file, so the job cannot come from standard input', 'give the file');
  if (given.undo === true) return withoutLast(job, given);
  const missing = missingOf(given);
  if (missing.length > 0 && askerFor === undefined)
    throw usage(
      `the fit's readings are not all given: ${missing.join(' and ')}`,
      'give them, or run it at a terminal to be asked',
    );
  let options = given;
  if (missing.length > 0 && askerFor !== undefined) {
    // A job that cannot take a fit says so before anybody answers questions.
    const now = unwrap(solveText(namedJob(job)));
    const ask = askerFor();
    try {
      options = await askFit(given, now.job.units, edgeOf(now), ask, (all) => isLastAgain(job, all));
    } finally {
      ask.close();
    }
  }
  const fit = fitOf(options);
  // What cannot be read is said as such, before anything stands beside it.
  readText(job);
  return holding(job, () => {
    const text = readText(job);
    const source = withFamily(job, text);
    const before = solveText(source);
    const after = addFit(text, fit);
    // A job that is wrong already, or takes no fit as it is written, says so by its own findings.
    if (after === undefined) {
      unwrap(before);
      throw usage(`'${job}' has a fits key that is not a list`, 'write it as a list, or leave it out');
    }
    const outcome = taken(solveText({ ...source, text: after }), source.file, after);
    writeWhole([{ path: job, bytes: after, mark: undefined, was: text }], true);
    if (options.json === true)
      return { out: `${JSON.stringify(outcomeJson(outcome), null, 2)}\n`, notes: outcome.warnings.map(findingText) };
    const undo =
      outcome.fitting?.surprise == null
        ? []
        : [
            `if this fit was read wrongly: pocketpitch fit ${job} --undo takes it out again${outcome.job.fits.length > 1 ? '; if one before it was, take fits out back to that one, and note again what was read after it' : ''}`,
          ];
    const doubts = outcome.warnings
      .filter(({ code, place }) => code === 'hardly-so-small' && place !== undefined)
      .map(findingText);
    return { out: fitText(outcome), notes: [...doubts, ...undo] };
  });
}
