import type { Instrument } from '../instrument/evidence.ts';
import { handSign } from '../instrument/neck.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { farthestPoint, type Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { neckToBody } from '../kernel/pose.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM, STEEPEST_TILT_RAD } from '../kernel/tolerances.ts';
import { highestOf, lowestOf, lowOf, type Reach, reachOf } from './gaps.ts';

export type HingeName = 'rear' | 'mouth' | 'side' | 'corner' | 'none';

export interface Solution {
  readonly instrument: Instrument;
  readonly outline: Outline;
  readonly plane: FloorPlane;
  readonly hingeName: HingeName;
  /** rad; positive lowers the nut, positive roll deepens the treble side. */
  readonly pitch: number;
  readonly roll: number;
  readonly deepest: number;
  readonly asFound: Reach;
  readonly afterCut: Reach;
  readonly shortBy: number;
  readonly wishShortBy: number;
  readonly gain: number;
  readonly nutDrop: number;
}

/** The plane of a pitch and a roll whose least depth over the outline is `skim`, at its hinge. */
export function planeOf(outline: Outline, skim: number, pitch: number, roll: number, hand: 1 | -1): FloorPlane {
  const gx = pitch === 0 ? 0 : -Math.tan(pitch);
  const gy = roll === 0 ? 0 : hand * Math.tan(roll);
  const hinge = gx === 0 && gy === 0 ? { x: outline.length, y: 0 } : farthestPoint(outline, { x: -gx, y: -gy });
  return { hinge, skim, gx, gy };
}

export function deepestOf(outline: Outline, plane: FloorPlane): number {
  if (plane.gx === 0 && plane.gy === 0) return plane.skim;
  const point = farthestPoint(outline, { x: plane.gx, y: plane.gy });
  return depthAt(plane, point.x, point.y);
}

export function hingeNameOf(plane: FloorPlane, isCut: boolean): HingeName {
  if (!isCut || (plane.gx === 0 && plane.gy === 0)) return 'none';
  if (plane.gy === 0) return plane.gx < 0 ? 'rear' : 'mouth';
  return plane.gx === 0 ? 'side' : 'corner';
}

export interface Tilt {
  readonly pitch: number;
  readonly roll: number;
}

export type TiltOutcome = { readonly ok: true; readonly tilt: Tilt } | { readonly ok: false; readonly finding: Finding };

function tooSteep(what: string): TiltOutcome {
  return {
    ok: false,
    finding: {
      code: 'tilt-too-steep',
      severity: 'error',
      exit: 3,
      message: `${what} would have to be more than 3 degrees`,
      remedy:
        'something was measured wrongly: measure seatToCrown, the gaps, nutToMouth and crownTilt again; common practice is about half a degree',
    },
  };
}

/** A root of f over the pitches allowed that are of `sign`, or null where even the steepest does not reach. */
function pitchRoot(f: (pitch: number) => number, lo: number, hi: number): number | null {
  const root = findRoot(f, lo, hi, { within: SOLVED_WITHIN_MM / 4 });
  return root.ok ? root.x : null;
}

/** Newton's method settles the two nearly linear equations in three or four rounds; where it has not by then, roots are bracketed. */
const NEWTON_ROUNDS = 12;
/** rad. Derivatives over this: far above rounding, far under the slope's own change. */
const NEWTON_STEP_RAD = 1e-5;

/** Both equations at once by Newton's method from a level floor; null where it does not settle within the tilts allowed. */
function newtonTilt(instrument: Instrument, planeFor: (tilt: Tilt) => FloorPlane): Tilt | null {
  const last = instrument.plans.length - 1;
  const { gap } = instrument.job.target;
  const missAt = (pitch: number, roll: number): readonly [number, number] => {
    const plane = planeFor({ pitch, roll });
    const { low, lowest } = reachOf(instrument, plane);
    return [lowest - gap, (low[0]?.gap ?? 0) - (low[last]?.gap ?? 0)];
  };
  let pitch = 0;
  let roll = 0;
  const h = NEWTON_STEP_RAD;
  for (let round = 0; round < NEWTON_ROUNDS; round++) {
    const [a, b] = missAt(pitch, roll);
    if (Math.max(Math.abs(a), Math.abs(b)) <= SOLVED_WITHIN_MM / 4) return { pitch, roll };
    const [ap, bp] = missAt(pitch + h, roll);
    const [ar, br] = missAt(pitch, roll + h);
    const [ja, jb, ka, kb] = [(ap - a) / h, (ar - a) / h, (bp - b) / h, (br - b) / h];
    const det = ja * kb - jb * ka;
    pitch -= (a * kb - b * jb) / det;
    roll -= (b * ja - a * ka) / det;
    if (!(Math.abs(pitch) <= STEEPEST_TILT_RAD && Math.abs(roll) <= STEEPEST_TILT_RAD)) return null;
  }
  return null;
}

