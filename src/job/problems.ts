import type * as z from 'zod';
import { type Finding, toldOf } from '../kernel/findings.ts';
import { MOST_FINDINGS_TOLD } from '../kernel/tolerances.ts';
import { type Fault, shown } from './leaves.ts';
import { type Candidate, nearestKey } from './nearest.ts';
import { pathText } from './pathText.ts';
import { type Located, type Path, valueAt } from './yamlText.ts';

type Issue = z.core.$ZodIssue;

/** The keys a schema knows, as a tree: what the nearest-key hint chooses from. */
export type KnownKeys = { readonly [key: string]: KnownKeys };

function knownAt(known: KnownKeys, path: Path): KnownKeys {
  // The items of a list stand where the list's own key does.
  return path.reduce<KnownKeys>((tree, step) => (typeof step === 'number' ? tree : (tree[step] ?? {})), known);
}

export function candidates(known: KnownKeys, prefix: Path = []): Candidate[] {
  return Object.entries(known).flatMap(([key, below]) => [{ key, parent: prefix }, ...candidates(below, [...prefix, key])]);
}

const error = (fault: Fault, place: Finding['place']): Finding => ({ severity: 'error', exit: 2, ...fault, place });

function unknownKey(
  key: string,
  path: Path,
  located: Located,
  known: KnownKeys,
): { finding: Finding; meant: string | undefined } {
  const here = Object.keys(knownAt(known, path)).map((each): Candidate => ({ key: each, parent: path }));
  const near = nearestKey(key, here, candidates(known));
  const where = path.length === 0 ? 'at the top of the file' : `in ${pathText(path)}`;
  const fault: Fault = {
    code: 'unknown-key',
    message: `'${shown(key).slice(1, -1)}' is no key ${where}`,
    found: shown(key),
    expected: near === undefined ? 'no key here' : `perhaps '${pathText([...near.candidate.parent, near.candidate.key])}'`,
  };
  const meant = near?.isSure ? pathText([...near.candidate.parent, near.candidate.key]) : undefined;
  return { finding: error(fault, located.keyPlace([...path, key])), meant };
}

interface Problems {
  readonly findings: readonly Finding[];
  /** What misspelt or misplaced keys stand for: one fault each, so that is not also missing. */
  readonly meant: ReadonlySet<string>;
}

/** Every issue of a schema as a finding with its place. */
export function problemsOf(issues: readonly Issue[], located: Located, known: KnownKeys): Problems {
  const misspelt = new Set<string>();
  const findings: Finding[] = [];
  // Finding a place and a hint costs more than finding the problem: what nobody is told of is only counted.
  let more = 0;
  for (const issue of issues) {
    if (issue.code !== 'unrecognized_keys') continue;
    const path = issue.path as Path;
    for (const key of issue.keys) {
      if (findings.length >= MOST_FINDINGS_TOLD) {
        more += 1;
        continue;
      }
      const { finding, meant } = unknownKey(key, path, located, known);
      findings.push(finding);
      if (meant !== undefined) misspelt.add(meant);
    }
  }
  for (const issue of issues) {
    if (issue.code === 'unrecognized_keys') continue;
    if (findings.length >= MOST_FINDINGS_TOLD) {
      more += 1;
      continue;
    }
    const path = issue.path as Path;
    const raw = valueAt(located.data, path);
    const name = pathText(path);
    if (raw === undefined) {
      if (isMeant(name, misspelt)) continue;
      findings.push(missingKey(name, located, path));
      continue;
    }
    const place = located.valuePlace(path);
    const fault = faultOf(issue, raw);
    findings.push(error({ ...fault, message: `${name}: ${fault.message}`, found: fault.found ?? shown(raw) }, place));
  }
  return { findings: toldOf(findings, more), meant: misspelt };
}

/** Whether a key, or the part of the file it stands in, is there under a wrong name. */
export function isMeant(name: string, meant: ReadonlySet<string>): boolean {
  return [...meant].some((each) => name === each || name.startsWith(`${each}.`));
}

/** A missing key stands at its parent's key, or 1:1 (contract.md). */
export function missingKey(name: string, located: Located, path: Path): Finding {
  const fault: Fault = { code: 'missing-key', message: `${name} is missing`, found: 'nothing', expected: name };
  return error(fault, located.keyPlace(path.slice(0, -1)));
}

function faultOf(issue: Issue, raw: unknown): Fault {
  const own = issue.code === 'custom' ? (issue.params?.fault as Fault | undefined) : undefined;
  if (own !== undefined) return own;
  if (raw === null)
    return { code: 'empty-value', message: 'the key has no value', expected: 'a value, or the whole key left out' };
  if (issue.code === 'invalid_type')
    return {
      code: 'wrong-form',
      message: 'the value has the wrong form',
      expected: issue.expected === 'array' ? 'a list, such as [a, b]' : 'keys and values, such as {key: value}',
    };
  if (issue.code === 'too_big')
    return { code: 'list-too-long', message: 'the list is too long', expected: `at most ${issue.maximum} items` };
  return { code: 'wrong-value', message: issue.message };
}

/** By place; findings of several files stand in the order that the files are named in. */
export function inOrder(findings: readonly Finding[], files: readonly string[] = []): Finding[] {
  const file = (finding: Finding): number => Math.max(0, files.indexOf(finding.place?.file ?? ''));
  const line = (finding: Finding): number => finding.place?.line ?? 0;
  const column = (finding: Finding): number => finding.place?.column ?? 0;
  return [...findings].sort((a, b) => file(a) - file(b) || line(a) - line(b) || column(a) - column(b));
}
