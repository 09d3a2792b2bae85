import type { Finding } from '../kernel/findings.ts';

/** What a command refuses, as the findings that it tells. */
export class InputProblem extends Error {
  readonly findings: readonly Finding[];
  constructor(findings: readonly Finding[]) {
    super(findings.map((finding) => finding.message).join('; '));
    this.findings = findings;
  }
}

/** One refusal of what was given: exit 2. */
export function problem(code: string, message: string, remedy?: string): InputProblem {
  return new InputProblem([{ code, severity: 'error', exit: 2, message, remedy }]);
}
