import type { Drawing } from './guide/drawing.ts';
import { guideSheets, type Part, svgTexts } from './guide/guide.ts';
import { railSolids } from './guide/railsSolid.ts';
import type { GuideTask } from './guide/task.ts';
import { mountingOf, mountingRefusals } from './instrument/mounting.ts';
import { readShop } from './job/readShop.ts';
import type { Shop } from './job/shop.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import { previewPage } from './preview/page.ts';
import { stationsOf } from './preview/stations.ts';
import type { PreviewProgram } from './preview/task.ts';
import { isConvex } from './program/region.ts';
import { staysWarnings } from './program/stays.ts';
import type { ProgramTask } from './program/task.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from './program/write.ts';
import { type ProofKind, type ProofWork, proveProgram, type Verdict } from './proof/prove.ts';
import { FROM_DRAWING, fromDrawingAlone, leadSentence } from './report/head.ts';
import { outcomeJson } from './report/json.ts';
import type { Outcome, Stay } from './report/outcome.ts';
import { CAUTION, outcomeText } from './report/words.ts';
import { type Named, solveText } from './solveJob.ts';

function noCut(outcome: Outcome, what: string): Finding[] {
  if (outcome.floor.deepest > 0) return [];
  return [{ code: 'no-cut', severity: 'error', exit: 3, message: `no cut is needed, so there is no ${what}` }];
}

/** Where no shop file says it: the sheet most printers hold, from a printer that is true. */
const USUAL_SHEET = { paper: 'A4', measuredX: 100, measuredY: 100 } as const;
const USUAL_SHEET_SAID = [
  'sheet.paper A4',
  'sheet.measuredX 100 mm',
  'sheet.measuredY 100 mm',
  'rails.length 260 mm',
  'rails.base 150 mm',
];

/** mm. What the shop file's own defaults are (contract.md), for a guide without a shop file. */
const USUAL_RAILS = { length: 260, base: 150 } as const;

/** The printed guide's sheets, first one first. Without a shop file the sheet is A4 and the printer is taken to be true. */
export function guideOf(outcome: Outcome, shop: Shop | undefined, only?: Part): Result<readonly Drawing[]> {
  const none = noCut(outcome, 'guide to make');
  return none.length > 0 ? bad(none) : guideSheets(guideTaskOf(outcome, shop), only);
}

function guideTaskOf(outcome: Outcome, shop: Shop | undefined): GuideTask {
  const { job, solution, floor } = outcome;
  return {
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
    sheet: shop?.sheet ?? USUAL_SHEET,
    stops: outcome.stops.map(({ deepest }) => deepest),
    within: job.target.within,
    cutter:
      shop?.cutter.diameter === undefined
        ? undefined
        : { diameter: shop.cutter.diameter, length: shop.cutter.length, wall: shop.clearance.wall },
    rails: shop?.rails ?? USUAL_RAILS,
  };
}

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

/** The page draws the body frame alone: a program for a body that lies otherwise would be drawn beside its pocket. */
function isDrawable({ job }: Outcome, shop: Shop): boolean {
  return shop.program.turn === 0 && job.pocket.mounted === undefined;
}

function shownOf({ kind, program, verdict }: ProvedProgram, outcome: Outcome, shop: Shop): PreviewProgram | undefined {
  if (!isDrawable(outcome, shop)) return undefined;
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

/** The map's own text, from which the page takes its stations. */
function firstPage(guide: Result<readonly Drawing[]>): string | undefined {
  return guide.ok ? svgTexts(guide.value.slice(0, 1))[0] : undefined;
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
    if (!isDrawable(outcome, shop))
      return bad([
        {
          code: 'preview-turned',
          severity: 'error',
          exit: 3,
          message: 'a program for a turned body, or one clamped out of level, is not drawn yet',
          remedy: 'judge it with pocketpitch prove',
        },
      ]);
    const work = proofWorkOf(outcome, shop);
    if (!work.ok) return work;
    const verdict = proveProgram(given.text, work.value, given.kind);
    const guide = guideOf(outcome, shop);
    const shown = { ...given, verdict, shop };
    return good({ page: pageOf({ ...outcome, warnings }, firstPage(guide), shown), verdict, warnings });
  }
  if (outcome.floor.deepest === 0)
    return good({ page: pageOf({ ...outcome, warnings }, undefined, undefined), verdict: undefined, warnings });
  // A pocket too large for the printer's paper can be looked at all the same.
  const guide = guideOf(outcome, shop);
  const page = firstPage(guide);
  if (shop === undefined) return good({ page: pageOf({ ...outcome, warnings }, page, undefined), verdict: undefined, warnings });
  const programs = programsOf(outcome, shop, ['floor']);
  if (!programs.ok) return programs;
  const [first] = programs.value;
  if (first === undefined) throw new Error('no program came back');
  const full = withStays({ ...outcome, warnings }, first.program);
  return good({ page: pageOf(full, page, shownOf(first, outcome, shop)), verdict: first.verdict, warnings: full.warnings });
}

