import type { Path } from './yamlText.ts';

export interface Candidate {
  readonly key: string;
  readonly parent: Path;
}

interface Nearest {
  readonly candidate: Candidate;
  /** A slip of the pen, or the right word in the wrong place: no mere guess. */
  readonly isSure: boolean;
}

/** Only the start of a very long key is compared. */
const COMPARED = 40;

/** Letters alone, so that nut_to_mouth, NutToMouth and nut-to-mouth are one word. */
const plain = (key: string): string =>
  key
    .slice(0, COMPARED)
    .toLowerCase()
    .replace(/[^a-z0-9]/g, '');

/** Fewest insertions, deletions, changes and swaps of neighbours that turn a into b (optimal string alignment). */
function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const changed = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(changed, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, (before[j - 2] ?? 0) + 1);
      next.push(least);
    }
    before = row;
    row = next;
  }
  return row[b.length] ?? 0;
}

/** The known key nearest to one that is not: one spelt alike elsewhere in the file goes before one only resembling it here. */
export function nearestKey(key: string, here: readonly Candidate[], anywhere: readonly Candidate[]): Nearest | undefined {
  const word = plain(key);
  const nearest = (among: readonly Candidate[]): { candidate: Candidate; distance: number } | undefined =>
    among
      .map((candidate) => ({ candidate, distance: editDistance(word, plain(candidate.key)) }))
      .reduce<{ candidate: Candidate; distance: number } | undefined>(
        (best, each) => (best === undefined || each.distance < best.distance ? each : best),
        undefined,
      );
  const near = nearest(here);
  const slips = Math.max(1, Math.floor(word.length / 3));
  if (near !== undefined && near.distance <= slips) return { candidate: near.candidate, isSure: true };
  const far = nearest(anywhere);
  if (far !== undefined && (far.distance === 0 || near === undefined))
    return { candidate: far.candidate, isSure: far.distance === 0 };
  return near === undefined ? undefined : { candidate: near.candidate, isSure: false };
}
