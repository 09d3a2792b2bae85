import { type Instrument, placeInstrument, straightedgeAt } from '../../src/instrument/evidence.ts';
import { fretPlace, handSign } from '../../src/instrument/neck.ts';
import type { Job } from '../../src/job/job.ts';
import { type Measured, measured, type Reading, valuesOf } from '../../src/kernel/measured.ts';
import { gapAt } from '../../src/solve/gaps.ts';
import { planeOf } from '../../src/solve/solve.ts';
import { jobOf } from './jobs.ts';
import { outlineOf } from './solved.ts';

/** What is true of a guitar on the virtual bench and how it is measured. */
export interface Variety {
  readonly hand: 'right' | 'left';
  readonly nut: 'nutGap' | 'firstFretGap' | 'both';
  readonly seat: 'lastFretGap' | 'straightedge' | 'both' | 'drawing';
  /** Read with the saddles raised (a pitch forward always is: its strings lie on the frets). */
  readonly raised: boolean;
  readonly forward: boolean;
  readonly floor: 'pitch' | 'pitch-and-roll';
  readonly gap: number;
  readonly skim: number;
  /** The stated ± of every reading, as a multiple of those that geometry.md assumes. */
  readonly spread: number;
  /** Depths at a fit: one reading for both sides, or one for each. */
  readonly depths: 'one' | 'two';
  /** Gaps: one reading for both sides (they differ by a few hundredths then, and nobody looks closer), or one for each. */
  readonly gaps: 'one' | 'two';
}

const PLAIN: Variety = {
  hand: 'right',
  nut: 'nutGap',
  seat: 'lastFretGap',
  raised: false,
  forward: false,
  floor: 'pitch',
  gap: 0,
  skim: 0,
  spread: 1,
  depths: 'one',
  gaps: 'two',
};

/** Each kind by itself, by name. */
export const VARIETIES: Readonly<Record<string, Variety>> = {
  plain: PLAIN,
  'left-handed, both depths': { ...PLAIN, hand: 'left', depths: 'two' },
  'first fret': { ...PLAIN, nut: 'firstFretGap' },
  straightedge: { ...PLAIN, seat: 'straightedge' },
  'everything read': { ...PLAIN, nut: 'both', seat: 'both' },
  'raised saddles': { ...PLAIN, raised: true },
  'forward pitch': { ...PLAIN, forward: true },
  'forward pitch, first fret, two depths': { ...PLAIN, forward: true, nut: 'firstFretGap', depths: 'two', hand: 'left' },
  'pitch and roll': { ...PLAIN, floor: 'pitch-and-roll', depths: 'two' },
  'pitch and roll, left-handed, raised': { ...PLAIN, floor: 'pitch-and-roll', depths: 'two', hand: 'left', raised: true },
  'a gap wanted': { ...PLAIN, gap: 0.3 },
  'past contact wanted': { ...PLAIN, gap: -0.2, raised: true },
  skim: { ...PLAIN, skim: 0.4 },
  'sharp readings': { ...PLAIN, spread: 0.4 },
  'blunt readings': { ...PLAIN, spread: 2 },
  'blunt straightedge': { ...PLAIN, spread: 2, seat: 'straightedge' },
  'one gap for both sides': { ...PLAIN, gaps: 'one' },
  'from a drawing': { ...PLAIN, seat: 'drawing' },
};

const READING = 0.05;

interface Guitar {
  /** The job as its maker would state it without any error of measurement. */
  readonly job: Job;
  readonly truth: Instrument;
}

