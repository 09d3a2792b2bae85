import { isMap, isSeq, parseDocument } from 'yaml';
import { readYaml } from './yamlText.ts';

/** A fit as the maker typed it: shop dimensions stay the text they are. */
export interface FitText {
  readonly depth: string | { readonly bass: string; readonly treble: string };
  readonly gap?: FitText['depth'] | undefined;
  readonly raised?: FitText['depth'] | undefined;
  readonly lowest?: string | undefined;
  readonly highest?: string | undefined;
  readonly shim?: string | undefined;
  readonly on?: string | undefined;
  readonly note?: string | undefined;
}

/** A bare number stays a number; anything else is quoted the JSON way, which YAML reads the same. */
export function scalar(text: string): string {
  return /^-?(?:0|[1-9]\d*)(?:\.\d+)?$/.test(text) ? text : JSON.stringify(text);
}

function itemText(fit: FitText, quoteKeys: boolean): string {
  const key = (name: string): string => (quoteKeys ? `"${name}"` : name);
  const reading = (value: FitText['depth']): string =>
    typeof value === 'string'
      ? scalar(value)
      : `{${key('bass')}: ${scalar(value.bass)}, ${key('treble')}: ${scalar(value.treble)}}`;
  const parts = [`${key('depth')}: ${reading(fit.depth)}`];
  if (fit.gap !== undefined) parts.push(`${key('lastFretGap')}: ${reading(fit.gap)}`);
  if (fit.raised !== undefined) parts.push(`${key('raised')}: ${reading(fit.raised)}`);
  if (fit.lowest !== undefined) parts.push(`${key('lowest')}: ${scalar(fit.lowest)}`);
  if (fit.highest !== undefined) parts.push(`${key('highest')}: ${scalar(fit.highest)}`);
  if (fit.shim !== undefined) parts.push(`${key('shim')}: ${scalar(fit.shim)}`);
  if (fit.on !== undefined) parts.push(`${key('on')}: ${quoteKeys ? JSON.stringify(fit.on) : fit.on}`);
  if (fit.note !== undefined) parts.push(`${key('note')}: ${JSON.stringify(fit.note)}`);
  return `{${parts.join(', ')}}`;
}

function splice(text: string, at: number, more: string): string {
  return text.slice(0, at) + more + text.slice(at);
}

/** Column (from 0) at which the line of `offset` has that character. */
function columnOf(text: string, offset: number): number {
  return offset - (text.lastIndexOf('\n', offset - 1) + 1);
}

/**
 * The job's text with one more fit: the rest of it, comments and order included, stays byte for byte. Undefined where the text is not a
 * job that can take one (`readJob` says what is wrong with it).
 */
export function addFit(text: string, fit: FitText): string | undefined {
  // What is too deep or too long for the reader is not handed to it again.
  if (!readYaml(text, '').ok) return undefined;
  const doc = parseDocument(text);
  const root = doc.contents;
  if (!isMap(root) || !root.range) return undefined;
  const eol = text.includes('\r\n') ? '\r\n' : '\n';
  const pair = root.items.find((item) => String(item.key) === 'fits');
  if (pair !== undefined && isSeq(pair.value) && pair.value.range) {
    const { value } = pair;
    const last = value.items[value.items.length - 1] as { range?: [number, number, number] | null } | undefined;
    if (value.flow === true) {
      const end = (value.range as [number, number, number])[1] - 1;
      const quoted = root.flow === true;
      const at = last?.range ? last.range[1] : end;
      return splice(text, at, `${last === undefined ? '' : ', '}${itemText(fit, quoted)}`);
    }
    if (last?.range) {
      const dash = text.lastIndexOf('-', last.range[0]);
      const indent = ' '.repeat(columnOf(text, dash));
      const lineEnd = text.indexOf('\n', last.range[1] - 1);
      const more = `${indent}- ${itemText(fit, false)}${eol}`;
      // A block item's range may end behind its own line break; a comment on its line stays with it.
      if (text[last.range[1] - 1] === '\n') return splice(text, last.range[1], more);
      return lineEnd < 0 ? `${text}${eol}${more}` : splice(text, lineEnd + 1, more);
    }
  }
  if (root.flow === true) {
    if (pair !== undefined) return undefined;
    const end = (root.range as [number, number, number])[1] - 1;
    const last = root.items[root.items.length - 1] as { value?: { range?: [number, number, number] | null } | null } | undefined;
    const at = last?.value?.range ? last.value.range[1] : end;
    return splice(text, at, `, "fits": [${itemText(fit, true)}]`);
  }
  if (pair !== undefined) {
    // `fits:` with nothing behind it: the item goes on the next line.
    const key = pair.key as { range?: [number, number, number] | null };
    if (pair.value !== null && (pair.value as { value?: unknown }).value !== null) return undefined;
    const lineEnd = text.indexOf('\n', key.range?.[1] ?? 0);
    const more = `  - ${itemText(fit, false)}${eol}`;
    return lineEnd < 0 ? `${text}${eol}${more}` : splice(text, lineEnd + 1, more);
  }
  const gap = text.endsWith('\n') ? '' : eol;
  // A document-end mark closes the job: the fit goes before it.
  const endMark = /^\.\.\.\s*$/m.exec(text);
  const more = `${gap}fits:${eol}  - ${itemText(fit, false)}${eol}`;
  return endMark === null ? text + more : splice(text, endMark.index, more);
}
