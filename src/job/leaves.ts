import * as z from 'zod';
import { DIMENSION_FORMS, DIMENSION_PATTERN, readDimension } from '../kernel/dimension.ts';
import { type Measured, measured } from '../kernel/measured.ts';
import { fromMm, toMm, toRadians, type Unit } from '../kernel/units.ts';
import type { Range } from './ranges.ts';

// A file is read once: code made to measure for its schema would cost more than it saves.
z.config({ jitless: true });

/** What a leaf says of a value it refuses; `problems.ts` makes the finding of it and adds the place. */
export interface Fault {
  readonly code: string;
  readonly message: string;
  readonly expected?: string | undefined;
  readonly found?: string | undefined;
  readonly remedy?: string | undefined;
}

type LeafRead<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly fault: Fault };

const yes = <T>(value: T): LeafRead<T> => ({ ok: true, value });
const no = <T>(fault: Fault): LeafRead<T> => ({ ok: false, fault });

/** A value as a finding shows it: short, on one line. */
export function shown(raw: unknown): string {
  if (raw === null) return 'nothing';
  if (Array.isArray(raw)) return 'a list';
  if (typeof raw === 'object') return 'keys and values';
  const text = typeof raw === 'string' ? JSON.stringify(raw) : String(raw);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** What an editor may know of a value before the program reads it, in the words of JSON Schema (draft 7). */
export type Form = { readonly [key: string]: unknown };

/** The form of each leaf, and the two schemas of each value that may be a mapping: `jsonSchema.ts` asks. */
const FORMS = new WeakMap<z.core.$ZodType, Form>();
const EITHER = new WeakMap<z.core.$ZodType, readonly [z.ZodType, z.ZodType]>();

export const formOf = (schema: z.core.$ZodType): Form | undefined => FORMS.get(schema);
export const eitherOf = (schema: z.core.$ZodType): readonly [z.ZodType, z.ZodType] | undefined => EITHER.get(schema);

/** A schema of one value; absent and empty values are said alike everywhere. */
export function leaf<T>(form: Form, read: (raw: unknown) => LeafRead<T>) {
  const schema = z.unknown().transform((raw, ctx): T => {
    const result: LeafRead<T> =
      raw === undefined
        ? no({ code: 'missing-key', message: 'a key is missing' })
        : raw === null
          ? no({ code: 'empty-value', message: 'the key has no value', expected: 'a value, or the whole key left out' })
          : read(raw);
    if (result.ok) return result.value;
    ctx.issues.push({ code: 'custom', input: raw, message: result.fault.message, params: { fault: result.fault } });
    return z.NEVER;
  });
  FORMS.set(schema, form);
  return schema;
}

/** A bare number may be in either unit, so the wider bounds hold. */
function lengthForm({ least, most }: Range): Form {
  const bounds = { minimum: Math.min(least, fromMm(least, 'in')), maximum: Math.max(most, fromMm(most, 'in')) };
  return {
    anyOf: [
      { type: 'number', ...bounds },
      { type: 'string', pattern: DIMENSION_PATTERN },
    ],
  };
}

const wholeForm = ({ least, most }: Range): Form => ({ type: 'integer', minimum: least, maximum: most });

const round = (value: number): string => String(Number(value.toPrecision(6)));

function rangeText(range: Range, unit: Unit): string {
  return `${round(fromMm(range.least, unit))} to ${round(fromMm(range.most, unit))} ${unit} (${range.why})`;
}

const inside = (mm: number, range: Range): boolean => mm >= range.least && mm <= range.most;

/**
 * A length in mm with its ± where one is written. `unit` is the file's; undefined where the file does not say it soundly: then only
 * the form is judged, since a range would only repeat that one problem at every length.
 */
export function readLength(
  raw: unknown,
  unit: Unit | undefined,
  range: Range,
): LeafRead<{ mm: number; plusMinus: number | undefined }> {
  const read = readDimension(raw, unit ?? 'in');
  if (!read.ok) {
    const code = typeof raw === 'number' ? 'not-finite' : 'not-a-length';
    return no({ code, message: `this is not a length: ${read.why}`, expected: DIMENSION_FORMS });
  }
  const { value: mm, plusMinus, unit: written } = read.dimension;
  if (unit === undefined || inside(mm, range)) return yes({ mm, plusMinus });
  const inUnit = written ?? unit;
  const found = `${shown(raw)}${written === undefined ? ` (${unit})` : ''}`;
  const otherUnit: Unit = inUnit === 'mm' ? 'in' : 'mm';
  const expected = rangeText(range, inUnit);
  // 0 is 0 in every unit: no guess can mend it.
  if (mm !== 0 && inside(toMm(fromMm(mm, inUnit), otherUnit), range)) {
    const name = otherUnit === 'in' ? 'inches' : 'millimetres';
    const remedy = `if ${name} were meant, write "${round(fromMm(mm, inUnit))} ${otherUnit}"`;
    const code = otherUnit === 'in' ? 'looks-like-inches' : 'looks-like-mm';
    return no({ code, message: `out of range, and ${name} seem to be meant`, found, expected, remedy });
  }
  return no({ code: 'out-of-range', message: 'out of range', found, expected });
}

/** A length that the uncertainty knows, with its own ± or the assumed one. */
export function measuredLength(unit: Unit | undefined, range: Range, assumed: number) {
  return leaf(lengthForm(range), (raw): LeafRead<Measured> => {
    const read = readLength(raw, unit, range);
    if (!read.ok) return read;
    const { mm, plusMinus } = read.value;
    return yes(measured(mm, plusMinus ?? assumed, plusMinus !== undefined));
  });
}

/** A gap of 0 or less says nothing of the saddle: the string lies on the fret (geometry.md). */
export function measuredGap(unit: Unit | undefined, range: Range, assumed: number) {
  return leaf(lengthForm(range), (raw): LeafRead<Measured> => {
    const read = readDimension(raw, unit ?? 'in');
    if (read.ok && read.dimension.value <= 0)
      return no({
        code: 'string-on-fret',
        message: 'the gap is not above 0: a string that lies on a fret says nothing',
        expected: 'more than 0',
        remedy: 'raise the saddles by a known amount, read again and give that amount as raised',
      });
    const length = readLength(raw, unit, range);
    if (!length.ok) return length;
    const { mm, plusMinus } = length.value;
    return yes(measured(mm, plusMinus ?? assumed, plusMinus !== undefined));
  });
}

/** A length taken as it is; a ± beside it is read and set aside (`crossChecks.ts` warns). */
export function plainLength(unit: Unit | undefined, range: Range) {
  return leaf(lengthForm(range), (raw): LeafRead<number> => {
    const read = readLength(raw, unit, range);
    return read.ok ? yes(read.value.mm) : read;
  });
}

const DEGREES = /^(-?\d+(?:\.\d+)?)\s*(?:(?:±|\+\/-)\s*(\d+(?:\.\d+)?))?$/;

/** Degrees in the file, radians from here on; the ± as for a length. */
export function measuredDegrees(range: Range, assumedDegrees: number) {
  const form = {
    anyOf: [
      { type: 'number', minimum: range.least, maximum: range.most },
      { type: 'string', pattern: DEGREES.source },
    ],
  };
  return leaf(form, (raw): LeafRead<Measured> => {
    const match = typeof raw === 'string' ? DEGREES.exec(raw.trim()) : null;
    const value = typeof raw === 'number' ? raw : match === null ? Number.NaN : Number(match[1]);
    const expected = `degrees, ${range.least} to ${range.most} (${range.why})`;
    if (!Number.isFinite(value)) return no({ code: 'not-an-angle', message: 'this is not an angle', expected });
    if (value < range.least || value > range.most) return no({ code: 'out-of-range', message: 'out of range', expected });
    const bound = match?.[2] === undefined ? undefined : Number(match[2]);
    return yes(measured(toRadians(value), toRadians(bound ?? assumedDegrees), bound !== undefined));
  });
}

export function wholeNumber(range: Range) {
  return leaf(wholeForm(range), (raw): LeafRead<number> => {
    const expected = `a whole number, ${range.least} to ${range.most} (${range.why})`;
    if (typeof raw !== 'number' || !Number.isInteger(raw))
      return no({ code: 'not-a-whole-number', message: 'this is not a whole number', expected });
    return inside(raw, range) ? yes(raw) : no({ code: 'out-of-range', message: 'out of range', expected });
  });
}

export function plainNumber(range: Range) {
  return leaf({ ...wholeForm(range), type: 'number' }, (raw): LeafRead<number> => {
    const expected = `a number, ${range.least} to ${range.most} (${range.why})`;
    if (typeof raw !== 'number') return no({ code: 'not-a-number', message: 'this is not a number', expected });
    if (!Number.isFinite(raw)) return no({ code: 'not-finite', message: 'this is not a finite number', expected });
    return inside(raw, range) ? yes(raw) : no({ code: 'out-of-range', message: 'out of range', expected });
  });
}

export function choice<const T extends string | number>(values: readonly T[]) {
  return leaf({ enum: values }, (raw): LeafRead<T> => {
    const value = values.find((each) => each === raw);
    if (value !== undefined) return yes(value);
    return no({ code: 'not-a-choice', message: 'this is none of the choices', expected: values.join(' | ') });
  });
}

/** The number that a file of this format starts with. */
export function formatVersion(kind: 'job' | 'shop') {
  return leaf({ const: 1 }, (raw): LeafRead<1> => {
    if (raw === 1) return yes(1);
    return no({ code: 'unknown-format', message: `this program reads ${kind} files of format 1 only`, expected: `${kind}: 1` });
  });
}

// Control characters, half surrogate pairs and the two non-characters cannot stand in an SVG (XML 1.0, 2.2) or on paper.
const isUnprintable = (character: string): boolean => {
  const code = character.codePointAt(0) ?? 0;
  const isSpace = code === 0x09 || code === 0x0a || code === 0x0d;
  return (
    (code < 0x20 && !isSpace) || (code >= 0x7f && code < 0xa0) || (code >= 0xd800 && code < 0xe000) || (code & 0xfffe) === 0xfffe
  );
};

export function freeText(most: number) {
  return leaf({ type: 'string', maxLength: most }, (raw): LeafRead<string> => {
    if (typeof raw !== 'string')
      return no({ code: 'not-a-text', message: 'this is not a text', expected: `a text; put "${shown(raw)}" in quotes` });
    const characters = [...raw];
    if (characters.length > most)
      return no({
        code: 'text-too-long',
        message: 'the text is too long',
        expected: `at most ${most} characters`,
        found: `${characters.length}`,
      });
    if (characters.some(isUnprintable))
      return no({
        code: 'text-unprintable',
        message: 'the text holds a character that no page can show',
        expected: 'letters, digits, signs',
      });
    return yes(raw.trim());
  });
}

const DAY = /^(\d{4})-(\d{2})-(\d{2})$/;

/** A day of the calendar (proleptic Gregorian), as ISO 8601 writes it. */
export function calendarDay() {
  return leaf({ type: 'string', pattern: DAY.source }, (raw): LeafRead<string> => {
    const match = typeof raw === 'string' ? DAY.exec(raw) : null;
    const [year, month, day] = [Number(match?.[1]), Number(match?.[2]), Number(match?.[3])];
    const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
    const days = [31, isLeap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
    if (match !== null && day >= 1 && day <= days) return yes(match[0]);
    return no({ code: 'not-a-date', message: 'this is not a day', expected: 'a day as YYYY-MM-DD' });
  });
}

/** A value that is either keys and values, or one value: judged by the schema of the form it has, so that findings stay plain. */
export function mappingOr<A, B>(mapping: z.ZodType<A>, other: z.ZodType<B>) {
  const schema = z.unknown().transform((raw, ctx): A | B => {
    const isMapping = typeof raw === 'object' && raw !== null && !Array.isArray(raw);
    const result = isMapping ? mapping.safeParse(raw) : other.safeParse(raw);
    if (result.success) return result.data;
    for (const issue of result.error.issues) ctx.issues.push({ ...issue, input: raw } as (typeof ctx.issues)[number]);
    return z.NEVER;
  });
  EITHER.set(schema, [mapping, other]);
  return schema;
}

/** One value, or a list of such values. */
export function listOr<T>(one: z.ZodType<T>) {
  const list = z.array(one);
  const schema = z.unknown().transform((raw, ctx): T | T[] => {
    const result = Array.isArray(raw) ? list.safeParse(raw) : one.safeParse(raw);
    if (result.success) return result.data;
    for (const issue of result.error.issues) ctx.issues.push({ ...issue, input: raw } as (typeof ctx.issues)[number]);
    return z.NEVER;
  });
  EITHER.set(schema, [list, one]);
  return schema;
}
