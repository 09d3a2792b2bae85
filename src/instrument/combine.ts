import type { Job } from '../job/job.ts';
import { type Adjusted, adjust } from '../kernel/adjust.ts';
import { inputsOf, valuesBy, valuesOf } from '../kernel/measured.ts';
import { type DeepEdge, type Ends, misfits } from './equations.ts';
import type { JobValues } from './neck.ts';

/** mm. Ends are differentiated over this: the equations are nearly linear in them. */
const END_STEP_MM = 0.05;

/** How the answer moves with one input: the adjusted inputs' and the ends' derivatives with respect to that input as read. */
interface Influence {
  readonly inputs: readonly number[];
  readonly ends: readonly number[];
}

/** An error that no reading of the job has by itself. */
interface Apart {
  readonly path: string;
  readonly bound: number;
}

export interface Combined {
  /** What the two sides of readings given once may differ by: they follow `paths` in each list of `influences`. */
  readonly apart: readonly Apart[];
  readonly values: JobValues;
  readonly ends: Ends;
  /** The inputs that vary, in the order of `adjusted` and of each list of `influences`. */
  readonly paths: readonly string[];
  readonly adjusted: readonly number[];
  readonly chiSquare: number;
  /** How many readings are redundant. */
  readonly freedom: number;
  /** Correction of each input in units of its standard uncertainty, largest first. */
  readonly corrections: readonly { readonly path: string; readonly inU: number }[];
  readonly influences: readonly Influence[];
}

/**
 * Part of a reading's own ± by which its two sides may differ where one value was given for both. Nobody reads two gaps to be the very
 * same: without this, two such readings would ask for a difference of exactly nothing twice, and no instrument has that.
 */
const APART_PART = 0.3;

const asEnds = (v: readonly number[]): Ends => ({
  nut: { bass: v[0] ?? 0, treble: v[1] ?? 0 },
  seat: { bass: v[2] ?? 0, treble: v[3] ?? 0 },
});

/** Paths of the two depths of a fit whose floor was measured at both sides. */
type Crease = readonly [bass: string, treble: string];

function creasesOf(paths: readonly string[]): Crease[] {
  return paths
    .filter((path) => /^fits\.\d+\.depth\.bass$/.test(path))
    .map((bass): Crease => [bass, bass.replace(/bass$/, 'treble')])
    .filter(([, treble]) => paths.includes(treble));
}

/** Every choice of some of `items`, fewest first. */
function choicesOf<T>(items: readonly T[]): T[][] {
  const numbers = Array.from({ length: 2 ** items.length }, (_, number) => number);
  return numbers.map((number) => items.filter((_, i) => (number >> i) & 1)).sort((a, b) => a.length - b.length);
}

/** Creases of earlier fits than the last so many are not searched: the choices double with each. */
const MOST_CREASES = 4;

/**
 * All readings together by generalised least squares over all the uncertain inputs (geometry.md): the unknowns are the four ends of the
 * outer strings. A bound counts as u = bound / sqrt(3) (JCGM 100:2008, 4.3.7). `oneForBoth`: whether a reading given once for both sides
 * is exactly alike on both, or only nearly (`APART_PART`).
 *
 * A fit's floor has a crease where its two depths are alike: the point of least depth changes sides there, so the equations bend.
 * Where the least squares lie on such a crease no iteration settles beside it. The depths are then held alike by an equation of their
 * own, which takes up exactly the direction in which the derivative is undefined; of the creases tried the least chi-square is the
 * answer, for an equation more can only make it greater.
 */
export function combine(job: Job, start: Ends, edge: DeepEdge, oneForBoth: 'alike' | 'nearly' = 'alike'): Combined | null {
  const inputs = inputsOf(job).filter(({ measured }) => measured.bound > 0);
  const u = inputs.map(({ measured }) => measured.bound / Math.sqrt(3));
  const paths = inputs.map(({ path }) => path);
  const valuesAt: (x: readonly number[]) => JobValues = valuesBy(job, paths);
  const given = new Map(inputs.map(({ path, measured }) => [path, measured.bound]));
  // A reading given once has its ± at its own path; given for each side, at `.bass` and `.treble` below it.
  const boundOfOne = (of: string): number => given.get(of.startsWith('fits.') ? `${of}.lastFretGap` : of) ?? 0;
  const rows = oneForBoth === 'alike' ? [] : misfits(valuesOf(job), start, edge);
  const apart = rows.flatMap(({ of, side }, row) => {
    const bound = of === 'neck.nutGap' ? 0 : APART_PART * boundOfOne(of);
    return bound > 0 ? [{ row, path: `${of} (${side} apart)`, bound }] : [];
  });
  const adjustedOn = (level: readonly Crease[], acrossKinks: 'none' | 'mean'): Adjusted | null => {
    const ties = level.map(([bass, treble]) => [paths.indexOf(bass), paths.indexOf(treble)] as const);
    const adjusted = adjust({
      observed: [...inputs.map(({ measured }) => measured.value), ...apart.map(() => 0)],
      u: [...u, ...apart.map(({ bound }) => bound / Math.sqrt(3))],
      unknowns: [start.nut.bass, start.nut.treble, start.seat.bass, start.seat.treble],
      unknownStep: END_STEP_MM,
      acrossKinks,
      equations: (x, t) => {
        const out = misfits(valuesAt(x), asEnds(t), edge).map(({ misfit }) => misfit);
        apart.forEach(({ row }, i) => {
          out[row] = (out[row] ?? 0) + (x[inputs.length + i] ?? 0);
        });
        return [...out, ...ties.map(([bass, treble]) => (x[bass] ?? 0) - (x[treble] ?? 0))];
      },
    });
    // What holds a crease is no reading and leaves nothing more redundant.
    return adjusted === null ? null : { ...adjusted, freedom: adjusted.freedom - level.length };
  };
  const creased = (): Adjusted | undefined =>
    choicesOf(creasesOf(paths).slice(-MOST_CREASES))
      .slice(1)
      .map((level) => adjustedOn(level, 'none'))
      .filter((each) => each !== null)
      .sort((a, b) => a.chiSquare - b.chiSquare)[0];
  // Other kinks (the fret a straightedge rests on, a floor that is deepest at the rear) are answered with the mean of their two sides.
  const adjusted = adjustedOn([], 'none') ?? creased() ?? adjustedOn([], 'mean');
  if (adjusted === null) return null;
  const { inputs: x, unknowns, chiSquare, freedom, inputByObserved, unknownByObserved } = adjusted;
  return {
    values: valuesAt(x),
    ends: asEnds(unknowns),
    apart,
    paths,
    adjusted: x.slice(0, inputs.length),
    chiSquare,
    freedom,
    corrections: inputs
      .map(({ path, measured }, i) => ({ path, inU: ((x[i] ?? 0) - measured.value) / (u[i] ?? 1) }))
      .sort((a, b) => Math.abs(b.inU) - Math.abs(a.inU)),
    influences: [...inputs, ...apart].map((_, j) => ({
      inputs: inputs.map((__, i) => inputByObserved(i, j)),
      ends: unknowns.map((_, i) => unknownByObserved(i, j)),
    })),
  };
}
