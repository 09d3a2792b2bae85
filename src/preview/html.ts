/** Text that is markup already. Everything else is escaped on its way into the page. */
export interface Markup {
  readonly markup: string;
}

const NAMES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/**
 * Signs that reorder, hide or end text: control characters and the marks of writing direction. In another's title or comment they
 * could make a page say what its text does not, so they are shown as a box.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: exactly those are meant
const UNSEEN = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g;

/** The text with nothing unseen in it; it still has to be escaped, or set as text. */
export function seen(text: string): string {
  return text.replace(UNSEEN, '\u25a1');
}

export function escaped(text: string): string {
  return seen(text).replace(/[&<>"']/g, (sign) => NAMES[sign] ?? sign);
}

type Part = string | number | Markup | readonly Markup[];

function partText(part: Part): string {
  if (typeof part === 'string' || typeof part === 'number') return escaped(String(part));
  return 'markup' in part ? part.markup : part.map((each) => each.markup).join('');
}

/** Markup with every value escaped: html`<p>${text}</p>`. Values stand in text or in quoted attributes only. */
export function html(parts: TemplateStringsArray, ...values: readonly Part[]): Markup {
  return { markup: parts.reduce((all, part, i) => `${all}${partText(values[i - 1] ?? '')}${part}`) };
}

export const NOTHING: Markup = { markup: '' };

/** Data for a script element: no `<`, so that nothing in it can end the element or begin a comment. */
export function scriptData(value: unknown): Markup {
  return {
    markup: JSON.stringify(value)
      .replace(/</g, '\\u003c')
      .replace(/\u2028/g, '\\u2028')
      .replace(/\u2029/g, '\\u2029'),
  };
}
