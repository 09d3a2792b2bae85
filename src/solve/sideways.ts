import { fretPlace, handSign, type JobValues } from '../instrument/neck.ts';
import type { Outline } from '../kernel/outline.ts';

export interface Sideways {
  /** rad, positive from +x to +y, about the pocket's centre. */
  readonly yaw: number;
  /** mm the nut goes along +y. */
  readonly nutShift: number;
  /** mm each heel corner moves outwards: positive, the wall must give that much there; negative, play left to pack. */
  readonly walls: {
    readonly mouthBass: number;
    readonly mouthTreble: number;
    readonly rearBass: number;
    readonly rearTreble: number;
  };
}

/** The yaw that brings the strings' middle on to the neck's centreline (geometry.md, "Sideways"); null where no edges were read. */
export function sidewaysOf(job: JobValues, outline: Outline): Sideways | null {
  const { edge } = job.asFound;
  if (edge === undefined) return null;
  const hand = handSign(job);
  const L = job.scale.length;
  const M = job.neck.nutToMouth;
  const half = outline.length / 2;
  const offset = (hand * (edge.bass - edge.treble)) / 2;
  const d = (offset * L) / fretPlace(L, job.scale.frets);
  const yaw = Math.atan(d / (L - M - half));
  const outward = (x: number, side: 1 | -1, halfWidth: number): number => {
    const y = side * hand * halfWidth;
    const moved = Math.sin(yaw) * (x - half) + Math.cos(yaw) * y;
    return (moved - y) * side * hand;
  };
  return {
    yaw,
    nutShift: -(M + half) * Math.sin(yaw),
    walls: {
      mouthBass: outward(0, -1, outline.mouthHalf),
      mouthTreble: outward(0, 1, outline.mouthHalf),
      rearBass: outward(outline.length, -1, outline.rearHalf),
      rearTreble: outward(outline.length, 1, outline.rearHalf),
    },
  };
}
