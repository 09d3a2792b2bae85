import type { Finding } from '../../kernel/findings.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { elementId } from '../fields.ts';
import { spokenText } from '../findings.ts';
import { fieldIn, nameOf, onPage } from '../said.ts';
import type { Words } from '../words.ts';

const ENTRIES =
  '.two:not(.hidden) input, .one:not(.hidden) input, .ask > .entry input, .places input, select, textarea, .buttons button';

/** To a field, unfolded where it lies folded away, with the cursor in it. */
export function goTo(target: Element): void {
  const folded = target.closest('details');
  if (folded !== null) folded.open = true;
  target.scrollIntoView({ block: 'center' });
  target.querySelector<HTMLElement>(ENTRIES)?.focus({ preventScroll: true });
}

/** A finding as a line of a list, in the page's words, with the way to the field that it speaks of. */
export function findingLine(finding: Finding, words: Words): HTMLLIElement {
  const place = fieldIn([finding.message, finding.expected, finding.remedy].join(' '));
  const line = make('li', onPage(spokenText(finding), words));
  if (place === undefined) return line;
  const go = make('button', words.see.goThere);
  go.type = 'button';
  const field = byId(`${elementId(place.doc, place.id)}-field`, HTMLDivElement);
  go.setAttribute('aria-label', `${words.see.goThere}: ${nameOf(place, words)}`);
  go.addEventListener('click', () => goTo(field));
  line.append(' ', go);
  return line;
}
