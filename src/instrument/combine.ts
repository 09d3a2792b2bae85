import type { Job } from '../job/job.ts';
import { type Adjusted, adjust } from '../kernel/adjust.ts';
import { inputsOf, valuesBy, valuesOf } from '../kernel/measured.ts';
import { KINK_FROM, KINK_SHARE_FROM } from '../kernel/tolerances.ts';
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

export interface Correction {
  readonly path: string;
  readonly by: number;
  /** The input's standard uncertainty as read. */
  readonly u: number;
  /** What one standard uncertainty of each input adds to it: the product of two such rows is the covariance of two corrections. */
  readonly loads: readonly number[];
}

export interface Combined {
  /** What the two sides of readings given once may differ by: they follow `paths` in each list of influences. */
  readonly apart: readonly Apart[];
  readonly values: JobValues;
  readonly ends: Ends;
  /** The inputs that vary, in the order of `adjusted` and of each list of influences. */
  readonly paths: readonly string[];
  readonly adjusted: readonly number[];
  readonly chiSquare: number;
  /** How many readings are redundant. */
  readonly freedom: number;
  /** How far the adjustment moves each input from where it was read. */
  readonly corrections: readonly Correction[];
  /**
   * For an error of each input that is above 0, and for one below: they differ where the readings bend (a straightedge that comes to rest on
   * another fret). Worked out when they are asked for.
   */
  readonly influences: () => { readonly above: readonly Influence[]; readonly below: readonly Influence[] };
}

/** What the adjustment itself says of its answer. */
type Answer = Omit<Combined, 'influences'> & { readonly linear: readonly Influence[] };

/**
 * Part of a reading's own ± by which its two sides may differ where one value was given for both. Nobody reads two gaps to be the very
 * same: without this, two such readings would ask for a difference of exactly nothing twice, and no instrument has that.
 */
const APART_PART = 0.3;

const asEnds = (v: readonly number[]): Ends => ({
  nut: { bass: v[0] ?? 0, treble: v[1] ?? 0 },
  seat: { bass: v[2] ?? 0, treble: v[3] ?? 0 },
});

const endsIn = ({ nut, seat }: Ends): number[] => [nut.bass, nut.treble, seat.bass, seat.treble];

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

/** Parts of a standard uncertainty over which derivatives are taken across other kinks, one after the other until the rounds settle. */
const ACROSS_KINKS = [1, 2, 0.5];

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
  const asRead = combineAt(job, start, edge, oneForBoth);
  if (asRead === null) return null;
  const { combined } = asRead;
  const sided = (sign: 1 | -1, bent: ReadonlyMap<number, number>): Influence[] =>
    combined.linear.map((linear, j) => {
      const by = bent.get(j);
      if (by === undefined) return linear;
      // What the adjustment's own derivative cannot see beyond the bend is worked out anew with the reading moved.
      const moved = combineAt(job, combined.ends, edge, oneForBoth, { at: j, by: sign * by });
      if (moved === null) return linear;
      const [was, is] = [combined, moved.combined].map(({ ends, adjusted }) => ({ ends: endsIn(ends), inputs: adjusted }));
      const slopes = (key: keyof Influence): number[] =>
        (is?.[key] ?? []).map((value, i) => (value - (was?.[key][i] ?? 0)) / (sign * by));
      return { inputs: slopes('inputs'), ends: slopes('ends') };
    });
  return {
    ...combined,
    influences: () => {
      const bent = asRead.bent();
      return { above: sided(1, bent), below: sided(-1, bent) };
    },
  };
}

