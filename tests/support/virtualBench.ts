import { fitPlane, outlineOfValues } from '../../src/instrument/equations.ts';
import { handSign, type Sides } from '../../src/instrument/neck.ts';
import type { Fit, Job } from '../../src/job/job.ts';
import { type Measured, measured } from '../../src/kernel/measured.ts';
import type { FloorPlane } from '../../src/kernel/plane.ts';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import { type ComingStop, comingStop } from '../../src/report/comingStop.ts';
import { edgeDepths } from '../../src/solve/edge.ts';
import { fitStateOf, type Gauge } from '../../src/solve/fitting.ts';
import { gapAt, reachOf } from '../../src/solve/gaps.ts';
import { notedDepths } from '../../src/solve/noted.ts';
import { planeOf, solve } from '../../src/solve/solve.ts';
import { solveEvidence } from '../../src/solve/solveEvidence.ts';
import { stopsOf } from '../../src/solve/stops.ts';
import { guitarOf, readAgain, type Variety } from './benchGuitar.ts';

/** mm. Bounds of what is read at a fit. */
const GAP = 0.05;
const DEPTH = 0.03;
/** mm. What a leaf that only just goes is felt to, and the bound of the thickest that does. */
const FEEL = 0.02;
const LEAF = 0.03;
/** mm. What a few strokes of a file take off (common practice, from memory). */
const FEW = 0.01;
/** mm. Nobody files less. */
const NO_FILING = 0.005;
const FEEL_SEED = 0x5eed;
/** A practised hand with a file misses the line it aims at by a few hundredths (standard deviation, mm). */
const HAND = 0.02;
/** mm. A gap under this is not read: the saddles are raised first. */
const LEAST_READ = 0.2;

/** A draw that is near normal: twelve uniform ones (variance 1). */
function normal(draw: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += draw();
  return sum;
}

export interface Tale {
  /** Fits after filing; the reading on the uncut floor that a drawing asks for first is no fit of anything. */
  readonly fits: number;
  /** Readings more of a floor as it is, which were asked for before the job was called done: nothing is filed or bolted on for them. */
  readonly again: number;
  /** How far the governing string of the true guitar ends short of its place (mm in the gap; negative: past it). */
  readonly gap: number;
  /** Whether the stated ± of the first solve covers the true depth. */
  readonly covered: boolean;
  readonly stated: number;
  readonly error: number;
  readonly settled: boolean;
  /** Whether the evidence was ever said to contradict itself. */
  readonly surprised: boolean;
}

