import { isMap, isScalar, isSeq, parse, parseDocument } from 'yaml';
import { nodeAt, scalarText, sourceAt, withValue } from '../job/editYaml.ts';
import { valueAt } from '../job/yamlText.ts';
import { readDimension } from '../kernel/dimension.ts';
import { fromMm, type Unit } from '../kernel/units.ts';
import { type Field, type Kind, pathOf } from './fields.ts';

// A sheet that began with a starter holds its invented figures until somebody puts measured ones in their place. Which starter that was is
// a comment in the file itself, so that the marks outlive saving, opening and the browser's store.

const LENGTHS = new Set<Kind>(['length', 'plain', 'pair', 'list', 'places']);
const MEASURED = new Set<Kind>([...LENGTHS, 'degrees', 'number']);

/** How the line begins that says which starter a file began with. */
export const BEGUN_WITH = '# begun with the starter ';
const BEGUN = new RegExp(`^${BEGUN_WITH}([\\w-]+)[ \\t]*\\r?$`, 'm');

/** A starter's text with the line that says which one it is. */
export function begunWith(name: string, text: string): string {
  return `${BEGUN_WITH}${name}\n${text}`;
}

/** The starter that a job or shop file says it began with. */
export function starterOf(text: string): string | undefined {
  return BEGUN.exec(text)?.[1];
}

export function unitOf(text: string): Unit {
  return /^units:\s*in\b/m.test(text) ? 'in' : 'mm';
}

/** Decimals as a maker reads them: a caliper shows no more than one less. */
const DECIMALS: Readonly<Record<Unit, number>> = { mm: 3, in: 4 };

function rounded(mm: number, unit: Unit): string {
  const value = fromMm(mm, unit);
  const short = Number(value.toFixed(DECIMALS[unit]));
  return String(short === 0 && value !== 0 ? Number(value.toPrecision(2)) : short);
}

/** A length of a file in `from` as the same length in a file in `to`. One that carries its own unit, or is no length, stays as it is. */
export function inUnit(source: string, from: Unit, to: Unit): string {
  if (from === to) return source;
  const read = readDimension(source, from);
  if (!read.ok || read.dimension.unit !== undefined) return source;
  const { value, plusMinus } = read.dimension;
  return `${rounded(value, to)}${plusMinus === undefined ? '' : ` ± ${rounded(plusMinus, to)}`}`;
}

function dataOf(text: string): unknown {
  try {
    return parse(text);
  } catch {
    return undefined;
  }
}

/** A value to compare: a figure is the same in quotes. */
function plainly(value: unknown): string | undefined {
  return JSON.stringify(value, (_, part) => (typeof part === 'number' ? String(part) : part));
}

/** A starter's figure as YAML on one line, for a file in either unit. */
interface Figure extends Readonly<Record<Unit, string>> {
  /** Both as `plainly` says them: they are compared at every key. */
  readonly plain: readonly (string | undefined)[];
}

/** A starter's figures, by field. */
export type Figures = ReadonlyMap<string, Figure>;

export function figuresOf(starter: string, fields: readonly Field[]): Figures {
  const doc = parseDocument(starter);
  const from = unitOf(starter);
  const written = (path: readonly (string | number)[], to: Unit): string | undefined => {
    const node = nodeAt(doc, path);
    if (isMap(node)) {
      const keys = node.items.map(({ key }) => String(isScalar(key) ? key.value : key));
      return `{${keys.map((key) => `${key}: ${written([...path, key], to)}`).join(', ')}}`;
    }
    if (isSeq(node)) return `[${node.items.map((_, i) => written([...path, i], to)).join(', ')}]`;
    const source = sourceAt(doc, path);
    return source === undefined ? undefined : scalarText(inUnit(source, from, to));
  };
  return new Map(
    fields
      .filter(({ kind }) => MEASURED.has(kind))
      .flatMap((field): [string, Figure][] => {
        const isLength = LENGTHS.has(field.kind);
        const [mm, inch] = [written(pathOf(field), isLength ? 'mm' : from), written(pathOf(field), isLength ? 'in' : from)];
        return mm === undefined || inch === undefined
          ? []
          : [[field.id, { mm, in: inch, plain: [mm, inch].map((each) => plainly(dataOf(each))) }]];
      }),
  );
}

/** Fields that hold the starter's figures, whichever unit those were written in for. */
function unchanged(text: string, figures: Figures): ReadonlySet<string> {
  const now = dataOf(text);
  const own = [...figures].filter(([id, figure]) => {
    const value = valueAt(now, id.split('.'));
    return value !== undefined && figure.plain.includes(plainly(value));
  });
  return new Set(own.map(([id]) => id));
}

/** Fields whose figures are still those that a starter came with: nobody has measured them. What is wanted is no measurement. */
export function startersOwn(text: string, figures: Figures): ReadonlySet<string> {
  return new Set([...unchanged(text, figures)].filter((id) => !id.startsWith('target.')));
}

/**
 * A text whose `units` were just changed, with the starter's own figures said in the new unit: they stand for the same lengths as before.
 * What somebody typed stays as it was typed.
 */
export function inItsUnit(text: string, figures: Figures, fields: readonly Field[]): string {
  const unit = unitOf(text);
  const own = unchanged(text, figures);
  return fields
    .filter(({ id, kind }) => own.has(id) && LENGTHS.has(kind))
    .reduce((all, field) => withValue(all, pathOf(field), figures.get(field.id)?.[unit]) ?? all, text);
}
