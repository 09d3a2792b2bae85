import { parse } from 'yaml';
import { valueAt } from '../job/yamlText.ts';
import { type Field, pathOf } from './fields.ts';

const MEASURED = new Set<Field['kind']>(['length', 'plain', 'pair', 'list', 'places', 'degrees']);

function dataOf(text: string): unknown {
  try {
    return parse(text);
  } catch {
    return undefined;
  }
}

/** Fields whose figures are still those that a starter came with: nobody has measured them. What is wanted is no measurement. */
export function startersOwn(text: string, starter: string, fields: readonly Field[]): ReadonlySet<string> {
  const [now, then] = [dataOf(text), dataOf(starter)];
  const own = fields.filter((field) => {
    if (!MEASURED.has(field.kind) || field.id.startsWith('target.')) return false;
    const value = valueAt(now, pathOf(field));
    return value !== undefined && JSON.stringify(value) === JSON.stringify(valueAt(then, pathOf(field)));
  });
  return new Set(own.map(({ id }) => id));
}
