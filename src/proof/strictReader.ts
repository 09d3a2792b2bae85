import { MOST_PROGRAM_LINES, PROGRAM_STEP_INCH_MM, PROGRAM_STEP_MM } from '../kernel/tolerances.ts';
import { toMm, type Unit } from '../kernel/units.ts';
import type { Point3 } from '../kernel/vector.ts';
import { breaksState, outsideDialect } from './dialect.ts';
import type { Fault } from './faults.ts';
import { readLine, type Word } from './lineReader.ts';

/** A straight move in mm. A coordinate the program has not given yet is NaN: nobody knows where the cutter is. */
export interface Move {
  readonly kind: 'move';
  readonly line: number;
  readonly rapid: boolean;
  readonly from: Point3;
  readonly to: Point3;
  /** mm/min; undefined where no F has been given. */
  readonly feed: number | undefined;
  /** Which axis words the line holds. */
  readonly axes: string;
}

export type Step =
  | Move
  | { readonly kind: 'dwell'; readonly line: number; readonly seconds: number }
  | { readonly kind: 'speed'; readonly line: number; readonly speed: number }
  | { readonly kind: 'on' | 'off' | 'stop' | 'finish' | 'after'; readonly line: number };

export interface Read {
  readonly lines: readonly string[];
  readonly steps: readonly Step[];
  readonly faults: readonly Fault[];
  /** False where the text could not be read: then the steps stand for nothing. */
  readonly sound: boolean;
  readonly unit: Unit;
  /** mm: one rounding step of this program's numbers. */
  readonly roundingStep: number;
  readonly lastLine: number;
}

const MODES: ReadonlyMap<number, string> = new Map([
  [17, 'plane'],
  [20, 'units'],
  [21, 'units'],
  [40, 'radius'],
  [54, 'zero'],
  [90, 'distance'],
  [94, 'feed mode'],
]);
/** Modes without which no move is taken; each by the words that set it. */
const NEEDED: readonly (readonly [string, string])[] = [
  ['units', 'G20 or G21'],
  ['plane', 'G17'],
  ['distance', 'G90'],
  ['feed mode', 'G94'],
];

/** Whether a text has more lines than any program; they are not even parted then. */
function hasTooManyLines(text: string): boolean {
  let count = 1;
  for (let end = text.indexOf('\n'); end >= 0 && count <= MOST_PROGRAM_LINES; end = text.indexOf('\n', end + 1))
    if (end < text.length - 1) count += 1;
  return count > MOST_PROGRAM_LINES;
}

/** Line by line; LF or CRLF. What follows the last line end counts only if something stands there. */
function linesOf(text: string): string[] {
  const lines = text.split('\n').map((line) => (line.endsWith('\r') ? line.slice(0, -1) : line));
  if (lines.length > 1 && lines.at(-1) === '') lines.pop();
  return lines;
}

/**
 * Reads a program as a machine that knows the dialect alone would, and refuses all else. Words of a line take effect in the
 * standard's order of execution (NISTIR 6556, Table 8: read): F, S, spindle, dwell, plane, units, zero, distance, motion, stop.
 */
export function readStrictly(text: string): Read {
  const tooLong = hasTooManyLines(text);
  const lines = tooLong ? [] : linesOf(text);
  const faults: Fault[] = [];
  const steps: Step[] = [];
  const modes = new Map<string, number>();
  let sound = !tooLong;
  let moved = false;
  let ended = false;
  let feed: number | undefined;
  let at: Point3 = { x: Number.NaN, y: Number.NaN, z: Number.NaN };

  if (tooLong) {
    const message = `the program has more than ${MOST_PROGRAM_LINES} lines: no floor takes so many`;
    faults.push({ rule: 'words', line: MOST_PROGRAM_LINES + 1, message });
  }
  const setModes = (words: readonly Word[], line: number): void => {
    for (const { letter, value } of words) {
      const mode = letter === 'G' ? MODES.get(value) : undefined;
      if (mode === undefined) continue;
      const before = modes.get(mode);
      if (moved)
        faults.push({ rule: 'state', line, message: `G${value} after the first move: units and modes are set once, before it` });
      else if (before !== undefined && before !== value)
        faults.push({ rule: 'state', line, message: `G${value} changes what G${before} has set` });
      modes.set(mode, value);
      if (mode === 'units') perUnit = toMm(1, value === 20 ? 'in' : 'mm');
    }
  };
  let perUnit = 1;
  const scale = (value: number): number => value * perUnit;

  const go = (words: readonly Word[], line: number, rapid: boolean): void => {
    // After a line that could not be read nobody knows which modes it was to set.
    if (!moved && sound)
      for (const [mode, word] of NEEDED)
        if (!modes.has(mode)) faults.push({ rule: 'state', line, message: `${word} is not set before the first move` });
    moved = true;
    let { x, y, z } = at;
    let axes = '';
    for (const { letter, value } of words) {
      if (letter === 'X') x = scale(value);
      else if (letter === 'Y') y = scale(value);
      else if (letter === 'Z') z = scale(value);
      else continue;
      axes += letter;
    }
    const next = { x, y, z };
    steps.push({ kind: 'move', line, rapid, from: at, to: next, feed, axes });
    at = next;
  };

  lines.forEach((source, index) => {
    const line = index + 1;
    const read = readLine(source);
    const why = read.ok ? outsideDialect(read.words) : [read.message];
    for (const message of why) faults.push({ rule: 'words', line, message });
    if (read.ok)
      for (const word of read.words)
        if (breaksState(word))
          faults.push({ rule: 'state', line, message: `G${word.value}: units, G17, G90, G94 and G54 hold throughout` });
    if (why.length > 0) sound = false;
    if (!read.ok || why.length > 0 || read.words.length === 0) return;
    const { words } = read;
    if (ended) {
      steps.push({ kind: 'after', line });
      return;
    }
    const numberOf = (letter: string): number | undefined => words.find((word) => word.letter === letter)?.value;
    const has = (letter: string, value: number): boolean => words.some((word) => word.letter === letter && word.value === value);
    const f = numberOf('F');
    if (f !== undefined) {
      // Before G20 or G21 (and on their own line, since F takes effect first) the unit of F is whatever the machine was left in.
      if (!modes.has('units')) faults.push({ rule: 'state', line, message: 'F is given before the units are set' });
      feed = scale(f);
    }
    const s = numberOf('S');
    if (s !== undefined) steps.push({ kind: 'speed', line, speed: s });
    const m = numberOf('M');
    if (m === 3) steps.push({ kind: 'on', line });
    if (m === 5) steps.push({ kind: 'off', line });
    if (has('G', 4)) steps.push({ kind: 'dwell', line, seconds: numberOf('P') ?? 0 });
    setModes(words, line);
    if (has('G', 0) || has('G', 1)) go(words, line, has('G', 0));
    if (m === 0) steps.push({ kind: 'stop', line });
    if (m === 2 || m === 30) {
      steps.push({ kind: 'finish', line });
      ended = true;
    }
  });
  const unit: Unit = modes.get('units') === 20 ? 'in' : 'mm';
  return {
    lines,
    steps,
    faults,
    sound,
    unit,
    roundingStep: unit === 'in' ? PROGRAM_STEP_INCH_MM : PROGRAM_STEP_MM,
    lastLine: Math.max(1, lines.length),
  };
}
