import type { Job } from '../job/job.ts';
import { valuesOf } from '../kernel/measured.ts';

/** Whether a fit says that wood is off already: the floor as found is then no more. */
export function isFiled({ fits }: Job): boolean {
  return fits.some((fit) => {
    const { depth } = valuesOf({ depth: fit.depth });
    return (typeof depth === 'number' ? depth : Math.max(depth.bass, depth.treble)) > 0;
  });
}
