import { MM_PER_INCH, toMm, type Unit } from './units.ts';

/** A dimension as written at a bench; millimetres. `plusMinus` is absent where none was written. */
interface Dimension {
  readonly value: number;
  readonly plusMinus: number | undefined;
  /** The unit written with it; absent where the file's own unit served. */
  readonly unit: Unit | undefined;
}

type DimensionRead = { readonly ok: true; readonly dimension: Dimension } | { readonly ok: false; readonly why: string };

/** What may stand where a dimension is asked for, for findings. */
export const DIMENSION_FORMS =
  'a length such as 0.6, "0.6 mm", "25-1/2 in", "25½ in", "1/16 in" or "1.2 ± 0.05 mm" (± may be typed +/-)';

// Decimals with a point, or whole numbers with a proper fraction. No exponent, no comma, no plus sign: each has a second reading.
const NUMBER = String.raw`(?:(?:(\d+)(?:-|\s+))?(\d+)\/(\d+)|(\d+(?:\.\d*)?|\.\d+))`;
// Inches are typed as two single marks too, or as their own sign.
const UNIT = String.raw`(mm|in|"|''|\u2033)`;
const ONE = new RegExp(String.raw`^(-?)${NUMBER}(?:\s*${UNIT})?$`);

/** Fractions that a keyboard or a tablet writes as one sign. */
const ONE_SIGN: Readonly<Record<string, string>> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};
const SIGNS = `[${Object.keys(ONE_SIGN).join('')}]`;
const WITH_SIGN = new RegExp(String.raw`(\d?)(-|\s*)(${SIGNS})(?!\d)`, 'g');

/** `25¼` as `25 1/4`. */
function spelledOut(text: string): string {
  return text.replace(
    WITH_SIGN,
    (_, digit: string, between: string, sign: string) =>
      `${digit}${digit !== '' && between === '' ? ' ' : between}${ONE_SIGN[sign]}`,
  );
}

const EITHER_NUMBER = String.raw`(?:${NUMBER}|(?:\d+(?:-|\s*))?${SIGNS})`;
/** The same for readers that know patterns only: a dimension with its ±. Capturing groups count for nothing there. */
export const DIMENSION_PATTERN = String.raw`^\s*-?${EITHER_NUMBER}(?:\s*${UNIT})?(?:\s*(?:±|\+/-)\s*${EITHER_NUMBER}(?:\s*${UNIT})?)?\s*$`;
const SPREAD = /\s*(?:±|\+\/-)\s*/;
/** Longer than any dimension; keeps what is read short. */
const LONGEST_TEXT = 80;

/** So many digits times 127 are still a whole number that a double holds exactly (2^53 is near 9.0e15). */
const EXACT_DIGITS = 13;

/** A number as numerator over denominator, both whole, so that one division at the end rounds once. */
interface Ratio {
  readonly top: number;
  readonly bottom: number;
  readonly isFraction: boolean;
}

interface Part extends Ratio {
  readonly unit: Unit | undefined;
}

function decimalRatio(text: string): Ratio {
  const [whole = '', digits = ''] = text.split('.');
  if (whole.length + digits.length > EXACT_DIGITS) return { top: Number(text), bottom: 1, isFraction: false };
  return { top: Number(`${whole}${digits}`), bottom: 10 ** digits.length, isFraction: false };
}

function readPart(text: string): Part | string {
  const match = ONE.exec(spelledOut(text));
  if (match === null) return /\d,\d/.test(text) ? 'a decimal comma is not read, write a point' : `'${text}' is no length`;
  const [, sign, whole, over, under, decimal, unitText] = match;
  const unit: Unit | undefined = unitText === undefined ? undefined : unitText === 'mm' ? 'mm' : 'in';
  const signed = sign === '-' ? -1 : 1;
  if (decimal !== undefined) {
    const ratio = decimalRatio(decimal);
    return { ...ratio, top: signed * ratio.top, unit };
  }
  const top = Number(over);
  const bottom = Number(under);
  if (bottom === 0) return 'a fraction over 0';
  if (whole !== undefined && top >= bottom) return 'a fraction after a whole number must be less than 1';
  return { top: signed * (Number(whole ?? 0) * bottom + top), bottom, isFraction: true, unit };
}

/** 25.4 = 127/5: whole numbers stay whole as far as a double carries them, so the division alone rounds. */
function ratioToMm(ratio: Ratio, unit: Unit): number {
  const top = unit === 'in' ? ratio.top * 127 : ratio.top;
  const bottom = unit === 'in' ? ratio.bottom * 5 : ratio.bottom;
  // No minus zero: it would print as one.
  return top / bottom + 0;
}

/**
 * A dimension as a job or shop file gives it: a bare number (in `fileUnit`) or a text with its own unit and ± (contract.md, "Shop
 * dimensions"). A unit given once, on either side of the ±, serves both.
 */
