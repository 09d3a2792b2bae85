import type { Job } from '../job/job.ts';
import { bothUnits } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Outline } from '../kernel/outline.ts';
import { MOUNTING_MISFIT_MM, STEEPEST_MOUNTING_RAD } from '../kernel/tolerances.ts';
import { toDegrees } from '../kernel/units.ts';

/** Floor heights (mm, from the machine's Z0) at the four named points: what `pocket.mounted` says. */
export type Mounted = NonNullable<Job['pocket']['mounted']>;

/**
 * The floor as found as it lies on the machine: at the body frame's (x, y) it stands `height + alongX x + alongY y` over Z0 (mm).
 * `alongX` and `alongY` are rises per mm of floor, that is sines of the body's tilt.
 */
export interface Mounting {
  readonly height: number;
  readonly alongX: number;
  readonly alongY: number;
  /** mm. How far the worst of the four heights lies off that plane. */
  readonly misfit: number;
}

/**
 * Least-squares plane through the four heights, which stand at (0, ±m) and (P, ±r). Since the points are mirror images about the
 * centreline, the parts come apart: the two ends' means give height and alongX exactly, and alongY = sum y z / sum y^2.
 */
export function mountingOf(mounted: Mounted, outline: Outline, treble: 1 | -1): Mounting {
  const { length: P, mouthHalf: m, rearHalf: r } = outline;
  const { mouthBass, mouthTreble, rearBass, rearTreble } = mounted;
  const height = (mouthBass + mouthTreble) / 2;
  const alongX = ((rearBass + rearTreble) / 2 - height) / P;
  const alongY = (treble * (m * (mouthTreble - mouthBass) + r * (rearTreble - rearBass))) / (2 * (m * m + r * r));
  const off = (z: number, x: number, y: number): number => Math.abs(z - height - alongX * x - alongY * y);
  const misfit = Math.max(
    off(mouthBass, 0, -treble * m),
    off(mouthTreble, 0, treble * m),
    off(rearBass, P, -treble * r),
    off(rearTreble, P, treble * r),
  );
  return { height, alongX, alongY, misfit };
}

/** How far out of level the body lies, radians. */
function tiltOf({ alongX, alongY }: Mounting): number {
  return Math.asin(Math.min(1, Math.hypot(alongX, alongY)));
}

/** A warning where the four heights are not those of one plane. */
export function mountingWarnings({ misfit }: Mounting): Finding[] {
  if (misfit <= MOUNTING_MISFIT_MM) return [];
  return [
    {
      code: 'mounted-not-flat',
      severity: 'warning',
      exit: null,
      message: `the four heights of pocket.mounted miss one plane by ${bothUnits(misfit, 3)}`,
      expected: `at most ${MOUNTING_MISFIT_MM} mm`,
      remedy: 'measure them again; a floor that is truly twisted is cut unevenly by that much in the first pass',
    },
  ];
}

/** The refusal (exit 3) of a body that lies too far out of level. */
export function mountingRefusals(mounting: Mounting): Finding[] {
  const tilt = tiltOf(mounting);
  if (tilt <= STEEPEST_MOUNTING_RAD) return [];
  const most = toDegrees(STEEPEST_MOUNTING_RAD);
  return [
    {
      code: 'mounted-too-steep',
      severity: 'error',
      exit: 3,
      message: 'the body lies too far out of level: the pocket walls would lean over an upright cutter',
      found: `${toDegrees(tilt).toFixed(2)} degrees (pocket.mounted)`,
      expected: `at most ${most.toFixed(0)} degrees`,
      remedy: 'shim the body nearer to level and measure the four heights again',
    },
  ];
}
