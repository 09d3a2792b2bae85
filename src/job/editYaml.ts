import { type Document, isMap, isScalar, isSeq, type Node, type Pair, parseDocument, type YAMLMap } from 'yaml';
import { valueAt } from './yamlText.ts';

// Changes one value in a job's or shop file's text and leaves every other byte, comments and order included. What is taken out of a block
// is commented out, not cut away, so that its own comment stays and the next value finds its place again: the starters' own way to offer
// a key that may be left out.

type KeyPath = readonly string[];

/** A scalar as a person would write it: plain where YAML reads the same back, else quoted the JSON way, which YAML reads the same. */
export function scalarText(value: string): string {
  const isPlain = /^(?:-(?=[\d.]))?[\w.][\w./ ±+-]*$/.test(value) && readsAs(value, value);
  return isPlain ? value : JSON.stringify(value);
}

/** A value that must stay a text, whatever it looks like (a title may be a number), inside braces too. */
export function quotedText(value: string): string {
  const doc = parseDocument(value);
  const isPlain = /^[A-Za-z][\w. ()/-]*$/.test(value) && !/\s$/.test(value) && doc.errors.length === 0 && doc.toJS() === value;
  return isPlain ? value : JSON.stringify(value);
}

/** Whether YAML reads `text` back as that text, or as the number that it is: inside braces too. */
function readsAs(text: string, wanted: string): boolean {
  const doc = parseDocument(`{a: ${text}}`);
  if (doc.errors.length > 0) return false;
  const read = (doc.toJS() as { readonly a?: unknown }).a;
  return read === wanted || (typeof read === 'number' && Number.isFinite(read) && Number(wanted) === read);
}

function pairOf(map: YAMLMap, key: string): Pair | undefined {
  return map.items.find((item) => String(isScalar(item.key) ? item.key.value : item.key) === key);
}

function rangeOf(node: unknown): readonly [number, number] | undefined {
  const { range } = node as { readonly range?: readonly [number, number, number] | null };
  return range ? [range[0], range[1]] : undefined;
}

/** The node at a path of keys and of places in lists, counted from 0. */
export function nodeAt(doc: Document.Parsed, path: readonly (string | number)[]): Node | undefined {
  let node: unknown = doc.contents;
  for (const step of path) {
    if (isMap(node)) node = pairOf(node, String(step))?.value;
    else if (isSeq(node) && typeof step === 'number') node = node.items[step];
    else return undefined;
  }
  return (node ?? undefined) as Node | undefined;
}

const lineStart = (text: string, at: number): number => text.lastIndexOf('\n', at - 1) + 1;
const lineEnd = (text: string, at: number): number => {
  const end = text.indexOf('\n', at);
  return end < 0 ? text.length : end;
};

/** Puts `value` where `[from, to)` stood; a comment behind it on its line keeps its column while there is room. */
function replaced(text: string, from: number, to: number, value: string): string {
  const rest = text.slice(to, lineEnd(text, to));
  const gap = /^( +)#/.exec(rest)?.[1];
  const tail = gap === undefined ? text.slice(to) : text.slice(to + gap.length);
  const pad = gap === undefined ? '' : ' '.repeat(Math.max(1, gap.length + (to - from) - value.length));
  return `${text.slice(0, from)}${value}${pad}${tail}`;
}

/** Where a node's own text ends: a block's range may run on over blank lines and comments below it. */
function contentEnd(text: string, node: unknown): number {
  if (isMap(node) || isSeq(node)) {
    const last = node.items.at(-1);
    if ((node as { flow?: boolean }).flow !== true && last !== undefined) {
      const inner = isMap(node) ? ((last as Pair).value ?? (last as Pair).key) : last;
      return contentEnd(text, inner);
    }
  }
  const range = rangeOf(node);
  return range === undefined ? 0 : range[0] + text.slice(range[0], range[1]).trimEnd().length;
}

/** Past a pair: the end of its value, or of its colon where nothing follows. */
function pairEnd(text: string, pair: Pair): number {
  const { value } = pair;
  const isEmpty = value === null || (isScalar(value) && value.value === null && (value.source ?? '') === '');
  const key = rangeOf(pair.key);
  return isEmpty ? text.indexOf(':', key?.[1] ?? 0) + 1 : contentEnd(text, value);
}

