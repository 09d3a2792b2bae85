import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';
import { type Column, type Parted, parted, whole } from './lineForms.ts';

/** Whole numbers as differences of their differences and so on (`order` times), a byte of each in each plane, the lowest first; deflated. */
interface Numbers {
  readonly order: number;
  readonly planes: readonly string[];
}

/** Lines told apart into forms and numbers (`lineForms.ts`). */
interface PackedParts {
  readonly forms: string;
  readonly which: Numbers;
  readonly columns: readonly { readonly letter: string; readonly decimals: number; readonly counts: Numbers }[];
}

/** A text as it stands, or, where it is long, deflated (RFC 1951) and written in base64 (RFC 4648): as one piece or in parts. */
export type Packed = string | { readonly packed: string } | { readonly parts: PackedParts };

/** Letters up to which a program stands in the page as it is: nothing is gained by hiding an ordinary one. */
const PLAIN_UP_TO = 120_000;
/** Bytes turned into letters at once: a call takes no more arguments than some ten thousands. */
const CHUNK = 0x8000;
/** Lanes of even steps need differences of differences, arcs one more; each further one doubles what rounding brings in. */
const MOST_ORDERS = 3;
/** Numbers by which the order is chosen: some dozens of lanes. */
const TRIED = 20_000;
/** Letters a letter of the text: parts as small as that are taken without trying what deflating alone makes of it. */
const SMALL = 0.05;

function utf8(bytes: Uint8Array): string {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
}

function base64(bytes: Uint8Array): string {
  let letters = '';
  for (let i = 0; i < bytes.length; i += CHUNK) letters += String.fromCharCode(...bytes.subarray(i, i + CHUNK));
  return btoa(letters);
}

function deflated(bytes: Uint8Array): string {
  return base64(deflateSync(bytes, { level: 9 }));
}

function inflated(text: string): Uint8Array {
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i++) bytes[i] = letters.charCodeAt(i);
  return inflateSync(bytes);
}

/** In 32 bits, so that the sums undo the differences even where they run over. */
function differences(values: Int32Array): Int32Array {
  return values.map((value, i) => (i === 0 ? value : value - (values[i - 1] as number)));
}

function planesOf(values: Int32Array): Uint8Array[] {
  // Small numbers of either sign in the low bits: 0, -1, 1, -2, 2 ...
  const folded = values.map((value) => (value << 1) ^ (value >> 31));
  let any = 0;
  for (const value of folded) any |= value;
  const planes: Uint8Array[] = [];
  for (let shift = 0; shift === 0 || (shift < 32 && any >>> shift !== 0); shift += 8) {
    const plane = new Uint8Array(folded.length);
    for (let i = 0; i < plane.length; i++) plane[i] = (folded[i] as number) >>> shift;
    planes.push(plane);
  }
  return planes;
}

function packAs(values: Int32Array, order: number): Numbers {
  let now = values;
  for (let k = 0; k < order; k++) now = differences(now);
  return { order, planes: planesOf(now).map(deflated) };
}

/** Of the orders the one that is shortest for the first of the values. */
function packNumbers(values: Int32Array): Numbers {
  const first = values.subarray(0, TRIED);
  const lengths = Array.from({ length: MOST_ORDERS + 1 }, (_, order) => packAs(first, order).planes.join('').length);
  return packAs(values, lengths.indexOf(Math.min(...lengths)));
}

function unpackNumbers({ order, planes }: Numbers): Int32Array {
  const bytes = planes.map(inflated);
  const values = new Int32Array(bytes[0]?.length ?? 0);
  bytes.forEach((plane, k) => {
    for (let i = 0; i < values.length; i++) values[i] = (values[i] as number) | ((plane[i] as number) << (8 * k));
  });
  for (let i = 0; i < values.length; i++) {
    const folded = values[i] as number;
    values[i] = (folded >>> 1) ^ -(folded & 1);
  }
  for (let k = 0; k < order; k++)
    for (let i = 1; i < values.length; i++) values[i] = (values[i] as number) + (values[i - 1] as number);
  return values;
}

function packParts({ forms, which, columns }: Parted): PackedParts {
  return {
    forms: deflated(strToU8(forms.join('\n'), true)),
    which: packNumbers(which),
    columns: columns.map(({ letter, decimals, counts }) => ({ letter, decimals, counts: packNumbers(counts) })),
  };
}

function unpackParts({ forms, which, columns }: PackedParts): Uint8Array {
  return whole({
    forms: strFromU8(inflated(forms), true).split('\n'),
    which: unpackNumbers(which),
    columns: columns.map(({ letter, decimals, counts }): Column => ({ letter, decimals, counts: unpackNumbers(counts) })),
  });
}

/**
 * A long program takes a few bits a line where its numbers go on evenly: what is left of them once they are foretold by those before. What would
 * not come back to the letter is only deflated, and a text that is no Unicode stays as it is, as does one of up to `plainUpTo` letters.
 */
export function packText(text: string, plainUpTo = PLAIN_UP_TO): Packed {
  if (text.length <= plainUpTo) return text;
  const bytes = strToU8(text);
  if (utf8(bytes) !== text) return text;
  const found = parted(strFromU8(bytes, true));
  const parts = found === undefined ? undefined : packParts(found);
  const isExact = parts !== undefined && utf8(unpackParts(parts)) === text;
  const length = isExact ? JSON.stringify(parts).length : Number.POSITIVE_INFINITY;
  if (isExact && length < SMALL * text.length) return { parts };
  const packed = deflated(bytes);
  return isExact && length < packed.length ? { parts } : { packed };
}

/** The text to the letter. */
export function unpackText(text: Packed): string {
  if (typeof text === 'string') return text;
  return utf8('parts' in text ? unpackParts(text.parts) : inflated(text.packed));
}