/** A hidden guitar of a variety. Every figure is invented. */
export function guitarOf(variety: Variety, draw: () => number): Guitar {
  const between = (a: number, b: number): number => a + (b - a) * draw();
  const scale = between(600, 850);
  const frets = 19 + Math.floor(between(0, 6));
  const last = fretPlace(scale, frets);
  const top = variety.forward ? between(-1.6, -0.9) : between(0.8, 1.7) + variety.gap;
  const other = top - between(0, variety.gaps === 'one' ? 0.04 : 0.4);
  const [bass, treble] = draw() < 0.8 ? [top, other] : [other, top];
  // Forward: the highest falls short of 3 mm by enough to be worth a cut, and the lowest leaves room for it.
  const travel = variety.forward ? ((3 - between(0.4, 0.7) - Math.min(bass, treble)) * scale) / last : between(6, 9);
  const bound = READING * variety.spread;
  const stated = (value: number): Measured => measured(value, bound, true);
  const plain = jobOf({
    hand: variety.hand,
    scale,
    frets,
    count: 4 + Math.floor(between(0, 4)),
    nutToMouth: last * between(0.8, 0.92),
    seatToCrown: between(19, 28),
    nutGap: { bass: between(0.4, 0.7), treble: between(0.35, 0.6) },
    radius: between(240, 420),
    relief: between(0.05, 0.25),
    ...(draw() < 0.3 ? { fallAway: { fromFret: frets - 5, drop: between(0.05, 0.2) } } : {}),
    length: between(62, 90),
    lastFretGap: { bass, treble },
    travel,
    target: { highest: variety.forward ? 3 : 0, gap: variety.gap, skim: variety.skim, floor: variety.floor },
  });
  const truth = placeInstrument(valuesOf(plain), 'lastFretGap');
  const outline = outlineOf(plain);
  const hand = handSign(truth.job);
  const ends = [0, truth.plans.length - 1] as const;
  const raise = variety.raised || variety.forward ? between(2.5, 3.5) + (variety.forward ? 1 : 0) : 0;
  const level = planeOf(outline, 0, 0, 0, hand);
  const pair = (at: (i: number) => number): Reading =>
    variety.gaps === 'one' ? stated((at(ends[0]) + at(ends[1])) / 2) : { bass: stated(at(ends[0])), treble: stated(at(ends[1])) };
  const first = pair((i) => gapAt(truth, level, i, 1, raise));
  const lastGap = pair((i) => gapAt(truth, level, i, frets, raise));
  const edge = pair((i) => {
    const plan = truth.plans[i] as (typeof truth.plans)[number];
    return (truth.seatLowest[i] ?? 0) + raise - straightedgeAt(truth.crowns, plan, plan.sSaddle);
  });
  const { nut, seat } = variety;
  const nutGap = plain.neck.nutGap as { bass: Measured; treble: Measured };
  const job: Job = {
    ...plain,
    neck: {
      ...plain.neck,
      nutGap: nut === 'firstFretGap' ? undefined : { bass: stated(nutGap.bass.value), treble: stated(nutGap.treble.value) },
    },
    // A drawing is known to a few tenths, however sharply it is drawn.
    bridge: {
      ...plain.bridge,
      lowest: seat === 'drawing' ? measured((truth.seatLowest[0] ?? 0) - truth.job.pocket.depth, 0.3, true) : undefined,
    },
    asFound: {
      ...plain.asFound,
      lastFretGap: seat === 'lastFretGap' || seat === 'both' ? lastGap : undefined,
      straightedge: seat === 'straightedge' || seat === 'both' ? edge : undefined,
      firstFretGap: nut === 'nutGap' ? undefined : first,
      raised: raise === 0 ? undefined : stated(raise),
    },
  };
  return { job, truth };
}

/** Every measured leaf read with an honest error, anywhere within its ±. */
export function readAgain<T>(tree: T, draw: () => number): T {
  if (typeof tree !== 'object' || tree === null) return tree;
  const leaf = tree as unknown as Measured;
  if (leaf.kind === 'measured') return measured(leaf.value + (2 * draw() - 1) * leaf.bound, leaf.bound, true) as unknown as T;
  if (Array.isArray(tree)) return tree.map((child) => readAgain(child, draw)) as unknown as T;
  return Object.fromEntries(Object.entries(tree).map(([key, child]) => [key, readAgain(child, draw)])) as T;
}
