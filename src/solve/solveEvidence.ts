import { jStat } from 'jstat';
import { type Combined, combine } from '../instrument/combine.ts';
import { type DeepEdge, type Ends, fitHasFloor, misfits, outlineOfValues } from '../instrument/equations.ts';
import { type EvidenceKind, kindsGiven, placeInstrument, unusableReadings } from '../instrument/evidence.ts';
import { endsOf, instrumentFromEnds } from '../instrument/fromEnds.ts';
import { type JobValues, sidesOf } from '../instrument/neck.ts';
import type { Job } from '../job/job.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { inputsOf, valuesOf } from '../kernel/measured.ts';
import { type Solution, solve } from './solve.ts';
import { type Figures, figuresOf, propagate, type Swing, type Uncertainty } from './uncertainty.ts';

/** Readings agree where chance alone gives such a chi-square at least this often (geometry.md). */
const AGREES_FROM_P = 0.05;

export interface EvidenceUse {
  readonly kind: string;
  readonly agrees: boolean;
}

export interface Solved {
  readonly solution: Solution;
  readonly uncertainty: Uncertainty;
  readonly evidence: readonly EvidenceUse[];
  /** The chance of at least such a contradiction among redundant readings; undefined where none is redundant. */
  readonly p: number | undefined;
  readonly edge: DeepEdge;
  readonly warnings: readonly Finding[];
}

function solveByKind(job: Job, kind: EvidenceKind, override: ReadonlyMap<string, number>): Result<Solution> {
  const values = valuesOf(job, override);
  return solve(placeInstrument(values, kind), outlineOfValues(values));
}

function plainSwings(job: Job, kind: EvidenceKind): Swing[] {
  const figures = (path: string, value: number): Figures | undefined => {
    const moved = solveByKind(job, kind, new Map([[path, value]]));
    return moved.ok ? figuresOf(moved.value) : undefined;
  };
  return inputsOf(job)
    .filter(({ measured }) => measured.bound > 0)
    .map(({ path, measured }) => {
      const u = measured.bound / Math.sqrt(3);
      return { path, stated: measured.stated, up: figures(path, measured.value + u), down: figures(path, measured.value - u) };
    });
}

function combinedSwings(job: Job, combined: Combined, kind: EvidenceKind): Swing[] {
  const stated = new Map(inputsOf(job).map(({ path, measured }) => [path, measured.stated]));
  const { ends } = combined;
  return combined.influences.map(({ path, u, inputs, ends: byInput }) => {
    const along = (by: number): Figures | undefined => {
      const override = new Map([...combined.adjusted].map(([key, value]) => [key, value + by * (inputs.get(key) ?? 0)]));
      const values = valuesOf(job, override);
      const movedEnds: Ends = {
        nut: { bass: ends.nut.bass + by * byInput[0], treble: ends.nut.treble + by * byInput[1] },
        seat: { bass: ends.seat.bass + by * byInput[2], treble: ends.seat.treble + by * byInput[3] },
      };
      const moved = solve(instrumentFromEnds(values, movedEnds, kind), outlineOfValues(values));
      return moved.ok ? figuresOf(moved.value) : undefined;
    };
    return { path, stated: stated.get(path) ?? true, up: along(u), down: along(-u) };
  });
}

function contradiction(combined: Combined, p: number): Finding {
  const odd = combined.corrections.find(
    ({ path }) => path.startsWith('asFound.') || path.startsWith('fits.') || path === 'neck.nutGap',
  );
  const name = odd?.path ?? 'one of them';
  return {
    code: 'evidence-contradicts',
    severity: 'warning',
    exit: null,
    message: `the readings contradict each other (chance alone would do this in ${(p * 100).toFixed(1)} % of cases); the odd one out is most likely ${name}: measure it again before you cut`,
  };
}

