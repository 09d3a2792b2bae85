import { guideSvg } from './guide/guide.ts';
import { readShop } from './job/readShop.ts';
import type { Shop } from './job/shop.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import { previewPage } from './preview/page.ts';
import { stationsOf } from './preview/stations.ts';
import type { PreviewProgram } from './preview/task.ts';
import { staysWarnings } from './program/stays.ts';
import type { ProgramTask } from './program/task.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from './program/write.ts';
import { type ProofKind, type ProofWork, proveProgram, type Verdict } from './proof/prove.ts';
import { outcomeJson } from './report/json.ts';
import type { Outcome } from './report/outcome.ts';
import { CAUTION, FROM_DRAWING, fromDrawingAlone, leadSentence, outcomeText } from './report/words.ts';
import { type Named, solveText } from './solveJob.ts';

function noCut(outcome: Outcome, what: string): Finding[] {
  if (outcome.floor.deepest > 0) return [];
  return [{ code: 'no-cut', severity: 'error', exit: 3, message: `no cut is needed, so there is no ${what}` }];
}

/** The printed guide's pages, first page first. Without a shop file the sheet is A4 and the printer is taken to be true. */
export function guideOf(outcome: Outcome, shop: Shop | undefined): Result<readonly string[]> {
  const none = noCut(outcome, 'guide to make');
  if (none.length > 0) return bad(none);
  const { job, solution, floor } = outcome;
  return guideSvg({
    title: job.title,
    fingerprint: outcome.fingerprint,
    units: job.units,
    hand: job.hand,
    plane: solution.plane,
    outline: solution.outline,
    pocketDepth: job.pocket.depth.value,
    bodyThickness: job.pocket.body.value,
    deepest: floor.deepest,
    deepestUncertainty: outcome.uncertainty.deepest,
    pitch: solution.pitch,
    roll: solution.roll,
    hingeName: solution.hingeName,
    screws: job.pocket.screws,
    sheet: shop?.sheet ?? { paper: 'A4', measuredX: 100, measuredY: 100 },
  });
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
    ...(shop.program.turn === 0
      ? []
      : [
          gap(
            'turn-unsupported',
            'programs for a turned body are not proved yet',
            'lay the body with its neck towards -X: program.turn 0',
          ),
        ]),
    ...(pocket.mounted === undefined
      ? []
      : [
          gap(
            'mounted-unsupported',
            'a floor clamped out of level is not proved yet',
            'shim the body level and leave pocket.mounted out',
          ),
        ]),
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
    shop,
  });
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
    mounted: pocket.mounted !== undefined,
  };
  const writers = { floor: writeFloorProgram, air: writeAirProgram, trace: writeTraceProgram } as const;
  const made: ProvedProgram[] = [];
  for (const kind of kinds) {
    const program = writers[kind](task);
    if (!program.ok) return program;
    const work = proofWorkOf(outcome, shop);
    if (!work.ok) return work;
    const verdict = proveProgram(program.value.text, work.value, kind);
    if (!verdict.proved) return bad(unproved(kind, verdict));
    made.push({ kind, program: program.value, verdict });
  }
  return good(made);
}

/** What the cutter leaves, and a warning where that is higher than the target forgives and would hold the heel up. */
function withStays(outcome: Outcome, { stays }: Program): Outcome {
  const most = outcome.job.target.within / Math.abs(outcome.solution.gain);
  return { ...outcome, stays, warnings: [...outcome.warnings, ...staysWarnings(stays, most)] };
}

function shownOf({ kind, program, verdict }: ProvedProgram, shop: Shop): PreviewProgram {
  return { name: `The ${kind} program`, text: program.text, kind, verdict, shop };
}

/** The page to look at before cutting; `guide` is the printed guide's first page, if there is one. */
function pageOf(outcome: Outcome, guide: string | undefined, program: PreviewProgram | undefined): string {
  const { job, warnings } = outcome;
  return previewPage({
    title: job.title,
    fingerprint: outcome.fingerprint,
    units: job.units,
    hand: job.hand,
    lead: leadSentence(outcome),
    cautions: [
      ...warnings.filter(({ code }) => code === 'evidence-contradicts').map(({ message }) => message),
      ...(fromDrawingAlone(outcome) ? [FROM_DRAWING] : []),
      ...warnings.filter(({ code }) => code !== 'evidence-contradicts').map(({ message }) => message),
      CAUTION,
    ],
    fitNotes: job.fits.flatMap(({ note }) => (note === undefined ? [] : [note])),
    solution: outcome.solution,
    floor: outcome.floor,
    setting: outcome.setting,
    action: outcome.action,
    deepestUncertainty: outcome.uncertainty.deepest,
    stops: outcome.stops,
    stations: guide === undefined ? [] : stationsOf(guide),
    stays: outcome.stays,
    program,
  });
}

