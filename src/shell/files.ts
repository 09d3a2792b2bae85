import { isUtf8 } from 'node:buffer';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Finding, Place } from '../kernel/findings.ts';

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

/** A system error in words. */
export function reasonOf(error: unknown): string {
  const code = (error as { code?: string }).code;
  const words: Readonly<Record<string, string>> = {
    ENOENT: 'there is no such file or folder',
    EISDIR: 'it is a folder',
    ENOTDIR: 'a part of the path is not a folder',
    EEXIST: 'a part of the path is not a folder',
    ENAMETOOLONG: 'the name is too long',
    EACCES: 'it may not be opened',
    EPERM: 'it may not be opened',
    EROFS: 'the disk is read-only',
    ENOSPC: 'the disk is full',
    EAGAIN: 'nothing is there to read',
    EBADF: 'it is closed',
  };
  return words[code ?? ''] ?? `the system says ${code ?? 'no more'}`;
}

const nameOf = (path: string): string => (path === '-' ? 'standard input' : path);

function readBytes(path: string): Buffer {
  try {
    return readFileSync(path === '-' ? 0 : path);
  } catch (error) {
    throw problem('cannot-read', `'${nameOf(path)}' cannot be read: ${reasonOf(error)}`);
  }
}

/** Where bytes stop being UTF-8; lines and columns (of characters) from 1. */
function firstBadPlace(bytes: Buffer, file: string): Place {
  let line = 1;
  let start = 0;
  let end = bytes.indexOf(0x0a);
  while (end >= 0 && isUtf8(bytes.subarray(start, end))) {
    line += 1;
    start = end + 1;
    end = bytes.indexOf(0x0a, start);
  }
  const rest = bytes.subarray(start, end < 0 ? bytes.length : end);
  let sound = 0;
  // A cut inside a character is not UTF-8 either, so the longest sound beginning is looked for, not the first.
  for (let length = 1; length <= rest.length; length++) if (isUtf8(rest.subarray(0, length))) sound = length;
  return { file, line, column: rest.subarray(0, sound).toString('utf8').length + 1 };
}

/**
 * A text by its path; `-` is standard input. UTF-8, a byte-order mark is dropped. Other bytes are refused, unless a reader that
 * finds them itself asks for them as replacement characters.
 */
export function readText(path: string, otherBytes: 'refused' | 'replaced' = 'refused'): string {
  const bytes = readBytes(path);
  if (bytes.length > LONGEST_TEXT_BYTES) throw problem('file-too-large', `'${nameOf(path)}' is larger than 64 MiB`);
  if (otherBytes === 'refused' && !isUtf8(bytes))
    throw new InputProblem([
      {
        code: 'not-utf8',
        severity: 'error',
        exit: 2,
        message: 'the file is not UTF-8 text from here on',
        place: firstBadPlace(bytes, nameOf(path)),
        remedy: 'save it as UTF-8',
      },
    ]);
  const text = bytes.toString('utf8');
  return text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
}

/** Where a path really leads to, links followed; undefined where nothing stands. */
export function realPathOf(path: string): string | undefined {
  try {
    return realpathSync(path);
  } catch {
    return undefined;
  }
}

/** A file's bytes; undefined where no such file stands. */
export function bytesOf(path: string): Uint8Array | undefined {
  try {
    return readFileSync(path);
  } catch (error) {
    const { code } = error as { code?: string };
    if (code === 'ENOENT' || code === 'ENOTDIR') return undefined;
    throw problem('cannot-read', `'${path}' cannot be read: ${reasonOf(error)}`);
  }
}

/** The names of the files in a folder (not of what lies deeper), in order; what is no folder is said. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => statSync(join(folder, name), { throwIfNoEntry: false })?.isDirectory() !== true)
      .sort();
  } catch (error) {
    throw problem('cannot-read', `'${folder}' cannot be read: ${reasonOf(error)}`);
  }
}

export function isThere(path: string): boolean {
  return existsSync(path);
}

/** Whether the beginning of a file shows that the same command made it. What is not there may always be written. */
function mayReplace({ path, mark }: Output, replace: boolean): boolean {
  let beginning: string;
  try {
    // A folder, a pipe or a device is nothing to put a file in the place of, whatever was said.
    if (!statSync(path).isFile()) return false;
    if (replace) return true;
    beginning = readFileSync(path, 'utf8').slice(0, 4096);
  } catch (error) {
    const { code } = error as { code?: string };
    // Where a part of the path is no folder nothing stands there either: writing says what is wrong.
    return code === 'ENOENT' || code === 'ENOTDIR';
  }
  return mark?.test(beginning) === true;
}

/** With every folder above it. Node's own way never comes back where the system lets nothing be made in a folder that is there. */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  const above = dirname(folder);
  if (above !== folder) makeFolder(above);
  try {
    mkdirSync(folder);
  } catch (error) {
    // Another process may have made it in between.
    if ((error as { code?: string }).code !== 'EEXIST' || !statSync(folder).isDirectory()) throw error;
  }
}

/** A link stays a link: what it leads to is written. */
function throughLinks(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    return path;
  }
}

export interface Output {
  readonly path: string;
  readonly bytes: string | Uint8Array;
  /** How every output of this kind begins: such a file may be replaced. Without a mark none may. */
  readonly mark: RegExp | undefined;
}

/**
 * Writes all outputs whole or none: each goes to a file beside its place first, and takes its name only when all are on the disk.
 */
export function writeWhole(outputs: readonly Output[], replace: boolean): void {
  const refused = outputs.filter((output) => !mayReplace(output, replace));
  if (refused.length > 0)
    throw new InputProblem(
      refused.map(({ path }) => ({
        code: 'would-replace',
        severity: 'error',
        exit: 2,
        message: `'${path}' is there already and is not an output of this command`,
        remedy: replace ? 'give another name' : 'give another name, or --replace',
      })),
    );
  const waiting: { readonly path: string; readonly beside: string }[] = [];
  let at = '';
  try {
    for (const output of outputs) {
      at = output.path;
      const { bytes } = output;
      const path = throughLinks(at);
      const folder = dirname(path);
      makeFolder(folder);
      const beside = join(folder, `.${basename(path)}.${process.pid}.part`);
      const file = openSync(beside, 'w');
      waiting.push({ path, beside });
      try {
        const data = typeof bytes === 'string' ? Buffer.from(bytes, 'utf8') : bytes;
        for (let done = 0; done < data.length; ) done += writeSync(file, data, done);
        fsyncSync(file);
      } finally {
        closeSync(file);
      }
    }
    for (const { path, beside } of waiting) {
      at = path;
      renameSync(beside, path);
    }
  } catch (error) {
    for (const { beside } of waiting) rmSync(beside, { force: true });
    throw problem('cannot-write', `'${at}' cannot be written: ${reasonOf(error)}`);
  }
}