/** Pitch and roll with low equal on both outer strings and the greatest low at the target: roll outside, pitch within. */
function solvePitchAndRoll(instrument: Instrument, planeFor: (tilt: Tilt) => FloorPlane): TiltOutcome {
  const quick = newtonTilt(instrument, planeFor);
  if (quick !== null) return { ok: true, tilt: quick };
  const last = instrument.plans.length - 1;
  const { gap } = instrument.job.target;
  const limit = STEEPEST_TILT_RAD;
  const pitchFor = (roll: number): number | null =>
    pitchRoot((pitch) => lowestOf(instrument, planeFor({ pitch, roll })) - gap, -limit, limit);
  const unequal = (roll: number): number => {
    const pitch = pitchFor(roll);
    if (pitch === null) return Number.NaN;
    const plane = planeFor({ pitch, roll });
    return lowOf(instrument, plane, 0).gap - lowOf(instrument, plane, last).gap;
  };
  // The bracket grows from a level floor, so that a pitch is found at both of its ends.
  const middle = unequal(0);
  if (!Number.isFinite(middle)) return tooSteep('the pitch');
  let roll = 0;
  if (Math.abs(middle) > SOLVED_WITHIN_MM) {
    let found = false;
    for (let reach = limit / 64; reach <= limit * 1.0000001 && !found; reach *= 2) {
      for (const side of [-reach, reach]) {
        const value = unequal(side);
        if (!Number.isFinite(value) || value > 0 === middle > 0) continue;
        const root = findRoot(unequal, Math.min(0, side), Math.max(0, side), { within: SOLVED_WITHIN_MM / 2 });
        if (!root.ok) continue;
        roll = root.x;
        found = true;
        break;
      }
    }
    if (!found) return tooSteep('the roll');
  }
  const pitch = pitchFor(roll);
  return pitch === null ? tooSteep('the pitch') : { ok: true, tilt: { pitch, roll } };
}

/** Rounds of the secant method from a known neighbour; the gaps are nearly straight in the pitch, so three or four do. */
const SECANT_ROUNDS = 8;

/** A root near `start` by the secant method; null where it does not settle between the limits. */
function secantRoot(f: (pitch: number) => number, start: number, lo: number, hi: number): number | null {
  let [a, b] = [start, start + (start + NEWTON_STEP_RAD <= hi ? NEWTON_STEP_RAD : -NEWTON_STEP_RAD)];
  let [fa, fb] = [f(a), f(b)];
  for (let round = 0; round < SECANT_ROUNDS; round++) {
    if (Math.abs(fb) <= SOLVED_WITHIN_MM / 4) return b;
    const next = b - (fb * (b - a)) / (fb - fa);
    if (!(next >= lo && next <= hi)) return null;
    [a, fa, b] = [b, fb, next];
    fb = f(b);
  }
  return null;
}

/**
 * The tilt that the musts ask for, on the planes that `planeFor` gives: the cut's own, or a shim's. `near`: the pitch of an instrument
 * that is nearly the same, where one is known.
 */
export function solveTilt(instrument: Instrument, planeFor: (tilt: Tilt) => FloorPlane, near?: number): TiltOutcome {
  const { target } = instrument.job;
  const level = { pitch: 0, roll: 0 };
  const lowest = (pitch: number): number => lowestOf(instrument, planeFor({ pitch, roll: 0 }));
  const highest = (pitch: number): number => highestOf(instrument, planeFor({ pitch, roll: 0 }));
  if (lowest(0) > target.gap) {
    if (target.floor === 'pitch-and-roll') return solvePitchAndRoll(instrument, planeFor);
    const miss = (p: number): number => lowest(p) - target.gap;
    const quick = near !== undefined && near > 0 ? secantRoot(miss, near, 0, STEEPEST_TILT_RAD) : null;
    const pitch = quick ?? pitchRoot(miss, 0, STEEPEST_TILT_RAD);
    return pitch === null ? tooSteep('the pitch') : { ok: true, tilt: { pitch, roll: 0 } };
  }
  if (highest(0) >= target.highest) return { ok: true, tilt: level };
  // Forward: as far as the highest asks, but never so far that the lowest is lost.
  const byHighest = pitchRoot((p) => highest(p) - target.highest, -STEEPEST_TILT_RAD, 0);
  const byLowest = pitchRoot((p) => lowest(p) - target.gap, -STEEPEST_TILT_RAD, 0);
  if (byHighest === null && byLowest === null) return tooSteep('the forward pitch');
  const pitch = Math.max(byHighest ?? Number.NEGATIVE_INFINITY, byLowest ?? Number.NEGATIVE_INFINITY);
  return { ok: true, tilt: { pitch, roll: 0 } };
}

