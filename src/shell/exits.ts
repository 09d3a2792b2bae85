import { CommanderError } from 'commander';
import { exitCodeOf, findingText } from '../kernel/findings.ts';
import { InputProblem } from './problem.ts';

/** What each exit code says (contract.md, "Exit codes"). */
export const EXITS: readonly (readonly [string, string])[] = [
  ['0', 'done'],
  ['1', "a fault of pocketpitch's own, never of a file"],
  ['2', 'the command line, a job or a shop file is wrong, or a file cannot be read or written'],
  ['3', 'the job is sound but cannot be made as stated'],
  ['4', 'a router program is not proved'],
];

/** Something was judged, said why, and is not proved: a program, or that files are still those of their job. */
export class NotProved extends Error {}

/** A batch ended with jobs that failed, which its summary tells. */
export class JobsFailed extends Error {
  readonly exit: number;
  constructor(exit: number) {
    super();
    this.exit = exit;
  }
}

/** The exit code of what ended a command, said to `err` where it was not said yet. */
export function exitOf(error: unknown, err: (text: string) => void): number {
  if (error instanceof InputProblem) {
    for (const finding of error.findings) err(`${findingText(finding)}\n`);
    return exitCodeOf(error.findings);
  }
  if (error instanceof NotProved) return 4;
  if (error instanceof JobsFailed) return error.exit;
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  err(`error: a fault of pocketpitch's own: ${error instanceof Error ? error.message : String(error)}\n`);
  return 1;
}
