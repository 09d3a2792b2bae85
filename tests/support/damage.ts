/** Ways to damage a sound program, by construction: each names the rule that must refuse it and the line where. */

/** The damaged text and the line (from 1) that must be named. */
export interface Damaged {
  readonly text: string;
  readonly line: number;
}

export interface Sound {
  readonly lines: readonly string[];
  /** mm per unit of the program. */
  readonly unit: 1 | 25.4;
}

export interface Damage {
  readonly name: string;
  readonly rule: string;
  readonly make: (sound: Sound) => Damaged;
}

export const text = (lines: readonly string[]): string => `${lines.join('\n')}\n`;

/** Line number (from 1) of the nth line that matches, from the end where n is negative. */
export function lineOf(lines: readonly string[], pattern: RegExp, n = 0): number {
  const all = lines.flatMap((line, index) => (pattern.test(line) ? [index + 1] : []));
  const found = all.at(n);
  if (found === undefined) throw new Error(`no line like ${pattern}`);
  return found;
}

export const lane = /^G1 X\S+ Y\S+ Z/;
export const plunge = /^G1 Z-/;
export const lift = /^G1 Z(25|1\.)/;
export const DECIMALS = { 1: 3, 25.4: 4 } as const;

export function value(line: string, letter: string): number {
  return Number(new RegExp(`${letter}(-?[0-9.]+)`).exec(line)?.[1]);
}

/** The word of a line with another value, in the program's unit and decimals. */
export function word(line: string, letter: string, change: (value: number) => number, { unit }: Sound): string {
  return line.replace(new RegExp(`${letter}-?[0-9.]+`), letter + change(value(line, letter)).toFixed(DECIMALS[unit]));
}

export type Where = (lines: readonly string[]) => number;

/** Damages the first line of a last-level lane (or the one asked for) as text. */
export const LAST_LANE: Where = (lines) => lineOf(lines, lane, -5);
export const FIRST_LANE: Where = (lines) => lineOf(lines, lane);

export function edit(name: string, rule: string, where: Where, change: (line: string, sound: Sound) => string): Damage {
  return {
    name,
    rule,
    make: (sound) => {
      const line = where(sound.lines);
      const old = sound.lines[line - 1] as string;
      const now = change(old, sound);
      if (now === old) throw new Error(`${name}: nothing changed`);
      return { text: text(sound.lines.with(line - 1, now)), line };
    },
  };
}

/** Puts lines before the line asked for; the fault is at the last line put in, or `off` lines after it. */
export function insert(name: string, rule: string, where: Where, put: (sound: Sound) => readonly string[], off = 0): Damage {
  return {
    name,
    rule,
    make: (sound) => {
      const line = where(sound.lines);
      const added = put(sound);
      return { text: text(sound.lines.toSpliced(line - 1, 0, ...added)), line: line + added.length - 1 + off };
    },
  };
}

export function remove(
  name: string,
  rule: string,
  where: Where,
  count: number,
  told: (line: number, rest: string[]) => number,
): Damage {
  return {
    name,
    rule,
    make: ({ lines }) => {
      const line = where(lines);
      const rest = lines.toSpliced(line - 1, count);
      return { text: text(rest), line: told(line, rest) };
    },
  };
}

export function whole(name: string, rule: string, change: (sound: Sound) => readonly string[], told: Where): Damage {
  return {
    name,
    rule,
    make: (sound) => {
      const lines = change(sound);
      return { text: text(lines), line: told(lines) };
    },
  };
}

export const last: Where = (lines) => lines.length;
export const at =
  (pattern: RegExp, n = 0): Where =>
  (lines) =>
    lineOf(lines, pattern, n);
export const length = (mm: number, { unit }: Sound): string => (mm / unit).toFixed(DECIMALS[unit]);
export const every =
  (letter: string, change: (value: number, sound: Sound) => number) =>
  (sound: Sound): string[] =>
    sound.lines.map((line) =>
      /^G[01] /.test(line) && line.includes(letter) ? word(line, letter, (v) => change(v, sound), sound) : line,
    );
/** Lines of the last level: from the second half's first rapid on. */
export const isLast = (sound: Sound, index: number): boolean => index + 1 >= lineOf(sound.lines, /^G0 X/, -8);
