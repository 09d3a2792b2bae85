import type { Job } from '../job/job.ts';
import { type Adjusted, adjust } from '../kernel/adjust.ts';
import { inputsOf, valuesOf } from '../kernel/measured.ts';
import { type DeepEdge, type Ends, misfits } from './equations.ts';
import type { JobValues } from './neck.ts';

/** mm. Ends are differentiated over this: the equations are nearly linear in them. */
const END_STEP_MM = 0.05;

/** How the answer moves with one input: the adjusted inputs' and the ends' derivatives with respect to that input as read. */
export interface Influence {
  readonly path: string;
  readonly inputs: ReadonlyMap<string, number>;
  readonly ends: readonly number[];
}

export interface Combined {
  readonly values: JobValues;
  readonly ends: Ends;
  /** Adjusted inputs by path. */
  readonly adjusted: ReadonlyMap<string, number>;
  readonly chiSquare: number;
  /** How many readings are redundant. */
  readonly freedom: number;
  /** Correction of each input in units of its standard uncertainty, largest first. */
  readonly corrections: readonly { readonly path: string; readonly inU: number }[];
  readonly influences: readonly Influence[];
}

const asEnds = (v: readonly number[]): Ends => ({
  nut: { bass: v[0] ?? 0, treble: v[1] ?? 0 },
  seat: { bass: v[2] ?? 0, treble: v[3] ?? 0 },
});

/** Fits whose floor was measured at both sides: paths of the two depths. */
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

/** Fits beyond this many are not searched for level floors: the choices double with each. */
const MOST_CREASES = 6;

/**
 * All readings together by generalised least squares over all the uncertain inputs (geometry.md): the unknowns are the four ends of the
 * outer strings. A bound counts as u = bound / sqrt(3) (JCGM 100:2008, 4.3.7).
 *
 * A fit's floor has a crease where its two depths are alike: the point of least depth changes sides there, so the equations bend.
 * Where the least squares lie on such a crease no iteration settles beside it. The depths are then held alike by an equation of their
 * own, which takes up exactly the direction in which the derivative is undefined; of the creases tried the least chi-square is the
 * answer, for an equation more can only make it greater.
 */
export function combine(job: Job, start: Ends, edge: DeepEdge): Combined | null {
  const inputs = inputsOf(job).filter(({ measured }) => measured.bound > 0);
  const u = inputs.map(({ measured }) => measured.bound / Math.sqrt(3));
  const paths = inputs.map(({ path }) => path);
  const valuesAt = (x: readonly number[]): JobValues => valuesOf(job, new Map(paths.map((path, i) => [path, x[i] ?? 0])));
  const adjustedOn = (level: readonly Crease[]): Adjusted | null => {
    const ties = level.map(([bass, treble]) => [paths.indexOf(bass), paths.indexOf(treble)] as const);
    const adjusted = adjust({
      observed: inputs.map(({ measured }) => measured.value),
      u,
      unknowns: [start.nut.bass, start.nut.treble, start.seat.bass, start.seat.treble],
      unknownStep: END_STEP_MM,
      equations: (x, t) => [
        ...misfits(valuesAt(x), asEnds(t), edge).map(({ misfit }) => misfit),
        ...ties.map(([bass, treble]) => (x[bass] ?? 0) - (x[treble] ?? 0)),
      ],
    });
    // What holds a crease is no reading and leaves nothing more redundant.
    return adjusted === null ? null : { ...adjusted, freedom: adjusted.freedom - level.length };
  };
  const free = adjustedOn([]);
  const creased =
    free === null
      ? choicesOf(creasesOf(paths).slice(-MOST_CREASES))
          .slice(1)
          .map(adjustedOn)
          .filter((each) => each !== null)
      : [free];
  const [adjusted] = creased.sort((a, b) => a.chiSquare - b.chiSquare);
  if (adjusted === undefined) return null;
  const { inputs: x, unknowns, chiSquare, freedom, inputByObserved, unknownByObserved } = adjusted;
  return {
    values: valuesAt(x),
    ends: asEnds(unknowns),
    adjusted: new Map(paths.map((path, i) => [path, x[i] ?? 0])),
    chiSquare,
    freedom,
    corrections: inputs
      .map(({ path, measured }, i) => ({ path, inU: ((x[i] ?? 0) - measured.value) / (u[i] ?? 1) }))
      .sort((a, b) => Math.abs(b.inU) - Math.abs(a.inU)),
    influences: paths.map((path, j) => ({
      path,
      inputs: new Map(paths.map((other, i) => [other, inputByObserved(i, j)])),
      ends: unknowns.map((_, i) => unknownByObserved(i, j)),
    })),
  };
}
