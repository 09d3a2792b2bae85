import { strToU8 } from 'fflate';

// A long program is a few forms of line with numbers in them. Forms and numbers are told apart here, each letter's numbers by themselves as
// whole counts of their last decimal; `packed.ts` makes them small.

/** Stands in a form for a number; the sign after it says how the number is written. */
const PLACE = '\u0001';
/** A letter and the number behind it. G and M say what a line is: their numbers stay in the form. */
const NUMBER = /([A-FH-LN-Za-fh-ln-z]) ?(-?)(\d*)(\.?)(\d*)/g;
/** With more digits than these a number stays in its form: counts are whole numbers of 32 bits. */
const MOST_DIGITS = 9;
/** Of a letter's numbers this share has no more decimals than are counted; the rest, as in a remark, stay in their forms. */
const USUAL_SHARE = 0.99;
/** Lines by which the way of writing is told. */
const LOOKED_AT = 10_000;
/** How a number is written: with 0 to 9 decimals, or with no more than it needs; with a 0 left out before its point; with a point at its end. */
const TRIMMED = 10;
const HOWS = 11;
const FIRST_HOW = 0x30;
const POWERS = Array.from({ length: MOST_DIGITS + 2 }, (_, n) => 10 ** n);

/** One letter's numbers in their order, as counts of 10^-decimals. */
export interface Column {
  readonly letter: string;
  readonly decimals: number;
  readonly counts: Int32Array;
}

/** A text in its parts; `whole` makes it of them again. */
export interface Parted {
  /** Each form of line once, first come first. */
  readonly forms: readonly string[];
  /** The form of each line. */
  readonly which: Int32Array;
  readonly columns: readonly Column[];
}

interface Letter {
  readonly decimals: number;
  readonly trims: boolean;
  readonly counts: number[];
}

/** How each letter's numbers are mostly written, from lines here and there. */
function lettersOf(lines: readonly string[]): Map<string, Letter> {
  const seen = new Map<string, { readonly with: number[]; trims: boolean }>();
  const stride = Math.max(1, Math.floor(lines.length / LOOKED_AT));
  for (let i = 0; i < lines.length; i += stride)
    for (const [, letter = '', , front = '', , part = ''] of (lines[i] ?? '').matchAll(NUMBER)) {
      if (front === '' && part === '') continue;
      let found = seen.get(letter);
      if (found === undefined) {
        found = { with: Array(MOST_DIGITS + 1).fill(0), trims: true };
        seen.set(letter, found);
      }
      const length = Math.min(part.length, MOST_DIGITS);
      found.with[length] = (found.with[length] ?? 0) + 1;
      if (part.endsWith('0')) found.trims = false;
    }
  return new Map(
    [...seen].map(([letter, { with: lengths, trims }]) => {
      const all = lengths.reduce((sum, count) => sum + count, 0);
      let decimals = 0;
      for (let most = lengths[0] ?? 0; most < USUAL_SHARE * all; most += lengths[decimals] ?? 0) decimals += 1;
      return [letter, { decimals, trims, counts: [] }];
    }),
  );
}

/** The number as a count of its letter's last decimal and how it is written; undefined where it would not come back to the letter. */
function counted(
  { decimals, trims }: Letter,
  minus: string,
  front: string,
  point: string,
  part: string,
): { readonly count: number; readonly how: number } | undefined {
  if (front === '' && part === '') return undefined;
  if (part.length > decimals || front.length + decimals > MOST_DIGITS || (front.length > 1 && front.startsWith('0')))
    return undefined;
  const count = Number(front + part.padEnd(decimals, '0'));
  // A zero has no sign once it is a count, and what is trimmed no zero at its end.
  if ((minus !== '' && count === 0) || (trims && part.endsWith('0'))) return undefined;
  const bare = front === '' ? HOWS : 0;
  const ends = point !== '' && part === '' ? 2 * HOWS : 0;
  return { count: minus === '' ? count : -count, how: (trims ? TRIMMED : part.length) + bare + ends };
}

