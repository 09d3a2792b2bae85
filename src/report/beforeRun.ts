import type { Job } from '../job/job.ts';
import { bothUnits } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Standing } from '../program/task.ts';
import { fromDrawingAlone } from './head.ts';
import type { Outcome } from './outcome.ts';
import { lengthsIn } from './text.ts';

// What a job's state says about running its program now: the proof judges moves, and these are no moves.

/** Whether a fit says that wood came off: a shim that lay there then puts none back. */
function isFiled({ fits }: Job): boolean {
  return fits.some(({ depth }) => ('bass' in depth ? Math.max(depth.bass.value, depth.treble.value) : depth.value) > 0);
}

/** What each program's header is to say of the job it was written for. */
export function standingOf(outcome: Outcome): Standing {
  const { job } = outcome;
  return { isFiled: isFiled(job), depthBound: job.pocket.depth.bound, isFromDrawing: fromDrawingAlone(outcome) };
}

function warning(code: string, message: string, remedy: string): Finding {
  return { code, severity: 'warning', exit: null, message, remedy };
}

/** Said beside a program where the report and the preview begin with it already (`FROM_DRAWING`). */
export function drawingWarnings(outcome: Outcome): Finding[] {
  if (!fromDrawingAlone(outcome)) return [];
  const message = 'no gap or straightedge was read at the bench, only a drawing: this program is to plan with, not to cut';
  return [
    warning(
      'drawing-alone',
      message,
      'fit the neck first as it is and note that (pocketpitch fit, depth 0), or give asFound readings',
    ),
  ];
}

/** Warnings that belong to a program of this job, whatever its moves are. */
export function runWarnings({ job }: Outcome): Finding[] {
  const { depth, mounted } = job.pocket;
  if (!isFiled(job)) return [];
  const { short, spread } = lengthsIn(job.units);
  const place = mounted === undefined ? `Z ${bothUnits(depth.value)} there` : 'the heights are in the header';
  return [
    warning(
      'zero-from-top',
      `wood is off the floor already, so it is no longer where Z0 was: set Z from the body's top (${place}), as the program's header says; the cut is then as true as the pocket's depth of ${short(depth.value)} was measured, ${spread(depth.bound)}`,
      'never set Z on the filed floor, where everything would come out too deep; measure pocket.depth closely, where nothing was filed, and give its ±',
    ),
  ];
}
