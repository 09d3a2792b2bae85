import { join } from 'node:path';
import { findingText } from '../kernel/findings.ts';
import { type Field, JOB_GROUPS, SHOP_GROUPS } from '../page/fields.ts';
import { BEGUN_WITH, figuresOf, starterOf, startersOwn } from '../page/starter.ts';
import { isPlainFile, readText } from './files.ts';
import { templatesFolder } from './start.ts';

/** Readings and the cutter: nobody's are those of a starter. A scale, a radius or a count may well be. */
function isOnesOwn({ id, kind }: Field): boolean {
  if (id.startsWith('cutter.')) return id === 'cutter.diameter' || id === 'cutter.length';
  return (kind === 'length' || kind === 'pair') && !id.startsWith('scale.') && !id.endsWith('.radius');
}

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

/**
 * Warns of figures in a job or shop file that are still its starter's: they are invented, and a floor cut to them fits nobody's neck. Only files
 * that say which starter they began with are looked at.
 */
export function starterNotes(paths: readonly (string | undefined)[]): string[] {
  return paths.flatMap((path) => {
    if (path === undefined || path === '-') return [];
    const text = textOf(path);
    const name = starterOf(text);
    const starter = name === undefined ? '' : textOf(join(templatesFolder(), `${name}.yaml`));
    if (name === undefined || starter === '') return [];
    const fields = (name === 'shop' ? SHOP_GROUPS : JOB_GROUPS).flatMap((group) => group.fields).filter(isOnesOwn);
    const own = [...startersOwn(text, figuresOf(starter, fields))];
    if (own.length === 0) return [];
    const names = own.slice(0, NAMES_TOLD).join(', ');
    const more = own.length > NAMES_TOLD ? ` and ${own.length - NAMES_TOLD} more` : '';
    const what = own.length === 1 ? `${names} is` : `${names}${more} are`;
    return [
      findingText({
        code: 'starter-figures',
        severity: 'warning',
        exit: null,
        place: { file: path, line: text.slice(0, text.indexOf(BEGUN_WITH)).split('\n').length, column: 1 },
        message: `${what} still as the starter '${name}' has ${own.length === 1 ? 'it' : 'them'}, invented`,
        remedy: `put in what you measured; where all of it is truly yours, take out the line "${BEGUN_WITH}${name}"`,
      }),
    ];
  });
}
