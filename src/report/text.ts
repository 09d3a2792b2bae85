import { decimalInchText, lengthText } from '../kernel/dimension.ts';
import { MM_PER_INCH, type Unit } from '../kernel/units.ts';

/** How texts for the bench are laid out: the job's own unit first, tables, wrapped prose. */

const WIDEST_COLUMNS = 100;

const mm = (value: number): string => lengthText(value, 'mm');

/** Lengths in the words of one job: `short` for tables and prose, `full` in both units for what is set on calipers (no fraction: 1/64 in is coarser than any ±), `spread` for a ±. */
export interface Lengths {
  readonly short: (value: number) => string;
  readonly full: (value: number) => string;
  readonly spread: (value: number) => string;
}

const MILLIMETRES: Lengths = {
  short: mm,
  full: (value) => `${mm(value)} (${decimalInchText(value)})`,
  // A ± never rounds down to nothing.
  spread: (value) => (value > 0 && value < 0.005 ? 'under 0.01 mm' : `±${mm(value)}`),
};

const INCHES: Lengths = {
  short: (value) => decimalInchText(value),
  full: (value) => `${decimalInchText(value)} (${mm(value)})`,
  // A ten-thousandth: thousandths are as large as many a ± themselves.
  spread: (value) => (value > 0 && value / MM_PER_INCH < 0.00005 ? 'under 0.0001 in' : `±${decimalInchText(value, 4)}`),
};

export function lengthsIn(units: Unit): Lengths {
  return units === 'mm' ? MILLIMETRES : INCHES;
}

/** Columns of figures stand to the right, columns of words (and the first) to the left. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => (row[i] ?? '').length)));
  const isWords = head.map((_, i) => i === 0 || rows.every((row) => !/^[-+±]?\d/.test(row[i] ?? '')));
  const line = (cells: readonly string[]): string =>
    `  ${cells.map((cell, i) => (isWords[i] === true ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0))).join('  ')}`.trimEnd();
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
