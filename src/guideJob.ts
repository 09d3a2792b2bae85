import type { Drawing } from './guide/drawing.ts';
import { guideSheets, type Part, svgTexts } from './guide/guide.ts';
import { railSolids } from './guide/railsSolid.ts';
import type { GuideTask } from './guide/task.ts';
import { type DeepEdge, fitPlane } from './instrument/equations.ts';
import { handSign, type Sides } from './instrument/neck.ts';
import type { Shop } from './job/shop.ts';
import { bad, good, type Result } from './kernel/findings.ts';
import type { FloorPlane } from './kernel/plane.ts';
import { notNow } from './report/beforeRun.ts';
import { comingStop } from './report/comingStop.ts';
import { fromDrawingAlone, type Outcome } from './report/outcome.ts';
import { depthNoted } from './solve/noted.ts';

/** Where no shop file says it: the sheet most printers hold, from a printer that is true. */
const USUAL_SHEET = { paper: 'A4', measuredX: 100, measuredY: 100 } as const;
/** What was taken where there is no shop file, for the report. */
export const USUAL_SHEET_SAID = [
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
  const none = notNow(outcome, 'guide to make');
  return none.length > 0 ? bad(none) : guideSheets(guideTaskOf(outcome, shop), only);
}

/** The floors of the fits to come, and the one filed at the last fit. */
function progressOf({ solution, stops, fitting, job }: Outcome): Pick<GuideTask, 'stages' | 'filed' | 'reached'> {
  const values = solution.instrument.job;
  const floorAt = (edge: DeepEdge, at: Sides): FloorPlane | null =>
    fitPlane(solution.outline, handSign(values), edge, at, values.target.skim);
  const stages = stops.flatMap(({ edge, at, read }, i) => {
    const floor = floorAt(edge, at);
    return floor === null ? [] : [{ fit: job.fits.length + i + 1, edge, at, floor, read }];
  });
  const isFiled = fitting !== null && fitting.reached.bass + fitting.reached.treble > 0;
  if (!isFiled) return { stages, filed: undefined };
  const { placed, at, more } = comingStop(job, fitting);
  const reached = { depth: depthNoted(job), left: fitting.left, placed: placed?.now, more: at === undefined ? more : undefined };
  return { stages, filed: floorAt(fitting.edge, fitting.reached) ?? undefined, reached };
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
    drawingAlone: fromDrawingAlone(outcome),
    hingeName: solution.hingeName,
    screws: job.pocket.screws,
    sheet: shop?.sheet ?? USUAL_SHEET,
    ...progressOf(outcome),
    gap: job.target.gap,
    highest: job.target.highest,
    within: job.target.within,
    cutter:
      shop?.cutter.diameter === undefined
        ? undefined
        : {
            diameter: shop.cutter.diameter,
            length: shop.cutter.length,
            wall: shop.clearance.wall,
            rim: shop.rim?.diameter,
          },
    rails: shop?.rails ?? USUAL_RAILS,
  };
}

/** A file of text that `make` writes. */
export interface Artifact {
  readonly name: string;
  readonly text: string;
}

export function guidePageName(first: string, index: number): string {
  return index === 0 ? first : first.replace(/(\.[a-z]+)?$/i, (ending) => `-${index + 1}${ending}`);
}

interface GuidePart {
  readonly sheets: readonly Drawing[];
  readonly artifacts: readonly Artifact[];
}

/** A sheet that does not hold the guide costs the guide alone: report, rails' solids and programs have nothing to do with paper. */
export function guidePart(outcome: Outcome, shop: Shop | undefined): Result<GuidePart> {
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
