import { LuDecomposition, Matrix } from 'ml-matrix';

/** Iterated until every equation holds this well and nothing moves more (units of the equations, mm here). */
const ADJUSTED_WITHIN = 1e-10;
/** Rounds of the adjustment: it converges in three or four; so many more mean contradictory nonsense. */
const MOST_ROUNDS = 80;
/**
 * Equations may have a kink (a floor whose hinge changes corners), and then the rounds go to and fro across it for ever. After so many
 * rounds the derivatives are kept as the mean of the last few, which stands for both sides of the kink.
 */
const KEPT_FROM_ROUND = 8;
const KEPT_MEAN_OF = 4;
/** Central differences step this part of a standard uncertainty: exact enough (h²) and far above rounding. */
const STEP_PART = 0.05;

export interface Adjustment {
  /** Observed inputs and their standard uncertainties (all above 0). */
  readonly observed: readonly number[];
  readonly u: readonly number[];
  /** Starting values of the unknowns, and a step to differentiate with. */
  readonly unknowns: readonly number[];
  readonly unknownStep: number;
  /** The equations, all zero at the truth; always as many, and not a number where one has no meaning. */
  readonly equations: (inputs: readonly number[], unknowns: readonly number[]) => number[];
  /**
   * A kink that the rounds cannot settle beside is answered with nothing (the default), or with derivatives over this part of a standard
   * uncertainty, which go over from the one side's to the other's without a jump.
   */
  readonly acrossKinks?: number;
}

export interface Adjusted {
  readonly inputs: readonly number[];
  readonly unknowns: readonly number[];
  /** Sum of squared corrections in units of u, and the number of redundant equations. */
  readonly chiSquare: number;
  readonly freedom: number;
  /** d unknown i / d observed j and d input i / d observed j. */
  readonly unknownByObserved: (i: number, j: number) => number;
  readonly inputByObserved: (i: number, j: number) => number;
}

/**
 * Generalised least squares (the combined case of condition and parametric equations, after F. R. Helmert): minimise
 * sum ((x - x0)/u)² over the inputs x with every equation f(x, t) = 0, t the unknowns. Linearised with A = df/dx, B = df/dt,
 * V = diag(u²), M = A V Aᵀ and multipliers l, and iterated on the exact equations. Null where it does not converge, or comes to
 * where an equation has no meaning.
 */
export function adjust({ observed: x0, u, unknowns, unknownStep, equations: f, acrossKinks }: Adjustment): Adjusted | null {
  const slope = (at: (step: number) => number[], h: number): number[] => {
    const up = at(h);
    const down = at(-h);
    return up.map((value, row) => (value - (down[row] ?? 0)) / (2 * h));
  };
  const moved = (v: readonly number[], i: number, by: number): number[] => v.map((value, j) => (j === i ? value + by : value));
  const stepPart = acrossKinks ?? STEP_PART;
  let x = [...x0];
  let t = [...unknowns];
  const rows = f(x, t).length;
  const order = rows + t.length;
  if (rows < t.length) return null;
  const slopes = () => ({
    A: new Matrix(x.map((_, i) => slope((h) => f(moved(x, i, h), t), stepPart * (u[i] ?? 1)))).transpose(),
    B: new Matrix(t.map((_, i) => slope((h) => f(x, moved(t, i, h)), unknownStep))).transpose(),
  });
  const linear = ({ A, B }: ReturnType<typeof slopes>) => {
    const VAt = A.transpose().mulColumnVector(u.map((each) => each * each));
    // The bordered system stands even where M alone is singular (one value read for both sides is one error in two equations):
    // M l - B dt = w, Bᵀ l = 0.
    const bordered = Matrix.zeros(order, order);
    bordered.setSubMatrix(A.mmul(VAt), 0, 0);
    bordered.setSubMatrix(Matrix.mul(B, -1), 0, rows);
    bordered.setSubMatrix(B.transpose(), rows, 0);
    return { A, VAt, decomposition: new LuDecomposition(bordered) };
  };
  const bordering = (top: Matrix): Matrix => {
    const out = Matrix.zeros(order, top.columns);
    out.setSubMatrix(top, 0, 0);
    return out;
  };
  let done = false;
  const seen: ReturnType<typeof slopes>[] = [];
  let kept: ReturnType<typeof linear> | undefined;
  for (let round = 0; round < MOST_ROUNDS && !done; round++) {
    if (kept === undefined) seen.push(slopes());
    if (round === KEPT_FROM_ROUND && acrossKinks === undefined) return null;
    if (round === KEPT_FROM_ROUND) {
      const few = seen.slice(-KEPT_MEAN_OF);
      const sum = few.reduce((a, b) => ({ A: Matrix.add(a.A, b.A), B: Matrix.add(a.B, b.B) }));
      kept = linear({ A: sum.A.mul(1 / few.length), B: sum.B.mul(1 / few.length) });
    }
    const { A, VAt, decomposition } = kept ?? linear(seen[round] as ReturnType<typeof slopes>);
    const off = f(x, t);
    if (decomposition.isSingular() || !off.every(Number.isFinite)) return null;
    const back = A.mmul(Matrix.columnVector(x0.map((value, i) => value - (x[i] ?? 0))));
    const answer = decomposition.solve(bordering(Matrix.add(Matrix.columnVector(off), back)));
    const step = VAt.mmul(answer.subMatrix(0, rows - 1, 0, 0)).mul(-1);
    const dt = answer.subMatrix(rows, order - 1, 0, 0).to1DArray();
    const next = x0.map((value, i) => value + step.get(i, 0));
    const moves = [...next.map((value, i) => Math.abs(value - (x[i] ?? 0))), ...dt.map(Math.abs)];
    x = next;
    t = t.map((value, i) => value + (dt[i] ?? 0));
    done = Math.max(...moves, ...f(x, t).map(Math.abs)) <= ADJUSTED_WITHIN;
  }
  if (!done || ![...x, ...t].every(Number.isFinite)) return null;
  const { A, VAt, decomposition } = kept ?? linear(slopes());
  // One value read for both sides may leave an equation that nothing can move.
  if (decomposition.isSingular()) return null;
  const byObserved = decomposition.solve(bordering(A));
  const last = x.length - 1;
  const unknownByObserved = byObserved.subMatrix(rows, order - 1, 0, last);
  const inputByObserved = Matrix.sub(Matrix.eye(x.length), VAt.mmul(byObserved.subMatrix(0, rows - 1, 0, last)));
  return {
    inputs: x,
    unknowns: t,
    chiSquare: x.reduce((sum, value, i) => sum + ((value - (x0[i] ?? 0)) / (u[i] ?? 1)) ** 2, 0),
    freedom: rows - t.length,
    unknownByObserved: (i, j) => unknownByObserved.get(i, j),
    inputByObserved: (i, j) => inputByObserved.get(i, j),
  };
}
