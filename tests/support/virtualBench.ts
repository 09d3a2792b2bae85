import { fitPlane, outlineOfValues } from '../../src/instrument/equations.ts';
import { type Instrument, placeInstrument } from '../../src/instrument/evidence.ts';
import { fretPlace, handSign, sidesOf } from '../../src/instrument/neck.ts';
import type { Fit, Job } from '../../src/job/job.ts';
import { type Measured, measured, valuesOf } from '../../src/kernel/measured.ts';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import { gapAt, reachOf } from '../../src/solve/gaps.ts';
import { planeOf, solve } from '../../src/solve/solve.ts';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { stopsOf } from '../../src/solve/stops.ts';
import { jobOf } from './jobs.ts';

/** Bounds of honest bench measurements (mm; crownTilt in rad): those geometry.md assumes where none is given. */
const GAP = 0.05;
const DEPTH = 0.03;
/** A practised hand with a file misses the line it aims at by a few hundredths (standard deviation, mm). */
const HAND = 0.02;

/** A draw that is near normal: twelve uniform ones (variance 1). */
function normal(draw: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += draw();
  return sum;
}

export interface Tale {
  readonly fits: number;
  /** Governing gap left on the true instrument (mm; negative: past contact). */
  readonly gap: number;
  /** Whether the stated ± of the first solve covers the true depth. */
  readonly covered: boolean;
  readonly stated: number;
  readonly error: number;
  readonly settled: boolean;
  /** The combined evidence's view of that gap. */
  readonly believed: number;
}

/** Every measured leaf read with an honest error. */
function readAgain<T>(tree: T, draw: () => number): T {
  if (typeof tree !== 'object' || tree === null) return tree;
  const leaf = tree as unknown as Measured;
  if (leaf.kind === 'measured') return measured(leaf.value + (2 * draw() - 1) * leaf.bound, leaf.bound, true) as unknown as T;
  if (Array.isArray(tree)) return tree.map((child) => readAgain(child, draw)) as unknown as T;
  return Object.fromEntries(Object.entries(tree).map(([key, child]) => [key, readAgain(child, draw)])) as T;
}

function trueJob(draw: () => number): Job {
  const between = (a: number, b: number): number => a + (b - a) * draw();
  const scale = between(600, 850);
  const frets = 19 + Math.floor(between(0, 6));
  const last = fretPlace(scale, frets);
  const bass = between(0.8, 1.7);
  return jobOf({
    scale,
    frets,
    count: 4 + Math.floor(between(0, 4)),
    nutToMouth: last * between(0.8, 0.92),
    seatToCrown: between(19, 28),
    nutGap: { bass: between(0.4, 0.7), treble: between(0.35, 0.6) },
    radius: between(240, 420),
    relief: between(0.05, 0.25),
    length: between(62, 90),
    lastFretGap: { bass, treble: bass - between(0, 0.4) },
    travel: between(6, 9),
    target: { highest: 0 },
  });
}

function truthOf(job: Job): Instrument {
  return placeInstrument(valuesOf(job), 'lastFretGap');
}

/** One guitar from the first measurement to the last fit. `next` may stop short: at most `most` fits. */
export function oneBench(seed: number, most = 8): Tale {
  const draw = uniformDraws(seed);
  const hidden = trueJob(draw);
  const truth = truthOf(hidden);
  const outline = outlineOfValues(truth.job);
  const right = solve(truth, outline);
  if (!right.ok) throw new Error('the hidden guitar cannot be solved');
  const read = readAgain(hidden, draw);
  const hand = handSign(truth.job);
  const lastString = truth.plans.length - 1;
  const fits: Fit[] = [];
  let depth = 0;
  let covered = true;
  let stated = 0;
  let error = 0;
  const planeAt = (d: number) =>
    d <= 0
      ? planeOf(outline, 0, 0, 0, hand)
      : (fitPlane(outline, hand, 'mouth', { bass: d, treble: d }, 0) ?? planeOf(outline, 0, 0, 0, hand));
  for (;;) {
    const job: Job = { ...read, fits };
    const solved = solveEvidence(job);
    if (!solved.ok) throw new Error(solved.findings.map((finding) => finding.message).join('; '));
    const { solution, uncertainty } = solved.value;
    if (fits.length === 0) {
      stated = uncertainty.deepest;
      error = solution.deepest - right.value.deepest;
      covered = Math.abs(error) <= stated;
    } else {
      const reached = solution.instrument.job.fits[fits.length - 1]?.depth ?? 0;
      const plane = fitPlane(solution.outline, hand, 'mouth', sidesOf(reached), 0);
      const miss = plane === null ? 1 : reachOf(solution.instrument, plane).lowest - job.target.gap;
      if (Math.abs(miss) <= job.target.within || miss < 0 || fits.length >= most) {
        const gap = reachOf(truth, planeAt(depth)).lowest;
        return { fits: fits.length, gap, covered, stated, error, settled: Math.abs(miss) <= job.target.within, believed: miss };
      }
    }
    const [stop] = stopsOf(solved.value);
    const aim = stop?.deepest ?? 0;
    // The file takes wood off only: a stop already reached is a second reading at the same depth.
    depth = Math.max(depth, aim > depth ? aim + HAND * normal(draw) : depth);
    const plane = planeAt(depth);
    const gapsAt = (up: number) => ({
      bass: gapAt(truth, plane, 0, truth.crowns.frets, up),
      treble: gapAt(truth, plane, lastString, truth.crowns.frets, up),
    });
    const lowest = gapsAt(0);
    const raise = Math.min(lowest.bass, lowest.treble) < 0.2 ? 1.5 : 0;
    const raisedError = raise === 0 ? 0 : (2 * draw() - 1) * GAP;
    const real = gapsAt(raise + raisedError);
    const noisy = (value: number, bound: number): Measured => measured(value + (2 * draw() - 1) * bound, bound, true);
    fits.push({
      depth: noisy(depth, DEPTH),
      lastFretGap: { bass: noisy(real.bass, GAP), treble: noisy(real.treble, GAP) },
      raised: raise === 0 ? undefined : measured(raise, GAP, true),
      on: undefined,
      note: undefined,
    });
  }
}