/** A line that holds the key as a comment, between two offsets, at a column or anywhere. */
function commentedLine(
  text: string,
  key: string,
  from: number,
  to: number,
): { readonly at: number; readonly end: number; readonly tail: string } | undefined {
  const pattern = new RegExp(`^([ ]*)#[ ]?([ ]*)${key}:(?:[ ]+([^#\\n]*?))?([ ]+#[^\\n]*)?[ ]*\\r?$`, 'gm');
  pattern.lastIndex = from;
  const match = pattern.exec(text);
  if (match === null || match.index >= to) return undefined;
  return { at: match.index, end: match.index + match[0].length, tail: (match[4] ?? '').trim() };
}

/** Column at which comments stand where a line was made anew: what the starters use, or two spaces. */
function withTail(line: string, tail: string): string {
  return tail === '' ? line : `${line.padEnd(34)} ${tail}`;
}

/** How far a block map reaches: to the next key that stands no deeper, or the text's end. */
function blockEnd(text: string, from: number, column: number): number {
  const pattern = /^( *)[^\s#-]/gm;
  pattern.lastIndex = lineEnd(text, from);
  for (let match = pattern.exec(text); match !== null; match = pattern.exec(text))
    if ((match[1] ?? '').length < column) return match.index;
  const end = /^\.\.\.\s*$/m.exec(text.slice(from));
  return end === null ? text.length : from + end.index;
}

/** Adds a key to a block map that begins behind `from`, over its commented line where it has one, else below its last key. */
function addedToBlock(text: string, map: YAMLMap, from: number, key: string, value: string): string {
  const first = rangeOf(map.items[0]?.key)?.[0] ?? 0;
  const indent = ' '.repeat(first - lineStart(text, first));
  const eol = text.includes('\r\n') ? '\r\n' : '\n';
  const line = `${indent}${key}: ${value}`;
  const last = map.items.at(-1) as Pair;
  const commented = commentedLine(text, key, from, blockEnd(text, first, indent.length));
  if (commented !== undefined && (indent !== '' || /^# ?\S/.test(text.slice(commented.at))))
    return `${text.slice(0, commented.at)}${withTail(line, commented.tail)}${text[commented.end - 1] === '\r' ? '\r' : ''}${text.slice(commented.end)}`;
  const end = lineEnd(text, pairEnd(text, last));
  const start = end >= text.length && !text.endsWith('\n') ? `${text}${eol}` : text.slice(0, end + 1);
  return `${start}${line}${eol}${text.slice(end + 1)}`;
}

function addedToFlow(text: string, map: YAMLMap, key: string, value: string): string {
  const [, end] = rangeOf(map) ?? [0, text.length];
  const last = map.items.at(-1);
  const at = last === undefined ? end - 1 : pairEnd(text, last);
  return `${text.slice(0, at)}${last === undefined ? '' : ', '}${key}: ${value}${text.slice(at)}`;
}

/** Gives a section that has no keys yet its first one. */
function filled(text: string, pair: Pair, key: string, value: string): string {
  const at = rangeOf(pair.key)?.[0] ?? 0;
  const column = at - lineStart(text, at);
  const eol = text.includes('\r\n') ? '\r\n' : '\n';
  const end = lineEnd(text, pairEnd(text, pair));
  const line = `${' '.repeat(column + 2)}${key}: ${value}`;
  const commented = commentedLine(text, key, end, blockEnd(text, at, column + 1));
  if (commented !== undefined)
    return `${text.slice(0, commented.at)}${withTail(line, commented.tail)}${text.slice(commented.end)}`;
  const start = end >= text.length ? `${text}${eol}` : text.slice(0, end + 1);
  return `${start}${line}${eol}${text.slice(end + 1)}`;
}

function put(text: string, path: KeyPath, value: string): string | undefined {
  const doc = parseDocument(text);
  if (doc.errors.length > 0) return undefined;
  const [key, parents] = [path.at(-1) ?? '', path.slice(0, -1)];
  const parent = nodeAt(doc, parents);
  if (isMap(parent)) {
    const pair = pairOf(parent, key);
    if (pair === undefined) {
      if (parent.flow === true || parent.items.length === 0) return addedToFlow(text, parent, key, value);
      const above = nodeAt(doc, parents.slice(0, -1));
      const section = parents.length > 0 && isMap(above) ? rangeOf(pairOf(above, parents.at(-1) ?? '')?.key) : undefined;
      return addedToBlock(text, parent, section === undefined ? 0 : lineEnd(text, section[1]), key, value);
    }
    const end = pairEnd(text, pair);
    const range = rangeOf(pair.value);
    const isEmpty = text[end - 1] === ':' && (range === undefined || range[0] >= end);
    return isEmpty ? replaced(text, end, end, ` ${value}`) : replaced(text, range?.[0] ?? end, end, value);
  }
  if (parents.length === 0)
    return doc.contents === null ? `${text}${text === '' || text.endsWith('\n') ? '' : '\n'}${key}: ${value}\n` : undefined;
  const above = nodeAt(doc, parents.slice(0, -1));
  const section = parents.at(-1) ?? '';
  const pair = isMap(above) ? pairOf(above, section) : undefined;
  if (pair === undefined) {
    const isFlow = isMap(above) && above.flow === true;
    if (parents.length > 1 || isFlow) return put(text, parents, `{${key}: ${value}}`);
    const commented = commentedLine(text, section, 0, text.length);
    const eol = text.includes('\r\n') ? '\r\n' : '\n';
    if (commented !== undefined && /^# ?\S/.test(text.slice(commented.at)))
      return put(
        `${text.slice(0, commented.at)}${withTail(`${section}:`, commented.tail)}${text.slice(commented.end)}`,
        path,
        value,
      );
    const mark = /^\.\.\.\s*$/m.exec(text);
    const [head, tail] = mark === null ? [text, ''] : [text.slice(0, mark.index), text.slice(mark.index)];
    const gap = head === '' || head.endsWith('\n') ? '' : eol;
    return `${head}${gap}${section}:${eol}  ${key}: ${value}${eol}${tail}`;
  }
  if (pair.value === null || (isScalar(pair.value) && pair.value.value === null)) return filled(text, pair, key, value);
  return undefined;
}

/** Comments a pair of a block out, or takes one out of braces; a section that is empty then goes with it. */
function taken(text: string, path: KeyPath): string | undefined {
  const doc = parseDocument(text);
  if (doc.errors.length > 0) return undefined;
  const parent = nodeAt(doc, path.slice(0, -1));
  if (!isMap(parent)) return text;
  const at = parent.items.findIndex((item) => item === pairOf(parent, path.at(-1) ?? ''));
  const pair = parent.items[at];
  if (pair === undefined) return text;
  if (parent.items.length === 1 && path.length > 1 && parent.flow === true) return taken(text, path.slice(0, -1));
  const start = rangeOf(pair.key)?.[0] ?? 0;
  const end = pairEnd(text, pair);
  if (parent.flow === true) {
    const before = parent.items[at - 1];
    const after = parent.items[at + 1];
    if (after !== undefined) return text.slice(0, start) + text.slice(rangeOf(after.key)?.[0] ?? end);
    return text.slice(0, before === undefined ? start : pairEnd(text, before)) + text.slice(end);
  }
  const from = lineStart(text, start);
  const to = lineEnd(text, end);
  const column = start - from;
  const out = text
    .slice(from, to)
    .split('\n')
    .map((line) => (line.trim() === '' ? line : `${line.slice(0, column)}# ${line.slice(column)}`))
    .join('\n');
  const rest = text.slice(0, from) + out + text.slice(to);
  return parent.items.length === 1 && path.length > 1 ? taken(rest, path.slice(0, -1)) : rest;
}

/**
 * The text with the value at a path of keys set (`value` is YAML on one line, see `scalarText`) or, with undefined, left out. Undefined
 * where the text cannot take it: it has faults of its own, or something else stands in the way.
 */
export function withValue(text: string, path: KeyPath, value: string | undefined): string | undefined {
  const next = value === undefined ? taken(text, path) : put(text, path, value);
  if (next === undefined) return undefined;
  const doc = parseDocument(next);
  if (doc.errors.length > 0) return undefined;
  const is = valueAt(doc.toJS(), path);
  if (value === undefined) return is === undefined ? next : undefined;
  const wanted = (parseDocument(`{a: ${value}}`).toJS() as { readonly a?: unknown }).a;
  return JSON.stringify(is) === JSON.stringify(wanted) ? next : undefined;
}

/** A scalar as it is written in the text, without its quotes; undefined where nothing, or something else, stands. */
export function sourceAt(doc: Document.Parsed, path: readonly (string | number)[]): string | undefined {
  const node = nodeAt(doc, path);
  if (!isScalar(node) || node.value === null) return undefined;
  return typeof node.value === 'string' ? node.value : (node.source ?? String(node.value));
}