/** `bent`: the inputs over whose ± an equation bends, and that ±. `shift` moves one input from where it was read. */
function combineAt(
  job: Job,
  start: Ends,
  edge: DeepEdge,
  oneForBoth: 'alike' | 'nearly',
  shift?: { readonly at: number; readonly by: number },
): { readonly combined: Answer; readonly bent: () => ReadonlyMap<number, number> } | null {
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
  const adjustedOn = (level: readonly Crease[], acrossKinks?: number): Adjusted | null => {
    const ties = level.map(([bass, treble]) => [paths.indexOf(bass), paths.indexOf(treble)] as const);
    const adjusted = adjust({
      observed: [...inputs.map(({ measured }, i) => measured.value + (i === shift?.at ? shift.by : 0)), ...apart.map(() => 0)],
      u: [...u, ...apart.map(({ bound }) => bound / Math.sqrt(3))],
      unknowns: [start.nut.bass, start.nut.treble, start.seat.bass, start.seat.treble],
      unknownStep: END_STEP_MM,
      ...(acrossKinks === undefined ? {} : { acrossKinks }),
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
      .map((level) => adjustedOn(level))
      .filter((each) => each !== null)
      .sort((a, b) => a.chiSquare - b.chiSquare)[0];
  // Other kinks (the fret a straightedge rests on, a floor that is deepest at the rear) are answered with a mean of their two sides.
  const across = (): Adjusted | undefined =>
    ACROSS_KINKS.map((part) => adjustedOn([], part)).find((each) => each !== null) ?? undefined;
  const adjusted = adjustedOn([]) ?? creased() ?? across();
  if (adjusted === undefined) return null;
  const { inputs: x, unknowns, chiSquare, freedom, inputByObserved, unknownByObserved } = adjusted;
  const uOfAll = [...u, ...apart.map(({ bound }) => bound / Math.sqrt(3))];
  const combined = {
    values: valuesAt(x),
    ends: asEnds(unknowns),
    apart,
    paths,
    adjusted: x.slice(0, inputs.length),
    chiSquare,
    freedom,
    corrections: inputs.map(({ path, measured }, i) => ({
      path,
      by: (x[i] ?? 0) - (measured.value + (i === shift?.at ? shift.by : 0)),
      u: u[i] ?? 0,
      loads: uOfAll.map((each, j) => (inputByObserved(i, j) - (i === j ? 1 : 0)) * each),
    })),
    linear: [...inputs, ...apart].map((_, j) => ({
      inputs: inputs.map((__, i) => inputByObserved(i, j)),
      ends: unknowns.map((_, i) => unknownByObserved(i, j)),
    })),
  };
  // A fit's crease is held by its own equation; what bends otherwise, within a ±, is the line a straightedge lies on.
  const misfitsAt = (v: readonly number[]): number[] =>
    misfits(valuesAt(v), asEnds(unknowns), edge).flatMap(({ of, misfit }) => (of === 'asFound.straightedge' ? [misfit] : []));
  return {
    combined,
    bent: () => bentInputs(misfitsAt, x, [...inputs.map(({ measured }) => measured.bound), ...apart.map(({ bound }) => bound)]),
  };
}

/** The inputs over whose ± one of the equations bends, by their place; with that ±, since a bend at its far end counts too. */
function bentInputs(
  equations: (x: readonly number[]) => readonly number[],
  x: readonly number[],
  bounds: readonly number[],
): ReadonlyMap<number, number> {
  const base = equations(x);
  const swings = bounds.map((by, j) => {
    const off = (sign: 1 | -1): number[] =>
      equations(x.map((value, i) => (i === j ? value + sign * by : value))).map((value, row) => value - (base[row] ?? 0));
    return { up: off(1), down: off(-1) };
  });
  const larger = (j: number, row: number): number =>
    Math.max(Math.abs(swings[j]?.up[row] ?? 0), Math.abs(swings[j]?.down[row] ?? 0));
  const whole = base.map((_, row) => bounds.reduce((sum, __, j) => sum + larger(j, row) ** 2, 0));
  return new Map(
    bounds.flatMap((by, j): [number, number][] => {
      const bends = base.some((_, row) => {
        const apart = Math.abs((swings[j]?.up[row] ?? 0) + (swings[j]?.down[row] ?? 0));
        return larger(j, row) ** 2 > KINK_SHARE_FROM * (whole[row] ?? 0) && apart > KINK_FROM * larger(j, row);
      });
      return bends ? [[j, by]] : [];
    }),
  );
}
