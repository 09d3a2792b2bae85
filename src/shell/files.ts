import { closeSync, fsyncSync, mkdirSync, openSync, readFileSync, renameSync, rmSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Finding } from '../kernel/findings.ts';

/** Texts are read at most this long (bytes): a job is a few kB, a program of 200 000 lines about 8 MB. */
const LONGEST_TEXT_BYTES = 64 * 1024 * 1024;

export class InputProblem extends Error {
  readonly findings: readonly Finding[];
  constructor(findings: readonly Finding[]) {
    super(findings.map((finding) => finding.message).join('; '));
    this.findings = findings;
  }
}

function problem(code: string, message: string, remedy?: string): InputProblem {
  return new InputProblem([{ code, severity: 'error', exit: 2, message, remedy }]);
}

function reasonOf(error: unknown): string {
  const code = (error as { code?: string }).code;
  const words: Readonly<Record<string, string>> = {
    ENOENT: 'there is no such file or folder',
    EISDIR: 'it is a folder',
    ENOTDIR: 'a part of the path is not a folder',
    EACCES: 'it may not be opened',
    EPERM: 'it may not be opened',
    EROFS: 'the disk is read-only',
    ENOSPC: 'the disk is full',
  };
  return words[code ?? ''] ?? `the system says ${code ?? 'no more'}`;
}

/** A text by its path; `-` is standard input. UTF-8, a byte-order mark is dropped. */
export function readText(path: string): string {
  let bytes: Buffer;
  try {
    bytes = readFileSync(path === '-' ? 0 : path);
  } catch (error) {
    throw problem('cannot-read', `'${path}' cannot be read: ${reasonOf(error)}`);
  }
  if (bytes.length > LONGEST_TEXT_BYTES) throw problem('file-too-large', `'${path}' is larger than 64 MiB`);
  const text = bytes.toString('utf8');
  return text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
}

/** Whether a file's beginning shows that the same command made it. Absent files may always be written. */
function mayReplace(path: string, mark: string, replace: boolean): boolean {
  if (replace) return true;
  try {
    return readFileSync(path, 'utf8').slice(0, 4096).includes(mark);
  } catch (error) {
    return (error as { code?: string }).code === 'ENOENT';
  }
}

export interface Output {
  readonly path: string;
  readonly bytes: string | Uint8Array;
  /** Stands near the beginning of every output of this kind: such a file may be replaced. */
  readonly mark: string;
}

/**
 * Writes all outputs whole or none: each goes to a file beside its place first, and takes its name only when all are on the disk.
 */
export function writeWhole(outputs: readonly Output[], replace: boolean): void {
  const refused = outputs.filter(({ path, mark }) => !mayReplace(path, mark, replace));
  if (refused.length > 0)
    throw new InputProblem(
      refused.map(({ path }) => ({
        code: 'would-replace',
        severity: 'error',
        exit: 2,
        message: `'${path}' is there already and is not an output of this command`,
        remedy: 'give another name, or --replace',
      })),
    );
  const waiting: { readonly path: string; readonly beside: string }[] = [];
  try {
    for (const { path, bytes } of outputs) {
      const folder = dirname(path);
      mkdirSync(folder, { recursive: true });
      const beside = join(folder, `.${basename(path)}.${process.pid}.part`);
      waiting.push({ path, beside });
      const file = openSync(beside, 'w');
      try {
        const data = typeof bytes === 'string' ? Buffer.from(bytes, 'utf8') : bytes;
        for (let at = 0; at < data.length; ) at += writeSync(file, data, at);
        fsyncSync(file);
      } finally {
        closeSync(file);
      }
    }
    for (const { path, beside } of waiting) renameSync(beside, path);
  } catch (error) {
    for (const { beside } of waiting) rmSync(beside, { force: true });
    throw problem('cannot-write', `'${outputs[waiting.length - 1]?.path ?? ''}' cannot be written: ${reasonOf(error)}`);
  }
}
