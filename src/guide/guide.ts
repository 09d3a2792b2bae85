import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { cardSheet } from './card.ts';
import type { Drawing } from './drawing.ts';
import { numbered, PAPERS } from './frame.ts';
import { gaugeSheets } from './gauge.ts';
import { railsSheets } from './railsPage.ts';
import { layGuide } from './sheets.ts';
import { stripSheets } from './strip.ts';
import { drawingSvg, type LetterPaths } from './svg.ts';
import type { GuideTask } from './task.ts';

/** The guide's parts in the order of their sheets. */
export const PARTS = ['map', 'strip', 'gauge', 'rails', 'card'] as const;

export type Part = (typeof PARTS)[number];

const MAKERS: Readonly<Record<Part, (task: GuideTask) => readonly Drawing[] | undefined>> = {
  map: layGuide,
  strip: stripSheets,
  gauge: gaugeSheets,
  rails: railsSheets,
  card: (task) => {
    const card = cardSheet(task);
    return card === undefined ? undefined : [card];
  },
};

/** What a part that does not fit on the paper is called, for findings. */
const PART_NAMES: Readonly<Record<Exclude<Part, 'map'>, string>> = {
  strip: 'depth-line strip',
  gauge: 'slope gauge',
  rails: 'rails',
  card: 'bench card',
};

/**
 * The guide's sheets, the map on the first, or those of one part. A map that does not fit on the paper is an error; another part that does
 * not is left out with a warning, unless it alone was asked for.
 */
export function guideSheets(task: GuideTask, only?: Part): Result<readonly Drawing[]> {
  const sheets: Drawing[] = [];
  const warnings: Finding[] = [];
  for (const part of PARTS.filter((each) => only === undefined || each === only)) {
    const laid = MAKERS[part](task);
    if (laid !== undefined) sheets.push(...laid);
    else if (part === 'map') return noMap(task);
    else {
      const finding = tooSmall(task, part);
      if (only !== undefined) return bad([finding]);
      warnings.push({ ...finding, severity: 'warning', exit: null });
    }
  }
  return good(numbered(task, sheets), warnings);
}

function tooSmall(task: GuideTask, part: Exclude<Part, 'map'>): Finding {
  const { paper } = task.sheet;
  return {
    code: 'sheet-too-small',
    severity: 'error',
    exit: 3,
    message: `the ${PART_NAMES[part]} does not fit on ${paper} at its true size`,
    found: `sheet.paper: ${paper}`,
    remedy: 'print on larger paper',
  };
}

function noMap(task: GuideTask): Result<readonly Drawing[]> {
  const { paper } = task.sheet;
  const names = Object.keys(PAPERS) as (keyof typeof PAPERS)[];
  const roomy = names.find((name) => layGuide({ ...task, sheet: { ...task.sheet, paper: name } }) !== undefined);
  return bad([
    {
      code: 'sheet-too-small',
      severity: 'error',
      exit: 3,
      message: `the pocket's map does not fit on ${paper} at its true size`,
      found: `sheet.paper: ${paper}`,
      remedy:
        roomy === undefined
          ? 'no paper known here is large enough: take the depths from the report'
          : `print on larger paper: write sheet.paper: ${roomy} in the shop file`,
    },
  ]);
}

/** The sheets as SVG texts, one a file. */
export function svgTexts(sheets: readonly Drawing[]): string[] {
  const drawn: LetterPaths = new Map();
  return sheets.map((sheet) => drawingSvg(sheet, 'pocketpitch guide', drawn));
}

/** A guide as SVG texts. */
export function guideSvg(task: GuideTask, only?: Part): Result<readonly string[]> {
  const sheets = guideSheets(task, only);
  return sheets.ok ? good(svgTexts(sheets.value)) : sheets;
}
