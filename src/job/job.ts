import type { Measured, Reading } from '../kernel/measured.ts';
import type { Outline } from '../kernel/outline.ts';
import type { Unit } from '../kernel/units.ts';

export type Hand = 'right' | 'left';

export interface Fit {
  readonly depth: Reading;
  readonly lastFretGap: Reading | undefined;
  readonly raised: Reading | undefined;
  /** The thickest leaf that goes under a string all along from fret 12 to the last, saddles at their lowest: range.lowest as it is. */
  readonly lowest?: Measured | undefined;
  /** The thickest leaf or rod that goes under every string over the last fret, saddles at their highest: range.highest as it is. */
  readonly highest?: Measured | undefined;
  /** Thickness at the deepest edge of a shim over the whole floor that lay in the pocket then. */
  readonly shim?: Measured | undefined;
  readonly on: string | undefined;
  readonly note: string | undefined;
}

/** A checked job: millimetres and radians. What is absent in the file and has no default is `undefined`. */
export interface Job {
  readonly title: string;
  readonly units: Unit;
  readonly hand: Hand;
  readonly scale: { readonly length: Measured; readonly frets: number };
  readonly strings: {
    readonly count: number;
    readonly spreadAtNut: Measured;
    readonly spreadAtSaddle: Measured;
    /** One value for all strings, or one a string, bass first. */
    readonly compensation: Measured | readonly Measured[];
  };
  readonly neck: {
    readonly nutToMouth: Measured;
    readonly seatToCrown: Measured;
    readonly nutGap: Reading | undefined;
    readonly radius: Measured | { readonly atNut: Measured; readonly atLastFret: Measured } | undefined;
    readonly relief: Measured;
    readonly fallAway: { readonly fromFret: number; readonly drop: Measured } | undefined;
    readonly crownTilt: Measured;
    readonly heelWood: Measured | undefined;
  };
  readonly pocket: {
    readonly length: Measured;
    readonly width: Measured;
    /** Absent: as wide as at the rear, and then the same input. */
    readonly widthAtMouth: Measured | undefined;
    readonly cornerRadius: number;
    readonly depth: Measured;
    readonly body: Measured;
    readonly leastFloor: number;
    readonly clearBefore: number | undefined;
    /** A drawn outline, instead of length and width: the reference as written in the file. */
    readonly outline: string | undefined;
    /** What that drawing shows, body frame; `length` and `width` then are its greatest ones. */
    readonly drawn: Outline | undefined;
    readonly screws: readonly { readonly x: number; readonly y: number }[];
    readonly mounted:
      | { readonly mouthBass: number; readonly mouthTreble: number; readonly rearBass: number; readonly rearTreble: number }
      | undefined;
  };
  readonly screw: { readonly length: number; readonly plate: number; readonly leastHold: number } | undefined;
  readonly bridge: { readonly travel: Measured; readonly lowest: Reading | undefined; readonly radius: Measured | undefined };
  readonly asFound: {
    readonly lastFretGap: Reading | undefined;
    readonly straightedge: Reading | undefined;
    readonly firstFretGap: Reading | undefined;
    readonly edge: { readonly bass: Measured; readonly treble: Measured } | undefined;
    /** Absent: the saddles are at their lowest. */
    readonly raised: Reading | undefined;
  };
  readonly fits: readonly Fit[];
  readonly target: {
    readonly gap: number;
    readonly within: number;
    readonly highest: number;
    readonly wished: number;
    readonly floor: 'pitch' | 'pitch-and-roll';
    readonly skim: number;
  };
  /** Keys left out whose default was taken, with the value as text: the report prints them. */
  readonly assumed: readonly string[];
  /** Paths of the values taken from the job that this one is like: the report names them. */
  readonly inherited: readonly string[];
}
