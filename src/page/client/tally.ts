import { byId } from '../../preview/client/dom.ts';
import { elementId, type Field } from '../fields.ts';
import type { Placed } from '../findings.ts';
import { nameOf } from '../said.ts';
import type { Words } from '../words.ts';
import { goTo } from './goTo.ts';

export interface Tally {
  readonly show: (placed: Placed, fields: readonly Field[], answer: string | undefined, refusals: number) => void;
}

/** The strip at the foot: the answer in a line, or what is still to do and the way to it. */
export function makeTally(words: Words): Tally {
  const said = byId('tally-said', HTMLParagraphElement);
  const go = byId('tally-go', HTMLAnchorElement);
  const say = (text: string, href: string, name: string): void => {
    if (said.textContent !== text) said.textContent = text;
    go.setAttribute('href', href);
    if (go.textContent !== name) go.textContent = name;
  };
  // The way leads into the field itself, unfolded where it lies folded away.
  go.addEventListener('click', (event) => {
    const href = go.getAttribute('href') ?? '#see';
    const target = document.querySelector(href);
    if (target === null || href === '#see') return;
    // The browser's own way to a place takes the cursor out of the field again.
    event.preventDefault();
    goTo(target);
  });
  return {
    show: ({ at, missing, other }, fields, answer, refusals) => {
      if (answer !== undefined) {
        say(answer, '#see', words.sheets.see);
        return;
      }
      const isWrong = ({ id }: Field): boolean => at.get(id)?.some(({ severity }) => severity === 'error') === true;
      const wrong = fields.filter(isWrong);
      const unplaced = other.filter(({ exit }) => exit === 2).length;
      const todo = wrong[0] ?? fields.find(({ id }) => missing.has(id));
      const named = (field: Field | undefined): string =>
        field === undefined ? '' : nameOf({ doc: 'job', id: field.id }, words);
      const parts = [
        ...(wrong.length + unplaced > 0 ? [words.findings.toMend(wrong.length + unplaced, named(wrong[0]))] : []),
        ...(missing.size === 0 ? [] : [words.findings.missing(missing.size, named(wrong.length > 0 ? undefined : todo))]),
        ...(refusals > 0 ? [words.findings.cannot] : []),
      ];
      if (todo !== undefined) say(parts.join(' '), `#${elementId('job', todo.id)}-field`, words.findings.next);
      else if (unplaced > 0) say(parts.join(' '), '#job-text-box', words.findings.next);
      else say(parts.join(' '), '#see', words.sheets.see);
    },
  };
}
