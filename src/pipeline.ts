import type { Drawing } from './guide/drawing.ts';
import { type Artifact, guidePart, USUAL_SHEET_SAID } from './guideJob.ts';
import { readShop } from './job/readShop.ts';
import type { Shop } from './job/shop.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import type { PreviewProgram } from './preview/task.ts';
import { pageOf, shownOf } from './previewJob.ts';
import type { Stay } from './program/task.ts';
import { drawingWarnings, leaveSaid, notNow, oneRunSaid, runWarnings, zeroTooCoarse } from './report/beforeRun.ts';
import { outcomeJson } from './report/json.ts';
import type { Outcome } from './report/outcome.ts';
import { outcomeText } from './report/words.ts';
import { cutProgramsOf } from './routeJob.ts';
import { type Named, partlyFiled, solveText } from './solveJob.ts';

export interface Made {
  readonly outcome: Outcome;
  readonly artifacts: readonly Artifact[];
  /** The guide's sheets, for writers that are not text. */
  readonly sheets: readonly Drawing[];
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

interface Cut {
  readonly sheets: readonly Drawing[];
  readonly artifacts: readonly Artifact[];
  readonly shown: readonly PreviewProgram[];
  readonly stays: readonly Stay[];
  readonly staysForRim: readonly Stay[];
  readonly assumed: readonly string[];
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

/** A shop file for the paper alone, as a bench without a router has one. */
const NO_CUTTER = 'the shop file names no cutter (cutter.diameter, cutter.length, program.units)';

/** What a floor that is to be cut brings beside the report: the guide and, with a shop file, the proved programs. */
function cutPart(outcome: Outcome, shop: Shop | undefined): Result<Cut> {
  const guide = guidePart(outcome, shop);
  if (!guide.ok) return guide;
  const notes = guide.value.sheets.length === 0 ? ['no guide was made: the sheet is too small for it'] : [];
  const held = shop === undefined || shop.isForPaper ? [] : zeroTooCoarse(outcome, shop);
  if (shop === undefined || shop.isForPaper || held.length > 0) {
    const none = `${shop === undefined ? 'no shop file was given' : NO_CUTTER}, so no router program was made`;
    return good({
      ...guide.value,
      shown: [],
      stays: [],
      staysForRim: [],
      assumed: shop?.assumed ?? USUAL_SHEET_SAID,
      notes: [...notes, ...(held.length > 0 ? held.map(({ message }) => `${message}: file the rest`) : [none])],
      warnings: guide.warnings,
    });
  }
  const programs = cutProgramsOf(outcome, shop, ['floor', 'air', 'trace']);
  if (!programs.ok) return programs;
  const { all, floor, rim, stays, staysForRim, notes: cutNotes } = programs.value;
  return good({
    sheets: guide.value.sheets,
    artifacts: [...guide.value.artifacts, ...all.map(({ kind, program }) => ({ name: `${kind}.nc`, text: program.text }))],
    shown: shownOf(outcome, shop, floor, rim),
    stays,
    staysForRim,
    assumed: shop.assumed,
    notes: [...notes, ...cutNotes, ...oneRunSaid(outcome, shop), ...leaveSaid(outcome, shop.leave), ...partlyFiled(outcome)],
    warnings: [...runWarnings(outcome), ...guide.warnings, ...programs.warnings],
  });
}

const NOTHING_CUT: Cut = {
  sheets: [],
  artifacts: [],
  shown: [],
  stays: [],
  staysForRim: [],
  assumed: [],
  notes: [],
  warnings: [],
};

/** Everything a job gives: report, guide, preview and, with a shop file, the proved programs. */
export function makeAll(jobSource: Named, shopSource: Named | undefined): Result<Made> {
  const shopRead = shopSource === undefined ? undefined : readShop(shopSource.text, shopSource.file);
  const solved = solveText(jobSource);
  const findings = [...(solved.ok ? [] : solved.findings), ...(shopRead === undefined || shopRead.ok ? [] : shopRead.findings)];
  if (!solved.ok || (shopRead !== undefined && !shopRead.ok)) return bad(findings);
  const none = notNow(solved.value, 'guide and no program').map(({ message }) => message);
  const cut = none.length === 0 ? cutPart(solved.value, shopRead?.value) : good({ ...NOTHING_CUT, notes: none });
  if (!cut.ok) return cut;
  const { artifacts, sheets, shown, stays, staysForRim, assumed, notes } = cut.value;
  const outcome: Outcome = {
    ...solved.value,
    stays,
    staysForRim,
    shopAssumed: assumed,
    warnings: [...solved.value.warnings, ...cut.value.warnings],
  };
  const report: Artifact[] = [
    { name: 'report.txt', text: outcomeText(outcome) },
    { name: 'report.json', text: `${JSON.stringify(outcomeJson(outcome), null, 2)}\n` },
  ];
  const warnings = [...outcome.warnings, ...(shopRead?.warnings ?? [])];
  const preview: Artifact = { name: 'preview.html', text: pageOf({ ...outcome, warnings }, sheets[0], shown, shopRead?.value) };
  const isPlan = shown.length === 0 ? [] : drawingWarnings(outcome);
  return good({ outcome, artifacts: [...report, ...artifacts, preview], sheets, notes, warnings: [...isPlan, ...warnings] });
}
