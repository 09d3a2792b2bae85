import { addFit } from '../../job/addFit.ts';
import { calledBy, entryOf, type FitEntry, notedTwice } from '../../job/notedFit.ts';
import { withoutLastFit } from '../../job/withoutLastFit.ts';
import type { Finding } from '../../kernel/findings.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { fitText } from '../../report/fit.ts';
import type { Outcome } from '../../report/outcome.ts';
import { type Named, solveText } from '../../solveJob.ts';
import { spokenText } from '../findings.ts';
import { fitPlot, fitTable } from '../fitPlot.ts';
import { onPage } from '../said.ts';
import type { Words } from '../words.ts';

export interface Fitting {
  /** The job as it stands; undefined where it is not sound. */
  readonly show: (outcome: Outcome | undefined) => void;
}

type TypedReading = string | { readonly bass: string; readonly treble: string };

/** A reading as typed: the first entry alone stands for both sides; `half` where only the second is given. */
function readingOf(bass: string, treble: string): TypedReading | 'half' | undefined {
  if (bass === '') return treble === '' ? undefined : 'half';
  return treble === '' || bass === treble ? bass : { bass, treble };
}

/** The entry of the sheet that a reading was typed into: one value for both sides stands in the first. */
function inputOf({ key, side }: FitEntry): string | undefined {
  const id = {
    depth: 'fit-depth',
    lastFretGap: 'fit-gap',
    raised: 'fit-raised',
    lowest: 'fit-lowest',
    highest: 'fit-highest',
    shim: 'fit-shim',
    note: 'fit-note',
    on: 'fit-on',
  }[key];
  return id === undefined || ['lowest', 'highest', 'shim', 'note', 'on'].includes(key) ? id : `${id}-${side ?? 'bass'}`;
}

export function makeFitting(words: Words, job: () => Named, change: (text: string) => void): Fitting {
  const input = (id: string): HTMLInputElement => byId(id, HTMLInputElement);
  const value = (id: string): string => input(id).value.trim();
  const said = byId('fit-said', HTMLDivElement);
  const say = (...lines: readonly string[]): void => said.replaceChildren(...lines.map((line) => make('p', line)));
  const all = (): Iterable<HTMLInputElement> =>
    byId('fit-part', HTMLDivElement).querySelectorAll<HTMLInputElement>('.field input');
  const mark = (id: string): void => {
    input(id).setAttribute('aria-invalid', 'true');
    input(id).closest('.field')?.classList.add('wrong');
  };
  const unmark = (): void => {
    for (const each of all()) {
      each.removeAttribute('aria-invalid');
      each.closest('.field')?.classList.remove('wrong');
    }
  };
  /** A finding about an entry of the sheet, called as that is, which is marked. */
  const named = (finding: Finding, text: string): Finding => {
    const entry = entryOf(finding, text);
    const id = entry === undefined ? undefined : inputOf(entry);
    if (entry === undefined || id === undefined) return finding;
    mark(id);
    return calledBy(finding, entry, text, `\u201c${input(id).getAttribute('aria-label') ?? ''}\u201d`);
  };
  byId('fit-add', HTMLButtonElement).addEventListener('click', () => {
    const depth = readingOf(value('fit-depth-bass'), value('fit-depth-treble'));
    const gap = readingOf(value('fit-gap-bass'), value('fit-gap-treble'));
    const raised = readingOf(value('fit-raised-bass'), value('fit-raised-treble'));
    const typed = (id: string): string | undefined => (value(id) === '' ? undefined : value(id));
    const [lowest, highest] = [typed('fit-lowest'), typed('fit-highest')];
    const isGauged = (lowest ?? highest) !== undefined;
    unmark();
    if (depth === undefined || depth === 'half' || gap === 'half' || raised === 'half' || (gap === undefined && !isGauged)) {
      say(words.fit.missing);
      for (const [id, reading] of [
        ['fit-depth-bass', depth],
        ['fit-gap-bass', gap],
        ['fit-raised-bass', raised],
      ] as const)
        if (reading === 'half' || (reading === undefined && id !== 'fit-raised-bass' && !(isGauged && id === 'fit-gap-bass')))
          mark(id);
      return;
    }
    const source = job();
    const fit = {
      depth,
      gap,
      raised,
      lowest,
      highest,
      shim: typed('fit-shim'),
      note: typed('fit-note'),
      on: typed('fit-on'),
    };
    const next = addFit(source.text, fit);
    const solved = next === undefined ? undefined : solveText({ ...source, text: next });
    const refused = solved?.ok === false ? solved.findings : notedTwice(solved?.ok ? solved.value.job.fits : []);
    if (next === undefined || solved?.ok !== true || refused.length > 0) {
      say(words.fit.refused, ...refused.map((each) => onPage(spokenText(named(each, next ?? '')), words)));
      return;
    }
    for (const id of [
      'depth-bass',
      'depth-treble',
      'gap-bass',
      'gap-treble',
      'raised-bass',
      'raised-treble',
      'lowest',
      'highest',
      'shim',
      'note',
      'on',
    ])
      input(`fit-${id}`).value = '';
    change(next);
    say(
      ...fitText(solved.value)
        .trim()
        .split(/\n\n/)
        .map((part) => onPage(part.replace(/\s+/g, ' '), words)),
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
