import { type Sides, seatedDepths, sidesOf } from '../instrument/neck.ts';
import type { Fit, Job } from '../job/job.ts';
import { valuesOf } from '../kernel/measured.ts';

// What test fits say as they were read, before anything is worked out from them.

/** Depths (mm) at the two ends of the deepest edge, less the shim that lay there. */
export function notedDepths({ depth, shim }: Pick<Fit, 'depth' | 'shim'>): Sides {
  return seatedDepths(valuesOf({ depth, shim }));
}

export const middleOf = ({ bass, treble }: Sides): number => (bass + treble) / 2;

/** Depth (mm) at the middle of the deepest edge at the last fit, less a shim that lay there; 0 without a fit. */
export function depthNoted({ fits }: Job): number {
  const last = fits[fits.length - 1];
  return last === undefined ? 0 : middleOf(notedDepths(last));
}

/** Whether nothing had been cut when a fit was read. */
export function isUncutFit({ depth }: Pick<Fit, 'depth'>): boolean {
  const { bass, treble } = sidesOf(valuesOf(depth));
  return bass === 0 && treble === 0;
}

/** Whether a fit says that wood came off: a shim that lay there then puts none back. */
export function isWoodOff({ fits }: Pick<Job, 'fits'>): boolean {
  return fits.some((fit) => !isUncutFit(fit));
}
