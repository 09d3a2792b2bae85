import type { Correction } from './combine.ts';

/** Part of the most that any reading accounts for, from which another is as likely to be the odd one out. */
const AS_LIKELY = 0.9;
/** Of an input's variance, or a pair's. What no other reading checks is not corrected, and of two that move as one only one counts. */
const LEAST_CHECKED = 1e-6;

const READING = /^(?:asFound|fits)\.|^neck\.nutGap(?:\.|$)/;

function product(a: Correction, b: Correction): number {
  return a.loads.reduce((sum, load, k) => sum + load * (b.loads[k] ?? 0), 0);
}

/** How much of chi-square goes where one reading is left out: its correction squared, in units of that correction's own variance. */
function ofOne(one: Correction): number {
  const own = product(one, one);
  return own > LEAST_CHECKED * one.u ** 2 ? one.by ** 2 / own : 0;
}

/** The same where both sides of a reading are left out. */
function ofBoth(bass: Correction, treble: Correction): number {
  const [a, b, c] = [product(bass, bass), product(bass, treble), product(treble, treble)];
  if (!(Math.min(a / bass.u ** 2, c / treble.u ** 2) > LEAST_CHECKED)) return 0;
  const det = a * c - b * b;
  if (!(det > LEAST_CHECKED * a * c)) return 0;
  return (c * bass.by ** 2 - 2 * b * bass.by * treble.by + a * treble.by ** 2) / det;
}

/**
 * The readings most likely to be the odd one out, in the order of the file: those without which most of the contradiction goes (the test of
 * single readings after W. Baarda; from memory). How large a correction is says little: of two readings that nothing else bears out the one
 * that moves the answer more is always corrected more. What nothing tells apart is named together; both sides of a reading stand for it
 * where neither alone accounts for as much.
 */
export function oddOnes(corrections: readonly Correction[]): readonly string[] {
  const read = corrections.filter(({ path }) => READING.test(path));
  const ones = read.map((one) => ({ paths: [one.path], name: one.path, goes: ofOne(one) }));
  const pairs = read.flatMap((bass) => {
    const name = bass.path.replace(/\.bass$/, '');
    const treble = read.find(({ path }) => path === `${name}.treble`);
    if (name === bass.path || treble === undefined) return [];
    return [{ paths: [bass.path, treble.path], name, goes: ofBoth(bass, treble) }];
  });
  const most = Math.max(0, ...[...ones, ...pairs].map(({ goes }) => goes));
  if (most === 0) return [];
  const isOdd = ({ goes }: { readonly goes: number }): boolean => goes >= AS_LIKELY * most;
  const alone = ones.filter(isOdd);
  const together = pairs.filter((pair) => isOdd(pair) && !alone.some(({ name }) => pair.paths.includes(name)));
  const at = ({ paths: [first] }: { readonly paths: readonly string[] }): number => read.findIndex(({ path }) => path === first);
  return [...alone, ...together].sort((a, b) => at(a) - at(b)).map(({ name }) => name);
}
