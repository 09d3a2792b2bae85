import { dirname, join } from 'node:path';
import { drawingNamed } from '../job/readJob.ts';
import { readShop } from '../job/readShop.ts';
import type { Shop } from '../job/shop.ts';
import type { Finding, Result } from '../kernel/findings.ts';
import type { Outcome } from '../report/outcome.ts';
import { type Named, solveText } from '../solveJob.ts';
import { basesOf } from './bases.ts';
import { readText } from './files.ts';
import { InputProblem } from './problem.ts';

export function unwrap<T>(result: Result<T>): T {
  if (!result.ok) throw new InputProblem(result.findings);
  return result.value;
}

function namedText(path: string): Named {
  return { text: readText(path), file: path === '-' ? 'standard input' : path };
}

/** A job's text with those of the jobs it is like and of its drawing; from here for standard input. `shown` is its name in findings. */
export function withFamily(jobPath: string, text: string, shown = jobPath): Named {
  const isPiped = jobPath === '-';
  const job = { path: isPiped ? 'standard input' : jobPath, file: isPiped ? 'standard input' : shown, text };
  const bases = basesOf(job);
  const texts = bases.map(({ text, file }) => ({ text, file }));
  const named = drawingNamed(text, job.file, texts);
  const by = [job, ...bases].find(({ file }) => file === named?.file) ?? job;
  const drawing =
    named === undefined
      ? undefined
      : { text: readText(join(dirname(by.path), named.name)), file: join(dirname(by.file), named.name) };
  return { text, file: job.file, bases: texts, drawing };
}

/** A job by its path, with all that it names. */
export function namedJob(path: string, shown = path): Named {
  return withFamily(path, readText(path), shown);
}

function readShopFile(path: string): { readonly shop: Shop; readonly warnings: readonly Finding[] } {
  const { text, file } = namedText(path);
  const read = readShop(text, file);
  if (!read.ok) throw new InputProblem(read.findings);
  return { shop: read.value, warnings: read.warnings };
}

/** A command line that lacks something another needs: exit 2. */
export function usage(message: string, remedy: string): InputProblem {
  return new InputProblem([{ code: 'usage', severity: 'error', exit: 2, message, remedy }]);
}

/** Does several things that may each find something wrong, so that all of it is said at once. */
export function collecting(): { readonly attempt: <T>(work: () => T) => T | undefined; readonly throwAll: () => void } {
  const findings: Finding[] = [];
  return {
    attempt: (work) => {
      try {
        return work();
      } catch (error) {
        if (!(error instanceof InputProblem)) throw error;
        findings.push(...error.findings);
        return undefined;
      }
    },
    throwAll: () => {
      if (findings.length > 0) throw new InputProblem(findings);
    },
  };
}

export interface SolvedWithShop {
  readonly outcome: Outcome;
  readonly shop: Shop | undefined;
  /** Of both files. */
  readonly warnings: readonly Finding[];
}

/** Job and shop together, so that the problems of both files are said at once. */
export function solvedWithShop(jobPath: string, shopPath: string | undefined): SolvedWithShop {
  const { attempt, throwAll } = collecting();
  const outcome = attempt(() => unwrap(solveText(namedJob(jobPath))));
  const read = shopPath === undefined ? undefined : attempt(() => readShopFile(shopPath));
  throwAll();
  if (outcome === undefined) throw new Error('a job came back neither solved nor refused');
  return { outcome, shop: read?.shop, warnings: [...outcome.warnings, ...(read?.warnings ?? [])] };
}

/** The texts of job and shop. Where one cannot be read, what is wrong in the other is said with it. */
export function jobAndShopTexts(jobPath: string, shopPath: string | undefined): { job: Named; shop: Named | undefined } {
  const { attempt, throwAll } = collecting();
  const job = attempt(() => namedJob(jobPath));
  const shop = shopPath === undefined ? undefined : attempt(() => namedText(shopPath));
  if (job === undefined && shop !== undefined) attempt(() => unwrap(readShop(shop.text, shop.file)));
  if (job !== undefined && shop === undefined && shopPath !== undefined) attempt(() => unwrap(solveText(job)));
  throwAll();
  return { job: job as Named, shop };
}
