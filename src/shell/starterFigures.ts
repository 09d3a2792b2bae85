import { join } from 'node:path';
import type { Text } from '../job/family.ts';
import { readYaml, valueAt } from '../job/yamlText.ts';
import { type Finding, findingText } from '../kernel/findings.ts';
import { type Field, JOB_GROUPS, SHOP_GROUPS } from '../page/fields.ts';
import { BEGUN_WITH, figuresOf, starterOf, startersOwn } from '../page/starter.ts';
import type { Named } from '../solveJob.ts';
import { isPlainFile, readText } from './files.ts';
import { templatesFolder } from './start.ts';

/** Readings and the cutter: nobody's are those of a starter. A scale, a radius or a count may well be. */
function isOnesOwn({ id, kind }: Field): boolean {
  if (id.startsWith('cutter.')) return id === 'cutter.diameter' || id === 'cutter.length';
  return (kind === 'length' || kind === 'pair') && !id.startsWith('scale.') && !id.endsWith('.radius');
}

/** Never taken from a job that one is like. */
const OWN_READINGS = /^(?:asFound|fits)\b/;

/** Names told one by one; more than these are counted. */
const NAMES_TOLD = 6;

/** Nothing where there is none: what cannot be read is said by whoever needs it. A pipe is left to them, for it can be read once only. */
function textOf(path: string): string {
  try {
    return isPlainFile(path) ? readText(path) : '';
  } catch {
    return '';
  }
}

/** What of a text is still its starter's, by the keys that count; undefined where nothing is, or it says no starter. */
function starterFinding({ text, file }: Text, counts: (id: string) => boolean = () => true): Finding | undefined {
  const name = starterOf(text);
  const starter = name === undefined ? '' : textOf(join(templatesFolder(), `${name}.yaml`));
  if (name === undefined || starter === '') return undefined;
  const fields = (name === 'shop' ? SHOP_GROUPS : JOB_GROUPS).flatMap((group) => group.fields).filter(isOnesOwn);
  const own = [...startersOwn(text, figuresOf(starter, fields))].filter(counts);
  if (own.length === 0) return undefined;
  const names = own.slice(0, NAMES_TOLD).join(', ');
  const more = own.length > NAMES_TOLD ? ` and ${own.length - NAMES_TOLD} more` : '';
  const what = own.length === 1 ? `${names} is` : `${names}${more} are`;
  return {
    code: 'starter-figures',
    severity: 'warning',
    exit: null,
    place: { file, line: text.slice(0, text.indexOf(BEGUN_WITH)).split('\n').length, column: 1 },
    message: `${what} still as the starter '${name}' has ${own.length === 1 ? 'it' : 'them'}, invented`,
    remedy: `put in what you measured; where all of it is truly yours, take out the line "${BEGUN_WITH}${name}"`,
  };
}

/**
 * Warns of figures in a job or shop file that are still its starter's: they are invented, and a floor cut to them fits nobody's neck. Only files
 * that say which starter they began with are looked at. `same` does not warn: it compares files, and whoever made them was told.
 */
export function starterNotes(paths: readonly (string | undefined)[]): string[] {
  return paths.flatMap((path) => {
    const found = path === undefined || path === '-' ? undefined : starterFinding({ text: textOf(path), file: path });
    return found === undefined ? [] : [findingText(found)];
  });
}

/** The same of a job and of those it is like, of these only what no nearer one says itself: a model's figures are each neck's. */
export function starterWarnings({ text, file, bases = [] }: Named): Finding[] {
  const texts = [{ text, file }, ...bases];
  return texts.flatMap((each, i) => {
    const nearer = texts.slice(0, i).map((near) => readYaml(near.text, near.file));
    const isSaid = (id: string): boolean =>
      nearer.some((read) => read.ok && valueAt(read.value.data, id.split('.')) !== undefined);
    const found = starterFinding(each, (id) => !isSaid(id) && !(i > 0 && OWN_READINGS.test(id)));
    return found === undefined ? [] : [i === 0 ? found : { ...found, message: `in ${each.file} ${found.message}` }];
  });
}
