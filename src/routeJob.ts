import { mountingOf, mountingRefusals } from './instrument/mounting.ts';
import { apartInZ, type Shop, withRimCutter } from './job/shop.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import type { Unit } from './kernel/units.ts';
import { headerSaid } from './program/headerSaid.ts';
import { isConvex } from './program/region.ts';
import { heightIn, STRIP, staysWarnings } from './program/stays.ts';
import type { ProgramTask, Stay } from './program/task.ts';
import type { Kind } from './program/text.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from './program/write.ts';
import { planRim, writeRimAirProgram, writeRimProgram } from './program/writeRim.ts';
import { type ProofKind, type ProofWork, proveProgram, type Verdict } from './proof/prove.ts';
import { noCut, notNow, standingOf, zeroTooCoarse } from './report/beforeRun.ts';
import type { Outcome } from './report/outcome.ts';

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

/** What the proof of a second cutter's program is told besides: the text that was run before it. The shop file must name that cutter. */
export function rimWorkOf(outcome: Outcome, shop: Shop, before: string): Result<ProofWork> {
  if (shop.rim === undefined)
    return bad([
      {
        code: 'rim-cutter-missing',
        severity: 'error',
        exit: 2,
        message: 'the shop file names no second cutter',
        remedy: 'add it: rim, with its diameter and length',
      },
    ]);
  const work = proofWorkOf(outcome, withRimCutter(shop, shop.rim));
  return work.ok ? good({ ...work.value, before: { text: before, shop, higher: apartInZ(shop) } }) : work;
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

/** How `prove` is told what a program is. */
const AS: Readonly<Record<Kind, string>> = {
  floor: '--as floor',
  air: '--as air',
  trace: '--as trace',
  rim: '--as rim --after floor.nc',
  'rim-air': '--as air',
};

/**
 * Where a program of ours is judged as what its header says it is not, or for a body that lies otherwise, nearly every line is a fault: what
 * the header says comes first. The proof itself never looks at comments.
 */
export function otherwiseSaid(program: string, as: ProofKind, shop: Shop): string[] {
  const said = headerSaid(program);
  if (said === undefined) return [];
  const { kind, turn } = said;
  const name = { floor: 'a floor', air: 'an air', trace: 'a trace', rim: 'a rim', 'rim-air': "a rim cutter's air" }[kind];
  const isOther = kind !== as && !(kind === 'rim-air' && as === 'air');
  return [
    ...(isOther ? [`its header says it is ${name} program: ${AS[kind]}`] : []),
    ...(turn === shop.program.turn
      ? []
      : [`its header says turned ${turn} degrees, the shop file says ${shop.program.turn} (program.turn)`]),
  ];
}

/** Programs of the first cutter. */
export type FirstKind = Exclude<ProofKind, 'rim'>;

export interface ProvedProgram<Kind extends string = FirstKind> {
  readonly kind: Kind;
  readonly program: Program;
  readonly verdict: Verdict;
}

function unproved(kind: string, verdict: Verdict): Finding[] {
  return verdict.faults.map((fault) => ({
    code: 'not-proved',
    severity: 'error',
    exit: 4,
    message: `the ${kind} program breaks the rule '${fault.rule}' at its line ${fault.line}: ${fault.message}`,
  }));
}

function taskOf(outcome: Outcome, shop: Shop): ProgramTask {
  const { job, solution } = outcome;
  const { pocket } = job;
  return {
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
    standing: standingOf(outcome, shop),
  };
}

/** Programs in the order asked for, each proved from its own text. A program that is not proved is not given out. */
export function programsOf(outcome: Outcome, shop: Shop, kinds: readonly FirstKind[]): Result<readonly ProvedProgram[]> {
  const none = [...notNow(outcome, 'router program'), ...zeroTooCoarse(outcome, shop)].slice(0, 1);
  if (none.length > 0) return bad(none);
  const task = taskOf(outcome, shop);
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

/** Said where the first cutter leaves the second nothing. */
const NOTHING_FOR_RIM = 'the first cutter leaves nothing for the rim cutter, so there is no program for it';

/** The second cutter's programs, and what the first one left for it. */
export interface RimPrograms {
  readonly programs: readonly ProvedProgram<'rim' | 'rim-air'>[];
  /** Of the cut: how much the second cutter takes down, at most, of what would stay; mm. */
  readonly gained: number;
}

/**
 * The second cutter's program and its run in the air, proved from their texts and from the floor program's text that goes before. Undefined where
 * the first cutter leaves it nothing.
 */
function rimProgramsOf(outcome: Outcome, shop: Shop, floorText: string): Result<RimPrograms | undefined> {
  const work = rimWorkOf(outcome, shop, floorText);
  if (!work.ok) return work;
  const rim = planRim(taskOf(outcome, shop));
  if (!rim.ok) return rim;
  if (rim.value === undefined) return good(undefined);
  const { before, planned } = rim.value;
  const texts = [
    { kind: 'rim' as const, as: 'rim' as const, program: writeRimProgram(rim.value) },
    { kind: 'rim-air' as const, as: 'air' as const, program: writeRimAirProgram(rim.value) },
  ];
  const programs: ProvedProgram<'rim' | 'rim-air'>[] = [];
  for (const { kind, as, program } of texts) {
    const verdict = proveProgram(program.text, work.value, as);
    if (!verdict.proved) return bad(unproved(kind, verdict));
    programs.push({ kind, program, verdict });
  }
  const after = (where: string): number => planned.facts.stays.find((stay) => stay.where === where)?.height ?? 0;
  const gained = Math.max(0, ...before.filter(({ where }) => where !== STRIP).map(({ where, height }) => height - after(where)));
  return good({ programs, gained }, rimWarnings(gained, apartInZ(shop), outcome.job.units));
}

/** A second cutter whose zero is less sure than what it has to take may make the floor worse. */
function rimWarnings(gained: number, apart: number, units: Unit): Finding[] {
  if (gained >= apart) return [];
  return [
    {
      code: 'rim-small',
      severity: 'warning',
      exit: null,
      message: `the rim cutter takes at most ${heightIn(units, gained)} more, less than the two zeros may differ by (${heightIn(units, apart)})`,
      remedy: 'a chisel does it as well; or set the zero more closely (zeroing)',
    },
  ];
}

/** Warns where what the cutter leaves is higher than the target forgives: it would hold the heel up. */
function staysWarningsOf({ job, solution }: Outcome, { stays }: Program): Finding[] {
  return staysWarnings(stays, job.target.within / Math.abs(solution.gain), job.units);
}

/** The programs of a job, the first cutter's and after them the second's. */
export interface CutPrograms {
  readonly all: readonly ProvedProgram<FirstKind | 'rim' | 'rim-air'>[];
  readonly floor: ProvedProgram;
  readonly rim: ProvedProgram<'rim' | 'rim-air'> | undefined;
  /** What stays in the end, and what the first cutter leaves where there is a second program. */
  readonly stays: readonly Stay[];
  readonly staysForRim: readonly Stay[];
  readonly notes: readonly string[];
}

/** The first cutter's programs of these kinds, the floor's among them, and, where the shop file names a second cutter and it is wanted, that one's. */
export function cutProgramsOf(
  outcome: Outcome,
  shop: Shop,
  kinds: readonly FirstKind[],
  wantsRim = shop.rim !== undefined,
): Result<CutPrograms> {
  const firsts = programsOf(outcome, shop, kinds);
  if (!firsts.ok) return firsts;
  const floor = firsts.value.find(({ kind }) => kind === 'floor');
  if (floor === undefined) throw new Error('no floor program was asked for');
  const seconds = !wantsRim ? undefined : rimProgramsOf(outcome, shop, floor.program.text);
  if (seconds !== undefined && !seconds.ok) return seconds;
  const [rim, ...others] = seconds?.value?.programs ?? [];
  const last = rim ?? floor;
  const all = [...firsts.value, ...(rim === undefined ? [] : [rim, ...others])];
  return good(
    {
      all,
      floor,
      rim,
      stays: last.program.stays,
      staysForRim: rim === undefined ? [] : floor.program.stays,
      notes: seconds !== undefined && rim === undefined ? [NOTHING_FOR_RIM] : [],
    },
    [...staysWarningsOf(outcome, last.program), ...(seconds?.warnings ?? []), ...all.flatMap(({ verdict }) => verdict.warnings)],
  );
}
