import { decimalInchText, nearest64thText } from '../kernel/dimension.ts';

/** How texts for the bench are laid out: millimetres with inches beside them, tables, wrapped prose. */

const WIDEST_COLUMNS = 100;

export const mm = (value: number): string => `${(Math.round(value * 100) / 100 + 0).toFixed(2)} mm`;

/** mm, decimal inch and the nearest 1/64, as a maker reads them off calipers or a rule. */
export function inAllUnits(value: number): string {
  return `${mm(value)} (${decimalInchText(value, 4)}, about ${nearest64thText(value)})`;
}

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => (row[i] ?? '').length)));
  const line = (cells: readonly string[]): string =>
    `  ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0))).join('  ')}`.trimEnd();
  return [line(head), ...rows.map(line)];
}

/** Breaks prose at 100 columns: a bench print-out is narrow. The indent of the text is kept on every line. */
export function wrap(text: string): string[] {
  const indent = /^ */.exec(text)?.[0] ?? '';
  const lines: string[] = [];
  let line = '';
  for (const word of text.trim().split(/\s+/)) {
    if (line !== '' && indent.length + line.length + 1 + word.length > WIDEST_COLUMNS) {
      lines.push(indent + line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, indent + line];
}
