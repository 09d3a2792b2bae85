import { mountingOf, mountingRefusals } from './instrument/mounting.ts';
import type { Shop } from './job/shop.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import { isConvex } from './program/region.ts';
import { staysWarnings } from './program/stays.ts';
import type { ProgramTask } from './program/task.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from './program/write.ts';
import { type ProofKind, type ProofWork, proveProgram, type Verdict } from './proof/prove.ts';
import type { Outcome } from './report/outcome.ts';
import { noCut } from './solveJob.ts';

function mountingGaps({ job, solution }: Outcome): Finding[] {
  const { mounted } = job.pocket;
  if (mounted === undefined) return [];
  const steep = mountingRefusals(mountingOf(mounted, solution.outline, job.hand === 'right' ? 1 : -1));
  if (isConvex(solution.outline)) return steep;
  // What an upright cutter may fill between leaning walls is found for convex outlines alone.
  return [
    ...steep,
    {
      code: 'mounted-outline-unsupported',
      severity: 'error',
      exit: 3,
      message: 'a leaning pocket with a corner that points inwards is not proved yet',
      remedy: 'shim the body level and leave pocket.mounted out',
    },
  ];
}

/** What must be known before anything can be proved, and what the proof cannot judge yet. */
function proofGaps(outcome: Outcome, shop: Shop): Finding[] {
  const { pocket } = outcome.job;
  const gap = (code: string, message: string, remedy: string): Finding => ({ code, severity: 'error', exit: 3, message, remedy });
  return [
    ...noCut(outcome, 'floor to prove against'),
    ...(shop.cutter.diameter === undefined
      ? [
          gap(
            'cutter-diameter-missing',
            "nothing is proved without the cutter's diameter",
            'give cutter.diameter in the shop file',
          ),
        ]
      : []),
    ...(pocket.clearBefore === undefined
      ? [
          gap(
            'clear-before-missing',
            'nothing is proved without the free space before the mouth',
            'measure it: pocket.clearBefore',
          ),
        ]
      : []),
    ...mountingGaps(outcome),
  ];
}

/** What the proof is told: the job's floor and pocket and the shop, nothing from the writer. */
export function proofWorkOf(outcome: Outcome, shop: Shop): Result<ProofWork> {
  const gaps = proofGaps(outcome, shop);
  if (gaps.length > 0) return bad(gaps);
  const { job, solution, floor } = outcome;
  return good({
    plane: solution.plane,
    outline: solution.outline,
    pocketDepth: job.pocket.depth.value,
    clearBefore: job.pocket.clearBefore ?? 0,
    deepest: floor.deepest,
    hand: job.hand,
    mounted: job.pocket.mounted,
    shop,
  });
}

/**
 * A program's header names the text of the job it was written for. Where that is another text the faults below it mean little: said first.
 * Another's program names none.
 */
export function otherJobSaid(program: string, { fingerprint }: Outcome): string[] {
  const named = /^\(job ([0-9a-f]{12})\)\r?$/m.exec(program)?.[1];
  if (named === undefined || named === fingerprint) return [];
  return [
    `this program's header names job ${named}, and the job given is ${fingerprint}: it was written for another job, or before this one's text was changed`,
  ];
}

export interface ProvedProgram {
  readonly kind: ProofKind;
  readonly program: Program;
  readonly verdict: Verdict;
}

function unproved(kind: ProofKind, verdict: Verdict): Finding[] {
  return verdict.faults.map((fault) => ({
    code: 'not-proved',
    severity: 'error',
    exit: 4,
    message: `the ${kind} program breaks the rule '${fault.rule}' at its line ${fault.line}: ${fault.message}`,
  }));
}

/** Programs in the order asked for, each proved from its own text. A program that is not proved is not given out. */
export function programsOf(outcome: Outcome, shop: Shop, kinds: readonly ProofKind[]): Result<readonly ProvedProgram[]> {
  const none = noCut(outcome, 'router program');
  if (none.length > 0) return bad(none);
  const { job, solution } = outcome;
  const { pocket } = job;
  const task: ProgramTask = {
    plane: solution.plane,
    outline: solution.outline,
    pocketDepth: pocket.depth.value,
    widthBound: Math.max(pocket.width.bound, pocket.widthAtMouth?.bound ?? 0),
    clearBefore: pocket.clearBefore,
    hand: job.hand,
    fingerprint: outcome.fingerprint,
    shop,
    deepest: outcome.floor.deepest,
    mounted: pocket.mounted,
  };
  const writers = { floor: writeFloorProgram, air: writeAirProgram, trace: writeTraceProgram } as const;
  let work: Result<ProofWork> | undefined;
  const made: ProvedProgram[] = [];
  for (const kind of kinds) {
    const program = writers[kind](task);
    if (!program.ok) return program;
    // After the writer: what it misses it can say better.
    work ??= proofWorkOf(outcome, shop);
    if (!work.ok) return work;
    const verdict = proveProgram(program.value.text, work.value, kind);
    if (!verdict.proved) return bad(unproved(kind, verdict));
    made.push({ kind, program: program.value, verdict });
  }
  return good(made);
}

/** Warns where what the cutter leaves is higher than the target forgives: it would hold the heel up. */
export function staysWarningsOf({ job, solution }: Outcome, { stays }: Program): Finding[] {
  return staysWarnings(stays, job.target.within / Math.abs(solution.gain));
}
