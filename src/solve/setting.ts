import type { Instrument } from '../instrument/evidence.ts';
import { handSign } from '../instrument/neck.ts';
import { neckToBody } from '../kernel/pose.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import { norm, subtract } from '../kernel/vector.ts';
import { gapAt, nutInNeck, seatInNeck } from './gaps.ts';
import { planeOf, type Solution } from './solve.ts';

/** The fret over which players speak of an action (common practice, no source). */
const ACTION_FRET = 12;

/** How far a face of the moved heel stands out where it meets the body's top (mm): positive enters the wall, negative opens. */
export interface HeelFaces {
  readonly rearBass: number;
  readonly rearTreble: number;
  readonly sideBass: number;
  readonly sideTreble: number;
}

export interface FretGaps {
  readonly fret: number;
  readonly lowest: { readonly bass: number; readonly treble: number };
  readonly highest: { readonly bass: number; readonly treble: number };
  /** Each saddle set for the chosen action. */
  readonly chosen: { readonly bass: number; readonly treble: number };
}

export interface Setting {
  readonly heel: HeelFaces;
  /** Per string, bass first: the change of the speaking length (mm), for the intonation. */
  readonly lengthChange: readonly number[];
  /** Crowns on the centreline over the body's top (mm), before and after. */
  readonly crowns: {
    readonly mouthBefore: number;
    readonly mouthAfter: number;
    readonly lastBefore: number;
    readonly lastAfter: number;
  };
  /** Underside of the fretboard's tongue over the body's top (mm) where it reaches past the pocket; null where it does not, or heelWood is not given. */
  readonly tongue: { readonly before: number; readonly after: number } | null;
  readonly gaps: readonly FretGaps[];
  /** The outer saddles set for the chosen action. */
  readonly saddles: { readonly bass: SaddlePlace; readonly treble: SaddlePlace };
}

/** Where a line of the neck that stands square on its seat at (x, y) crosses the body's top after the motion, less (x, y). */
function atBodyTop(solution: Solution, x: number, y: number): { readonly dx: number; readonly dy: number } {
  const { plane, instrument } = solution;
  const foot = neckToBody(plane, { x, y, z: 0 });
  const up = subtract(neckToBody(plane, { x, y, z: 1 }), foot);
  const k = (instrument.job.pocket.depth - foot.z) / up.z;
  return { dx: foot.x + k * up.x - x, dy: foot.y + k * up.y - y };
}

function heelFaces(solution: Solution): HeelFaces {
  const { outline, instrument } = solution;
  const treble = handSign(instrument.job);
  const { length, rearHalf, mouthHalf } = outline;
  const side = (sign: number): number =>
    Math.max(atBodyTop(solution, 0, sign * mouthHalf).dy * sign, atBodyTop(solution, length, sign * rearHalf).dy * sign);
  return {
    rearBass: atBodyTop(solution, length, -treble * rearHalf).dx,
    rearTreble: atBodyTop(solution, length, treble * rearHalf).dx,
    sideBass: side(-treble),
    sideTreble: side(treble),
  };
}

function crownOver(instrument: Instrument, plane: Solution['plane'], s: number): number {
  const M = instrument.job.neck.nutToMouth;
  return neckToBody(plane, { x: s - M, y: 0, z: instrument.crowns.crown(s, 0) }).z - instrument.job.pocket.depth;
}

/**
 * The least height of the fretboard's underside over the body's top between the rear wall and the last fret: it lies `heelWood` over the
 * seat, flat like the seat. Null where the tongue does not reach past the pocket.
 */
function tongueOver(solution: Solution, plane: Solution['plane']): number | null {
  const { instrument, outline } = solution;
  const { neck, pocket } = instrument.job;
  const end = (instrument.crowns.places[instrument.crowns.frets] ?? 0) - neck.nutToMouth;
  if (neck.heelWood === undefined || end <= outline.length) return null;
  const z = neck.heelWood;
  // A straight underside is nearest at one of its ends.
  return Math.min(...[outline.length, end].map((x) => neckToBody(plane, { x, y: 0, z }).z - pocket.depth));
}

/** What else the set of the neck brings: heel at the walls, string length, crowns over the top, gaps at every fret. */
export function settingOf(solution: Solution, action: number): Setting {
  const { instrument, plane, outline } = solution;
  const { crowns, plans, job } = instrument;
  const uncut = planeOf(outline, 0, 0, 0, handSign(job));
  const M = job.neck.nutToMouth;
  const sN = crowns.places[crowns.frets] ?? 0;
  const last = plans.length - 1;
  const outer = (fret: number, bassUp: number, trebleUp: number) => ({
    bass: gapAt(instrument, plane, 0, fret, bassUp),
    treble: gapAt(instrument, plane, last, fret, trebleUp),
  });
  const bass = saddleFor(solution, 0, action);
  const treble = saddleFor(solution, last, action);
  const tongueBefore = tongueOver(solution, uncut);
  const tongueAfter = tongueOver(solution, plane);
  const speaking = (on: Solution['plane'], i: number): number =>
    norm(subtract(seatInNeck(instrument, on, i, 0), nutInNeck(instrument, i)));
  return {
    heel: heelFaces(solution),
    lengthChange: plans.map((_, i) => speaking(plane, i) - speaking(uncut, i)),
    crowns: {
      mouthBefore: crownOver(instrument, uncut, M),
      mouthAfter: crownOver(instrument, plane, M),
      lastBefore: crownOver(instrument, uncut, sN),
      lastAfter: crownOver(instrument, plane, sN),
    },
    tongue: tongueBefore === null || tongueAfter === null ? null : { before: tongueBefore, after: tongueAfter },
    gaps: Array.from({ length: crowns.frets }, (_, n) => ({
      fret: n + 1,
      lowest: outer(n + 1, 0, 0),
      highest: outer(n + 1, job.bridge.travel, job.bridge.travel),
      chosen: outer(n + 1, bass.up, treble.up),
    })),
    saddles: { bass, treble },
  };
}

export interface SaddlePlace {
  /** mm above the lowest. */
  readonly up: number;
  readonly within: boolean;
}

/** Saddles are looked for up to this far (mm) from their lowest: beyond any travel, so that what is out of it can be said. */
const SADDLE_REACH_MM = 50;

/** Where in its travel the saddle of string i (from 0, bass first) stands for a gap of `action` over the 12th fret. */
export function saddleFor(solution: Solution, i: number, action: number): SaddlePlace {
  const { instrument, plane } = solution;
  const { travel } = instrument.job.bridge;
  const miss = (up: number): number => gapAt(instrument, plane, i, ACTION_FRET, up) - action;
  const root = findRoot(miss, -SADDLE_REACH_MM, SADDLE_REACH_MM, { within: SOLVED_WITHIN_MM });
  const up = root.ok ? root.x : Number.NaN;
  return { up, within: up >= 0 && up <= travel };
}
