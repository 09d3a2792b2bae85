import type { Finding } from '../kernel/findings.ts';
import { toDegrees } from '../kernel/units.ts';
import type { Sampled } from '../solve/sampled.ts';
import { COVERAGE } from '../solve/uncertainty.ts';
import type { Outcome } from './outcome.ts';
import { lengthsIn, table, wrap } from './text.ts';

/** Linear and sampled ± agree where they differ by no more than this part and the draws' own scatter (three deviations of 1/sqrt(2n)). */
const AGREE_WITHIN = 0.1;

export function sampledJson(sampled: Sampled) {
  const { count, unsolved, deepest, pitch } = sampled;
  return {
    count,
    unsolved,
    deepest: { mean: deepest.mean, uncertainty: COVERAGE * deepest.deviation },
    pitch: { mean: toDegrees(pitch.mean), uncertainty: toDegrees(COVERAGE * pitch.deviation) },
  };
}

function agrees(outcome: Outcome, sampled: Sampled): boolean {
  const linear = outcome.uncertainty.deepest;
  const drawn = COVERAGE * sampled.deepest.deviation;
  const scatter = 3 / Math.sqrt(2 * Math.max(1, sampled.count - sampled.unsolved));
  return Math.abs(drawn - linear) <= (AGREE_WITHIN + scatter) * linear;
}

export function sampledWarnings(outcome: Outcome, sampled: Sampled): Finding[] {
  const say = lengthsIn(outcome.job.units);
  const warn = (code: string, message: string): Finding => ({ code, severity: 'warning', exit: null, message });
  const { count, unsolved } = sampled;
  return [
    ...(agrees(outcome, sampled)
      ? []
      : [
          warn(
            'sampled-disagrees',
            `the sampled ± of the depth, ${say.spread(COVERAGE * sampled.deepest.deviation)}, is not the one worked out, ${say.spread(outcome.uncertainty.deepest)}: go by the larger`,
          ),
        ]),
    ...(unsolved > 0
      ? [warn('sampled-unsolved', `${unsolved} of ${count} draws gave a guitar that cannot be: the ± are wide for this job`)]
      : []),
  ];
}

/** Both figures side by side. */
export function sampledText(outcome: Outcome, sampled: Sampled): string[] {
  const say = lengthsIn(outcome.job.units);
  const { uncertainty, solution, floor } = outcome;
  const { deepest, pitch, count, unsolved } = sampled;
  const degrees = (value: number): string => `${toDegrees(value).toFixed(2)} deg`;
  const rows = [
    [
      'depth, deepest',
      `${say.short(floor.deepest)} ${say.spread(uncertainty.deepest)}`,
      `${say.short(deepest.mean)} ${say.spread(COVERAGE * deepest.deviation)}`,
    ],
    [
      'pitch',
      `${degrees(solution.pitch)} ±${degrees(uncertainty.pitch)}`,
      `${degrees(pitch.mean)} ±${degrees(COVERAGE * pitch.deviation)}`,
    ],
  ];
  const solved = unsolved === 0 ? '' : ` (${unsolved} of them cannot be solved)`;
  const verdict = agrees(outcome, sampled) ? 'the two agree' : 'the two do not agree: go by the larger';
  return [
    'The ± checked by sampling',
    ...table(['', 'worked out', 'sampled'], rows),
    ...wrap(`  ${count} draws of every reading within its ±${solved}, the whole job solved each time: ${verdict}.`),
    '',
  ];
}
