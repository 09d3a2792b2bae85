import type { Job } from '../../src/job/job.ts';
import { type Measured, measured } from '../../src/kernel/measured.ts';

/** An input with a small stated ±, for tests that need a job without a file. */
export const m = (value: number, bound = 0.05): Measured => measured(value, bound, true);

export interface Plain {
  readonly hand?: 'right' | 'left';
  readonly scale?: number;
  readonly frets?: number;
  readonly count?: number;
  readonly spreadAtNut?: number;
  readonly spreadAtSaddle?: number;
  readonly compensation?: readonly number[];
  readonly nutToMouth?: number;
  readonly seatToCrown?: number;
  readonly nutGap?: { bass: number; treble: number };
  readonly firstFretGap?: { bass: number; treble: number };
  readonly radius?: number | { atNut: number; atLastFret: number };
  readonly relief?: number;
  readonly fallAway?: { fromFret: number; drop: number };
  readonly crownTilt?: number;
  readonly length?: number;
  readonly width?: number;
  readonly widthAtMouth?: number;
  readonly cornerRadius?: number;
  readonly depth?: number;
  readonly body?: number;
  readonly travel?: number;
  readonly bridgeRadius?: number;
  readonly lowest?: { bass: number; treble: number };
  readonly lastFretGap?: { bass: number; treble: number };
  readonly straightedge?: { bass: number; treble: number };
  readonly raised?: number;
  readonly edge?: { bass: number; treble: number };
  readonly target?: Partial<Job['target']>;
}

const pair = (value: { bass: number; treble: number } | undefined) =>
  value === undefined ? undefined : { bass: m(value.bass), treble: m(value.treble) };

/** An invented job; what a test does not name has an uncatalogued default. */
export function jobOf(plain: Plain): Job {
  const { radius } = plain;
  return {
    title: 'invented for a test',
    units: 'mm',
    hand: plain.hand ?? 'right',
    scale: { length: m(plain.scale ?? 612), frets: plain.frets ?? 20 },
    strings: {
      count: plain.count ?? 6,
      spreadAtNut: m(plain.spreadAtNut ?? 36),
      spreadAtSaddle: m(plain.spreadAtSaddle ?? 53),
      compensation: plain.compensation === undefined ? m(0) : plain.compensation.map((value) => m(value)),
    },
    neck: {
      nutToMouth: m(plain.nutToMouth ?? 388),
      seatToCrown: m(plain.seatToCrown ?? 23.5),
      nutGap: plain.firstFretGap === undefined ? (pair(plain.nutGap) ?? m(0.5)) : undefined,
      radius:
        radius === undefined
          ? undefined
          : typeof radius === 'number'
            ? m(radius, 0)
            : { atNut: m(radius.atNut, 0), atLastFret: m(radius.atLastFret, 0) },
      relief: m(plain.relief ?? 0),
      fallAway: plain.fallAway === undefined ? undefined : { fromFret: plain.fallAway.fromFret, drop: m(plain.fallAway.drop) },
      crownTilt: measured(plain.crownTilt ?? 0, 0.0003, true),
      heelWood: m(17),
    },
    pocket: {
      length: m(plain.length ?? 71.5),
      width: m(plain.width ?? 58.2),
      widthAtMouth: plain.widthAtMouth === undefined ? undefined : m(plain.widthAtMouth),
      cornerRadius: plain.cornerRadius ?? 5,
      depth: m(plain.depth ?? 17.4),
      body: m(plain.body ?? 41),
      leastFloor: 10,
      clearBefore: 25,
      outline: undefined,
      drawn: undefined,
      screws: [],
      mounted: undefined,
    },
    screw: undefined,
    bridge: {
      travel: m(plain.travel ?? 7),
      lowest: pair(plain.lowest),
      radius: plain.bridgeRadius === undefined ? undefined : m(plain.bridgeRadius, 0),
    },
    asFound: {
      lastFretGap: pair(plain.lastFretGap),
      straightedge: pair(plain.straightedge),
      firstFretGap: pair(plain.firstFretGap),
      edge: pair(plain.edge),
      raised: plain.raised === undefined ? undefined : m(plain.raised),
    },
    fits: [],
    target: { gap: 0, within: 0.05, highest: 3, wished: 6.35, floor: 'pitch', skim: 0, ...plain.target },
    assumed: [],
    inherited: [],
  };
}
