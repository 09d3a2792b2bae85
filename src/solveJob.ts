import { floorOf } from './floor/floor.ts';
import { mountingOf, mountingWarnings } from './instrument/mounting.ts';
import type { Job } from './job/job.ts';
import { readJob } from './job/readJob.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import { fingerprintOf } from './kernel/fingerprint.ts';
import type { Outcome } from './report/outcome.ts';
import { settingOf } from './solve/setting.ts';
import { sidewaysOf } from './solve/sideways.ts';
import type { Solution } from './solve/solve.ts';
import { solveEvidence } from './solve/solveEvidence.ts';
import { stopsOf } from './solve/stops.ts';

// The pipeline's first half, apart so that `solve` does not load what draws and routes.

/** A text and the name to say in findings. */
export interface Named {
  readonly text: string;
  readonly file: string;
  /** Of a job: the drawing that its `pocket.outline` names. */
  readonly drawing?: { readonly text: string; readonly file: string } | undefined;
}

/** mm over the 12th fret: a middling action to show the saddles at, where none is asked for (memory, common practice). */
const USUAL_ACTION_MM = 1.8;

function rangeWarnings(solution: Solution): Finding[] {
  const warn = (code: string, message: string): Finding => ({ code, severity: 'warning', exit: null, message });
  const help = 'a bridge with more travel, or one set higher, would help';
  const most = 'at their highest the saddles fall';
  if (solution.shortBy > 0)
    return [warn('range-short', `${most} ${solution.shortBy.toFixed(2)} mm short of what any playing action needs: ${help}`)];
  if (solution.wishShortBy > 0)
    return [warn('wish-short', `${most} ${solution.wishShortBy.toFixed(2)} mm short of the height wished for: ${help}`)];
  return [];
}

function clampingWarnings({ pocket, hand }: Job, solution: Solution): Finding[] {
  if (pocket.mounted === undefined) return [];
  return mountingWarnings(mountingOf(pocket.mounted, solution.outline, hand === 'right' ? 1 : -1));
}

/** A job's text to all that is known about it before anything is drawn or routed. */
export function solveText(source: Named, action = USUAL_ACTION_MM): Result<Outcome> {
  const read = readJob(source.text, source.file, source.drawing);
  if (!read.ok) return read;
  const solved = solveEvidence(read.value);
  if (!solved.ok) return solved;
  const { solution, uncertainty, evidence } = solved.value;
  const floor = floorOf(solution);
  if (!floor.ok) return bad(floor.findings);
  return good({
    job: read.value,
    fingerprint: fingerprintOf(source.text + (source.drawing?.text ?? '')),
    solution,
    floor: floor.value,
    uncertainty,
    evidence,
    stops: stopsOf(solved.value),
    setting: settingOf(solution, action),
    action,
    sideways: sidewaysOf(solution.instrument.job, solution.outline),
    stays: [],
    warnings: [
      ...read.warnings,
      ...solved.value.warnings,
      ...floor.warnings,
      ...rangeWarnings(solution),
      ...clampingWarnings(read.value, solution),
    ],
  });
}