/** One guitar from the first measurement to the last fit: at most `most` fits. */
export function oneBench(seed: number, variety: Variety, most = 8): Tale {
  const draw = uniformDraws(seed);
  const { job: hidden, truth } = guitarOf(variety, draw);
  const outline = outlineOfValues(truth.job);
  const right = solve(truth, outline);
  if (!right.ok) throw new Error(`seed ${seed}: the hidden guitar cannot be solved`);
  const read = readAgain(hidden, draw);
  const hand = handSign(truth.job);
  const { target } = truth.job;
  const edge = right.value.pitch < 0 ? 'rear' : 'mouth';
  const lastString = truth.plans.length - 1;
  const gapBound = GAP * variety.spread;
  const noisyWithin = (value: number, bound: number, within: number): Measured =>
    measured(value + (2 * draw() - 1) * Math.max(0, within), bound, true);
  const noisy = (value: number, bound: number): Measured => noisyWithin(value, bound, bound);
  const level = planeOf(outline, 0, 0, 0, hand);
  const planeAt = (depth: Sides): FloorPlane =>
    depth.bass <= 0 && depth.treble <= 0 ? level : (fitPlane(outline, hand, edge, depth, target.skim) ?? level);
  const shortOf = (plane: FloorPlane): number => {
    const { lowest, highest } = reachOf(truth, plane);
    return edge === 'mouth' ? lowest - target.gap : Math.min(target.highest - highest, target.gap - lowest);
  };
  // Draws of its own: whether somebody takes up a leaf changes nothing else of the tale.
  const feel = uniformDraws(seed + FEEL_SEED);
  /** What a leaf or rod shows where it shows that something is wrong: the thickest that goes, read to its ±. */
  const gaugedAt = (depth: Sides, { of, thick }: Gauge): Partial<Fit> | undefined => {
    const real = reachOf(truth, planeAt(depth))[of];
    const felt = thick + (2 * feel() - 1) * FEEL;
    const isRight = of === 'lowest' ? real < felt : real > felt;
    return isRight ? undefined : { [of]: measured(real + (2 * feel() - 1) * LEAF, LEAF, true) };
  };
  const fits: Fit[] = [];
  let depth: Sides = { bass: 0, treble: 0 };
  let first = { covered: true, stated: 0, error: 0 };
  let surprised = false;
  let uncutFits = 0;
  let again = 0;
  for (;;) {
    const job: Job = { ...read, fits };
    const solved = solveEvidence(job);
    if (!solved.ok) throw new Error(`seed ${seed}: ${solved.findings.map((finding) => finding.message).join('; ')}`);
    const { solution, uncertainty } = solved.value;
    surprised ||= solved.value.warnings.some(({ code }) => code === 'evidence-contradicts');
    let aim: Sides;
    let isReadAgain = false;
    let told: ComingStop | undefined;
    let reached = depth;
    let noted = depth;
    let notedBefore: Fit['depth'] | undefined;
    if (fits.length === 0) {
      const error = solution.deepest - right.value.deepest;
      first = { stated: uncertainty.deepest, error, covered: Math.abs(error) <= uncertainty.deepest };
      const wanted = edgeDepths(solution, solved.value.edge);
      const whole = (wanted.bass + wanted.treble) / 2;
      const part = whole > 0 ? (stopsOf(solved.value)[0]?.deepest ?? 0) / whole : 0;
      aim = { bass: wanted.bass * part, treble: wanted.treble * part };
    } else {
      const state = fitStateOf(solved.value, fits);
      const gauged = state.done && state.gauge !== null && fits.length < most ? gaugedAt(depth, state.gauge) : undefined;
      if (gauged !== undefined) {
        again += 1;
        fits.push({ ...(fits[fits.length - 1] as Fit), lastFretGap: undefined, raised: undefined, ...gauged });
        continue;
      }
      if (state.done || state.wayBack > 0 || fits.length >= most)
        return {
          ...first,
          fits: fits.length - uncutFits - again,
          again,
          gap: shortOf(planeAt(depth)),
          settled: state.done,
          surprised,
        };
      aim = state.nextAt;
      reached = state.reached;
      noted = notedDepths(fits[fits.length - 1] as Fit);
      told = comingStop(job, state);
      if (state.doubt !== null) {
        isReadAgain = true;
        again += 1;
        notedBefore = fits[fits.length - 1]?.depth;
      }
    }
    // The file takes wood off only, and goes by what was noted; where that is not to be gone by, by what is to come off more.
    const filed = (side: keyof Sides, miss: number): number => {
      const isTold = told === undefined || told.at !== undefined;
      const more = isTold ? aim[side] - depth[side] : aim[side] - reached[side];
      const isShort = aim[side] - (isTold ? noted[side] : reached[side]) > NO_FILING;
      return depth[side] + (isShort ? Math.max(FEW, more + miss) : 0);
    };
    const both = HAND * normal(draw);
    const lean = variety.depths === 'two' ? HAND * normal(draw) : 0;
    if (!isReadAgain) depth = { bass: filed('bass', both + lean / 2), treble: filed('treble', both - lean / 2) };
    const plane = planeAt(depth);
    const gapsAt = (up: number) => ({
      bass: gapAt(truth, plane, 0, truth.crowns.frets, up),
      treble: gapAt(truth, plane, lastString, truth.crowns.frets, up),
    });
    const least = Math.min(...Object.values(gapsAt(0)));
    const raise = least < LEAST_READ ? Math.max(1.5, (LEAST_READ + 0.2 - least) / 0.6) : 0;
    const real = gapsAt(raise === 0 ? 0 : raise + (2 * draw() - 1) * gapBound);
    const isUncut = depth.bass === 0 && depth.treble === 0;
    if (isUncut) uncutFits += 1;
    const one = (): Measured => (isUncut ? measured(0, DEPTH, true) : noisy((depth.bass + depth.treble) / 2, DEPTH));
    const two = (): Fit['depth'] => ({ bass: noisy(depth.bass, DEPTH), treble: noisy(depth.treble, DEPTH) });
    fits.push({
      // A floor that is only read again is not measured again: the neck is on it.
      depth: notedBefore ?? (variety.depths === 'one' ? one() : two()),
      lastFretGap:
        variety.gaps === 'one'
          ? noisyWithin((real.bass + real.treble) / 2, gapBound, gapBound - Math.abs(real.bass - real.treble) / 2)
          : { bass: noisy(real.bass, gapBound), treble: noisy(real.treble, gapBound) },
      raised: raise === 0 ? undefined : measured(raise, gapBound, true),
      on: undefined,
      note: undefined,
    });
  }
}

/** What the limits of a bench are judged by. */
export function figuresOfBench(tales: readonly Tale[]) {
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const errors = tales.map(({ error }) => error);
  const centre = mean(errors);
  return {
    guitars: tales.length,
    past: mean(tales.map(({ gap }) => (gap < -0.1 ? 1 : 0))),
    deepest: Math.min(...tales.map(({ gap }) => gap)),
    highest: Math.max(...tales.map(({ gap }) => gap)),
    fits: mean(tales.map(({ fits }) => fits)),
    again: mean(tales.map(({ again }) => again)),
    settled: mean(tales.map(({ settled }) => (settled ? 1 : 0))),
    surprised: mean(tales.map(({ surprised }) => (surprised ? 1 : 0))),
    covered: mean(tales.map(({ covered }) => (covered ? 1 : 0))),
    bias: centre,
    ratio: mean(tales.map(({ stated }) => stated)) / Math.sqrt(mean(errors.map((error) => (error - centre) ** 2))),
  };
}
