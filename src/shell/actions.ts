import { join } from 'node:path';
import { findingText } from '../kernel/findings.ts';
import { guideOf, guidePageName, makeAll, programsOf, proofWorkOf } from '../pipeline.ts';
import { type ProofKind, proveProgram } from '../proof/prove.ts';
import { verdictJson, verdictText } from '../report/verdict.ts';
import { InputProblem, type Output, readText, writeWhole } from './files.ts';
import { namedText, solvedWithShop, unwrap, usage } from './jobs.ts';
import type { Said } from './said.ts';

/** Words near the beginning of each kind of output, by which the same command knows its own work again. */
const MARKS = {
  svg: 'pocketpitch guide',
  nc: 'pocketpitch',
  txt: '\njob ',
  json: '"format": 1',
} as const;

export interface OutOptions {
  readonly out: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

export function guideAction(job: string, options: OutOptions): Said {
  if (!options.out.endsWith('.svg')) throw usage(`a guide is written as .svg, not '${options.out}'`, 'name it like guide.svg');
  const { outcome, shop } = solvedWithShop(job, options.shop);
  const pages = unwrap(guideOf(outcome, shop));
  const outputs = pages.map((bytes, index): Output => ({ path: guidePageName(options.out, index), bytes, mark: MARKS.svg }));
  writeWhole(outputs, options.replace === true);
  return {
    out: outputs.map(({ path }) => `Wrote ${path}\n`).join(''),
    notes: ['print it at 100 % (no fit to page), then measure both check bars before you trust it'],
  };
}

export function routeAction(job: string, options: OutOptions): Said {
  if (options.shop === undefined)
    throw usage(
      'a router program needs a shop file',
      'give --shop <file>; pocketpitch start shop my-shop.yaml writes one to begin with',
    );
  const { outcome, shop } = solvedWithShop(job, options.shop);
  if (shop === undefined) throw usage('a router program needs a shop file', 'give --shop <file>');
  const [made] = unwrap(programsOf(outcome, shop, ['floor']));
  if (made === undefined) throw new Error('no program came back');
  writeWhole([{ path: options.out, bytes: made.program.text, mark: MARKS.nc }], options.replace === true);
  return {
    out: `Proved, and wrote ${options.out}\n${verdictText(made.verdict)}`,
    notes: ['run it in the air first (pocketpitch make writes air.nc and trace.nc); read SAFETY.md'],
  };
}

export interface ProveOptions {
  readonly job: string;
  readonly shop: string;
  readonly as: string;
  readonly json?: boolean;
}

const KINDS: readonly ProofKind[] = ['floor', 'air', 'trace'];

export function proveAction(program: string, options: ProveOptions): Said & { readonly proved: boolean } {
  const kind = KINDS.find((each) => each === options.as);
  if (kind === undefined) throw usage(`a program cannot be proved as '${options.as}'`, `--as takes ${KINDS.join(', ')}`);
  const text = readText(program);
  const { outcome, shop } = solvedWithShop(options.job, options.shop);
  if (shop === undefined) throw usage('a proof needs a shop file', 'give --shop <file>');
  const verdict = proveProgram(text, unwrap(proofWorkOf(outcome, shop)), kind);
  const out = options.json === true ? `${JSON.stringify(verdictJson(verdict), null, 2)}\n` : verdictText(verdict);
  return { out, notes: [], proved: verdict.proved };
}

export interface MakeOptions {
  readonly into: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

export function makeAction(job: string, options: MakeOptions): Said {
  if (job === '-' && options.shop === '-')
    throw usage('only one file can come from standard input', 'give the other by its name');
  const made = makeAll(namedText(job), options.shop === undefined ? undefined : namedText(options.shop));
  if (!made.ok) throw new InputProblem(made.findings);
  const { artifacts, notes, warnings } = made.value;
  const markOf = (name: string): string => MARKS[(name.split('.').pop() ?? 'txt') as keyof typeof MARKS];
  writeWhole(
    artifacts.map(({ name, text }): Output => ({ path: join(options.into, name), bytes: text, mark: markOf(name) })),
    options.replace === true,
  );
  const list = artifacts.map(({ name }) => `  ${join(options.into, name)}`).join('\n');
  const open = `Open ${join(options.into, 'report.txt')} first${artifacts.some(({ name }) => name === 'guide.svg') ? `, then ${join(options.into, 'guide.svg')}` : ''}.`;
  return { out: `Wrote\n${list}\n${open}\n`, notes: [...notes, ...warnings.map(findingText)] };
}
