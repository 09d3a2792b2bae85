import { createInterface } from 'node:readline';
import { isatty } from 'node:tty';

/** Asks a person at a terminal, one question at a time; null where they end the input instead of answering. */
export interface Asker {
  readonly question: (text: string) => Promise<string | null>;
  readonly close: () => void;
}

/** Shows how far a long work is. */
export interface Progress {
  readonly at: (done: number, of: number) => void;
  readonly end: () => void;
}

const BAR_WIDTH = 30;
/** Without a terminal a line is said after each such part of the work: a log stays short. */
const PLAIN_PARTS = 4;

/** A bar that redraws itself on a terminal; elsewhere a plain line for each quarter, without a control character. */
export function progressOn(err: (text: string) => void, isTerminal: boolean, what: string): Progress {
  let shown = -1;
  return {
    at: (done, of) => {
      const steps = isTerminal ? 100 : PLAIN_PARTS;
      const step = Math.floor((done * steps) / of);
      if (step === shown || (step === 0 && !isTerminal)) return;
      shown = step;
      if (!isTerminal) {
        err(`${what}: ${done} of ${of}\n`);
        return;
      }
      const full = Math.round((BAR_WIDTH * done) / of);
      err(`\r${what} [${'#'.repeat(full)}${'.'.repeat(BAR_WIDTH - full)}] ${Math.floor((100 * done) / of)} %`);
    },
    // The bar goes away: what is said next stands on a clean line.
    end: () => {
      if (isTerminal) err('\r\u001b[K');
    },
  };
}

/** An asker over two streams. Lines typed ahead wait for their question. */
export function askerOn(input: NodeJS.ReadableStream, output: NodeJS.WritableStream): Asker {
  const lines = createInterface({ input, output });
  const waiting: string[] = [];
  let isOver = false;
  let take: ((line: string | null) => void) | undefined;
  const give = (line: string | null): void => {
    const taker = take;
    take = undefined;
    taker?.(line);
  };
  lines.on('line', (line) => {
    if (take === undefined) waiting.push(line);
    else give(line);
  });
  lines.on('close', () => {
    isOver = true;
    give(null);
  });
  return {
    question: (text) => {
      output.write(text);
      const next = waiting.shift();
      if (next !== undefined || isOver) return Promise.resolve(next ?? null);
      return new Promise((resolve) => {
        take = resolve;
      });
    },
    close: () => lines.close(),
  };
}

/** Makes an asker on standard input and standard error where both are a terminal; else undefined. */
export function terminalAsker(): (() => Asker) | undefined {
  // `process.stdin` itself is not touched before somebody is asked: opening it makes a slow pipe unreadable for those who read it at once.
  if (!isatty(0) || !isatty(2)) return undefined;
  return () => askerOn(process.stdin, process.stderr);
}
