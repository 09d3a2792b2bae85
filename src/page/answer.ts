import { readingName } from '../job/pathText.ts';
import { html, type Markup, NOTHING } from '../preview/html.ts';
import { depthsTable, figuresTable, screwsTable, stopsList, tableOf } from '../preview/sheets.ts';
import type { PreviewTask } from '../preview/task.ts';
import { cureTable, NOTHING_TO_CURE } from '../report/cures.ts';
import { fitText } from '../report/fit.ts';
import type { Outcome } from '../report/outcome.ts';
import { lengthsIn } from '../report/text.ts';
import { measureAgain } from '../report/words.ts';
import { elementId } from './fields.ts';
import { isFiled } from './filed.ts';
import { onPage } from './said.ts';
import type { Words } from './words.ts';

/** A key of the job file by the name of its field, with what more is in the key: `asFound.lastFretGap.bass`. */
function namedKey(key: string, words: Words): { readonly name: string; readonly id: string } {
  const id = Object.keys(words.fields).find((each) => key === each || key.startsWith(`${each}.`)) ?? '';
  const rest = key.slice(id.length + 1);
  const name = words.fields[id]?.name ?? readingName(key);
  const more: string = words.pairs[rest as keyof Words['pairs']] ?? rest;
  return { id, name: id === '' || more === '' ? name : `${name} (${more})` };
}

/** Which reading to take again, as the report says it, with the way to its field. */
function againMarkup(outcome: Outcome, words: Words): Markup {
  // A reading of the floor as found cannot be repeated on one that is filed.
  if (isFiled(outcome.job)) return NOTHING;
  const key = outcome.uncertainty.budget[0]?.input ?? '';
  const { name, id } = namedKey(key, words);
  const again = measureAgain(outcome, () => name);
  if (again === undefined) return NOTHING;
  const link = id === '' ? NOTHING : html` <a href="#${elementId('job', id)}-field">${words.see.goThere}</a>`;
  return html`<p class="again"><strong>${again}</strong>${link}</p>`;
}

/** What to take off and how sure that is, as the preview's first sheet says it, and what to measure again; `invented` figures are a starter's. */
export function answerMarkup(task: PreviewTask, outcome: Outcome, words: Words, invented: number): Markup {
  const fit =
    outcome.fitting === null
      ? NOTHING
      : html`<h3>${words.see.stand}</h3><p class="lead">${onPage(fitText(outcome).replace(/\s+/g, ' '), words)}</p>`;
  // The standing caution is the last: it comes below the drawings, where the figures begin.
  const own = [...(invented > 0 ? [words.see.invented(invented)] : []), ...task.cautions.slice(0, -1)];
  return html`${own.length === 0 ? NOTHING : cautionsMarkup(own, words, 'see-cautions')}<p class="lead">${onPage(task.lead, words)}</p>${fit}${againMarkup(outcome, words)}`;
}

/** A caution in the page's words; SAFETY.md is a sheet of the page. */
function withSafety(caution: string, words: Words): Markup {
  const [before = '', after] = caution.split('SAFETY.md');
  if (after === undefined) return html`${onPage(caution, words)}`;
  return html`${onPage(before, words)}<a href="#mind">${words.sheets.mind}</a>${onPage(after, words)}`;
}

function cautionsMarkup(cautions: readonly string[], words: Words, id: string): Markup {
  return html`<section class="cautions" aria-labelledby="${id}"><h3 id="${id}">${words.sheets.mind}</h3><ul>${cautions.map((caution) => html`<li>${withSafety(caution, words)}</li>`)}</ul></section>`;
}

/** The figures, below the drawings. */
export function figuresMarkup(task: PreviewTask, words: Words): Markup {
  if (task.floor.deepest === 0) return figuresTable(task);
  return html`${cautionsMarkup(task.cautions.slice(-1), words, 'see-caution')}${stopsList(task)}<div class="columns"><div>${depthsTable(task)}</div><div>${figuresTable(task)}</div><div>${screwsTable(task)}</div></div>`;
}

/** The other ways to the same place, side by side. */
export function curesMarkup(outcome: Outcome, words: Words): Markup {
  const { columns, rows, key, notes } = cureTable(outcome);
  if (rows.length === 0) return html`<p>${NOTHING_TO_CURE}</p>`;
  const asFound = isFiled(outcome.job) ? html`<p><strong>${words.see.curesAsFound}</strong></p>` : NOTHING;
  return html`${asFound}${tableOf(words.see.cures, columns, rows)}<p>${key}.</p><ul>${notes.map((note) => html`<li>${onPage(note, words)}</li>`)}</ul>`;
}

/** The answer in one line, for the strip at the foot; while it is not yet known how sure it is, without the ±. */
export function tallyText(outcome: Outcome, words: Words, isSure: boolean): string {
  const { short, spread } = lengthsIn(outcome.job.units);
  const { floor, solution, uncertainty, fitting } = outcome;
  if (fitting !== null) {
    // Before it is known how sure that is nothing is called done.
    if (fitting.done && isSure) return words.see.done;
    if (fitting.wayBack > 0) return words.see.tooDeep;
    if (fitting.surprise !== null) return words.see.contradict;
    if (fitting.doubt !== null) return words.see.readAgain;
    const open = isSure ? spread(fitting.leftUncertainty) : `${words.plusMinus}\u2026`;
    return `${words.see.left} ${short(fitting.left)} ${open} ${words.see.at[fitting.edge]}`;
  }
  if (floor.deepest === 0) return words.see.noCut;
  const edge = solution.pitch < 0 ? 'rear' : 'mouth';
  const more = isSure ? spread(uncertainty.deepest) : `${words.plusMinus}\u2026`;
  return `${words.see.off} ${short(floor.deepest)} ${more} ${words.see.at[edge]}`;
}
