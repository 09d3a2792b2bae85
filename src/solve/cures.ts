import type { Instrument } from '../instrument/evidence.ts';
import { handSign } from '../instrument/neck.ts';
import { farthestPoint, type Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { neckToBody } from '../kernel/pose.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { reachOf } from './gaps.ts';
import { planeOf, type Solution, solveTilt, type Tilt } from './solve.ts';

export type CureName =
  | 'pocket-floor'
  | 'heel-taper'
  | 'wedge-shim'
  | 'flat-shim'
  | 'deeper-pocket'
  | 'sink-bridge'
  | 'pack-bridge';

export interface Cure {
  readonly name: CureName;
  /** Greatest amount (mm): depth taken off, thickness put in, or height the bridge moves. */
  readonly amount: number;
  /** rad, as the neck's own pitch and roll. */
  readonly pitch: number;
  readonly roll: number;
  /** Crowns on the centreline over the body's top afterwards, at the mouth and at the last fret (mm). */
  readonly crownAtMouth: number;
  readonly crownAtLastFret: number;
  /** Change of screw bite in the neck at the pocket's middle (mm, negative is less). */
  readonly biteChange: number;
  readonly showsFromSide: boolean;
  readonly canBeUndone: boolean;
  readonly lowest: number;
  readonly highest: number;
  /** The plane the heel sits on afterwards, body frame, as depth below the floor as found (negative: above). */
  readonly plane: FloorPlane;
}

/** Lifts and bridge moves are looked for up to this (mm): more than a pocket is deep. */
const MOST_LIFT_MM = 25;

/** A shim's upper face: thinnest (nothing) where a cut of the same tilt would be deepest. */
function shimPlane(outline: Outline, tilt: Tilt, hand: 1 | -1): FloorPlane {
  const cut = planeOf(outline, 0, tilt.pitch, tilt.roll, hand);
  if (cut.gx === 0 && cut.gy === 0) return cut;
  return { ...cut, hinge: farthestPoint(outline, { x: cut.gx, y: cut.gy }) };
}

function crownsOver(instrument: Instrument, plane: FloorPlane): { mouth: number; last: number } {
  const { crowns, job } = instrument;
  const M = job.neck.nutToMouth;
  const over = (s: number): number => neckToBody(plane, { x: s - M, y: 0, z: crowns.crown(s, 0) }).z - job.pocket.depth;
  return { mouth: over(M), last: over(crowns.places[crowns.frets] ?? 0) };
}

/** The same instrument with its bridge `by` mm higher. */
function withBridgeMoved(instrument: Instrument, by: number): Instrument {
  return { ...instrument, seatLowest: instrument.seatLowest.map((z) => z + by) };
}

type Look = Pick<Cure, 'showsFromSide' | 'canBeUndone'>;

function cure(
  name: CureName,
  instrument: Instrument,
  plane: FloorPlane,
  tilt: Tilt,
  amount: number,
  biteChange: number,
  look: Look,
): Cure {
  const { lowest, highest } = reachOf(instrument, plane);
  const crowns = crownsOver(instrument, plane);
  return {
    name,
    amount,
    ...tilt,
    crownAtMouth: crowns.mouth,
    crownAtLastFret: crowns.last,
    biteChange,
    ...look,
    lowest,
    highest,
    plane,
  };
}

/** The cures without any slope: the neck lifted or let in level, the bridge sunk or packed. They are there however steep a floor would have to be. */
export function levelCuresOf(instrument: Instrument, outline: Outline): Cure[] {
  const { target } = instrument.job;
  const level: Tilt = { pitch: 0, roll: 0 };
  const cures: Cure[] = [];
  const uncut = planeOf(outline, 0, 0, 0, handSign(instrument.job));
  const asFound = reachOf(instrument, uncut);
  const lowFails = asFound.lowest > target.gap;
  const missOf = ({ lowest, highest }: { lowest: number; highest: number }): number =>
    lowFails ? lowest - target.gap : highest - target.highest;
  const rootOf = (miss: (by: number) => number): number | null => {
    const root = findRoot(miss, -MOST_LIFT_MM, MOST_LIFT_MM, { within: SOLVED_WITHIN_MM / 4 });
    return root.ok ? root.x : null;
  };
  const lowered = (by: number): FloorPlane => ({ ...uncut, skim: by });
  const drop = rootOf((by) => missOf(reachOf(instrument, lowered(by))));
  if (drop !== null) {
    const look = { showsFromSide: drop < 0, canBeUndone: drop < 0 };
    const name = drop < 0 ? 'flat-shim' : 'deeper-pocket';
    cures.push(cure(name, instrument, lowered(drop), level, Math.abs(drop), drop, look));
  }
  const rise = rootOf((by) => missOf(reachOf(withBridgeMoved(instrument, by), uncut)));
  if (rise !== null) {
    const look = { showsFromSide: true, canBeUndone: rise > 0 };
    const name = rise < 0 ? 'sink-bridge' : 'pack-bridge';
    cures.push(cure(name, withBridgeMoved(instrument, rise), uncut, level, Math.abs(rise), 0, look));
  }
  return cures;
}

/**
 * Every way to make the same correction, each solved by the same exact motion (geometry.md, "Other ways"). Cures that cannot bring it
 * are left out. An empty list: nothing needs curing.
 */
export function curesOf(solution: Solution): Cure[] {
  const { instrument, outline, plane, pitch, roll, deepest } = solution;
  const hand = handSign(instrument.job);
  if (deepest === 0) return [];
  const middle = { x: outline.length / 2, y: 0 };
  const bite = (on: FloorPlane): number => depthAt(on, middle.x, middle.y);
  const cures: Cure[] = [
    cure('pocket-floor', instrument, plane, { pitch, roll }, deepest, bite(plane), { showsFromSide: false, canBeUndone: false }),
    // The heel's wood goes instead of the floor's: the neck ends in the same place, the screws grip less of the heel.
    cure('heel-taper', instrument, plane, { pitch, roll }, deepest, 0, { showsFromSide: false, canBeUndone: false }),
  ];
  const shimmed = solveTilt(instrument, (tilt) => shimPlane(outline, tilt, hand));
  if (shimmed.ok && (shimmed.tilt.pitch !== 0 || shimmed.tilt.roll !== 0)) {
    const on = shimPlane(outline, shimmed.tilt, hand);
    const thin = farthestPoint(outline, { x: -on.gx, y: -on.gy });
    const amount = -depthAt(on, thin.x, thin.y);
    cures.push(cure('wedge-shim', instrument, on, shimmed.tilt, amount, bite(on), { showsFromSide: true, canBeUndone: true }));
  }
  return [...cures, ...levelCuresOf(instrument, outline)];
}
