import type { Finding, Place } from '../kernel/findings.ts';
import { reasonOf } from './reason.ts';

/** What a command refuses, as the findings that it tells. */
export class InputProblem extends Error {
  readonly findings: readonly Finding[];
  constructor(findings: readonly Finding[]) {
    super(findings.map((finding) => finding.message).join('; '));
    this.findings = findings;
  }
}

/** One refusal of what was given: exit 2. */
export function problem(code: string, message: string, remedy?: string, place?: Place): InputProblem {
  return new InputProblem([{ code, severity: 'error', exit: 2, message, remedy, place }]);
}

/** What the system says against writing there; what was refused before stays as it was said. */
export function cannotWrite(path: string, error: unknown): InputProblem {
  if (error instanceof InputProblem) return error;
  return problem('cannot-write', `'${path}' cannot be written: ${reasonOf(error)}`);
}

/** Files that are there and are not this command's own. */
export function wouldReplace(paths: readonly string[], replace: boolean): InputProblem {
  return new InputProblem(
    paths.map((path) => ({
      code: 'would-replace',
      severity: 'error',
      exit: 2,
      message: `'${path}' is there already and is not an output of this command`,
      remedy: replace ? 'give another name' : 'give another name, or --replace',
    })),
  );
}
