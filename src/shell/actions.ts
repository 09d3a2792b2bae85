import { basename } from 'node:path';
import { PARTS, svgTexts } from '../guide/guide.ts';
import { guideOf, guidePageName } from '../guideJob.ts';
import { findingText } from '../kernel/findings.ts';
import { fingerprintOf } from '../kernel/fingerprint.ts';
import { previewOf } from '../previewJob.ts';
import { type ProofKind, proveProgram } from '../proof/prove.ts';
import { ruleTable } from '../report/ruleTable.ts';
import { verdictJson, verdictText } from '../report/verdict.ts';
import { programsOf, proofWorkOf } from '../routeJob.ts';
import { type Output, readText, writeWhole } from './files.ts';
import { collecting, solvedWithShop, unwrap, usage } from './jobs.ts';
import { guidePdf } from './makeSet.ts';
import { MARKS } from './marks.ts';
import type { Said } from './said.ts';

export interface OutOptions {
  readonly out: string;
  readonly shop?: string;
  readonly replace?: boolean;
}

export interface GuideOptions extends OutOptions {
  readonly only?: string;
}

export async function guideAction(job: string, options: GuideOptions): Promise<Said> {
  const only = PARTS.find((part) => part === options.only);
  if (options.only !== undefined && only === undefined)
    throw usage(`a guide has no part '${options.only}'`, `--only takes ${PARTS.join(', ')}`);
  const asPdf = options.out.endsWith('.pdf');
  if (!asPdf && !options.out.endsWith('.svg'))
    throw usage(`a guide is written as .svg or .pdf, not '${options.out}'`, 'name it like guide.svg or guide.pdf');
  const { outcome, shop, warnings } = solvedWithShop(job, options.shop);
  const laid = guideOf(outcome, shop, only);
  const sheets = unwrap(laid);
  const left = laid.ok ? laid.warnings : [];
  const outputs: Output[] = asPdf
    ? [{ path: options.out, bytes: await guidePdf(sheets, outcome.fingerprint), mark: MARKS.pdf }]
    : svgTexts(sheets).map((bytes, index) => ({ path: guidePageName(options.out, index), bytes, mark: MARKS.svg }));
  writeWhole(outputs, options.replace === true);
  return {
    out: outputs.map(({ path }) => `Wrote ${path}\n`).join(''),
    notes: [
      ...[...warnings, ...left].map(findingText),
      'print it at 100 % (no fit to page), then measure both check bars before you trust it',
    ],
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
      ...[...warnings, ...made.verdict.warnings].map(findingText),
      'run it in the air first (pocketpitch make writes air.nc and trace.nc); read SAFETY.md',
    ],
  };
}

export interface ProveOptions {
  readonly job: string;
  readonly shop: string;
  readonly as: string;
  readonly json?: boolean;
  readonly report?: boolean;
}

const KINDS: readonly ProofKind[] = ['floor', 'air', 'trace'];

function kindOf(said: string): ProofKind {
  const kind = KINDS.find((each) => each === said);
  if (kind === undefined) throw usage(`a program cannot be proved as '${said}'`, `--as takes ${KINDS.join(', ')}`);
  return kind;
}

export function proveAction(program: string, options: ProveOptions): Said & { readonly proved: boolean } {
  const kind = kindOf(options.as);
  if (options.json === true && options.report === true)
    throw usage('a verdict is written either as JSON or as the rule table', 'give --json or --report');
  const { attempt, throwAll } = collecting();
  // Bytes that are no text break the rule `words` at their line, as the program's own fault.
  const text = attempt(() => readText(program, 'replaced'));
  const judged = attempt(() => solvedWithShop(options.job, options.shop));
  throwAll();
  if (text === undefined || judged === undefined) throw new Error('a program or a job came back neither read nor refused');
  const { outcome, shop, warnings } = judged;
  if (shop === undefined) throw usage('a proof needs a shop file', 'give --shop <file>');
  const verdict = proveProgram(text, unwrap(proofWorkOf(outcome, shop)), kind);
  const notes = [...warnings, ...verdict.warnings].map(findingText);
  if (options.json === true) return { out: `${JSON.stringify(verdictJson(verdict), null, 2)}\n`, notes, proved: verdict.proved };
  if (options.report !== true) return { out: verdictText(verdict), notes, proved: verdict.proved };
  const record = {
    title: outcome.job.title,
    jobFingerprint: outcome.fingerprint,
    programFingerprint: fingerprintOf(text),
    kind,
    shop,
    clearBefore: outcome.job.pocket.clearBefore,
  };
  // The table holds the warnings about the cut itself.
  return { out: ruleTable(verdict, record), notes: warnings.map(findingText), proved: verdict.proved };
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
