import { parseDocument } from 'yaml';
import { addFit } from '../../job/addFit.ts';
import { findingText } from '../../kernel/findings.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { fitText } from '../../report/fit.ts';
import type { Outcome } from '../../report/outcome.ts';
import { type Named, solveText } from '../../solveJob.ts';
import { fitPlot, fitTable } from '../fitPlot.ts';
import type { Words } from '../words.ts';

export interface Fitting {
  /** The job as it stands; undefined where it is not sound. */
  readonly show: (outcome: Outcome | undefined) => void;
}

/** A reading as typed: one value where both sides are the same or only one is given for a single one. */
function readingOf(bass: string, treble: string): string | { readonly bass: string; readonly treble: string } | undefined {
  if (bass === '' && treble === '') return undefined;
  if (treble === '' || bass === treble) return bass === '' ? undefined : bass;
  return bass === '' ? undefined : { bass, treble };
}

/** The job's text without its last fit; undefined where there is none to take. */
function withoutLastFit(text: string): string | undefined {
  const doc = parseDocument(text);
  const fits = doc.get('fits', true) as { readonly items?: readonly unknown[]; readonly flow?: boolean } | undefined;
  const items = fits?.items ?? [];
  if (items.length === 0) return undefined;
  const { range } = items.at(-1) as { readonly range: readonly [number, number, number] };
  const before = items.at(-2) as { readonly range: readonly [number, number, number] } | undefined;
  if (fits?.flow === true) return text.slice(0, before?.range[1] ?? range[0]) + text.slice(range[1]);
  const from = text.lastIndexOf('\n', text.lastIndexOf('-', range[0])) + 1;
  const end = text.indexOf('\n', range[1] - 1);
  const rest = end < 0 ? '' : text.slice(end + 1);
  const head = text.slice(0, from);
  return items.length === 1 ? head.replace(/^fits:[^\n]*\n$/m, (line) => (head.endsWith(line) ? '' : line)) + rest : head + rest;
}

export function makeFitting(words: Words, job: () => Named, change: (text: string) => void): Fitting {
  const input = (id: string): HTMLInputElement => byId(id, HTMLInputElement);
  const value = (id: string): string => input(id).value.trim();
  const said = byId('fit-said', HTMLDivElement);
  const say = (...lines: readonly string[]): void => said.replaceChildren(...lines.map((line) => make('p', line)));
  byId('fit-add', HTMLButtonElement).addEventListener('click', () => {
    const depth = readingOf(value('fit-depth-bass'), value('fit-depth-treble'));
    const gap = readingOf(value('fit-gap-bass'), value('fit-gap-treble'));
    const raised = readingOf(value('fit-raised-bass'), value('fit-raised-treble'));
    if (depth === undefined || gap === undefined) {
      say(words.fit.missing);
      return;
    }
    const source = job();
    const note = value('fit-note');
    const on = value('fit-on');
    const fit = {
      depth,
      gap,
      raised: typeof raised === 'object' ? raised.bass : raised,
      note: note === '' ? undefined : note,
      on: on === '' ? undefined : on,
    };
    const next = addFit(source.text, fit);
    const solved = next === undefined ? undefined : solveText({ ...source, text: next });
    if (next === undefined || solved?.ok !== true) {
      say(words.fit.refused, ...(solved?.ok === false ? solved.findings.map(findingText) : []));
      return;
    }
    for (const id of ['depth-bass', 'depth-treble', 'gap-bass', 'gap-treble', 'raised-bass', 'raised-treble', 'note', 'on'])
      input(`fit-${id}`).value = '';
    change(next);
    say(
      ...fitText(solved.value)
        .trim()
        .split(/\n\n/)
        .map((part) => part.replace(/\s+/g, ' ')),
    );
  });
  byId('fit-undo', HTMLButtonElement).addEventListener('click', () => {
    const next = withoutLastFit(job().text);
    if (next === undefined) return;
    said.replaceChildren();
    change(next);
  });
  return {
    show: (outcome) => {
      byId('fit-first', HTMLParagraphElement).classList.toggle('hidden', outcome !== undefined);
      byId('fit-part', HTMLDivElement).classList.toggle('hidden', outcome === undefined);
      if (outcome === undefined) return;
      const edge = outcome.fitting?.edge ?? (outcome.solution.pitch < 0 ? 'rear' : 'mouth');
      byId('fit-depth-how', HTMLParagraphElement).textContent = words.fit.depthHow[edge];
      for (const unit of byId('fit-part', HTMLDivElement).querySelectorAll('.unit')) unit.textContent = outcome.job.units;
      byId('fit-undo', HTMLButtonElement).disabled = outcome.job.fits.length === 0;
      byId('fit-plot', HTMLDivElement).innerHTML = fitPlot(outcome, words).markup;
      byId('fit-table', HTMLDivElement).innerHTML = fitTable(outcome, words).markup;
    },
  };
}