export function readDimension(raw: unknown, fileUnit: Unit): DimensionRead {
  if (typeof raw === 'number') {
    if (!Number.isFinite(raw)) return { ok: false, why: 'not a finite number' };
    // By its shortest decimal where it has a plain one, so that 0.6 and "0.6" are the same length to the last bit.
    const plain = /^-?\d+(\.\d+)?$/.exec(String(raw));
    const part = plain === null ? undefined : readPart(plain[0]);
    const value = part === undefined || typeof part === 'string' ? toMm(raw, fileUnit) : ratioToMm(part, fileUnit);
    return { ok: true, dimension: { value, plusMinus: undefined, unit: undefined } };
  }
  if (typeof raw !== 'string') return { ok: false, why: 'neither a number nor a text' };
  if (raw.length > LONGEST_TEXT) return { ok: false, why: 'too long for a length' };
  const halves = raw.trim().split(SPREAD);
  if (halves.length > 2) return { ok: false, why: 'more than one ±' };
  const [first = '', second] = halves;
  const value = readPart(first);
  if (typeof value === 'string') return { ok: false, why: value };
  const spread = second === undefined ? undefined : readPart(second);
  if (typeof spread === 'string') return { ok: false, why: spread };
  if (spread !== undefined && /^-/.test(second ?? '')) return { ok: false, why: 'the ± is below 0' };
  const unit = value.unit ?? spread?.unit;
  if (unit === undefined && fileUnit === 'mm' && (value.isFraction || spread?.isFraction === true))
    return { ok: false, why: 'a fraction without a unit in a millimetre file: inches or millimetres?' };
  const mm = ratioToMm(value, unit ?? fileUnit);
  const plusMinus = spread === undefined ? undefined : ratioToMm(spread, spread.unit ?? unit ?? fileUnit);
  if (!Number.isFinite(mm) || (plusMinus !== undefined && !Number.isFinite(plusMinus)))
    return { ok: false, why: 'not a finite number' };
  return { ok: true, dimension: { value: mm, plusMinus, unit } };
}

/** Decimal inches as calipers show them: 3 decimals by default. */
export function decimalInchText(mm: number, decimals = 3): string {
  const text = (mm / MM_PER_INCH).toFixed(decimals);
  return `${Number(text) === 0 ? text.replace('-', '') : text} in`;
}

/** Both units, for findings, which know no job: `0.45 mm (0.018 in)`. `decimals` are those of the mm; inches have one more. */
export function bothUnits(mm: number, decimals = 2): string {
  const text = mm.toFixed(decimals);
  return `${Number(text) === 0 ? text.replace('-', '') : text} mm (${decimalInchText(mm, decimals + 1)})`;
}

/** Both units without the zeros at their ends: `17.4 mm (0.685 in)`. */
export function bothPlain(mm: number, decimals: number): string {
  return `${Number(mm.toFixed(decimals))} mm (${Number((mm / MM_PER_INCH).toFixed(decimals + 1))} in)`;
}

/** Decimals of a millimetre: what a workshop can use in a message, and more than arithmetic on hundreds of millimetres keeps. */
const TOLD_DECIMALS = 4;
const MOST_DECIMALS = 9;

/** Without zeros at its end, and not by way of a number's own text, which has exponents. */
function withoutZeros(value: number, decimals: number): string {
  const text = (Number(value.toFixed(decimals)) + 0).toFixed(decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/**
 * What was found and its limit (mm), with so many decimals that they differ in words as they do in fact: `0.19998 mm` and `0.2 mm`. In both
 * units, or in the one named.
 */
export function apart(found: number, limit: number, units?: Unit): readonly [string, string] {
  const parts = (value: number, decimals: number): string[] => [
    ...(units === 'in' ? [] : [`${withoutZeros(value, decimals)} mm`]),
    ...(units === 'mm' ? [] : [`${withoutZeros(value / MM_PER_INCH, decimals + 1)} in`]),
  ];
  const isSaid = (decimals: number): boolean => {
    const limits = parts(limit, decimals);
    return parts(found, decimals).every((part, i) => part !== limits[i]);
  };
  let decimals = TOLD_DECIMALS;
  while (decimals < MOST_DECIMALS && !isSaid(decimals)) decimals += 1;
  const told = ([one = '', other]: string[]): string => (other === undefined ? one : `${one} (${other})`);
  return [told(parts(found, decimals)), told(parts(limit, decimals))];
}

/** A length in the unit that a job is written in, as its findings say it: `0.45 mm`, `0.018 in`. */
export function lengthText(mm: number, unit: Unit): string {
  return unit === 'mm' ? `${(Math.round(mm * 100) / 100 + 0).toFixed(2)} mm` : decimalInchText(mm);
}
