import { basename, resolve } from 'node:path';
import { PARTS, svgTexts } from '../guide/guide.ts';
import { guideOf, guidePageName } from '../guideJob.ts';
import { withRimCutter } from '../job/shop.ts';
import { findingText } from '../kernel/findings.ts';
import { fingerprintOf } from '../kernel/fingerprint.ts';
import { previewOf } from '../previewJob.ts';
import { type ProofKind, proveProgram } from '../proof/prove.ts';
import { drawingWarnings, leaveSaid, oneRunSaid, runWarnings } from '../report/beforeRun.ts';
import { ruleTable } from '../report/ruleTable.ts';
import { verdictJson, verdictText } from '../report/verdict.ts';
import { cutProgramsOf, otherJobSaid, otherwiseSaid, proofWorkOf, rimWorkOf } from '../routeJob.ts';
import { partlyFiled } from '../solveJob.ts';
import { type Output, readText, writeWhole } from './files.ts';
import { collecting, solvedWithShop, unwrap, usage } from './jobs.ts';
import { leftSaid, olderPages } from './makeAction.ts';
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
  const older = asPdf ? [] : olderPages(options.out, new Set(outputs.map(({ path }) => path)));
  return {
    out: outputs.map(({ path }) => `Wrote ${path}\n`).join(''),
    notes: [
      ...[...warnings, ...left].map(findingText),
      ...older.map(leftSaid),
      'print it at 100 % (no fit to page), then measure both check bars before you trust it',
    ],
  };
}

export interface RouteOptions extends OutOptions {
  readonly rim?: string;
}

export function routeAction(job: string, options: RouteOptions): Said {
  if (options.shop === undefined)
    throw usage(
      'a router program needs a shop file',
      'give --shop <file>; pocketpitch start shop my-shop.yaml writes one to begin with',
    );
  const { outcome, shop, warnings } = solvedWithShop(job, options.shop);
  if (shop === undefined) throw usage('a router program needs a shop file', 'give --shop <file>');
  if (options.rim !== undefined && shop.rim === undefined)
    throw usage('the shop file names no rim cutter', 'add it: rim, with its diameter and length; or leave --rim out');
  if (options.rim !== undefined && resolve(options.rim) === resolve(options.out))
    throw usage('both programs would go into one file', 'give --rim another name than --out');
  const cut = cutProgramsOf(outcome, shop, ['floor'], options.rim !== undefined);
  const { floor, rim, notes } = unwrap(cut);
  const outputs: Output[] = [{ path: options.out, bytes: floor.program.text, mark: MARKS.nc }];
  const said = [`Proved, and wrote ${options.out}\n${verdictText(floor.verdict, 'floor', shop, outcome.job.units)}`];
  if (options.rim !== undefined && rim !== undefined) {
    outputs.push({ path: options.rim, bytes: rim.program.text, mark: MARKS.nc });
    said.push(`Proved to come after it, and wrote ${options.rim}\n${verdictText(rim.verdict, 'rim', shop, outcome.job.units)}`);
  }
  const offer = options.rim === undefined && shop.rim !== undefined;
  writeWhole(outputs, options.replace === true);
  return {
    out: said.join(''),
    notes: [
      ...[...drawingWarnings(outcome), ...warnings, ...runWarnings(outcome), ...(cut.ok ? cut.warnings : [])].map(findingText),
      ...notes,
      ...oneRunSaid(outcome, shop),
      ...leaveSaid(outcome, shop.leave),
      ...(offer ? ['the shop file names a rim cutter: --rim <file> writes its program as well'] : []),
      ...partlyFiled(outcome),
      ...(shop.assumed.length > 0 ? [`not in the shop file, and taken as: ${shop.assumed.join(', ')}`] : []),
      'run it in the air first (pocketpitch make writes air.nc and trace.nc); read SAFETY.md',
    ],
  };
}

export interface ProveOptions {
  readonly job: string;
  readonly shop: string;
  readonly as: string;
  /** The program that a rim program comes after. */
  readonly after?: string;
  readonly json?: boolean;
  readonly report?: boolean;
}

const KINDS: readonly ProofKind[] = ['floor', 'rim', 'air', 'trace'];

/** What a program is to be judged as; a rim program only together with the one before it, and nothing else with that. */
function kindOf(said: string, after: string | undefined): ProofKind {
  const kind = KINDS.find((each) => each === said);
  if (kind === undefined) throw usage(`a program cannot be taken as '${said}'`, `--as takes ${KINDS.join(', ')}`);
  if ((kind === 'rim') !== (after !== undefined))
    throw usage(
      kind === 'rim' ? 'a rim program is judged by what the program before it left' : 'only a rim program comes after another',
      kind === 'rim' ? 'name that one: --after floor.nc' : 'give --as rim, or leave --after out',
    );
  return kind;
}

/** mm. A cutter that comes so near to the floor is on it. */
const ON_FLOOR_MM = 0.005;

