import { join } from 'node:path';
import { guidePageName } from '../guideJob.ts';
import { findingText } from '../kernel/findings.ts';
import { isThere, type Output, writeWhole } from './files.ts';
import { jobAndShopTexts, unwrap, usage } from './jobs.ts';
import { type MadeSet, makeSet } from './makeSet.ts';
import type { Said } from './said.ts';

export interface MakeOptions {
  readonly into: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

/** More pages than any guide has. */
const MOST_PAGES = 40;

export function leftSaid(path: string): string {
  return `warning: ${path} is left from an earlier run and does not belong to this one`;
}

/** Pages of an earlier guide of the same name that this one has not written anew: mixed with its pages they would be filed to. */
export function olderPages(first: string, written: ReadonlySet<string>): string[] {
  const paths = Array.from({ length: MOST_PAGES }, (_, index) => guidePageName(first, index));
  return paths.filter((path) => !written.has(path) && isThere(path));
}

const LEFT_BEFORE = ['guide.pdf', 'rails-left.stl', 'rails-right.stl', 'floor.nc', 'air.nc', 'trace.nc', 'rim.nc', 'rim-air.nc'];

/** Files that `make` may have written before and that are not of this set: a program of another job beside this report would be a trap. */
export function leftOver(folder: string, written: ReadonlySet<string>): string[] {
  const pages = Array.from({ length: MOST_PAGES }, (_, index) => guidePageName('guide.svg', index));
  return [...pages, ...LEFT_BEFORE].filter((name) => !written.has(name) && isThere(join(folder, name)));
}

/** Puts a set into a folder, whole; the answer names what stands there from an earlier run and is not of it. */
export function writeSet({ files }: MadeSet, folder: string, replace: boolean): string[] {
  writeWhole(
    files.map(({ name, bytes, mark }): Output => ({ path: join(folder, name), bytes, mark })),
    replace,
  );
  return leftOver(folder, new Set(files.map(({ name }) => name)));
}

export async function makeAction(job: string, options: MakeOptions): Promise<Said> {
  if (job === '-' && options.shop === '-')
    throw usage('only one file can come from standard input', 'give the other by its name');
  const texts = jobAndShopTexts(job, options.shop);
  const set = unwrap(await makeSet(texts.job, texts.shop));
  const left = writeSet(set, options.into, options.replace === true).map((name) => leftSaid(join(options.into, name)));
  const list = set.files.map(({ name }) => `  ${join(options.into, name)}`).join('\n');
  const then = ['preview.html', 'guide.svg'].filter((name) => set.files.some((file) => file.name === name));
  const open = `Open ${[`${join(options.into, 'report.txt')} first`, ...then.map((name) => join(options.into, name))].join(', then ')}.`;
  return { out: `Wrote\n${list}\n${open}\n`, notes: [...set.notes, ...left, ...set.warnings.map(findingText)] };
}
