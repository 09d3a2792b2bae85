import { type EvidenceKind, kindsGiven, placeInstrument } from '../../src/instrument/evidence.ts';
import type { Job } from '../../src/job/job.ts';
import { valuesOf } from '../../src/kernel/measured.ts';
import { measuredOutline, type Outline } from '../../src/kernel/outline.ts';
import { type Solution, solve } from '../../src/solve/solve.ts';

export function outlineOf(job: Job): Outline {
  const { length, width, widthAtMouth, cornerRadius } = valuesOf(job).pocket;
  return measuredOutline({ length, width, widthAtMouth: widthAtMouth ?? width, cornerRadius });
}

/** Solves a job by its first kind of evidence; a test that cannot be solved fails with the finding. */
export function solved(job: Job, kind?: EvidenceKind): Solution {
  const values = valuesOf(job);
  const result = solve(placeInstrument(values, kind ?? (kindsGiven(values)[0] as EvidenceKind)), outlineOf(job));
  if (!result.ok) throw new Error(result.findings.map((finding) => finding.message).join('; '));
  return result.value;
}
