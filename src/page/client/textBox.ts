import { type Finding, findingText } from '../../kernel/findings.ts';
import { byId, make } from '../../preview/client/dom.ts';

/** All findings of a file as the command says them, below its text. */
export function showFindings(doc: 'job' | 'shop', findings: readonly Finding[]): void {
  const list = byId(`${doc}-findings`, HTMLUListElement);
  const texts = findings.map(findingText);
  if (texts.join('\n') === [...list.children].map((child) => child.textContent).join('\n')) return;
  list.replaceChildren(...texts.map((text) => make('li', text)));
}

/** The file's text as it stands, unless it is being typed in. */
export function showText(doc: 'job' | 'shop', text: string): void {
  const box = byId(`${doc}-text`, HTMLTextAreaElement);
  if (document.activeElement !== box) box.value = text;
}
