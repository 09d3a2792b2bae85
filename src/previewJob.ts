import type { Drawing } from './guide/drawing.ts';
import { guideOf } from './guideJob.ts';
import type { Shop } from './job/shop.ts';
import { type Finding, good, type Result } from './kernel/findings.ts';
import { previewPage } from './preview/page.ts';
import { stationsOf } from './preview/stations.ts';
import type { PreviewProgram, PreviewTask } from './preview/task.ts';
import { type ProofKind, proveProgram, type Verdict } from './proof/prove.ts';
import { runWarnings } from './report/beforeRun.ts';
import { readingText } from './report/fit.ts';
import { FROM_DRAWING, fromDrawingAlone, leadParagraphs } from './report/head.ts';
import { isCutLeft, type Outcome } from './report/outcome.ts';
import { lengthsIn } from './report/text.ts';
import { CAUTION } from './report/words.ts';
import { type ProvedProgram, programsOf, proofWorkOf, staysWarningsOf } from './routeJob.ts';

/** A program of the shop's own as the page shows it. */
export function shownOf({ kind, program, verdict }: ProvedProgram, outcome: Outcome, shop: Shop): PreviewProgram {
  return { name: `The ${kind} program`, text: program.text, kind, verdict, shop, mounted: outcome.job.pocket.mounted };
}

/** What is shown of a job; `map` is the printed guide's first sheet, if there is one. */
export function previewTaskOf(outcome: Outcome, map: Drawing | undefined, program: PreviewProgram | undefined): PreviewTask {
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
      ...warnings.filter(({ code }) => code !== 'evidence-contradicts').map(({ message }) => message),
      CAUTION,
    ],
    fitNotes: job.fits.flatMap(({ note }) => (note === undefined ? [] : [note])),
    solution: outcome.solution,
    floor: outcome.floor,
    setting: outcome.setting,
    action: outcome.action,
    deepestUncertainty: outcome.uncertainty.deepest,
    stops: outcome.stops.map((stop) => ({ ...stop, why: `${stop.why}; ${readingText(stop, lengthsIn(job.units))}` })),
    stations: map === undefined ? [] : stationsOf(map),
    stays: outcome.stays,
    program,
  };
}

/** The page to look at before cutting. */
export function pageOf(outcome: Outcome, map: Drawing | undefined, program: PreviewProgram | undefined): string {
  return previewPage(previewTaskOf(outcome, map, program));
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
    const shown = { ...given, verdict, shop, mounted: outcome.job.pocket.mounted };
    return good({ page: pageOf({ ...outcome, warnings }, mapOf(outcome, shop), shown), verdict, warnings });
  }
  if (!isCutLeft(outcome))
    return good({ page: pageOf({ ...outcome, warnings }, undefined, undefined), verdict: undefined, warnings });
  const map = mapOf(outcome, shop);
  if (shop === undefined || shop.isForPaper)
    return good({ page: pageOf({ ...outcome, warnings }, map, undefined), verdict: undefined, warnings });
  const programs = programsOf(outcome, shop, ['floor']);
  if (!programs.ok) return programs;
  const [first] = programs.value;
  if (first === undefined) throw new Error('no program came back');
  const { stays } = first.program;
  const all = [...warnings, ...runWarnings(outcome), ...staysWarningsOf(outcome, first.program), ...first.verdict.warnings];
  const full = { ...outcome, stays, warnings: all };
  return good({ page: pageOf(full, map, shownOf(first, outcome, shop)), verdict: first.verdict, warnings: all });
}
