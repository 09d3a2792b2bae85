import { readShop } from '../job/readShop.ts';
import type { Shop } from '../job/shop.ts';
import type { Result } from '../kernel/findings.ts';
import type { Outcome } from '../report/outcome.ts';
import { type Named, solveText } from '../solveJob.ts';
import { InputProblem, readText } from './files.ts';

export function unwrap<T>(result: Result<T>): T {
  if (!result.ok) throw new InputProblem(result.findings);
  return result.value;
}

export function namedText(path: string): Named {
  return { text: readText(path), file: path === '-' ? 'standard input' : path };
}

export function readShopFile(path: string): Shop {
  const { text, file } = namedText(path);
  return unwrap(readShop(text, file));
}

/** A command line that lacks something another needs: exit 2. */
export function usage(message: string, remedy: string): InputProblem {
  return new InputProblem([{ code: 'usage', severity: 'error', exit: 2, message, remedy }]);
}

/** Job and shop together, so that the problems of both files are said at once. */
export function solvedWithShop(jobPath: string, shopPath: string | undefined): { outcome: Outcome; shop: Shop | undefined } {
  const problems: InputProblem[] = [];
  const attempt = <T>(work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof InputProblem)) throw error;
      problems.push(error);
      return undefined;
    }
  };
  const outcome = attempt(() => unwrap(solveText(namedText(jobPath))));
  const shop = shopPath === undefined ? undefined : attempt(() => readShopFile(shopPath));
  if (outcome === undefined || problems.length > 0) throw new InputProblem(problems.flatMap((problem) => problem.findings));
  return { outcome, shop };
}
