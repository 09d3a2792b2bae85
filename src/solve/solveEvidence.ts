import jstat from 'jstat';
import { type Combined, combine } from '../instrument/combine.ts';
import { type DeepEdge, fitHasFloor, misfits, outlineOfValues } from '../instrument/equations.ts';
import { kindsGiven, placeInstrument, unusableReadings } from '../instrument/evidence.ts';
import { fitFaults } from '../instrument/fitPhysics.ts';
import { endsOf, instrumentFromEnds } from '../instrument/fromEnds.ts';
import type { JobValues } from '../instrument/neck.ts';
import { oddOnes } from '../instrument/oddOnes.ts';
import type { Fit, Job } from '../job/job.ts';
import { readingName } from '../job/pathText.ts';
import { lengthText } from '../kernel/dimension.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { inputsOf, type Measured, measured, type Reading, valuesOf } from '../kernel/measured.ts';
import { GAUGED, gaugedOf } from './gauged.ts';
import { movableCombined, movablePlain, placingOf } from './movable.ts';
import { isUncutFit, isWoodOff } from './noted.ts';
import { type Solution, solve } from './solve.ts';
import { type Figures, figuresOf, type Movable, propagate, type Uncertainty } from './uncertainty.ts';

/** Readings agree where chance alone gives such a chi-square at least this often (geometry.md). */
const AGREES_FROM_P = 0.05;

/**
 * The same of heights gauged beside readings that agree. They are noted most of all where a leaf shows the readings wrong, which one time in
 * twenty is no more than chance: only what chance hardly ever does is a slip of reading or writing.
 */
const GAUGED_AGREES_FROM_P = 0.001;

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

const FIXED: Movable = { inputs: [], figuresAt: () => undefined };

function contradiction(odd: readonly string[], p: number, job: Job): Finding {
  const names = odd.map(readingName);
  const last = names.pop() ?? 'one of them';
  const name = names.length === 0 ? last : `${names.join(', ')} or ${last}, which the others do not tell apart`;
  const isOne = names.length === 0;
  // What was found before wood came off cannot be read again.
  const isGone = isWoodOff(job) && odd.some((path) => !path.startsWith('fits.'));
  const again = isOne ? 'measure it again' : isGone ? 'measure again those that still can be' : 'measure them again';
  // The reading most often forgotten: gaps read with the saddles up look like a floor that is not deep enough.
  const isOfSaddlesDown = odd.some((path) => {
    const [, index, key] = /^fits\.(\d+)\.(\w+)/.exec(path) ?? [];
    const fit = job.fits[Number(index ?? Number.NaN)];
    return fit !== undefined && fit.raised === undefined && !GAUGED.some((of) => of === key);
  });
  const way = odd.some((path) => path.endsWith('.lowest')) ? 'down' : odd.some((path) => path.endsWith('.highest')) ? 'up' : '';
  const saddles = isOfSaddlesDown
    ? ', and whether the saddles were raised for it (--raised)'
    : way === ''
      ? ''
      : `, the saddles all the way ${way}`;
  const isDepth = odd.some((path) => /^fits\..*\.depth/.test(path));
  const point = isDepth ? `, and look at ${isOne ? 'its decimal point and its unit' : 'their decimal points and units'}` : '';
  const chance = p < 0.001 ? 'less than 0.1' : (p * 100).toFixed(1);
  return {
    code: 'evidence-contradicts',
    severity: 'warning',
    exit: null,
    message: `the readings contradict each other (chance alone would do this in ${chance} % of cases); the odd one out is most likely ${name}: ${again} before you cut${point}${saddles}`,
  };
}

/**
 * Readings that contradict each other are worse than their ± say: every ± of the answer is widened by the ratio of the scatter seen to
 * the one stated, sqrt(chi-square / freedom) (R. T. Birge's ratio, as CODATA adjustments use it; from memory).
 */
