import type { Floor } from '../floor/floor.ts';
import type { Job } from '../job/job.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Stay } from '../program/task.ts';
import type { FitState } from '../solve/fitting.ts';
import type { Setting } from '../solve/setting.ts';
import type { Sideways } from '../solve/sideways.ts';
import type { Solution } from '../solve/solve.ts';
import type { EvidenceUse } from '../solve/solveEvidence.ts';
import type { Stop } from '../solve/stops.ts';
import type { Uncertainty } from '../solve/uncertainty.ts';

/** Everything known about a job once it is solved: what the report, the guide and the program are made from. */
export interface Outcome {
  readonly job: Job;
  readonly fingerprint: string;
  readonly solution: Solution;
  readonly floor: Floor;
  readonly uncertainty: Uncertainty;
  readonly evidence: readonly EvidenceUse[];
  readonly stops: readonly Stop[];
  /** Where the test fits have got; null without any. */
  readonly fitting: FitState | null;
  readonly setting: Setting;
  /** Gap over the 12th fret (mm) that the table of gaps is set for. */
  readonly action: number;
  readonly sideways: Sideways | null;
  /** What stays for the chisel, and what the first of two cutters leaves for the second (nothing where there is one cutter). */
  readonly stays: readonly Stay[];
  readonly staysForRim: readonly Stay[];
  /** What was taken for the shop file's absent keys; the job's own stand in `job.assumed`. */
  readonly shopAssumed: readonly string[];
  readonly warnings: readonly Finding[];
}

/** Nothing but the drawing tells where the saddles stand. */
export function fromDrawingAlone({ solution, job }: Pick<Outcome, 'solution' | 'job'>): boolean {
  return solution.instrument.kind === 'drawing' && job.fits.length === 0;
}

/** Whether wood is still to come off: there is a floor to cut, and no test fit says that it is reached or passed. */
export function isCutLeft({ floor, fitting, job }: Outcome): boolean {
  if (floor.deepest === 0 || fitting === null) return floor.deepest > 0;
  // A shim that is thinned or taken out comes before any wood.
  const shim = job.fits[job.fits.length - 1]?.shim?.value ?? 0;
  return !fitting.done && fitting.doubt === null && fitting.wayBack === 0 && fitting.left > shim;
}

/** Whether there is a depth to file or cut to now: not while readings contradict each other. */
export function hasStops(outcome: Outcome): boolean {
  return isCutLeft(outcome) && (outcome.fitting?.surprise ?? null) === null;
}
