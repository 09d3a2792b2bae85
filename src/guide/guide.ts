import { bad, good, type Result } from '../kernel/findings.ts';
import type { Drawing } from './drawing.ts';
import { layGuide, PAPERS } from './sheets.ts';
import { drawingSvg } from './svg.ts';
import type { GuideTask } from './task.ts';

/** The guide's sheets, the map on the first. */
export function guideSheets(task: GuideTask): Result<readonly Drawing[]> {
  const sheets = layGuide(task);
  if (sheets !== undefined) return good(sheets);
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
  return sheets.map((sheet) => drawingSvg(sheet, 'pocketpitch guide'));
}

/** A guide as SVG texts. */
export function guideSvg(task: GuideTask): Result<readonly string[]> {
  const sheets = guideSheets(task);
  return sheets.ok ? good(svgTexts(sheets.value)) : sheets;
}
