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

/** `95 s`, `2 min 05 s`, `1 h 03 min`. */
function durationText(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const two = (value: number): string => String(value).padStart(2, '0');
  if (whole < 100) return `${whole} s`;
  if (whole < 3600) return `${Math.floor(whole / 60)} min ${two(whole % 60)} s`;
  return `${Math.floor(whole / 3600)} h ${two(Math.floor((whole % 3600) / 60))} min`;
}

/** The rate of the last so many steps foretells the rest: what was only looked at and not made at the start soon counts no more. */
const RATE_STEPS = 32;

export interface TimedProgress extends Progress {
  /** A line of its own, above the bar where there is one. */
  readonly say: (line: string) => void;
}

/** A bar with the time left; elsewhere a plain line for each quarter with it. `now` in ms. */
export function timedProgress(err: (text: string) => void, isTerminal: boolean, what: string, now: () => number): TimedProgress {
  const times: number[] = [now()];
  let bar = '';
  let quarter = 0;
  return {
    at: (done, of) => {
      times.push(now());
      if (times.length > RATE_STEPS + 1) times.shift();
      const took = (times[times.length - 1] as number) - (times[0] as number);
      const left = durationText(((of - done) * took) / (times.length - 1) / 1000);
      if (!isTerminal) {
        const step = Math.floor((done * PLAIN_PARTS) / of);
        if (step === quarter) return;
        quarter = step;
        err(`${what}: ${done} of ${of}${done < of ? `, about ${left} left` : ''}\n`);
        return;
      }
      const full = Math.round((BAR_WIDTH * done) / of);
      bar = `${what} [${'#'.repeat(full)}${'.'.repeat(BAR_WIDTH - full)}] ${done} of ${of}, about ${left} left`;
      err(`\r\u001b[K${bar}`);
    },
    say: (line) => err(isTerminal ? `\r\u001b[K${line}\n${bar}` : `${line}\n`),
    end: () => {
      if (isTerminal) err('\r\u001b[K');
    },
  };
}

/** Hears that somebody wants a long work to stop, so that it can end what it has begun. */
export interface Stopper {
  readonly start: (heard: () => void) => void;
  readonly isStopped: () => boolean;
  readonly signal: () => NodeJS.Signals | undefined;
  readonly end: () => void;
}

const STOP_SIGNALS: readonly NodeJS.Signals[] = ['SIGINT', 'SIGTERM'];

/** Ctrl-C and an ordinary kill; the second one has its usual effect, at once. */
export function signalStopper(): Stopper {
  let stoppedBy: NodeJS.Signals | undefined;
  let onSignal: ((signal: NodeJS.Signals) => void) | undefined;
  const end = (): void => {
    if (onSignal !== undefined) for (const name of STOP_SIGNALS) process.off(name, onSignal);
    onSignal = undefined;
  };
  return {
    start: (heard) => {
      onSignal = (signal) => {
        stoppedBy = signal;
        end();
        heard();
      };
      for (const name of STOP_SIGNALS) process.on(name, onSignal);
    },
    isStopped: () => stoppedBy !== undefined,
    signal: () => stoppedBy,
    end,
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
