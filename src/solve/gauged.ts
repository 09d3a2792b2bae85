import { Matrix, solve } from 'ml-matrix';
import { type DeepEdge, fitPlane, outlineOfValues } from '../instrument/equations.ts';
import type { EvidenceKind } from '../instrument/evidence.ts';
import { instrumentFromEnds } from '../instrument/fromEnds.ts';
import { handSign, seatedDepths } from '../instrument/neck.ts';
import type { Job } from '../job/job.ts';
import { highestOf, lowestOf } from './gaps.ts';
import type { Placed, Placing } from './movable.ts';

/** What may be gauged at a fit: `range.lowest` or `range.highest` of the floor measured then, by leaves or drill shanks. */
export const GAUGED = ['lowest', 'highest'] as const;

export interface Gauged {
  /** The readings with every input where the gauged heights and all else together put it. */
  readonly placing: Placing;
  readonly chiSquare: number;
  readonly freedom: number;
  /** The gauged height that lies furthest from what all other readings say, in units of the ± of that difference; its path in the job. */
  readonly oddest: () => string;
}

/** mm. The conditions hold, and nothing moves any more. */
const HOLDS_WITHIN_MM = 1e-10;
/**
 * Parts of a standard uncertainty over which derivatives are taken, how many rounds there are, and how much of each is gone: small
 * ones are exact, and settle in three or four rounds; where a string or a fret takes over from another on the way, larger ones go over from
 * the one side's to the other's without a jump, and half rounds do not go to and fro.
 */
const WAYS = [
  { over: 0.05, rounds: 10, part: 1 },
  { over: 1, rounds: 60, part: 0.5 },
  { over: 2, rounds: 60, part: 0.5 },
  { over: 0.5, rounds: 60, part: 0.3 },
] as const;
/** mm. What is still open after them is nothing beside any leaf; more means that the heights have no one instrument. */
const OPEN_MOST_MM = 1e-3;
/** Rounds of nearly linear conditions about the answer. */
const ABOUT_ROUNDS = 4;

/** Each gauged height's path in the job, and how far what was read lies over what the instrument shows (mm). */
function conditionsAt({ values, ends }: Placed, kind: EvidenceKind, edge: DeepEdge): { path: string; off: number }[] {
  const instrument = instrumentFromEnds(values, ends, kind);
  const outline = outlineOfValues(values);
  const shown = { lowest: lowestOf, highest: highestOf };
  return values.fits.flatMap((fit, i) => {
    if (fit.lowest === undefined && fit.highest === undefined) return [];
    const plane = fitPlane(outline, handSign(values), edge, seatedDepths(fit), values.target.skim);
    return GAUGED.flatMap((of) => {
      const read = fit[of];
      // A floor that cannot be is refused before anything is worked out; one on the way there says nothing.
      return read === undefined
        ? []
        : [{ path: `fits.${i}.${of}`, off: plane === null ? 0 : read - shown[of](instrument, plane) }];
    });
  });
}

const largest = (values: readonly number[]): number => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

/**
 * Heights gauged over all the frets (or over the last one) are read of the instrument as a whole, the string that stands highest or lowest,
 * and not of one outer string. So they enter as conditions among the errors of all readings already combined: minimise sum (e / u)² with
 * every f(e) = 0. Linearised with F = df/de and V = diag(u²) that is e = V Fᵀ (F V Fᵀ)⁻¹ (F e - f), iterated on the exact conditions (the
 * adjustment by conditions, as in `kernel/adjust.ts`; W. E. Deming, from memory). Undefined where the job has none, null where nothing comes
 * near all of them.
 */
export function gaugedOf(job: Job, { inputs, placedAt }: Placing, kind: EvidenceKind, edge: DeepEdge): Gauged | null | undefined {
  if (!job.fits.some(({ lowest, highest }) => lowest !== undefined || highest !== undefined)) return undefined;
  const u = inputs.map(({ bound }) => bound / Math.sqrt(3));
  // All in standard uncertainties: V is then the unit matrix.
  const offAt = (e: readonly number[]): number[] =>
    conditionsAt(placedAt(e.map((each, j) => each * (u[j] ?? 0))), kind, edge).map(({ off }) => off);
  const slopesAt = (e: readonly number[], step: number): Matrix =>
    new Matrix(
      e.map((_, j) => {
        const by = (to: number): number[] => offAt(e.map((each, i) => (i === j ? each + to : each)));
        const down = by(-step);
        return by(step).map((up, row) => (up - (down[row] ?? 0)) / (2 * step));
      }),
    ).transpose();
  const backOf = (F: Matrix): Matrix => solve(F.mmul(F.transpose()), F, true).transpose();
  const stepOf = (back: Matrix, off: readonly number[]): number[] => back.mmul(Matrix.columnVector([...off])).to1DArray();
  const none = inputs.map(() => 0);

  /** Where a way settles, or how near it comes at its nearest. */
  const gone = ({ over, rounds, part }: (typeof WAYS)[number]): { readonly e: readonly number[]; readonly open: number } => {
    let e = none;
    let best = { e, open: largest(offAt(e)) };
    for (let round = 0; round < rounds; round++) {
      const F = slopesAt(e, over);
      const off = offAt(e);
      const linear = F.mmul(Matrix.columnVector(e)).to1DArray();
      const next = stepOf(
        backOf(F),
        linear.map((each, row) => each - (off[row] ?? 0)),
      );
      const step = next.map((each, j) => part * (each - (e[j] ?? 0)));
      e = e.map((each, j) => each + (step[j] ?? 0));
      const open = largest(offAt(e));
      if (open < best.open) best = { e, open };
      if (open <= HOLDS_WITHIN_MM && largest(step.map((each, j) => each * (u[j] ?? 0))) <= HOLDS_WITHIN_MM) return { e, open };
    }
    return best;
  };
  let answer: readonly number[] = none;
  let open = Number.POSITIVE_INFINITY;
  for (const way of WAYS) {
    const found = gone(way);
    if (found.open < open) [answer, open] = [found.e, found.open];
    if (open <= HOLDS_WITHIN_MM) break;
  }
  if (!(open <= OPEN_MOST_MM)) return null;

  let about: Matrix | undefined;
  /** For errors about the answer: only their effect on the ± is asked. */
  const near = (from: readonly number[]): number[] => {
    about ??= backOf(slopesAt(answer, 1));
    let e = [...from];
    for (let round = 0; round < ABOUT_ROUNDS; round++) {
      const by = stepOf(about, offAt(e));
      e = e.map((each, j) => each - (by[j] ?? 0));
    }
    return e;
  };
  const oddest = (): string => {
    const across = slopesAt(none, 1);
    const [first] = conditionsAt(placedAt(none), kind, edge)
      .map(({ path, off }, row) => ({ path, apart: Math.abs(off) / Math.hypot(...across.getRow(row)) }))
      .sort((one, other) => other.apart - one.apart);
    return first?.path ?? '';
  };
  return {
    placing: {
      inputs,
      placedAt: (errors) => {
        const from = answer.map((each, j) => each + ((u[j] ?? 0) > 0 ? (errors[j] ?? 0) / (u[j] ?? 1) : 0));
        const isAnswer = errors.every((each) => each === 0);
        const e = isAnswer ? answer : near(from);
        return placedAt(e.map((each, j) => each * (u[j] ?? 0)));
      },
    },
    chiSquare: answer.reduce((sum, each) => sum + each * each, 0),
    freedom: offAt(answer).length,
    oddest,
  };
}
