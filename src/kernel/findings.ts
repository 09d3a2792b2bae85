import { MOST_FINDINGS_TOLD } from './tolerances.ts';

/** Where in a text a finding stands; lines and columns count from 1. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

/**
 * Something wrong (or worth a warning) as data. Text for people is made in `findingText` alone.
 * `exit` is the exit code the finding calls for: 2 wrong input, 3 sound but cannot be made, 4 not proved; a warning has none.
 */
export interface Finding {
  readonly code: string;
  readonly severity: 'error' | 'warning';
  readonly exit: 2 | 3 | 4 | null;
  readonly message: string;
  readonly place?: Place | undefined;
  readonly found?: string | undefined;
  readonly expected?: string | undefined;
  readonly remedy?: string | undefined;
}

export type Result<T> =
  | { readonly ok: true; readonly value: T; readonly warnings: readonly Finding[] }
  | { readonly ok: false; readonly findings: readonly Finding[] };

/** Something wrong in what was given, at its place: exit 2. */
export function inputError(code: string, message: string, place: Place | undefined, more: Partial<Finding> = {}): Finding {
  return { code, severity: 'error', exit: 2, message, place, ...more };
}

export function good<T>(value: T, warnings: readonly Finding[] = []): Result<T> {
  return { ok: true, value, warnings };
}

export function bad<T>(findings: readonly Finding[]): Result<T> {
  return { ok: false, findings };
}

/** As many findings as anybody reads; the last of them says how many more there are (`more` of them not even made). */
export function toldOf(findings: readonly Finding[], more = 0): readonly Finding[] {
  const told = findings.slice(0, MOST_FINDINGS_TOLD);
  const left = findings.length - told.length + more;
  if (left === 0) return told;
  return told.map((each, index) =>
    index < told.length - 1 ? each : { ...each, message: `${each.message} (and ${left} more problems)` },
  );
}

// Controls, halves of surrogate pairs, line separators, and marks that turn the direction of writing: a file must not be able to move the
// cursor of the terminal that its findings are shown on, nor make them read otherwise than they are.
const UNPRINTABLE = /[\p{Cc}\p{Cs}\u2028\u2029\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu;

const escaped = (text: string): string =>
  text.replace(UNPRINTABLE, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`);

/** The one place where a finding becomes a line of text. */
export function findingText(finding: Finding): string {
  const at = finding.place ? `${finding.place.file}:${finding.place.line}:${finding.place.column}: ` : '';
  const parts = [`${at}${finding.severity} ${finding.code}: ${finding.message}`];
  if (finding.found !== undefined) parts.push(`found ${finding.found}`);
  if (finding.expected !== undefined) parts.push(`expected ${finding.expected}`);
  if (finding.remedy !== undefined) parts.push(finding.remedy);
  return escaped(parts.join('; '));
}

/** The exit code for a set of findings: wrong input before cannot-be-made before not-proved. */
export function exitCodeOf(findings: readonly Finding[]): 0 | 2 | 3 | 4 {
  const codes = findings.flatMap((finding) => (finding.exit === null ? [] : [finding.exit]));
  return codes.length === 0 ? 0 : (Math.min(...codes) as 2 | 3 | 4);
}