/** What a proved text keeps everywhere on the floor (mm), by how near its cutter comes to that. */
function keptBy(gouge: number): number {
  return -gouge > ON_FLOOR_MM ? -gouge : 0;
}

export function proveAction(program: string, options: ProveOptions): Said & { readonly proved: boolean } {
  const kind = kindOf(options.as, options.after);
  if ([program, options.after].filter((path) => path === '-').length > 1)
    throw usage('only one file can come from standard input', 'give the other by its name');
  if (options.json === true && options.report === true)
    throw usage('a verdict is written either as JSON or as the rule table', 'give --json or --report');
  const { attempt, throwAll } = collecting();
  // Bytes that are no text break the rule `words` at their line, as the program's own fault.
  const text = attempt(() => readText(program, 'replaced'));
  const { after } = options;
  const before = after === undefined ? undefined : attempt(() => readText(after, 'replaced'));
  const judged = attempt(() => solvedWithShop(options.job, options.shop));
  throwAll();
  if (text === undefined || judged === undefined) throw new Error('a program or a job came back neither read nor refused');
  const { outcome, shop, warnings } = judged;
  if (shop === undefined) throw usage('a proof needs a shop file', 'give --shop <file>');
  const work = before === undefined ? proofWorkOf(outcome, shop) : rimWorkOf(outcome, shop, before);
  const verdict = proveProgram(text, unwrap(work), kind);
  const { proved } = verdict;
  const first = [...otherJobSaid(text, outcome), ...otherwiseSaid(text, kind, shop)];
  const stops = proved && verdict.figures.gouge !== null ? oneRunSaid(outcome, shop, keptBy(verdict.figures.gouge)) : [];
  const notes = [...[...warnings, ...verdict.warnings].map(findingText), ...stops];
  if (options.json === true) return { first, out: `${JSON.stringify(verdictJson(verdict), null, 2)}\n`, notes, proved };
  if (options.report !== true) return { first, out: verdictText(verdict, kind, shop, outcome.job.units), notes, proved };
  const record = {
    title: outcome.job.title,
    units: outcome.job.units,
    jobFingerprint: outcome.fingerprint,
    programFingerprint: fingerprintOf(text),
    beforeFingerprint: before === undefined ? undefined : fingerprintOf(before),
    kind,
    shop: before === undefined || shop.rim === undefined ? shop : withRimCutter(shop, shop.rim),
    clearBefore: outcome.job.pocket.clearBefore,
  };
  // The table holds the warnings about the cut itself.
  return { first, out: ruleTable(verdict, record), notes: [...warnings.map(findingText), ...stops], proved };
}

export interface PreviewOptions extends OutOptions {
  readonly program?: string;
  readonly as: string;
  /** The program that a rim program comes after. */
  readonly after?: string;
}

export function previewAction(job: string, options: PreviewOptions): Said {
  if (!options.out.endsWith('.html'))
    throw usage(`a preview is written as .html, not '${options.out}'`, 'name it like preview.html');
  const kind = kindOf(options.as, options.after);
  const { program, after } = options;
  if (program === undefined && after !== undefined)
    throw usage(
      'only a program that is given comes after another',
      "give --program, or leave --after out: the shop's own are both shown",
    );
  if (program !== undefined && options.shop === undefined)
    throw usage("another's program needs a shop file to be judged by", 'give --shop <file>');
  if ([job, options.shop, program, after].filter((path) => path === '-').length > 1)
    throw usage('only one file can come from standard input', 'give the others by their names');
  const { attempt, throwAll } = collecting();
  const text = program === undefined ? undefined : attempt(() => readText(program, 'replaced'));
  const before = after === undefined ? undefined : attempt(() => readText(after, 'replaced'));
  const solved = attempt(() => solvedWithShop(job, options.shop));
  throwAll();
  if (solved === undefined) throw new Error('a job came back neither solved nor refused');
  const nameOf = (path = ''): string => (path === '-' ? 'The program from standard input' : basename(path));
  const first = before === undefined ? undefined : { name: nameOf(after), text: before };
  const given = text === undefined ? undefined : { name: nameOf(program), text, kind, after: first };
  const made = unwrap(previewOf(solved.outcome, solved.shop, given, solved.warnings));
  const { page, programs, warnings } = made;
  writeWhole([{ path: options.out, bytes: page, mark: MARKS.html }], options.replace === true);
  const notes = programs.flatMap(({ name, verdict, said = [] }) => {
    const of = programs.length > 1 ? `${name}: ` : '';
    const count = verdict.faults.length;
    const faults = count === 1 ? '1 fault' : `${count} faults`;
    return [
      ...said.map((each) => of + each),
      ...(count === 0 ? [] : [`${of}not proved: ${faults}, marked on the drawing; do not run it`]),
    ];
  });
  return { out: `Wrote ${options.out}\n`, notes: [...notes, ...made.notes, ...warnings.map(findingText)] };
}
