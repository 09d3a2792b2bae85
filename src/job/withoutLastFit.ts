import { isSeq, parseDocument } from 'yaml';

/** How many fits stand in a job's text. */
export function fitCount(text: string): number {
  const doc = parseDocument(text);
  const fits = doc.errors.length > 0 ? undefined : doc.get('fits');
  return isSeq(fits) ? fits.items.length : 0;
}

/** The job's text without its last fit, the rest byte for byte; undefined where there is none, or none that can be taken out alone. */
export function withoutLastFit(text: string): string | undefined {
  const count = fitCount(text);
  if (count === 0) return undefined;
  const fits = parseDocument(text).get('fits');
  if (!isSeq(fits)) return undefined;
  const [before, last] = [fits.items.at(-2), fits.items.at(-1)] as {
    readonly range?: readonly [number, number, number] | null;
  }[];
  if (!last?.range) return undefined;
  const [start, end] = last.range;
  let next: string;
  if (fits.flow === true) next = text.slice(0, before?.range?.[1] ?? start) + text.slice(end);
  else {
    const head = text.slice(0, text.lastIndexOf('\n', text.lastIndexOf('-', start)) + 1);
    const lineEnd = text.indexOf('\n', end - 1);
    // A list that is empty then goes with its key, unless something else stands between them.
    next = (count === 1 ? head.replace(/^fits:[^\n]*\n$(?![\s\S])/m, '') : head) + (lineEnd < 0 ? '' : text.slice(lineEnd + 1));
  }
  return parseDocument(next).errors.length === 0 && fitCount(next) === count - 1 ? next : undefined;
}
