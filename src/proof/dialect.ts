import type { Word } from './lineReader.ts';

/** The G words of the dialect by modal group (NISTIR 6556, Table 4: read); group 0 is not modal. */
const GROUPS: ReadonlyMap<number, string> = new Map([
  [0, 'motion'],
  [1, 'motion'],
  [80, 'motion'],
  [4, 'dwell'],
  [17, 'plane'],
  [20, 'units'],
  [21, 'units'],
  [40, 'radius'],
  [54, 'zero'],
  [90, 'distance'],
  [94, 'feed mode'],
]);

const M_WORDS = new Set([0, 2, 3, 5, 30]);
const LETTERS = new Set(['F', 'S', 'X', 'Y', 'Z', 'P']);

/** What is refused by name: the words other programs are likely to hold. */
const G_NAMES: readonly (readonly [(g: number) => boolean, string])[] = [
  [(g) => g === 2 || g === 3, 'an arc: only straight moves are taken'],
  [(g) => g === 10, 'sets data in the control'],
  [(g) => g === 18 || g === 19, 'another plane than XY'],
  [(g) => g === 28 || g === 30, 'goes to a place outside the program'],
  [(g) => Math.floor(g) === 38, 'a probing move'],
  [(g) => g === 41 || g === 42, 'cutter radius compensation'],
  [(g) => Math.floor(g) === 43 || g === 49, 'changes the length offset, which moves the cutter by an amount not in the text'],
  [(g) => g === 53, 'machine coordinates'],
  [(g) => Math.floor(g) >= 55 && Math.floor(g) <= 59, 'another zero than G54'],
  [(g) => Math.floor(g) === 61 || g === 64, 'a path mode'],
  [(g) => g === 73 || (g >= 81 && g <= 89), 'a canned cycle'],
  [(g) => Math.floor(g) === 91, 'relative coordinates'],
  [(g) => Math.floor(g) === 92, 'shifts the zero'],
  [(g) => g === 93 || g === 95, 'another feed mode than G94'],
  [(g) => g === 98 || g === 99, 'belongs to canned cycles'],
];
const M_NAMES: ReadonlyMap<number, string> = new Map([
  [1, 'a stop that a switch may ignore'],
  [4, 'turns the cutter backwards'],
  [6, 'a tool change'],
  [7, 'coolant'],
  [8, 'coolant'],
  [9, 'coolant'],
  [48, 'overrides'],
  [49, 'overrides'],
  [60, 'a pallet change'],
]);
const LETTER_NAMES: ReadonlyMap<string, string> = new Map([
  ['T', 'chooses a tool'],
  ['H', 'a length offset'],
  ['D', 'a radius offset'],
  ['I', 'belongs to arcs'],
  ['J', 'belongs to arcs'],
  ['K', 'belongs to arcs'],
  ['R', 'belongs to arcs and cycles'],
  ['L', 'repeats'],
  ['Q', 'belongs to cycles'],
  ['O', 'subprograms'],
  ['A', 'a fourth axis'],
  ['B', 'a fourth axis'],
  ['C', 'a fourth axis'],
]);

/** Words that would change what the rule `state` holds fixed, besides not being in the dialect. */
export function breaksState(word: Word): boolean {
  const { letter, value } = word;
  const whole = Math.floor(value);
  return (
    letter === 'G' &&
    (value === 18 || value === 19 || value === 93 || value === 95 || whole === 91 || (whole >= 55 && whole <= 59))
  );
}

function named(word: string, why: string | undefined): string {
  return why === undefined ? `${word} is not in the dialect` : `${word} is not in the dialect: ${why}`;
}

/** No reason at all. */
const INSIDE: readonly string[] = [];

/** A motion word first, then axis words and a feed, each once: what nearly every line holds, and inside the dialect. */
function isPlainMove(words: readonly Word[]): boolean {
  const first = words[0];
  if (first === undefined || first.letter !== 'G' || (first.value !== 0 && first.value !== 1)) return false;
  let axes = 0;
  let seen = '';
  for (let i = 1; i < words.length; i++) {
    const { letter, value } = words[i] as Word;
    if (seen.includes(letter)) return false;
    seen += letter;
    if (letter === 'X' || letter === 'Y' || letter === 'Z') axes += 1;
    else if (letter !== 'F' || value < 0) return false;
  }
  return axes > 0;
}

/** Why a line's words are outside the dialect; empty when they are inside it. */
export function outsideDialect(words: readonly Word[]): readonly string[] {
  if (isPlainMove(words)) return INSIDE;
  const why: string[] = [];
  const letters = new Set<string>();
  const groups = new Map<string, number>();
  for (const { letter, value } of words) {
    if (letter === 'G') {
      const group = GROUPS.get(value);
      if (group === undefined) {
        why.push(named(`G${value}`, G_NAMES.find(([is]) => is(value))?.[1]));
        continue;
      }
      const other = groups.get(group);
      if (other !== undefined) why.push(`G${other} and G${value} stand on one line: one ${group} word a line`);
      groups.set(group, value);
      continue;
    }
    if (letters.has(letter)) why.push(`${letter} stands twice on one line`);
    letters.add(letter);
    if (letter === 'M') {
      if (!M_WORDS.has(value)) why.push(named(`M${value}`, M_NAMES.get(value)));
    } else if (!LETTERS.has(letter)) why.push(named(letter, LETTER_NAMES.get(letter)));
  }
  if (why.length > 0) return why;
  const motion = groups.get('motion');
  const axes = ['X', 'Y', 'Z'].some((axis) => letters.has(axis));
  if (motion === 80 && words.length > 1) why.push('G80 does not stand alone on its line');
  if (axes && motion !== 0 && motion !== 1 && why.length === 0) why.push('axis words on a line without G0 or G1');
  if (!axes && (motion === 0 || motion === 1)) why.push(`G${motion} without an axis word`);
  if (letters.has('P') && !groups.has('dwell')) why.push('P without G4');
  if (groups.has('dwell') && !letters.has('P')) why.push('G4 without P');
  if (words.some(({ letter, value }) => (letter === 'P' || letter === 'F' || letter === 'S') && value < 0))
    why.push('a feed, speed or time is negative');
  return why;
}
