import type { Drawing } from './guide/drawing.ts';
import { guideOf } from './guideJob.ts';
import { apartInZ, type Shop, withRimCutter } from './job/shop.ts';
import { type Finding, good, type Result } from './kernel/findings.ts';
import { previewPage } from './preview/page.ts';
import { stationsOf } from './preview/stations.ts';
import type { PreviewProgram, PreviewTask } from './preview/task.ts';
import { type ProofKind, type ProofWork, proveProgram } from './proof/prove.ts';
import { isHardlyACut } from './report/aim.ts';
import { heldBack, runWarnings, zeroTooCoarse } from './report/beforeRun.ts';
import { readingText } from './report/fit.ts';
import { FROM_DRAWING, IN_LEAD, leadParagraphs } from './report/head.ts';
import { fromDrawingAlone, hasStops, isCutLeft, type Outcome } from './report/outcome.ts';
import { lengthsIn } from './report/text.ts';
import { CAUTION } from './report/words.ts';
import { cutProgramsOf, otherJobSaid, otherwiseSaid, type ProvedProgram, proofWorkOf, rimWorkOf } from './routeJob.ts';
import { isWoodOff } from './solve/noted.ts';

/** The shop's own programs as the page shows them, in the order in which they are run: the floor's and, where there is one, the rim's. */
export function shownOf(
  outcome: Outcome,
  shop: Shop,
  floor: ProvedProgram,
  rim: ProvedProgram<'rim' | 'rim-air'> | undefined,
): readonly PreviewProgram[] {
  const { mounted } = outcome.job.pocket;
  const first: PreviewProgram = {
    name: 'The floor program',
    text: floor.program.text,
    kind: floor.kind,
    verdict: floor.verdict,
    shop,
    mounted,
  };
  if (rim === undefined || shop.rim === undefined) return [first];
  return [
    first,
    {
      name: 'The rim program',
      text: rim.program.text,
      kind: 'rim',
      verdict: rim.verdict,
      shop: withRimCutter(shop, shop.rim),
      mounted,
      higher: apartInZ(shop),
    },
  ];
}

const REFUSED = 'The router program was refused, so there is none to look at.';

/** Why none of the shop's own programs is shown. */
function noProgramSaid(outcome: Outcome, shop: Shop | undefined): string {
  if (outcome.floor.deepest === 0) return 'No cut is needed, so there is no floor and no router program to look at.';
  if (heldBack(outcome).length > 0) return 'Nothing is to be cut before you have measured again, so no router program is shown.';
  if (!isCutLeft(outcome)) return 'Nothing is to be cut now, so no router program is shown.';
  if (shop === undefined) return 'No shop file was given, so there is no router program to look at.';
  if (shop.isForPaper) return 'The shop file names no cutter, so there is no router program to look at.';
  return zeroTooCoarse(outcome, shop).length > 0
    ? "What is left is less than Z can be set to from the body's top: it is for the file, and no router program is shown."
    : REFUSED;
}

/** What is shown of a job; `map` is the printed guide's first sheet, if there is one. */
export function previewTaskOf(
  outcome: Outcome,
  map: Drawing | undefined,
  programs: readonly PreviewProgram[],
  shop?: Shop,
): PreviewTask {
  const { job, warnings } = outcome;
  return {
    title: job.title,
    fingerprint: outcome.fingerprint,
    units: job.units,
    hand: job.hand,
    lead: leadParagraphs(outcome).join(' '),
    cautions: [
      ...warnings.filter(({ code }) => code === 'evidence-contradicts').map(({ message }) => message),
      ...(fromDrawingAlone(outcome) ? [FROM_DRAWING] : []),
      ...warnings.filter(({ code }) => code !== 'evidence-contradicts' && code !== IN_LEAD).map(({ message }) => message),
      CAUTION,
    ],
    fitNotes: job.fits.flatMap(({ note }) => (note === undefined ? [] : [note])),
    solution: outcome.solution,
    floor: outcome.floor,
    isFiled: isWoodOff(job),
    setting: outcome.setting,
    action: outcome.action,
    deepestUncertainty: outcome.uncertainty.deepest,
    stops: (isHardlyACut(outcome) || !hasStops(outcome) ? [] : outcome.stops).map((stop) => ({
      ...stop,
      why: `${stop.why}; ${readingText(stop, lengthsIn(job.units))}`,
    })),
    stations: map === undefined ? [] : stationsOf(map),
    stays: outcome.stays,
    staysForRim: outcome.staysForRim,
    programs,
    noProgram: noProgramSaid(outcome, shop),
  };
}

