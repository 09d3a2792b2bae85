import { type Finding, inputError } from '../kernel/findings.ts';
import type { Reading } from '../kernel/measured.ts';
import type { Fit } from './job.ts';
import { pathAt } from './pathAt.ts';
import { pathText } from './pathText.ts';
import { fitCount } from './withoutLastFit.ts';

// What is said of a fit while it is being noted, before it stands in any file.

function isSame(one: Reading | undefined, other: Reading | undefined): boolean {
  const values = (reading: Reading | undefined): readonly number[] =>
    reading === undefined
      ? [0, 0]
      : 'kind' in reading
        ? [reading.value, reading.value]
        : [reading.bass.value, reading.treble.value];
  return values(one).every((value, side) => value === values(other)[side]);
}

/**
 * The last of these fits where it says what the one before it says: most likely one reading noted twice, which would be counted as two and
 * make the answer look surer than it is. A note or a day of its own says that it was read again.
 */
export function notedTwice(fits: readonly Fit[]): Finding[] {
  const n = fits.length;
  const [before, last] = fits.slice(-2);
  if (before === undefined || last === undefined) return [];
  const isOwn = (key: 'note' | 'on'): boolean => (last[key] ?? '') !== '' && last[key] !== before[key];
  const keys = ['depth', 'lastFretGap', 'raised', 'lowest', 'highest', 'shim'] as const;
  if (!keys.every((key) => isSame(before[key], last[key])) || isOwn('note') || isOwn('on')) return [];
  const message = `fit ${n} has the very readings of fit ${n - 1}: one reading counted twice would make the answer look surer than it is`;
  const remedy =
    'it is noted already; if the neck was read a second time, say so in a note that no other fit has (--note "read again")';
  return [inputError('fit-again', message, undefined, { remedy })];
}

/** A reading of a fit by its keys in the file. */
export interface FitEntry {
  readonly key: string;
  readonly side: 'bass' | 'treble' | undefined;
}

/** The entry of a text's last fit that a finding points to; undefined where it is about something else. */
export function entryOf({ place }: Finding, text: string): FitEntry | undefined {
  if (place === undefined) return undefined;
  const [section, index, key, side] = pathAt(text, place);
  if (section !== 'fits' || index !== fitCount(text) - 1 || typeof key !== 'string') return undefined;
  return { key, side: side === 'bass' || side === 'treble' ? side : undefined };
}

/** A finding about an entry of a text's last fit, called by `name` and without its place: the fit stands in no file yet. */
export function calledBy(finding: Finding, { key, side }: FitEntry, text: string, name: string): Finding {
  const own = pathText(['fits', fitCount(text) - 1, key, ...(side === undefined ? [] : [side])]);
  return { ...finding, place: undefined, message: finding.message.replace(own, name) };
}
