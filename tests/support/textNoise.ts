import { xoroshiro128plus } from 'pure-rand';

/** Whole numbers from 0 below `below`, the same for the same seed. */
export interface Dice {
  readonly below: (below: number) => number;
  readonly oneOf: <T>(list: readonly T[]) => T;
}

export function diceOf(seed: number): Dice {
  const generator = xoroshiro128plus(seed);
  const below = (most: number): number => (generator.unsafeNext() >>> 0) % most;
  return { below, oneOf: <T>(list: readonly T[]): T => list[below(list.length)] as T };
}

/** Characters that readers stumble over: ends of many kinds, controls, halves of pairs, marks of order and direction, signs of YAML. */
const SIGNS = [
  ...'\u0000\u0001\u0007\b\t\n\r\u001b\u007f\u0080\u0085\u009b\u00a0\u00ad\u2028\u2029\u200b\u202e\ufeff\ufffd\uffff',
  '\ud800',
  '\udfff',
  '\u{10ffff}',
  '\r\n',
  ...':-?,[]{}#&*!|>\'"%@`~=<.+/\\0123456789eExX±"½',
];

/** Values that mean something else than they seem to, or nothing. */
const VALUES = [
  '1e999',
  '-1e999',
  '9'.repeat(400),
  `0.${'0'.repeat(300)}1`,
  '-0',
  '0x7fffffffffffffff',
  '0o17',
  '.inf',
  '-.Inf',
  '.nan',
  '~',
  'null',
  'yes',
  '""',
  "''",
  '[]',
  '{}',
  '[[[[]]]]',
  '{a: {b: {c: 1}}}',
  '!!binary aGFsbG8=',
  '!!set {a}',
  '!<tag:yaml.org,2002:js/function> ""',
  '&a [*a]',
  '&a 1',
  '*a',
  '"\\ud800"',
  '"\\0"',
  '"\\x9b2J"',
  '|\n   text',
  '>-\n   text',
  '1/0',
  '0/0 in',
  '25-1/2',
  '3/64 in ± 0.002 in ± 1',
  '1,5',
  '1 ± -1',
  '± 1',
  '2026-02-30',
  '<<',
  '__proto__',
  'constructor',
  'x'.repeat(5000),
];

const KEYS = [
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '<<',
  '? ',
  '"job"',
  'jobb',
  'Neck',
  'neck.radius',
  '- ',
  '',
];

const WHOLE_LINES = [
  '---',
  '...',
  '%YAML 1.1',
  '%TAG ! tag:x,2000:',
  '? [a, b]',
  '- 1',
  '<<: {title: x}',
  '__proto__: {units: in}',
  'a: &a {b: *a}',
  '\tunits: mm',
  '#',
  'title: "',
  `deep: ${'['.repeat(200)}`,
  `${'- '.repeat(60)}1`,
  `${'? '.repeat(60)}1`,
  `long: ${'x'.repeat(20_000)}`,
];

const at = (text: string, dice: Dice): number => dice.below(text.length + 1);
const splice = (text: string, from: number, to: number, put: string): string => text.slice(0, from) + put + text.slice(to);

type Change = (text: string, dice: Dice) => string;

function onLines(change: (lines: string[], dice: Dice) => void): Change {
  return (text, dice) => {
    const lines = text.split('\n');
    change(lines, dice);
    return lines.join('\n');
  };
}

/** What may happen to any text on its way. */
export const NOISE: readonly Change[] = [
  (text, dice) => {
    const place = at(text, dice);
    return splice(text, place, place, dice.oneOf(SIGNS));
  },
  (text, dice) => {
    const place = at(text, dice);
    return splice(text, place, place + 1, dice.oneOf(SIGNS));
  },
  (text, dice) => {
    const place = at(text, dice);
    return splice(text, place, place + 1 + dice.below(12), '');
  },
  (text, dice) => text.slice(0, at(text, dice)),
  (text, dice) => {
    const place = at(text, dice);
    return splice(text, place, place, dice.oneOf(SIGNS).repeat(1 + dice.below(300)));
  },
  onLines((lines, dice) => void lines.splice(dice.below(lines.length), 1)),
  onLines((lines, dice) => void lines.splice(dice.below(lines.length), 0, dice.oneOf(lines))),
  onLines((lines, dice) => {
    const [a, b] = [dice.below(lines.length), dice.below(lines.length)];
    [lines[a], lines[b]] = [lines[b] as string, lines[a] as string];
  }),
  (text, dice) => text.replaceAll('\n', dice.oneOf(['\r\n', '\r', '\u0085', '\u2028', ' ', '\n\n'])),
];

/** The same with a sense for keys and values of YAML. */
export const YAML_NOISE: readonly Change[] = [
  ...NOISE,
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = (lines[place] ?? '').replace(/(:\s*).*$/, (_, colon: string) => colon + dice.oneOf(VALUES));
  }),
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = (lines[place] ?? '').replace(/\d[\d.]*/, () => dice.oneOf(VALUES));
  }),
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = (lines[place] ?? '').replace(/[A-Za-z]+(?=:)/, () => dice.oneOf(KEYS));
  }),
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = ' '.repeat(dice.below(5)) + (lines[place] ?? '').slice(dice.below(3));
  }),
  onLines((lines, dice) => void lines.splice(dice.below(lines.length + 1), 0, dice.oneOf(WHOLE_LINES))),
];

const WORDS = [
  'G0',
  'G1',
  'G2 I1',
  'G4 P1',
  'G20',
  'G21',
  'G91',
  'G53',
  'M2',
  'M3',
  'M5',
  'M6 T1',
  'S1',
  'F-1',
  'X',
  'Y9e9',
  'Z-99',
  'N1',
  '%',
  '/',
];
const NUMBERS = [
  '9'.repeat(300),
  '-',
  '.',
  '-.',
  '1.2.3',
  '+1',
  '1e5',
  '00000000001',
  '0.00000000000001',
  '-999999',
  '#1',
  '[1+1]',
];

/** The same with a sense for the words of a router program. */
export const PROGRAM_NOISE: readonly Change[] = [
  ...NOISE,
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = `${lines[place]} ${dice.oneOf(WORDS)}`;
  }),
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = (lines[place] ?? '').replace(/-?[\d.]+/, () => dice.oneOf(NUMBERS));
  }),
  onLines((lines, dice) => {
    const place = dice.below(lines.length);
    lines[place] = (lines[place] ?? '').replace(/\d/, () => String(dice.below(10)));
  }),
  onLines((lines, dice) => void lines.splice(dice.below(lines.length + 1), 0, dice.oneOf(WORDS))),
];

/** A text with one to four changes; the first kinds of `noise` are as likely as the last. */
export function noisy(text: string, noise: readonly Change[], dice: Dice): string {
  let changed = text;
  for (let left = 1 + dice.below(4); left > 0; left--) changed = dice.oneOf(noise)(changed, dice);
  return changed;
}