/** A program of anyone's to look at against a job. */
export interface Given {
  readonly name: string;
  readonly text: string;
  readonly kind: ProofKind;
}

export interface Preview {
  readonly page: string;
  /** Of the program shown, if there is one. */
  readonly verdict: Verdict | undefined;
  readonly warnings: readonly Finding[];
}

/** The preview with a shop's own floor program, or with another's, proved or not; without a shop file, of the job alone. */
export function previewOf(
  outcome: Outcome,
  shop: Shop | undefined,
  given: Given | undefined,
  warnings: readonly Finding[],
): Result<Preview> {
  if (given !== undefined && shop !== undefined) {
    const work = proofWorkOf(outcome, shop);
    if (!work.ok) return work;
    const verdict = proveProgram(given.text, work.value, given.kind);
    const guide = guideOf(outcome, shop);
    const shown = { ...given, verdict, shop };
    return good({ page: pageOf({ ...outcome, warnings }, guide.ok ? guide.value[0] : undefined, shown), verdict, warnings });
  }
  if (outcome.floor.deepest === 0)
    return good({ page: pageOf({ ...outcome, warnings }, undefined, undefined), verdict: undefined, warnings });
  // A pocket too large for the printer's paper can be looked at all the same.
  const guide = guideOf(outcome, shop);
  const page = guide.ok ? guide.value[0] : undefined;
  if (shop === undefined) return good({ page: pageOf({ ...outcome, warnings }, page, undefined), verdict: undefined, warnings });
  const programs = programsOf(outcome, shop, ['floor']);
  if (!programs.ok) return programs;
  const [first] = programs.value;
  if (first === undefined) throw new Error('no program came back');
  const full = withStays({ ...outcome, warnings }, first.program);
  return good({ page: pageOf(full, page, shownOf(first, shop)), verdict: first.verdict, warnings: full.warnings });
}

export interface Artifact {
  readonly name: string;
  readonly text: string;
}

export interface Made {
  readonly outcome: Outcome;
  readonly artifacts: readonly Artifact[];
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

export function guidePageName(first: string, index: number): string {
  return index === 0 ? first : first.replace(/(\.[a-z]+)?$/i, (ending) => `-${index + 1}${ending}`);
}

/** Everything a job gives: report, guide, preview and, with a shop file, the proved programs. */
export function makeAll(jobSource: Named, shopSource: Named | undefined): Result<Made> {
  const shopRead = shopSource === undefined ? undefined : readShop(shopSource.text, shopSource.file);
  const solved = solveText(jobSource);
  const findings = [...(solved.ok ? [] : solved.findings), ...(shopRead === undefined || shopRead.ok ? [] : shopRead.findings)];
  if (!solved.ok || (shopRead !== undefined && !shopRead.ok)) return bad(findings);
  const shop = shopRead?.value;
  let outcome = solved.value;
  const artifacts: Artifact[] = [];
  const notes: string[] = [];
  let guide: string | undefined;
  let shown: PreviewProgram | undefined;
  if (outcome.floor.deepest > 0) {
    const pages = guideOf(outcome, shop);
    if (!pages.ok) return pages;
    guide = pages.value[0];
    pages.value.forEach((text, index) => {
      artifacts.push({ name: guidePageName('guide.svg', index), text });
    });
    if (shop === undefined) notes.push('no shop file was given, so no router program was made');
    else {
      const programs = programsOf(outcome, shop, ['floor', 'air', 'trace']);
      if (!programs.ok) return programs;
      for (const { kind, program } of programs.value) artifacts.push({ name: `${kind}.nc`, text: program.text });
      const [first] = programs.value;
      if (first !== undefined) {
        shown = shownOf(first, shop);
        outcome = withStays(outcome, first.program);
      }
    }
  } else notes.push('no cut is needed, so there is no guide and no program');
  const warnings = [...outcome.warnings, ...(shopRead?.warnings ?? [])];
  const report: Artifact[] = [
    { name: 'report.txt', text: outcomeText(outcome) },
    { name: 'report.json', text: `${JSON.stringify(outcomeJson(outcome), null, 2)}\n` },
  ];
  artifacts.push({ name: 'preview.html', text: pageOf({ ...outcome, warnings }, guide, shown) });
  return good({ outcome, artifacts: [...report, ...artifacts], notes, warnings });
}
