import { isUtf8 } from 'node:buffer';
import {
  closeSync,
  copyFileSync,
  existsSync,
  fchmodSync,
  fsyncSync,
  linkSync,
  mkdirSync,
  openSync,
  readdirSync,
  readSync,
  realpathSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { MOST_TEXT_BYTES } from '../kernel/tolerances.ts';
import { cannotWrite, problem, wouldReplace } from './problem.ts';
import { codeOf, reasonOf } from './reason.ts';
import { firstBadPlace } from './utf8.ts';
import { isLeftBehind, type Waiting, waitingFor } from './waiting.ts';

/** Bytes that are read at a time. */
const CHUNK_BYTES = 256 * 1024;
/** In these a file shows what made it. */
const MARK_BYTES = 4096;

const nameOf = (path: string): string => (path === '-' ? 'standard input' : path);

/** What stands at a path, as far as the first chunk beyond `most` bytes: a device that never ends is not read for ever. */
function readBytes(path: string, most: number): Buffer {
  const chunks: Buffer[] = [];
  const file = path === '-' ? 0 : openSync(path, 'r');
  try {
    for (let total = 0; total <= most; ) {
      const chunk = Buffer.allocUnsafe(CHUNK_BYTES);
      const count = readSync(file, chunk, 0, CHUNK_BYTES, null);
      if (count === 0) break;
      total += count;
      chunks.push(chunk.subarray(0, count));
    }
  } catch (error) {
    // So some systems say that standard input has ended.
    if (path !== '-' || codeOf(error) !== 'EOF') throw error;
  } finally {
    if (path !== '-') quietly(() => closeSync(file));
  }
  return Buffer.concat(chunks);
}

function readTextBytes(path: string): Buffer {
  let bytes: Buffer;
  try {
    bytes = readBytes(path, MOST_TEXT_BYTES);
  } catch (error) {
    throw problem('cannot-read', `'${nameOf(path)}' cannot be read: ${reasonOf(error)}`);
  }
  if (bytes.length <= MOST_TEXT_BYTES) return bytes;
  throw problem('file-too-large', `'${nameOf(path)}' is larger than ${MOST_TEXT_BYTES / (1024 * 1024)} MiB`);
}

/**
 * A text by its path; `-` is standard input. UTF-8, a byte-order mark is dropped. Other bytes are refused, unless a reader that
 * finds them itself asks for them as replacement characters.
 */
export function readText(path: string, otherBytes: 'refused' | 'replaced' = 'refused'): string {
  const bytes = readTextBytes(path);
  if (otherBytes === 'refused' && !isUtf8(bytes)) {
    const place = firstBadPlace(bytes, nameOf(path));
    throw problem('not-utf8', 'the file is not UTF-8 text from here on', 'save it as UTF-8', place);
  }
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
    return readBytes(path, MOST_TEXT_BYTES);
  } catch (error) {
    if (['ENOENT', 'ENOTDIR'].includes(codeOf(error) ?? '')) return undefined;
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

/** A file that can be read more than once: no pipe, device or folder. */
export function isPlainFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() === true;
}

export function isThere(path: string): boolean {
  return existsSync(path);
}

/** For what is given back after the work: where that fails as well, what is said of the work counts. */
function quietly(work: () => void): void {
  try {
    work();
  } catch {}
}

/** Whether the beginning of a file shows that the same command made it. What is not there may always be written. */
function mayReplace({ path, mark }: Output, replace: boolean): boolean {
  try {
    // A folder, a pipe or a device is nothing to put a file in the place of, whatever was said.
    if (!statSync(path).isFile()) return false;
    return replace || mark?.test(readBytes(path, MARK_BYTES).toString('utf8')) === true;
  } catch (error) {
    // Where a part of the path is no folder nothing stands there either: writing says what is wrong.
    if (['ENOENT', 'ENOTDIR'].includes(codeOf(error) ?? '')) return true;
    throw cannotWrite(path, error);
  }
}

/**
 * With every folder above it; the folders that were not there, outermost first, are added to `made`. Node's own way never comes back
 * where the system lets nothing be made in a folder that is there.
 */
function makeFolder(folder: string, made: string[]): void {
  if (existsSync(folder)) return;
  const above = dirname(folder);
  if (above !== folder) makeFolder(above, made);
  try {
    mkdirSync(folder);
    made.push(folder);
  } catch (error) {
    // Another process may have made it in between.
    if (codeOf(error) !== 'EEXIST' || !statSync(folder).isDirectory()) throw error;
  }
}

/** A link stays a link: what it leads to is written. */
function throughLinks(path: string): string {
  try {
    return realpathSync(path);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return path;
    throw error;
  }
}

export interface Output {
  readonly path: string;
  readonly bytes: string | Uint8Array;
  /** How every output of this kind begins: such a file may be replaced. Without a mark none may. */
  readonly mark: RegExp | undefined;
  /** The text that was read there and changed: where it is no longer that, somebody else has written, and nothing is replaced. */
  readonly was?: string;
}

/** ms. A set is written in seconds: what is younger may belong to a process that is not seen from here. */
const LEFT_FOR_MS = 60_000;

/** Takes away what killed runs left in a folder. That never keeps anybody from writing. */
function sweep(folder: string): void {
  quietly(() => {
    for (const path of readdirSync(folder).flatMap((name) => (isLeftBehind(name) ? [join(folder, name)] : [])))
      quietly(() => {
        const found = statSync(path);
        if (found.isFile() && Date.now() - found.mtimeMs > LEFT_FOR_MS) rmSync(path);
      });
  });
}

/** The permissions of the file that is to be replaced, or undefined where there is none. */
function modeAt(path: string): number | undefined {
  try {
    return statSync(path).mode & 0o777;
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined;
    throw error;
  }
}

/** Whole and on the disk, or an exception. */
function writeBeside({ path, beside }: Waiting, bytes: Output['bytes']): void {
  const mode = modeAt(path);
  const file = openSync(beside, 'wx');
  try {
    const data = typeof bytes === 'string' ? Buffer.from(bytes, 'utf8') : bytes;
    for (let done = 0; done < data.length; ) done += writeSync(file, data, done);
    // Some disks know no permissions.
    if (mode !== undefined) quietly(() => fchmodSync(file, mode));
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

/** Keeps what stands at a path under a second name; false where nothing stands there. */
function keep({ path, kept }: Waiting): boolean {
  try {
    linkSync(path, kept);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return false;
    // Not every disk knows second names.
    copyFileSync(path, kept);
  }
  return true;
}

function refuseChanged({ path, was }: Output): void {
  if (was === undefined || (existsSync(path) && readText(path) === was)) return;
  throw problem(
    'changed-meanwhile',
    `'${path}' was changed or taken away by somebody else at this moment; nothing was written`,
    'try again',
  );
}

/**
 * Writes all outputs whole or none: each goes to a file beside its place first, and they take their names only when all are on the disk.
 * Where one of them cannot, those before it give their places back. A process that is killed leaves each file as it was or as it is to
 * be, and may leave hidden files (`.part`, `.kept`) beside them; a later run into that folder takes the `.part` away.
 */
export function writeWhole(outputs: readonly Output[], replace: boolean): void {
  const refused = outputs.filter((output) => !mayReplace(output, replace));
  if (refused.length > 0)
    throw wouldReplace(
      refused.map(({ path }) => path),
      replace,
    );
  const waiting: Waiting[] = [];
  const placed: (() => void)[] = [];
  const folders: string[] = [];
  let at = '';
  for (const folder of new Set(outputs.map(({ path }) => dirname(path)))) sweep(folder);
  try {
    for (const output of outputs) {
      at = output.path;
      makeFolder(dirname(at), folders);
      const next = waitingFor(throughLinks(at));
      waiting.push(next);
      writeBeside(next, output.bytes);
    }
    for (const output of outputs) refuseChanged(output);
    for (const [index, next] of waiting.entries()) {
      at = next.path;
      // The last one takes its name or does not: nothing after it can call it back.
      const wasThere = index < waiting.length - 1 && keep(next);
      renameSync(next.beside, next.path);
      placed.push(() => (wasThere ? renameSync(next.kept, next.path) : rmSync(next.path, { force: true })));
    }
  } catch (error) {
    for (const takeBack of placed.reverse()) quietly(takeBack);
    for (const { beside, kept } of waiting) {
      quietly(() => rmSync(beside, { force: true }));
      quietly(() => rmSync(kept, { force: true }));
    }
    for (const folder of folders.reverse()) quietly(() => rmdirSync(folder));
    throw cannotWrite(at, error);
  }
  for (const { kept } of waiting.slice(0, -1)) quietly(() => rmSync(kept, { force: true }));
}

/** Holds a job while a fit goes in, so that two fits noted at once lose neither: the second is told. */
export function holding<T>(job: string, work: () => T): T {
  const lock = join(dirname(job), `.${basename(job)}.lock`);
  let file: number;
  try {
    file = openSync(lock, 'wx');
  } catch (error) {
    if (codeOf(error) !== 'EEXIST') throw problem('cannot-write', `nothing can be written beside '${job}': ${reasonOf(error)}`);
    throw problem(
      'job-in-use',
      `another fit is being noted in '${job}' at this moment; nothing was changed`,
      `try again; if no other pocketpitch is running, remove '${lock}'`,
    );
  }
  try {
    return work();
  } finally {
    quietly(() => closeSync(file));
    quietly(() => rmSync(lock, { force: true }));
  }
}
