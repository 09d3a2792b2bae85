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
  readonly oddest: string;
}

/** Rounds over which the conditions, which are nearly linear over what is read wrongly, come to hold. */
const ROUNDS = 4;

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

/**
 * Heights gauged over all the frets (or over the last one) are read of the instrument as a whole, the string that stands highest or lowest,
 * and not of one outer string. So they enter as conditions among the errors of all readings already combined: minimise sum (e / u)² with
 * every f(e) = 0, which is e = -V Fᵀ (F V Fᵀ)⁻¹ f, with F = df/de and V = diag(u²) (the adjustment by conditions, as in `kernel/adjust.ts`; W. E.
 * Deming, from memory). Undefined where the job has none.
 */
export function gaugedOf(job: Job, placing: Placing, kind: EvidenceKind, edge: DeepEdge): Gauged | undefined {
  if (!job.fits.some(({ lowest, highest }) => lowest !== undefined || highest !== undefined)) return undefined;
  const { inputs, placedAt } = placing;
  const offAt = (errors: readonly number[]): number[] => conditionsAt(placedAt(errors), kind, edge).map(({ off }) => off);
  const u = inputs.map(({ bound }) => bound / Math.sqrt(3));
  const none = inputs.map(() => 0);
  // One column an input: what one standard uncertainty of it does to each condition.
  const loads = new Matrix(
    u.map((each, j) => {
      const by = (sign: 1 | -1): number[] => offAt(none.map((_, i) => (i === j ? sign * each : 0)));
      const down = by(-1);
      return by(1).map((up, row) => (up - (down[row] ?? 0)) / 2);
    }),
  ).transpose();
  const spread = loads.mmul(loads.transpose());
  const back = solve(spread, loads, true).transpose();
  const settled = (errors: readonly number[]): number[] => {
    let now = [...errors];
    for (let round = 0; round < ROUNDS; round++) {
      const by = back.mmul(Matrix.columnVector(offAt(now)));
      now = now.map((each, j) => each - (u[j] ?? 0) * by.get(j, 0));
    }
    return now;
  };
  const first = conditionsAt(placedAt(none), kind, edge);
  const off = Matrix.columnVector(first.map((each) => each.off));
  const apart = (row: number): number => Math.abs(first[row]?.off ?? 0) / Math.hypot(...loads.getRow(row));
  const [oddest] = first.map(({ path }, row) => ({ path, apart: apart(row) })).sort((a, b) => b.apart - a.apart);
  return {
    placing: { inputs, placedAt: (errors) => placedAt(settled(errors)) },
    chiSquare: off
      .transpose()
      .mmul(solve(spread, off, true))
      .get(0, 0),
    freedom: first.length,
    oddest: oddest?.path ?? '',
  };
}
