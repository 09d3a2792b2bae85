import { html, type Markup, NOTHING } from '../preview/html.ts';
import { depthsTable, figuresTable, screwsTable, stopsList, tableOf } from '../preview/sheets.ts';
import type { PreviewTask } from '../preview/task.ts';
import { cureTable, NOTHING_TO_CURE } from '../report/cures.ts';
import { fitText } from '../report/fit.ts';
import type { Outcome } from '../report/outcome.ts';
import { lengthsIn } from '../report/text.ts';
import { measureAgain } from '../report/words.ts';
import type { Words } from './words.ts';

/** What to take off and how sure that is, as the preview's first sheet says it, and what to measure again. */
export function answerMarkup(task: PreviewTask, outcome: Outcome, words: Words): Markup {
  const isCut = task.floor.deepest > 0;
  const again = measureAgain(outcome);
  const fit =
    outcome.fitting === null
      ? NOTHING
      : html`<h3>${words.see.stand}</h3><p class="lead">${fitText(outcome).replace(/\s+/g, ' ')}</p>`;
  return html`<p class="lead">${task.lead}</p>${fit}${again === undefined ? NOTHING : html`<p><strong>${again}</strong></p>`}
<section class="cautions" aria-labelledby="see-cautions"><h3 id="see-cautions">${words.sheets.mind}</h3><ul>${task.cautions.map((caution) => html`<li>${caution}</li>`)}</ul></section>
<div class="columns"><div>${stopsList(task)}${isCut ? depthsTable(task) : NOTHING}</div><div>${figuresTable(task)}</div>${isCut ? html`<div>${screwsTable(task)}</div>` : NOTHING}</div>`;
}

/** The other ways to the same place, side by side. */
export function curesMarkup(outcome: Outcome, words: Words): Markup {
  const { columns, rows, key, notes } = cureTable(outcome);
  if (rows.length === 0) return html`<p>${NOTHING_TO_CURE}</p>`;
  return html`${tableOf(words.see.cures, columns, rows)}<p>${key}.</p><ul>${notes.map((note) => html`<li>${note}</li>`)}</ul>`;
}

/** The answer in one line, for the strip at the foot. */
export function tallyText(outcome: Outcome, words: Words): string {
  const { short, spread } = lengthsIn(outcome.job.units);
  const { floor, solution, uncertainty } = outcome;
  if (floor.deepest === 0) return words.see.noCut;
  const edge = solution.pitch < 0 ? 'rear' : 'mouth';
  return `${words.see.off} ${short(floor.deepest)} ${spread(uncertainty.deepest)} ${words.see.at[edge]}`;
}
