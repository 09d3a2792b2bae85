import { type DeepEdge, fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides, seatedDepths } from '../instrument/neck.ts';
import { depthAt } from '../kernel/plane.ts';
import { reachOf } from './gaps.ts';
import type { Floored } from './solve.ts';

export type FloorAlone = Omit<Floored, 'isCut' | 'asFound'>;

/** Depths reached at the last fit, less a shim that lay there, at the ends of the edge where fits are measured; nothing without a fit. */
export function reachedOf({ instrument }: FloorAlone): Sides {
  const { fits } = instrument.job;
  const last = fits[fits.length - 1];
  return last === undefined ? { bass: 0, treble: 0 } : seatedDepths(last);
}

/** The floor's depth at the ends of the edge at which fits are measured (mouth, or rear where the pitch is forward), bass and treble. */
export function edgeDepths(solution: FloorAlone, edge: DeepEdge): Sides {
  const { plane, outline, instrument } = solution;
  const hand = handSign(instrument.job);
  const atRear = edge === 'rear';
  const x = atRear ? outline.length : 0;
  const half = atRear ? outline.rearHalf : outline.mouthHalf;
  return { bass: depthAt(plane, x, -hand * half), treble: depthAt(plane, x, hand * half) };
}

/** Middle of the deepest edge: depth wanted less depth reached at the last fit (mm; negative where the fit went past it). */
export function leftAtEdge(solution: FloorAlone, edge: DeepEdge): number {
  const wanted = edgeDepths(solution, edge);
  const reached = reachedOf(solution);
  return (wanted.bass + wanted.treble - reached.bass - reached.treble) / 2;
}

/**
 * How far the neck has gone past where it should stand on a floor of these depths (mm, in the gap; negative: not there yet). Pitched back:
 * the highest string under its target; pitched forward: whichever of the two musts stops it first.
 */
export function pastOnFloor({ instrument, outline }: FloorAlone, edge: DeepEdge, depths: Sides): number {
  const { target } = instrument.job;
  const plane = fitPlane(outline, handSign(instrument.job), edge, depths, target.skim);
  if (plane === null) return Number.NEGATIVE_INFINITY;
  const { lowest, highest } = reachOf(instrument, plane);
  return edge === 'mouth' ? target.gap - lowest : Math.max(highest - target.highest, lowest - target.gap);
}