interface Artifact {
  readonly name: string;
  readonly text: string;
}

export interface Made {
  readonly outcome: Outcome;
  readonly artifacts: readonly Artifact[];
  /** The guide's sheets, for writers that are not text. */
  readonly sheets: readonly Drawing[];
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

export function guidePageName(first: string, index: number): string {
  return index === 0 ? first : first.replace(/(\.[a-z]+)?$/i, (ending) => `-${index + 1}${ending}`);
}

interface GuidePart {
  readonly sheets: readonly Drawing[];
  readonly artifacts: readonly Artifact[];
}

/** A sheet that does not hold the guide costs the guide alone: report, rails' solids and programs have nothing to do with paper. */
function guidePart(outcome: Outcome, shop: Shop | undefined): Result<GuidePart> {
  const pages = guideOf(outcome, shop);
  const solids = railSolids(guideTaskOf(outcome, shop));
  if (pages.ok) {
    const texts = svgTexts(pages.value).map((text, index) => ({ name: guidePageName('guide.svg', index), text }));
    return good({ sheets: pages.value, artifacts: [...texts, ...solids] }, pages.warnings);
  }
  const other = pages.findings.filter(({ code }) => code !== 'sheet-too-small');
  if (other.length > 0) return bad(other);
  return good(
    { sheets: [], artifacts: solids },
    pages.findings.map((finding) => ({ ...finding, severity: 'warning', exit: null })),
  );
}

interface Cut {
  readonly sheets: readonly Drawing[];
  readonly artifacts: readonly Artifact[];
  readonly shown: PreviewProgram | undefined;
  readonly stays: readonly Stay[];
  readonly assumed: readonly string[];
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

/** What a floor that is to be cut brings beside the report: the guide and, with a shop file, the proved programs. */
function cutPart(outcome: Outcome, shop: Shop | undefined): Result<Cut> {
  const guide = guidePart(outcome, shop);
  if (!guide.ok) return guide;
  const notes = guide.value.sheets.length === 0 ? ['no guide was made: the sheet is too small for it'] : [];
  if (shop === undefined)
    return good({
      ...guide.value,
      shown: undefined,
      stays: [],
      assumed: USUAL_SHEET_SAID,
      notes: [...notes, 'no shop file was given, so no router program was made'],
      warnings: guide.warnings,
    });
  const programs = programsOf(outcome, shop, ['floor', 'air', 'trace']);
  if (!programs.ok) return programs;
  const [first] = programs.value;
  const stays = first?.program.stays ?? [];
  // A rim or strip that is left higher than the target forgives would hold the heel up.
  const most = outcome.job.target.within / Math.abs(outcome.solution.gain);
  return good({
    sheets: guide.value.sheets,
    artifacts: [
      ...guide.value.artifacts,
      ...programs.value.map(({ kind, program }) => ({ name: `${kind}.nc`, text: program.text })),
    ],
    shown: first === undefined ? undefined : shownOf(first, outcome, shop),
    stays,
    assumed: shop.assumed,
    notes,
    warnings: [...guide.warnings, ...staysWarnings(stays, most), ...programs.value.flatMap(({ verdict }) => verdict.warnings)],
  });
}

const NOTHING_CUT: Cut = {
  sheets: [],
  artifacts: [],
  shown: undefined,
  stays: [],
  assumed: [],
  notes: ['no cut is needed, so there is no guide and no program'],
  warnings: [],
};

/** Everything a job gives: report, guide, preview and, with a shop file, the proved programs. */
export function makeAll(jobSource: Named, shopSource: Named | undefined): Result<Made> {
  const shopRead = shopSource === undefined ? undefined : readShop(shopSource.text, shopSource.file);
  const solved = solveText(jobSource);
  const findings = [...(solved.ok ? [] : solved.findings), ...(shopRead === undefined || shopRead.ok ? [] : shopRead.findings)];
  if (!solved.ok || (shopRead !== undefined && !shopRead.ok)) return bad(findings);
  const cut = solved.value.floor.deepest > 0 ? cutPart(solved.value, shopRead?.value) : good(NOTHING_CUT);
  if (!cut.ok) return cut;
  const { artifacts, sheets, shown, stays, assumed, notes } = cut.value;
  const outcome: Outcome = {
    ...solved.value,
    stays,
    shopAssumed: assumed,
    warnings: [...solved.value.warnings, ...cut.value.warnings],
  };
  const report: Artifact[] = [
    { name: 'report.txt', text: outcomeText(outcome) },
    { name: 'report.json', text: `${JSON.stringify(outcomeJson(outcome), null, 2)}\n` },
  ];
  const warnings = [...outcome.warnings, ...(shopRead?.warnings ?? [])];
  const map = artifacts.find(({ name }) => name === 'guide.svg')?.text;
  const preview: Artifact = { name: 'preview.html', text: pageOf({ ...outcome, warnings }, map, shown) };
  return good({ outcome, artifacts: [...report, ...artifacts, preview], sheets, notes, warnings });
}
