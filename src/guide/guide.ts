import { bad, good, type Result } from '../kernel/findings.ts';
import { layGuide, PAPERS } from './sheets.ts';
import { drawingSvg } from './svg.ts';
import type { GuideTask } from './task.ts';

/** The guide's sheets as SVG texts: the map on the first, words that found no room there on the next. */
export function guideSvg(task: GuideTask): Result<readonly string[]> {
  const sheets = layGuide(task);
  if (sheets !== undefined) return good(sheets.map((sheet) => drawingSvg(sheet, 'pocketpitch guide')));
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