/** The page to look at before cutting. */
export function pageOf(
  outcome: Outcome,
  map: Drawing | undefined,
  programs: readonly PreviewProgram[],
  shop: Shop | undefined,
): string {
  return previewPage(previewTaskOf(outcome, map, programs, shop));
}

/** The page of a job where more than the report could not be made: `hasShop` tells whether programs were asked for. */
export function pageWithoutPrograms(outcome: Outcome, hasShop: boolean): string {
  const isCutNow = hasStops(outcome);
  const task = previewTaskOf(outcome, isCutNow ? mapOf(outcome, undefined) : undefined, []);
  return previewPage(isCutNow && hasShop ? { ...task, noProgram: REFUSED } : task);
}

/** A pocket too large for the printer's paper can be looked at all the same. */
function mapOf(outcome: Outcome, shop: Shop | undefined): Drawing | undefined {
  const guide = guideOf(outcome, shop, 'map');
  return guide.ok ? guide.value[0] : undefined;
}

/** A program of anyone's to look at against a job. */
export interface Given {
  readonly name: string;
  readonly text: string;
  readonly kind: ProofKind;
  /** Of a second cutter's program: the one that is run before it. */
  readonly after?: { readonly name: string; readonly text: string } | undefined;
}

export interface Preview {
  readonly page: string;
  /** Of the programs shown. */
  readonly programs: readonly PreviewProgram[];
  readonly warnings: readonly Finding[];
  readonly notes: readonly string[];
}

/** Another's program judged, and before it the one that it comes after. */
function judged(outcome: Outcome, shop: Shop, { name, text, kind, after }: Given): Result<readonly PreviewProgram[]> {
  const { mounted } = outcome.job.pocket;
  const work = proofWorkOf(outcome, shop);
  if (!work.ok) return work;
  const shown = (of: Omit<Given, 'after'>, by: ProofWork): PreviewProgram => ({
    ...of,
    verdict: proveProgram(of.text, by, of.kind),
    shop: by.shop,
    mounted,
    said: [...otherJobSaid(of.text, outcome), ...otherwiseSaid(of.text, of.kind, by.shop)],
  });
  if (after === undefined) return good([shown({ name, text, kind }, work.value)]);
  const second = rimWorkOf(outcome, shop, after.text);
  if (!second.ok) return second;
  return good([
    shown({ ...after, kind: 'floor' }, work.value),
    { ...shown({ name, text, kind }, second.value), higher: apartInZ(shop) },
  ]);
}

/** The preview with a shop's own programs, or with another's, proved or not; without a shop file, of the job alone. */
export function previewOf(
  outcome: Outcome,
  shop: Shop | undefined,
  given: Given | undefined,
  warnings: readonly Finding[],
): Result<Preview> {
  const page = (full: Outcome, map: Drawing | undefined, programs: readonly PreviewProgram[], notes: readonly string[] = []) =>
    good({ page: pageOf(full, map, programs, shop), programs, warnings: full.warnings, notes });
  const plain = { ...outcome, warnings };
  if (given !== undefined && shop !== undefined) {
    const programs = judged(outcome, shop, given);
    return programs.ok ? page(plain, mapOf(outcome, shop), programs.value) : programs;
  }
  const said = (held: readonly Finding[]): string[] => held.map(({ message }) => message);
  const held = heldBack(outcome);
  if (held.length > 0) return page(plain, undefined, [], said(held));
  if (!isCutLeft(outcome)) return page(plain, undefined, []);
  if (shop === undefined || shop.isForPaper) return page(plain, mapOf(outcome, shop), []);
  const coarse = zeroTooCoarse(outcome, shop);
  if (coarse.length > 0) return page(plain, mapOf(outcome, shop), [], said(coarse));
  const cut = cutProgramsOf(outcome, shop, ['floor']);
  if (!cut.ok) return cut;
  const { floor, rim, stays, staysForRim, notes } = cut.value;
  const all = [...warnings, ...runWarnings(outcome), ...cut.warnings];
  return page({ ...outcome, stays, staysForRim, warnings: all }, mapOf(outcome, shop), shownOf(outcome, shop, floor, rim), notes);
}
