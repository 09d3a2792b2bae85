import { LuDecomposition, Matrix } from 'ml-matrix';
import type { Job } from '../job/job.ts';
import { inputsOf, valuesOf } from '../kernel/measured.ts';
import { type DeepEdge, type Ends, misfits } from './equations.ts';
import type { JobValues } from './neck.ts';

/** Standard uncertainty of a rectangular bound: a / sqrt(3) (JCGM 100:2008, 4.3.7). */
const RECTANGULAR = Math.sqrt(3);
/** mm. The adjustment is iterated until every equation holds this well and no end moves more. */
const ADJUSTED_WITHIN_MM = 1e-10;
/** Rounds of the adjustment: it converges in three or four; more means contradictory nonsense. */
const MOST_ROUNDS = 60;
/** Central differences step this part of a bound: exact enough (h²) and far above rounding. */
const STEP_PART = 0.05;

/** How the answer moves with one input: the adjusted inputs' and the ends' derivatives with respect to that input as read. */
export interface Influence {
  readonly path: string;
  /** Standard uncertainty of the input (mm or rad). */
  readonly u: number;
  readonly inputs: ReadonlyMap<string, number>;
  readonly ends: readonly [number, number, number, number];
}

export interface Combined {
  readonly values: JobValues;
  readonly ends: Ends;
  /** Adjusted inputs by path. */
  readonly adjusted: ReadonlyMap<string, number>;
  /** Weighted sum of squared corrections, and how many readings are redundant. */
  readonly chiSquare: number;
  readonly freedom: number;
  /** Correction of each input in units of its standard uncertainty, largest first. */
  readonly corrections: readonly { readonly path: string; readonly inU: number }[];
  readonly influences: readonly Influence[];
}

const asEnds = (v: readonly number[]): Ends => ({
  nut: { bass: v[0] ?? 0, treble: v[1] ?? 0 },
  seat: { bass: v[2] ?? 0, treble: v[3] ?? 0 },
});

/**
 * All readings together by generalised least squares (the combined case of condition and parametric equations, after F. R. Helmert):
 * minimise sum ((x - x0)/u)² over the inputs x with every equation f(x, t) = 0, t the four ends. Linearised with A = df/dx,
 * B = df/dt, V = diag(u²), M = A V Aᵀ, multipliers l, and iterated on the exact equations until they hold to 1e-10 mm.
 */
export function combine(job: Job, start: Ends, edge: DeepEdge): Combined | null {
  const all = inputsOf(job);
  const inputs = all.filter(({ measured }) => measured.bound > 0);
  const x0 = inputs.map(({ measured }) => measured.value);
  const u = inputs.map(({ measured }) => measured.bound / RECTANGULAR);
  const valuesAt = (x: readonly number[]): JobValues => valuesOf(job, new Map(inputs.map(({ path }, i) => [path, x[i] ?? 0])));
  const f = (x: readonly number[], t: readonly number[]): number[] =>
    misfits(valuesAt(x), asEnds(t), edge).map(({ misfit }) => misfit);
  const slope = (at: (step: number) => number[], h: number): number[] => {
    const up = at(h);
    const down = at(-h);
    return up.map((value, row) => (value - (down[row] ?? 0)) / (2 * h));
  };
  const moved = (v: readonly number[], i: number, by: number): number[] => v.map((value, j) => (j === i ? value + by : value));
  let x = [...x0];
  let t = [start.nut.bass, start.nut.treble, start.seat.bass, start.seat.treble];
  const equations = f(x, t).length;
  if (equations < 4) return null;
  const linear = () => {
    const columnsX = inputs.map((_, i) => slope((h) => f(moved(x, i, h), t), STEP_PART * (u[i] ?? 1)));
    const columnsT = t.map((_, i) => slope((h) => f(x, moved(t, i, h)), STEP_PART));
    const A = new Matrix(columnsX).transpose();
    const B = new Matrix(columnsT).transpose();
    const VAt = A.transpose().mulColumnVector(u.map((each) => each * each));
    // The bordered system stands even where M alone is singular (one value read for both sides is one error in two equations):
    // M l - B dt = w, Bᵀ l = 0.
    const bordered = Matrix.zeros(equations + 4, equations + 4);
    bordered.setSubMatrix(A.mmul(VAt), 0, 0);
    bordered.setSubMatrix(Matrix.mul(B, -1), 0, equations);
    bordered.setSubMatrix(B.transpose(), equations, 0);
    return { A, VAt, decomposition: new LuDecomposition(bordered) };
  };
  const bordering = (top: Matrix): Matrix => {
    const out = Matrix.zeros(equations + 4, top.columns);
    out.setSubMatrix(top, 0, 0);
    return out;
  };
  let done = false;
  for (let round = 0; round < MOST_ROUNDS && !done; round++) {
    const { A, VAt, decomposition } = linear();
    if (decomposition.isSingular()) return null;
    const back = A.mmul(Matrix.columnVector(x0.map((value, i) => value - (x[i] ?? 0))));
    const answer = decomposition.solve(bordering(Matrix.add(Matrix.columnVector(f(x, t)), back)));
    const multiplier = answer.subMatrix(0, equations - 1, 0, 0);
    const dt = answer.subMatrix(equations, equations + 3, 0, 0);
    const step = VAt.mmul(multiplier).mul(-1);
    const next = x0.map((value, i) => value + step.get(i, 0));
    const moves = [...next.map((value, i) => Math.abs(value - (x[i] ?? 0))), ...dt.to1DArray().map(Math.abs)];
    x = next;
    t = t.map((value, i) => value + dt.get(i, 0));
    done = Math.max(...moves, ...f(x, t).map(Math.abs)) <= ADJUSTED_WITHIN_MM;
  }
  if (!done || ![...x, ...t].every(Number.isFinite)) return null;
  const { A, VAt, decomposition } = linear();
  // d t / d x0 and d x / d x0 of the adjusted solution.
  const byInput = decomposition.solve(bordering(A));
  const last = x.length - 1;
  const endsByInput = byInput.subMatrix(equations, equations + 3, 0, last);
  const inputsByInput = Matrix.sub(Matrix.eye(x.length), VAt.mmul(byInput.subMatrix(0, equations - 1, 0, last)));
  const corrections = inputs
    .map(({ path }, i) => ({ path, inU: ((x[i] ?? 0) - (x0[i] ?? 0)) / (u[i] ?? 1) }))
    .sort((a, b) => Math.abs(b.inU) - Math.abs(a.inU));
  return {
    values: valuesAt(x),
    ends: asEnds(t),
    adjusted: new Map(inputs.map(({ path }, i) => [path, x[i] ?? 0])),
    chiSquare: corrections.reduce((sum, { inU }) => sum + inU * inU, 0),
    freedom: equations - 4,
    corrections,
    influences: inputs.map(({ path }, j) => ({
      path,
      u: u[j] ?? 0,
      inputs: new Map(inputs.map(({ path: other }, i) => [other, inputsByInput.get(i, j)])),
      ends: [0, 1, 2, 3].map((i) => endsByInput.get(i, j)) as [number, number, number, number],
    })),
  };
}
