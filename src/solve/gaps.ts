import type { Instrument } from '../instrument/evidence.ts';
import type { StringPlan } from '../instrument/strings.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import { bodyToNeck } from '../kernel/pose.ts';
import type { Point3 } from '../kernel/vector.ts';

/** The lowest fret that counts for `low`: below it a string is never nearest to touching when a neck is pitched. */
const FIRST_COUNTED_FRET = 12;

export interface Low {
  readonly gap: number;
  readonly fret: number;
}

/** Seat i, `up` mm above its lowest in the body's z, seen from the neck as it sits on `plane`. */
export function seatInNeck(instrument: Instrument, plane: FloorPlane, i: number, up: number): Point3 {
  const plan = instrument.plans[i] as StringPlan;
  const z = (instrument.seatLowest[i] ?? 0) + up;
  return bodyToNeck(plane, { x: plan.sSaddle - instrument.job.neck.nutToMouth, y: plan.ySaddle, z });
}

export function nutInNeck(instrument: Instrument, i: number): Point3 {
  const plan = instrument.plans[i] as StringPlan;
  return { x: -instrument.job.neck.nutToMouth, y: plan.yNut, z: instrument.nut[i] ?? 0 };
}

/** Gap between string i's underside and the crown of `fret`, the string a straight line from its nut point to its seat. */
function gapOver(instrument: Instrument, nut: Point3, seat: Point3, fret: number): number {
  const { places, crownAt } = instrument.crowns;
  const t = (places[fret] ?? 0) / (seat.x - nut.x);
  return nut.z + (seat.z - nut.z) * t - crownAt(fret, nut.y + (seat.y - nut.y) * t);
}

export function gapAt(instrument: Instrument, plane: FloorPlane, i: number, fret: number, up: number): number {
  return gapOver(instrument, nutInNeck(instrument, i), seatInNeck(instrument, plane, i, up), fret);
}

/** low(i): the least gap over frets 12 to N with the saddles at their lowest, and its fret. */
export function lowOf(instrument: Instrument, plane: FloorPlane, i: number): Low {
  const nut = nutInNeck(instrument, i);
  const seat = seatInNeck(instrument, plane, i, 0);
  let least = Number.POSITIVE_INFINITY;
  let at = FIRST_COUNTED_FRET;
  for (let fret = FIRST_COUNTED_FRET; fret <= instrument.crowns.frets; fret++) {
    const gap = gapOver(instrument, nut, seat, fret);
    if (gap < least) {
      least = gap;
      at = fret;
    }
  }
  return { gap: least, fret: at };
}

/** high(i): the gap over the last fret with the saddles at their highest. */
function highOf(instrument: Instrument, plane: FloorPlane, i: number): number {
  return gapAt(instrument, plane, i, instrument.crowns.frets, instrument.job.bridge.travel);
}

export interface Reach {
  readonly low: readonly Low[];
  readonly high: readonly number[];
  /** max_i low(i) and min_i high(i). */
  readonly lowest: number;
  readonly highest: number;
}

/** range.lowest alone: what the search for a tilt looks at again and again. */
export function lowestOf(instrument: Instrument, plane: FloorPlane): number {
  return instrument.plans.reduce((most, _, i) => Math.max(most, lowOf(instrument, plane, i).gap), Number.NEGATIVE_INFINITY);
}

/** range.highest alone. */
export function highestOf(instrument: Instrument, plane: FloorPlane): number {
  return instrument.plans.reduce((least, _, i) => Math.min(least, highOf(instrument, plane, i)), Number.POSITIVE_INFINITY);
}

export function reachOf(instrument: Instrument, plane: FloorPlane): Reach {
  const low = instrument.plans.map((_, i) => lowOf(instrument, plane, i));
  const high = instrument.plans.map((_, i) => highOf(instrument, plane, i));
  return { low, high, lowest: Math.max(...low.map((l) => l.gap)), highest: Math.min(...high) };
}