/** Undefined where a text holds the sign that would stand for its numbers. */
export function parted(text: string): Parted | undefined {
  if (text.includes(PLACE)) return undefined;
  const lines = text.split('\n');
  const letters = lettersOf(lines);
  const known = new Map<string, number>();
  const which = new Int32Array(lines.length);
  lines.forEach((line, i) => {
    const form = line.replace(
      NUMBER,
      (said: string, letter: string, minus: string, front: string, point: string, part: string) => {
        const own = letters.get(letter);
        const number = own === undefined ? undefined : counted(own, minus, front, point, part);
        if (own === undefined || number === undefined) return said;
        own.counts.push(number.count);
        const space = said.charAt(1) === ' ' ? ' ' : '';
        return `${letter}${space}${PLACE}${String.fromCharCode(FIRST_HOW + number.how)}`;
      },
    );
    let at = known.get(form);
    if (at === undefined) {
      at = known.size;
      known.set(form, at);
    }
    which[i] = at;
  });
  const columns = [...letters].flatMap(([letter, { decimals, counts }]) =>
    counts.length === 0 ? [] : [{ letter, decimals, counts: Int32Array.from(counts) }],
  );
  return { forms: [...known.keys()], which, columns };
}

const [ZERO, MINUS, POINT, LINE_END] = [0x30, 0x2d, 0x2e, 0x0a];
/** Bytes that a number takes at most: ten digits, sign and point. */
const LONGEST = 12;

/** Writes a count at a place as it was written, with no more decimals than its letter has. Returns the place behind it. */
function writeNumber(bytes: Uint8Array, from: number, count: number, decimals: number, how: number): number {
  const form = how % HOWS;
  const least = form === TRIMMED ? 0 : form;
  let size = count < 0 ? -count : count;
  let shown = decimals;
  while (shown > least && (form !== TRIMMED || size % 10 === 0)) {
    size = (size / 10) | 0;
    shown -= 1;
  }
  let start = from;
  if (count < 0) bytes[start++] = MINUS;
  const isBare = how % (2 * HOWS) >= HOWS;
  let digits = shown + (isBare ? 0 : 1);
  for (let most = POWERS[digits] as number; most <= size; most *= 10) digits += 1;
  const hasPoint = shown > 0 || how >= 2 * HOWS;
  // From the last digit to the first.
  const end = start + digits + (hasPoint ? 1 : 0);
  let at = end;
  for (let i = 0; i < digits; i++) {
    if (i === shown && hasPoint) bytes[--at] = POINT;
    const rest = (size / 10) | 0;
    bytes[--at] = ZERO + size - 10 * rest;
    size = rest;
  }
  if (digits === shown && hasPoint) bytes[--at] = POINT;
  return end;
}

/** The bytes of a text from its parts. */
export function whole({ forms, which, columns }: Parted): Uint8Array {
  const letters = columns.map(({ letter }) => letter);
  const next = new Int32Array(columns.length);
  // Each form as plain bytes and, after all but the last piece of them, a number.
  const read = forms.map((form) => {
    const [first = '', ...rest] = form.split(PLACE);
    const texts = [first, ...rest.map((piece) => piece.slice(1))];
    const numbers = rest.map((piece, i) => ({
      column: letters.indexOf((texts[i] ?? '').trimEnd().slice(-1)),
      how: piece.charCodeAt(0) - FIRST_HOW,
    }));
    return { pieces: texts.map((text) => strToU8(text, true)), numbers, room: form.length + LONGEST * numbers.length + 1 };
  });
  let bytes = new Uint8Array(32 * which.length);
  let at = 0;
  for (const form of which) {
    const { pieces, numbers, room } = read[form] as (typeof read)[number];
    if (at + room > bytes.length) {
      const larger = new Uint8Array(2 * bytes.length + room);
      larger.set(bytes);
      bytes = larger;
    }
    for (let i = 0; i < pieces.length; i++) {
      const piece = pieces[i] as Uint8Array;
      for (let k = 0; k < piece.length; k++) bytes[at++] = piece[k] as number;
      if (i === numbers.length) break;
      const { column, how } = numbers[i] as (typeof numbers)[number];
      const { counts, decimals } = columns[column] as Column;
      at = writeNumber(bytes, at, counts[next[column] as number] as number, decimals, how);
      next[column] = (next[column] as number) + 1;
    }
    bytes[at++] = LINE_END;
  }
  // No line end stands behind the last line.
  return bytes.subarray(0, at - 1);
}
