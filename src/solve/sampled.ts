import type { Job } from '../job/job.ts';
import { inputsOf, type Measured, measured } from '../kernel/measured.ts';
import { spreadOf, uniformDraws } from '../kernel/sampling.ts';
import { solveEvidence } from './solveEvidence.ts';

export interface Sampled {
  readonly count: number;
  /** Draws whose job could not be solved (a string on a fret, a tilt too steep). */
  readonly unsolved: number;
  readonly deepest: { readonly mean: number; readonly deviation: number };
  readonly pitch: { readonly mean: number; readonly deviation: number };
}

/** The job with each measured leaf replaced through its path. */
function redrawn<T>(tree: T, draw: (path: string, leaf: Measured) => Measured, prefix = ''): T {
  if (typeof tree !== 'object' || tree === null) return tree;
  if ((tree as { kind?: unknown }).kind === 'measured') return draw(prefix, tree as unknown as Measured) as unknown as T;
  const at = (key: string): string => (prefix === '' ? key : `${prefix}.${key}`);
  if (Array.isArray(tree)) return tree.map((child, index) => redrawn(child, draw, at(String(index)))) as unknown as T;
  return Object.fromEntries(Object.entries(tree).map(([key, child]) => [key, redrawn(child, draw, at(key))])) as T;
}

/**
 * Propagation of distributions (JCGM 101:2008): every input drawn from its rectangle, the whole job solved again. One call of the
 * generator's `next` is one draw, so that a caller can show how far it is.
 */
export function* sampling(job: Job, count: number, seed: number): Generator<number, Sampled> {
  const draws = uniformDraws(seed);
  const bounds = new Map(inputsOf(job).map(({ path, measured: leaf }) => [path, leaf.bound]));
  const deepest: number[] = [];
  const pitch: number[] = [];
  let unsolved = 0;
  for (let i = 0; i < count; i++) {
    const moved = redrawn(job, (path, leaf) =>
      measured(leaf.value + (2 * draws() - 1) * (bounds.get(path) ?? 0), leaf.bound, leaf.stated),
    );
    const solved = solveEvidence(moved, 'value-only');
    if (solved.ok) {
      deepest.push(solved.value.solution.deepest);
      pitch.push(solved.value.solution.pitch);
    } else unsolved += 1;
    yield i + 1;
  }
  return { count, unsolved, deepest: spreadOf(deepest), pitch: spreadOf(pitch) };
}
