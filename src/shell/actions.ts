import { basename, join } from 'node:path';
import { findingText } from '../kernel/findings.ts';
import { guideOf, guidePageName, makeAll, previewOf, programsOf, proofWorkOf } from '../pipeline.ts';
import { type ProofKind, proveProgram } from '../proof/prove.ts';
import { verdictJson, verdictText } from '../report/verdict.ts';
import { InputProblem, isThere, type Output, readText, writeWhole } from './files.ts';
import { collecting, jobAndShopTexts, solvedWithShop, unwrap, usage } from './jobs.ts';
import type { Said } from './said.ts';

/** How each kind of output begins, by which a command knows its own work again: never anything a person would write. */
const MARKS = {
  svg: /^<svg [^>]*>\s*<title>pocketpitch guide/,
  nc: /^\(pocketpitch: /,
  txt: /^[^\n]*\njob [0-9a-f]{12}\n/,
  html: /^<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>pocketpitch preview: /,
  json: /^\{\s*"format": 1,\s*"pitch": \{/,
} as const;

export interface OutOptions {
  readonly out: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

export function guideAction(job: string, options: OutOptions): Said {
  if (!options.out.endsWith('.svg')) throw usage(`a guide is written as .svg, not '${options.out}'`, 'name it like guide.svg');
  const { outcome, shop, warnings } = solvedWithShop(job, options.shop);
  const pages = unwrap(guideOf(outcome, shop));
  const outputs = pages.map((bytes, index): Output => ({ path: guidePageName(options.out, index), bytes, mark: MARKS.svg }));
  writeWhole(outputs, options.replace === true);
  return {
    out: outputs.map(({ path }) => `Wrote ${path}\n`).join(''),
    notes: [...warnings.map(findingText), 'print it at 100 % (no fit to page), then measure both check bars before you trust it'],
  };
}

export function routeAction(job: string, options: OutOptions): Said {
  if (options.shop === undefined)
    throw usage(
      'a router program needs a shop file',
      'give --shop <file>; pocketpitch start shop my-shop.yaml writes one to begin with',
    );
  const { outcome, shop, warnings } = solvedWithShop(job, options.shop);
  if (shop === undefined) throw usage('a router program needs a shop file', 'give --shop <file>');
  const [made] = unwrap(programsOf(outcome, shop, ['floor']));
  if (made === undefined) throw new Error('no program came back');
  writeWhole([{ path: options.out, bytes: made.program.text, mark: MARKS.nc }], options.replace === true);
  return {
    out: `Proved, and wrote ${options.out}\n${verdictText(made.verdict)}`,
    notes: [
      ...warnings.map(findingText),
      'run it in the air first (pocketpitch make writes air.nc and trace.nc); read SAFETY.md',
    ],
  };
}

export interface ProveOptions {
  readonly job: string;
  readonly shop: string;
  readonly as: string;
  readonly json?: boolean;
}

const KINDS: readonly ProofKind[] = ['floor', 'air', 'trace'];

function kindOf(said: string): ProofKind {
  const kind = KINDS.find((each) => each === said);
  if (kind === undefined) throw usage(`a program cannot be proved as '${said}'`, `--as takes ${KINDS.join(', ')}`);
  return kind;
}

export function proveAction(program: string, options: ProveOptions): Said & { readonly proved: boolean } {
  const kind = kindOf(options.as);
  const { attempt, throwAll } = collecting();
  // Bytes that are no text break the rule `words` at their line, as the program's own fault.
  const text = attempt(() => readText(program, 'replaced'));
  const judged = attempt(() => solvedWithShop(options.job, options.shop));
  throwAll();
  if (text === undefined || judged === undefined) throw new Error('a program or a job came back neither read nor refused');
  const { outcome, shop, warnings } = judged;
  if (shop === undefined) throw usage('a proof needs a shop file', 'give --shop <file>');
  const verdict = proveProgram(text, unwrap(proofWorkOf(outcome, shop)), kind);
  const out = options.json === true ? `${JSON.stringify(verdictJson(verdict), null, 2)}\n` : verdictText(verdict);
  return { out, notes: warnings.map(findingText), proved: verdict.proved };
}

export interface PreviewOptions extends OutOptions {
  readonly program?: string;
  readonly as: string;
}

export function previewAction(job: string, options: PreviewOptions): Said {
  if (!options.out.endsWith('.html'))
    throw usage(`a preview is written as .html, not '${options.out}'`, 'name it like preview.html');
  const kind = kindOf(options.as);
  const { program } = options;
  if (program !== undefined && options.shop === undefined)
    throw usage("another's program needs a shop file to be judged by", 'give --shop <file>');
  if ([job, options.shop, program].filter((path) => path === '-').length > 1)
    throw usage('only one file can come from standard input', 'give the others by their names');
  const { attempt, throwAll } = collecting();
  const text = program === undefined ? undefined : attempt(() => readText(program, 'replaced'));
  const solved = attempt(() => solvedWithShop(job, options.shop));
  throwAll();
  if (solved === undefined) throw new Error('a job came back neither solved nor refused');
  const name = program === '-' ? 'The program from standard input' : basename(program ?? '');
  const given = text === undefined ? undefined : { name, text, kind };
  const { page, verdict, warnings } = unwrap(previewOf(solved.outcome, solved.shop, given, solved.warnings));
  writeWhole([{ path: options.out, bytes: page, mark: MARKS.html }], options.replace === true);
  const count = verdict?.faults.length ?? 0;
  const notes = count === 0 ? [] : [`not proved: ${count} fault${count === 1 ? '' : 's'}, marked on the drawing; do not run it`];
  return { out: `Wrote ${options.out}\n`, notes: [...notes, ...warnings.map(findingText)] };
}

export interface MakeOptions {
  readonly into: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

/** What `make` may have written before and does not write now: a program of another job beside this report would be a trap. */
function leftOver(folder: string, written: ReadonlySet<string>): string[] {
  return ['guide.svg', 'guide-2.svg', 'guide-3.svg', 'floor.nc', 'air.nc', 'trace.nc']
    .filter((name) => !written.has(name) && isThere(join(folder, name)))
    .map((name) => `warning: ${join(folder, name)} is left from an earlier run and does not belong to this one`);
}

export function makeAction(job: string, options: MakeOptions): Said {
  if (job === '-' && options.shop === '-')
    throw usage('only one file can come from standard input', 'give the other by its name');
  const texts = jobAndShopTexts(job, options.shop);
  const made = makeAll(texts.job, texts.shop);
  if (!made.ok) throw new InputProblem(made.findings);
  const { artifacts, notes, warnings } = made.value;
  const markOf = (name: string): RegExp => MARKS[(name.split('.').pop() ?? 'txt') as keyof typeof MARKS];
  writeWhole(
    artifacts.map(({ name, text }): Output => ({ path: join(options.into, name), bytes: text, mark: markOf(name) })),
    options.replace === true,
  );
  const left = leftOver(options.into, new Set(artifacts.map(({ name }) => name)));
  const list = artifacts.map(({ name }) => `  ${join(options.into, name)}`).join('\n');
  const then = ['preview.html', 'guide.svg'].filter((name) => artifacts.some((artifact) => artifact.name === name));
  const open = `Open ${[`${join(options.into, 'report.txt')} first`, ...then.map((name) => join(options.into, name))].join(', then ')}.`;
  return { out: `Wrote\n${list}\n${open}\n`, notes: [...notes, ...left, ...warnings.map(findingText)] };
}
