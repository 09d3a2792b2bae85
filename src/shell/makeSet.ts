import type { Drawing } from '../guide/drawing.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { makeAll } from '../pipeline.ts';
import { type Figures, figuresOf } from '../report/figures.ts';
import { type InputTexts, RECORD_MARK, RECORD_NAME, recordText } from '../report/record.ts';
import type { Named } from '../solveJob.ts';
import { MARKS } from './marks.ts';

/** One file of a set, not yet in any folder. */
export interface SetFile {
  readonly name: string;
  readonly bytes: string | Uint8Array;
  readonly mark: RegExp;
}

/** Everything that `make` writes for one job. */
export interface MadeSet {
  /** The record is the last one: a set whose record fits was written to its end. */
  readonly files: readonly SetFile[];
  readonly figures: Figures;
  readonly notes: readonly string[];
  readonly warnings: readonly Finding[];
}

/** The guide as PDF. Its library is loaded only where a PDF is written. */
export async function guidePdf(sheets: readonly Drawing[], fingerprint: string): Promise<Uint8Array> {
  const { pdfBytes } = await import('../pdfJob.ts');
  return pdfBytes(sheets, `Guide to job ${fingerprint}`);
}

export function inputTexts(job: Named, shop: Named | undefined): InputTexts {
  return {
    job: job.text,
    bases: (job.bases ?? []).map((base) => base.text),
    drawing: job.drawing?.text ?? null,
    shop: shop?.text ?? null,
  };
}

const markOf = (name: string): RegExp => MARKS[(name.split('.').pop() ?? 'txt') as keyof typeof MARKS];

/** Where no more than the router program cannot be made, what is made without one is a way out: said with the last thing that stops it. */
function wayOut(findings: readonly Finding[], job: Named): readonly Finding[] {
  if (!findings.every(({ exit }) => exit === 3) || !makeAll(job, undefined).ok) return findings;
  const out =
    'or leave out --shop, or give a shop file without cutter and program: report, guide and preview are then made for the paper alone';
  return findings.map((finding, index) =>
    index < findings.length - 1
      ? finding
      : { ...finding, remedy: finding.remedy === undefined ? out : `${finding.remedy}; ${out}` },
  );
}

/** The whole set from its texts alone: the same texts give the same bytes. */
export async function makeSet(job: Named, shop: Named | undefined): Promise<Result<MadeSet>> {
  const made = makeAll(job, shop);
  if (!made.ok) return bad(shop === undefined ? made.findings : wayOut(made.findings, job));
  const { artifacts, sheets, outcome, notes, warnings } = made.value;
  const files = artifacts.map(({ name, text }): SetFile => ({ name, bytes: text, mark: markOf(name) }));
  if (sheets.length > 0) files.push({ name: 'guide.pdf', bytes: await guidePdf(sheets, outcome.fingerprint), mark: MARKS.pdf });
  const figures = figuresOf(outcome, warnings);
  files.push({ name: RECORD_NAME, bytes: recordText(inputTexts(job, shop), figures, files), mark: RECORD_MARK });
  return good({ files, figures, notes, warnings });
}