/** d range.lowest / d deepest at the solved floor, along the tilt solved; from a level floor a pitch back is begun. */
function gainOf(instrument: Instrument, outline: Outline, plane: FloorPlane): number {
  // Steps of a relative 1e-4 in the slope balance truncation (h^4) against rounding; checked against the exact motion in the tests.
  const level = plane.gx === 0 && plane.gy === 0;
  const at = (k: number): { deepest: number; lowest: number } => {
    const gx = level ? -k : plane.gx * k;
    const gy = level ? 0 : plane.gy * k;
    const hinge = level ? { x: outline.length, y: 0 } : plane.hinge;
    const moved = { ...plane, hinge, gx, gy };
    return { deepest: deepestOf(outline, moved), lowest: lowestOf(instrument, moved) };
  };
  if (level) {
    const h = 1e-6;
    const [a, b, c] = [at(0), at(h), at(2 * h)];
    return (-3 * a.lowest + 4 * b.lowest - c.lowest) / (-3 * a.deepest + 4 * b.deepest - c.deepest);
  }
  const h = 1e-4;
  const [p, q] = [at(1 + h), at(1 - h)];
  return (p.lowest - q.lowest) / (p.deepest - q.deepest);
}

/** The floor alone, without what follows from it. */
export type Floored = Pick<Solution, 'instrument' | 'outline' | 'plane' | 'pitch' | 'roll' | 'deepest'> & {
  readonly isCut: boolean;
};

/** The floor to cut (geometry.md, "What is solved"). `near`: the pitch of an instrument that is nearly the same, where one is known. */
export function solveFloor(instrument: Instrument, outline: Outline, near?: number): Result<Floored> {
  const { job } = instrument;
  const hand = handSign(job);
  const uncut = planeOf(outline, 0, 0, 0, hand);
  const isCut = lowestOf(instrument, uncut) > job.target.gap || highestOf(instrument, uncut) < job.target.highest;
  const planeFor = (tilt: Tilt): FloorPlane => planeOf(outline, job.target.skim, tilt.pitch, tilt.roll, hand);
  const outcome: TiltOutcome = isCut ? solveTilt(instrument, planeFor, near) : { ok: true, tilt: { pitch: 0, roll: 0 } };
  if (!outcome.ok) return bad([outcome.finding]);
  const plane = isCut ? planeFor(outcome.tilt) : uncut;
  return good({ instrument, outline, plane, ...outcome.tilt, deepest: deepestOf(outline, plane), isCut });
}

/** The floor that brings the saddles' range where the job asks for it, and what follows from it. */
export function solve(instrument: Instrument, outline: Outline): Result<Solution> {
  const { job } = instrument;
  const floored = solveFloor(instrument, outline);
  if (!floored.ok) return floored;
  const { plane, pitch, roll, deepest, isCut } = floored.value;
  const asFound = reachOf(instrument, planeOf(outline, 0, 0, 0, handSign(job)));
  const afterCut = reachOf(instrument, plane);
  const nut = { x: -job.neck.nutToMouth, y: 0, z: instrument.crowns.plane(0) };
  return good({
    instrument,
    outline,
    plane,
    hingeName: hingeNameOf(plane, isCut),
    pitch,
    roll,
    deepest,
    asFound,
    afterCut,
    shortBy: Math.max(0, job.target.highest - afterCut.highest),
    wishShortBy: Math.max(0, job.target.wished - afterCut.highest),
    gain: gainOf(instrument, outline, plane),
    nutDrop: nut.z - neckToBody(plane, nut).z,
  });
}
