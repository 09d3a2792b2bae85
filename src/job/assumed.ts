import { fromMm, toDegrees } from '../kernel/units.ts';
import type { JobFile } from './jobSchema.ts';
import { valueAt } from './yamlText.ts';

/**
 * The job's keys that were left out and have a default, with the value taken, as text in the file's unit: the report prints them.
 * `data` is the file as read, where a key that was left out is still missing.
 */
export function assumedOf(file: JobFile, data: unknown): string[] {
  const { neck, pocket, screw, target } = file;
  const length = (mm: number): string => `${Number(fromMm(mm, file.units).toPrecision(4))} ${file.units}`;
  const taken: readonly (readonly [string, string])[] = [
    ['hand', file.hand],
    ['strings.compensation', length(0)],
    ['neck.relief', length(neck.relief.value)],
    ['neck.crownTilt', `${toDegrees(neck.crownTilt.value)} degrees`],
    ['neck.radius', 'flat'],
    ['bridge.radius', 'flat'],
    ...(pocket.outline === undefined ? ([['pocket.cornerRadius', length(pocket.cornerRadius)]] as const) : []),
    ['pocket.leastFloor', length(pocket.leastFloor)],
    ...(screw === undefined
      ? []
      : ([
          ['screw.plate', length(screw.plate)],
          ['screw.leastHold', length(screw.leastHold)],
        ] as const)),
    ['target.gap', length(target.gap)],
    ['target.within', length(target.within)],
    ['target.highest', length(target.highest)],
    ['target.wished', length(target.wished)],
    ['target.floor', target.floor],
    ['target.skim', length(target.skim)],
  ];
  return taken.filter(([key]) => valueAt(data, key.split('.')) === undefined).map(([key, value]) => `${key} ${value}`);
}
