import { lengthText } from '../kernel/dimension.ts';
import { type Finding, inputError } from '../kernel/findings.ts';
import type { Unit } from '../kernel/units.ts';
import { ASSUMED } from './jobSchema.ts';
import { readLength } from './leaves.ts';
import { pathText } from './pathText.ts';
import { JOB_RANGES } from './ranges.ts';
import { type Located, type Path, valueAt } from './yamlText.ts';

/** A length in mm and how far it may be out: as written, or as taken where no ± is. */
interface Length {
  readonly mm: number;
  readonly bound: number;
}

/**
 * Saddles raised for a reading by more than they travel: one of the two was measured wrongly, and the wood would pay for it. Both ± are
 * counted in. Saddles that do not travel at all (0) are packed up to be read, by any amount.
 */
export function raisedFaults(located: Located, unit: Unit | undefined): Finding[] {
  if (unit === undefined) return [];
  const lengthAt = (key: keyof typeof JOB_RANGES, path: Path, assumed: number): Length | undefined => {
    const read = readLength(valueAt(located.data, path), unit, JOB_RANGES[key]);
    return read.ok ? { mm: read.value.mm, bound: read.value.plusMinus ?? assumed } : undefined;
  };
  const travel = lengthAt('bridge.travel', ['bridge', 'travel'], ASSUMED.length);
  if (travel === undefined || travel.mm === 0) return [];
  const fits = valueAt(located.data, ['fits']);
  const places: Path[] = [
    ['asFound', 'raised'],
    ...(Array.isArray(fits) ? fits : []).map((_, index): Path => ['fits', index, 'raised']),
  ];
  return places.flatMap((place) =>
    [place, [...place, 'bass'], [...place, 'treble']].flatMap((path): Finding[] => {
      const raised = lengthAt('asFound.raised', path, ASSUMED.reading);
      if (raised === undefined || raised.mm - raised.bound <= travel.mm + travel.bound) return [];
      const message = `${pathText(path)} is more than the saddles travel in all`;
      return [
        inputError('raised-beyond-travel', message, located.valuePlace(path), {
          found: lengthText(raised.mm, unit),
          expected: `at most bridge.travel, ${lengthText(travel.mm, unit)} \u00b1${lengthText(travel.bound, unit)}`,
          remedy: 'measure both again: raised is how far the saddles stood above their lowest when the gap was read',
        }),
      ];
    }),
  );
}
