import { readDimension } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import { shown } from './leaves.ts';
import { type Located, valueAt } from './yamlText.ts';

/** A shop file given as a job, or the other way round, is one slip: said once instead of at every key. */
export function otherKind(located: Located, wanted: 'job' | 'shop'): Finding | undefined {
  const given = wanted === 'job' ? 'shop' : 'job';
  if (located.data[wanted] !== undefined || located.data[given] === undefined) return undefined;
  return {
    code: 'other-kind-of-file',
    severity: 'error',
    exit: 2,
    message: `this is a ${given} file, and a ${wanted} file is asked for here`,
    place: located.keyPlace([given]),
    found: `${given}: ${shown(located.data[given])}`,
    expected: `${wanted}: 1`,
  };
}

/** A ± where none is used: read, and said that it changes nothing. */
export function unusedPlusMinus(located: Located, paths: readonly string[]): Finding[] {
  return paths.flatMap((name): Finding[] => {
    const path = name.split('.');
    const raw = valueAt(located.data, path);
    const read = readDimension(raw, 'in');
    if (!read.ok || read.dimension.plusMinus === undefined) return [];
    const message = `${name}: the ± changes nothing here`;
    return [
      { code: 'plus-minus-unused', severity: 'warning', exit: null, message, place: located.valuePlace(path), found: shown(raw) },
    ];
  });
}
