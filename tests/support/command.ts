import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { inject } from 'vitest';
import { run } from '../../src/shell/commands.ts';

/** The project's own folder. */
export const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../..');
export const SAMPLE_JOB = join(ROOT, 'samples/reedling.yaml');
export const SAMPLE_SHOP = join(ROOT, 'samples/marshlight-shop.yaml');

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface RunOptions {
  readonly input?: string | Buffer;
  readonly cwd?: string;
}

/** Longer than any command takes on a busy machine: a test that waits for ever says nothing. */
const PATIENCE_MS = 60_000;

export function spawned(program: string, args: readonly string[], options: RunOptions = {}): Ran {
  const ran = spawnSync(program, args, {
    cwd: options.cwd,
    input: options.input ?? '',
    timeout: PATIENCE_MS,
    maxBuffer: 64 * 1024 * 1024,
  });
  if (ran.error !== undefined) throw ran.error;
  return { code: ran.status, out: ran.stdout.toString('utf8'), err: ran.stderr.toString('utf8') };
}

declare module 'vitest' {
  interface ProvidedContext {
    /** The built command's file. */
    readonly built: string;
  }
}

export interface Command {
  /** The file that node is given. */
  readonly entry: string;
  readonly run: (args: readonly string[], options?: RunOptions) => Ran;
}

/**
 * The command as it is built (tests/support/buildOnce.ts), outside `dist`, which tests neither need nor disturb: libraries differ
 * between vitest and Node, and only what users run counts here.
 */
export function builtCommand(): Command {
  const entry = inject('built');
  return { entry, run: (args, options) => spawned(process.execPath, [entry, ...args], options) };
}

/** The same command line without a process of its own, for what does not depend on one. */
export async function inProcess(args: readonly string[]): Promise<Ran> {
  let out = '';
  let err = '';
  const code = await run(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
  });
  return { code, out, err };
}

export interface Desk {
  readonly folder: string;
  readonly path: (...parts: readonly string[]) => string;
  readonly text: (...parts: readonly string[]) => string;
  /** Whether a file was written since it was given that time. */
  readonly changed: (name: string, since: Date) => boolean;
  /** Every file below, by its way from the folder, in order. */
  readonly files: () => string[];
  readonly remove: () => void;
}

/** A folder of a test's own. */
export function desk(): Desk {
  const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-desk-'));
  const path = (...parts: readonly string[]): string => join(folder, ...parts);
  return {
    folder,
    path,
    text: (...parts) => readFileSync(path(...parts), 'utf8'),
    changed: (name, since) => statSync(path(name)).mtimeMs !== since.getTime(),
    // A command that still runs may take a file away in between.
    files: () =>
      readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .filter((name) => statSync(join(folder, name), { throwIfNoEntry: false })?.isFile() === true)
        .map((name) => relative(folder, join(folder, name)))
        .sort(),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** What a person must never see: a stack trace, an object's inside, a word of JavaScript. */
export const INSIDES = /\n\s+at .+:\d+:\d+|node:internal|\[object |undefined|NaN|Error:/;

export interface Watched extends Ran {
  readonly signal: NodeJS.Signals | null;
}

/** Runs the command beside the test; `watch` is called again and again until it ends. */
export function watched(
  command: Command,
  args: readonly string[],
  options: RunOptions & {
    readonly watch?: () => void;
    readonly killAfter?: number;
    readonly killWhen?: () => boolean;
    readonly killBy?: NodeJS.Signals;
    readonly closeOutput?: boolean;
  } = {},
): Promise<Watched> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [command.entry, ...args], { cwd: options.cwd, timeout: PATIENCE_MS });
    let out = '';
    let err = '';
    let ended = false;
    const { killAfter, killWhen, watch, killBy = 'SIGKILL' } = options;
    const killer = killAfter === undefined ? undefined : setTimeout(() => child.kill(killBy), killAfter);
    const looker = setInterval(() => {
      if (killWhen?.() !== true) return;
      clearInterval(looker);
      child.kill(killBy);
    }, 20);
    const again = (): void => {
      if (ended || watch === undefined) return;
      try {
        watch();
      } catch (error) {
        ended = true;
        child.kill('SIGKILL');
        reject(error);
        return;
      }
      setImmediate(again);
    };
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      err += text;
    });
    child.on('error', reject);
    child.on('close', (code, signal) => {
      ended = true;
      clearTimeout(killer);
      clearInterval(looker);
      resolve({ code, signal, out, err });
    });
    if (options.closeOutput === true) child.stdout.destroy();
    child.stdin.on('error', () => undefined);
    child.stdin.end(options.input ?? '');
    again();
  });
}
