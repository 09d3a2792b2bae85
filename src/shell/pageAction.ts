import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readText, writeWhole } from './files.ts';
import { usage } from './jobs.ts';
import type { Said } from './said.ts';

export interface PageOptions {
  readonly out: string;
  readonly replace?: boolean;
}

/** How the page begins, by which it may be replaced. */
const MARK = /^<!doctype html>\n<html lang="[a-z]+">\n<head>\n<meta charset="utf-8">\n<title>pocketpitch bench page<\/title>/;

/** The page that the build has made, beside the bundle; from `src/shell` the one in `dist`. */
function builtPage(): string {
  const here = dirname(fileURLToPath(import.meta.url));
  return join(here, here.endsWith('shell') ? '../../dist' : '.', 'bench-page.html');
}

/** Writes the bench page out of the installed package. */
export function pageAction({ out, replace }: PageOptions): Said {
  if (!out.endsWith('.html')) throw usage(`a bench page is written as .html, not '${out}'`, 'name it like pocketpitch.html');
  writeWhole([{ path: out, bytes: readText(builtPage()), mark: MARK }], replace === true);
  return { out: `Wrote ${out}\nOpen it in a browser; it needs nothing beside it and sends nothing.\n`, notes: [] };
}