function widened(uncertainty: Uncertainty, by: number): Uncertainty {
  const { pitch, roll, deepest, left, past, drawingBass, drawingTreble } = uncertainty;
  return {
    ...uncertainty,
    pitch: pitch * by,
    roll: roll * by,
    deepest: deepest * by,
    left: left * by,
    past: past * by,
    drawingBass: drawingBass * by,
    drawingTreble: drawingTreble * by,
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

/** A drawing is compared with where the readings put the seats, against the ± of that difference; it is never averaged in. */
function drawingUse(values: JobValues, figures: Figures, uncertainty: Uncertainty): EvidenceUse[] {
  if (values.bridge.lowest === undefined) return [];
  const agrees =
    Math.abs(figures.drawingBass) <= uncertainty.drawingBass && Math.abs(figures.drawingTreble) <= uncertainty.drawingTreble;
  return [{ kind: 'drawing', agrees }];
}

function badFits(values: JobValues, edge: DeepEdge): Finding[] {
  return values.fits.flatMap((_, index): Finding[] =>
    fitHasFloor(values, index, edge)
      ? []
      : [
          {
            code: 'fit-floor',
            severity: 'error',
            exit: 2,
            message: `fit ${index + 1} gives depths at its deepest edge that no floor of this pocket has: it would be far too steep`,
            expected: 'depths as they were read at that fit, in the units of the file',
          },
        ],
  );
}

/** Where the readings as found are sound by themselves and no floor is with the fits, it is the last fit that was read or written wrongly. */
function ofLastFit(findings: readonly Finding[], job: Job): readonly Finding[] {
  const n = job.fits.length;
  const last = job.fits[n - 1];
  if (last === undefined) return findings;
  const said = (reading: Reading): string =>
    ('kind' in reading ? [reading] : [reading.bass, reading.treble])
      .map(({ value }) => lengthText(value, job.units))
      .join(' and ');
  const up = last.raised === undefined ? 'saddles all the way down' : `saddles raised by ${said(last.raised)}`;
  const read = [
    ...(last.lastFretGap === undefined ? [] : [`gap ${said(last.lastFretGap)}, ${up}`]),
    ...GAUGED.flatMap((of) => {
      const gauged = last[of];
      return gauged === undefined ? [] : [`${of} ${said(gauged)}`];
    }),
  ];
  return findings.map((finding) => ({
    ...finding,
    message: `with fit ${n} counted in, ${finding.message}`,
    found: `fit ${n}: depth ${said(last.depth)}, ${read.join(', ')}`,
    remedy: 'look at each figure of that fit again, its decimal point and its unit; without the fits there is an answer',
  }));
}

const TOO_FAR_APART: readonly Finding[] = [
  {
    code: 'evidence-cannot-combine',
    severity: 'error',
    exit: 3,
    message: 'the readings are so far apart that no one instrument comes near all of them',
    remedy: 'measure again, and leave out what was read in another state (other saddles, other relief, an old shim)',
  },
];

/** A drawing is known far too coarsely to be averaged in, and what was gauged of the whole instrument leaves its two sides open. */
const GAUGED_BESIDE_DRAWING: Finding = {
  code: 'evidence-cannot-combine',
  severity: 'error',
  exit: 3,
  message: 'a drawing and gauged heights alone do not tell how the saddles stand on either side',
  remedy: 'note a fit with the gaps under both outer strings as well (--gap)',
};

/** A gauged height that all else does not bear out, and the depth noted with it where that is of no other reading. */
function oddGauged(path: string, job: Job): string[] {
  const index = Number(path.split('.')[1]);
  const fit = job.fits[index];
  const depths = fit === undefined || fit.lastFretGap !== undefined ? [] : inputsOf(fit.depth, `fits.${index}.depth`);
  return [...depths.map((input) => input.path), path];
}

/** A depth of 0 is known without a ±: nothing was cut when that fit was read. */
function withUncutFits(job: Job): Job {
  const uncut = measured(0, 0, true);
  return { ...job, fits: job.fits.map((fit) => (isUncutFit(fit) ? { ...fit, depth: uncut } : fit)) };
}

function isSame(one: Measured, other: Measured): boolean {
  return one.value === other.value && one.bound === other.bound;
}

/** A reading that says what the one at `path` says, as that one; undefined where it says something else. */
function repeated(before: Reading, reading: Reading, path: string): Reading | undefined {
  const like = (leaf: Measured, at: string): Measured => ({ ...leaf, sameAs: at });
  if ('kind' in before || 'kind' in reading)
    return 'kind' in before && 'kind' in reading && isSame(before, reading) ? like(reading, path) : undefined;
  if (!isSame(before.bass, reading.bass) || !isSame(before.treble, reading.treble)) return undefined;
  return { bass: like(reading.bass, `${path}.bass`), treble: like(reading.treble, `${path}.treble`) };
}

/**
 * A fit at the depth of the one before it is the same floor read again: its depth is that one, with that one's error, and so is a shim that
 * stayed in.
 */
function withFloorsReadAgain(job: Job): Job {
  let first = 0;
  const fits = job.fits.map((fit, i): Fit => {
    const before = job.fits[i - 1];
    const depth = before === undefined ? undefined : repeated(before.depth, fit.depth, `fits.${first}.depth`);
    const isShim =
      before?.shim === fit.shim || (before?.shim !== undefined && fit.shim !== undefined && isSame(before.shim, fit.shim));
    if (depth === undefined || !isShim) {
      first = i;
      return fit;
    }
    return { ...fit, depth, shim: fit.shim === undefined ? undefined : { ...fit.shim, sameAs: `fits.${first}.shim` } };
  });
  return { ...job, fits };
}

/** The job's floor and, unless only the value is wanted, how sure it is, from all its evidence (geometry.md, "Uncertainty"). */
export function solveEvidence(read: Job, want: 'all' | 'value-only' = 'all'): Result<Solved> {
  const job = withFloorsReadAgain(withUncutFits(read));
  const movable = (work: () => Movable): Movable => (want === 'all' ? work() : FIXED);
  const values = valuesOf(job);
  const [kind] = kindsGiven(values);
  if (kind === undefined) return bad([]);
  const unusable = unusableReadings(values);
  if (unusable.length > 0) return bad(unusable);
  const first = placeInstrument(values, kind);
  const alone = solve(first, outlineOfValues(values));
  const edge: DeepEdge = alone.ok && alone.value.hingeName === 'mouth' ? 'rear' : 'mouth';
  const start = endsOf(first);
  const fitProblems = [...fitFaults(job, values, start, edge), ...badFits(values, edge)];
  if (fitProblems.length > 0) return bad(fitProblems);
  const kinds = usedKinds(values);
  const equations = misfits(values, start, edge).length;
  if (equations <= 4 && values.fits.length === 0) {
    if (!alone.ok) return alone;
    const uncertainty = propagate(
      figuresOf(alone.value, edge),
      movable(() => movablePlain(job, kind, edge, alone.value.pitch)),
    );
    const used = kind === 'drawing' ? [...kinds, 'drawing'] : kinds;
    const compared = kind === 'drawing' ? [] : drawingUse(values, figuresOf(alone.value, edge), uncertainty);
    const evidence = [...used.map((each) => ({ kind: each, agrees: true })), ...compared];
    return good({ solution: alone.value, uncertainty, evidence, p: undefined, edge, warnings: [] });
  }
  const chanceOf = ({ freedom, chiSquare }: Pick<Combined, 'freedom' | 'chiSquare'>): number | undefined =>
    freedom > 0 ? 1 - jstat.chisquare.cdf(chiSquare, freedom) : undefined;
  if (kind === 'drawing' && job.fits.every(({ lastFretGap }) => lastFretGap === undefined)) return bad([GAUGED_BESIDE_DRAWING]);
  const alike = combine(job, start, edge);
  // Nobody reads two sides to be the very same: only where that alone makes readings contradict each other are the sides let apart.
  const isTold = alike !== null && (chanceOf(alike) ?? 1) >= AGREES_FROM_P;
  const nearly = isTold ? null : combine(job, start, edge, 'nearly');
  const combined = nearly !== null && (alike === null || (chanceOf(nearly) ?? 1) >= AGREES_FROM_P) ? nearly : alike;
  const plain = combined === null ? null : placingOf(job, combined);
  const gauged = plain === null ? null : gaugedOf(job, plain, kind, edge);
  if (combined === null || plain === null || gauged === null)
    return bad(alone.ok ? ofLastFit(TOO_FAR_APART, job) : TOO_FAR_APART);
  const placing = gauged?.placing ?? plain;
  const placed = gauged === undefined ? combined : placing.placedAt(placing.inputs.map(() => 0));
  const solved = solve(instrumentFromEnds(placed.values, placed.ends, kind), outlineOfValues(placed.values));
  if (!solved.ok) return alone.ok ? bad(ofLastFit(solved.findings, job)) : solved;
  const freedom = combined.freedom + (gauged?.freedom ?? 0);
  const chiSquare = combined.chiSquare + (gauged?.chiSquare ?? 0);
  const chance = chanceOf({ freedom, chiSquare });
  // Where all else agrees it is the gauged height that does not.
  const isOfGauged = gauged !== undefined && (chanceOf(combined) ?? 1) >= AGREES_FROM_P;
  const agrees = isOfGauged ? (chanceOf(gauged) ?? 1) >= GAUGED_AGREES_FROM_P : chance === undefined || chance >= AGREES_FROM_P;
  const figures = figuresOf(solved.value, edge);
  const stated = propagate(
    figures,
    movable(() => movableCombined(placing, kind, edge, solved.value.pitch)),
  );
  const uncertainty = agrees ? stated : widened(stated, Math.sqrt(chiSquare / Math.max(1, freedom)));
  const isGaugedOdd = gauged !== undefined && (chanceOf(gauged) ?? 1) < GAUGED_AGREES_FROM_P;
  const odd = (): string[] => [
    ...(isOfGauged ? [] : oddOnes(combined.corrections)),
    ...(gauged !== undefined && (isOfGauged || isGaugedOdd) ? oddGauged(gauged.oddest(), job) : []),
  ];
  return good({
    solution: solved.value,
    uncertainty,
    evidence: [...kinds.map((each) => ({ kind: each, agrees })), ...drawingUse(values, figures, uncertainty)],
    p: chance,
    edge,
    // By the chance that it was judged by.
    warnings: agrees ? [] : [contradiction(odd(), (isOfGauged ? chanceOf(gauged) : chance) ?? 0, job)],
  });
}