/** Readings used, by kind, in the order the job gives them. */
function usedKinds(values: JobValues): string[] {
  return [
    ...(values.neck.nutGap === undefined ? [] : ['nutGap']),
    ...(values.asFound.firstFretGap === undefined ? [] : ['firstFretGap']),
    ...(values.asFound.lastFretGap === undefined ? [] : ['lastFretGap']),
    ...(values.asFound.straightedge === undefined ? [] : ['straightedge']),
    ...values.fits.map((_, index) => `fit ${index + 1}`),
  ];
}

/** How far a drawing's seats lie from those the readings give, against what both leave open; it is compared, never averaged in. */
function drawingUse(values: JobValues, ends: Ends, openMm: number): EvidenceUse[] {
  if (values.bridge.lowest === undefined) return [];
  const lowest = sidesOf(values.bridge.lowest);
  const off = Math.max(
    Math.abs(values.pocket.depth + lowest.bass - ends.seat.bass),
    Math.abs(values.pocket.depth + lowest.treble - ends.seat.treble),
  );
  return [{ kind: 'drawing', agrees: off <= openMm }];
}

/** mm. A drawing and the bench agree within this: two assumed lengths (±0.5 mm each) at two standard deviations. */
const DRAWING_OPEN_MM = 1.2;

function badFits(values: JobValues, edge: DeepEdge): Finding[] {
  return values.fits.flatMap((_, index): Finding[] =>
    fitHasFloor(values, index, edge)
      ? []
      : [
          {
            code: 'fit-floor',
            severity: 'error',
            exit: 2,
            message: `fit ${index + 1} gives depths that no floor with the job's skim has at its deepest edge`,
            expected: 'depths at least as great as target.skim at both sides',
          },
        ],
  );
}

/** The job's floor and how sure it is, from all its evidence (geometry.md, "Saddle seats", "Uncertainty"). */
export function solveEvidence(job: Job): Result<Solved> {
  const values = valuesOf(job);
  const [kind] = kindsGiven(values);
  if (kind === undefined) return bad([]);
  const unusable = unusableReadings(values, kind);
  if (unusable.length > 0) return bad(unusable);
  const first = placeInstrument(values, kind);
  const alone = solve(first, outlineOfValues(values));
  const edge: DeepEdge = alone.ok && alone.value.hingeName === 'mouth' ? 'rear' : 'mouth';
  const fitProblems = badFits(values, edge);
  if (fitProblems.length > 0) return bad(fitProblems);
  const start = endsOf(first);
  const kinds = usedKinds(values);
  const equations = misfits(values, start, edge).length;
  if (equations <= 4 && values.fits.length === 0) {
    if (!alone.ok) return alone;
    const uncertainty = propagate(figuresOf(alone.value), plainSwings(job, kind));
    const used = kind === 'drawing' ? [...kinds, 'drawing'] : kinds;
    const compared = kind === 'drawing' ? [] : drawingUse(values, start, DRAWING_OPEN_MM);
    const evidence = [...used.map((each) => ({ kind: each, agrees: true })), ...compared];
    return good({ solution: alone.value, uncertainty, evidence, p: undefined, edge, warnings: [] });
  }
  const combined = combine(job, start, edge);
  if (combined === null) {
    return bad([
      {
        code: 'evidence-cannot-combine',
        severity: 'error',
        exit: 3,
        message: 'the readings are so far apart that no one instrument comes near all of them',
        remedy: 'measure again, and leave out what was read in another state (other saddles, other relief, an old shim)',
      },
    ]);
  }
  const solved = solve(instrumentFromEnds(combined.values, combined.ends, kind), outlineOfValues(combined.values));
  if (!solved.ok) return solved;
  const p = combined.freedom > 0 ? 1 - jStat.chisquare.cdf(combined.chiSquare, combined.freedom) : undefined;
  const agrees = p === undefined || p >= AGREES_FROM_P;
  return good({
    solution: solved.value,
    uncertainty: propagate(figuresOf(solved.value), combinedSwings(job, combined, kind)),
    evidence: [...kinds.map((each) => ({ kind: each, agrees })), ...drawingUse(values, combined.ends, DRAWING_OPEN_MM)],
    p,
    edge,
    warnings: agrees || p === undefined ? [] : [contradiction(combined, p)],
  });
}
