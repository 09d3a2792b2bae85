import { isMap, isScalar, isSeq, type Pair, parseDocument } from 'yaml';
import type { Place } from '../kernel/findings.ts';
import type { Path } from './yamlText.ts';

/** Offset of a place in a text; lines and columns count from 1. */
function offsetOf(text: string, { line, column }: Place): number {
  let start = 0;
  for (let n = 1; n < line; n++) {
    const end = text.indexOf('\n', start);
    if (end < 0) return text.length;
    start = end + 1;
  }
  return start + column - 1;
}

/** The deepest key or value that stands at a place of a text, as its path. */
export function pathAt(text: string, place: Place): Path {
  const offset = offsetOf(text, place);
  const within = (node: unknown): boolean => {
    const { range } = (node ?? {}) as { readonly range?: readonly [number, number, number] | null };
    return !!range && range[0] <= offset && offset <= Math.max(range[1] - 1, range[0]);
  };
  const path: (string | number)[] = [];
  const walk = (node: unknown): void => {
    if (isMap(node)) {
      const pair = (node.items as Pair[]).find(({ key, value }) => within(key) || within(value));
      if (pair === undefined) return;
      path.push(String(isScalar(pair.key) ? pair.key.value : pair.key));
      if (within(pair.value)) walk(pair.value);
    } else if (isSeq(node)) {
      const at = node.items.findIndex(within);
      if (at < 0) return;
      path.push(at);
      walk(node.items[at]);
    }
  };
  walk(parseDocument(text).contents);
  return path;
}
