import type { Combined } from '../instrument/combine.ts';
import { type DeepEdge, type Ends, outlineOfValues } from '../instrument/equations.ts';
import { type EvidenceKind, placeInstrument } from '../instrument/evidence.ts';
import { instrumentFromEnds } from '../instrument/fromEnds.ts';
import type { JobValues } from '../instrument/neck.ts';
import type { Job } from '../job/job.ts';
import type { Result } from '../kernel/findings.ts';
import { inputsOf, valuesBy } from '../kernel/measured.ts';
import { type Floored, solveFloor } from './solve.ts';
import { type Figures, figuresOf, type Movable } from './uncertainty.ts';

function inputsThatVary(job: Job) {
  return inputsOf(job)
    .filter(({ measured: leaf }) => leaf.bound > 0)
    .map(({ path, measured: leaf }) => ({ path, value: leaf.value, bound: leaf.bound, stated: leaf.stated }));
}

function figuresOrNone(solved: Result<Floored>, edge: DeepEdge): Figures | undefined {
  return solved.ok ? figuresOf(solved.value, edge) : undefined;
}

export function movablePlain(job: Job, kind: EvidenceKind, edge: DeepEdge, near: number): Movable {
  const inputs = inputsThatVary(job);
  const paths = inputs.map(({ path }) => path);
  const valuesAt = valuesBy(job, paths);
  return {
    inputs,
    figuresAt: (errors) => {
      const values = valuesAt(inputs.map(({ value }, i) => value + (errors[i] ?? 0)));
      return figuresOrNone(solveFloor(placeInstrument(values, kind), outlineOfValues(values), near), edge);
    },
  };
}

/** An instrument as readings place it: its figures and the heights of the outer strings' ends. */
export interface Placed {
  readonly values: JobValues;
  readonly ends: Ends;
}

/** Readings combined, as a function of their errors: one entry an input, mm or rad. */
export interface Placing {
  readonly inputs: Movable['inputs'];
  readonly placedAt: (errors: readonly number[]) => Placed;
}

/**
 * The adjusted inputs and the ends follow each error by the adjustment's own derivatives, on either side of a bend by that side's.
 */
export function placingOf(job: Job, combined: Combined): Placing {
  const { adjusted, ends, paths, apart } = combined;
  let kept: ReturnType<Combined['influences']> | undefined;
  const valuesAt = valuesBy(job, paths);
  return {
    inputs: [...inputsThatVary(job), ...apart.map(({ path, bound }) => ({ path, bound, stated: true }))],
    placedAt: (errors) => {
      // What nobody asks an error of needs no derivatives.
      if (errors.every((error) => error === 0)) return combined;
      kept ??= combined.influences();
      const { above, below } = kept;
      const off = above.flatMap((influence, j) => {
        const by = errors[j] ?? 0;
        return by === 0 ? [] : [{ influence: by > 0 ? influence : (below[j] ?? influence), by }];
      });
      const end = (i: number): number => off.reduce((sum, { influence, by }) => sum + by * (influence.ends[i] ?? 0), 0);
      const values = valuesAt(
        adjusted.map((value, i) => off.reduce((sum, { influence, by }) => sum + by * (influence.inputs[i] ?? 0), value)),
      );
      const moved: Ends = {
        nut: { bass: ends.nut.bass + end(0), treble: ends.nut.treble + end(1) },
        seat: { bass: ends.seat.bass + end(2), treble: ends.seat.treble + end(3) },
      };
      return { values, ends: moved };
    },
  };
}

export function movableCombined({ inputs, placedAt }: Placing, kind: EvidenceKind, edge: DeepEdge, near: number): Movable {
  return {
    inputs,
    figuresAt: (errors) => {
      const { values, ends } = placedAt(errors);
      return figuresOrNone(solveFloor(instrumentFromEnds(values, ends, kind), outlineOfValues(values), near), edge);
    },
  };
}
