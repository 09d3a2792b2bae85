import { pathAt } from '../job/pathAt.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Field } from './fields.ts';

export interface Placed {
  /** What is wrong or worth a warning, by field. */
  readonly at: ReadonlyMap<string, readonly Finding[]>;
  /** Fields that are needed and not there yet. */
  readonly missing: ReadonlySet<string>;
  /** What belongs to no field. */
  readonly other: readonly Finding[];
}

const ONE_OF: Readonly<Record<string, string>> = { 'no-evidence': 'asFound.lastFretGap' };

/** Each finding at the field it belongs to. A section that is missing stands for each of its needed fields. */
export function placedFindings(text: string, findings: readonly Finding[], fields: readonly Field[]): Placed {
  const at = new Map<string, Finding[]>();
  const missing = new Set<string>();
  const other: Finding[] = [];
  const put = (id: string, finding: Finding): void => void at.set(id, [...(at.get(id) ?? []), finding]);
  for (const finding of findings) {
    const instead = ONE_OF[finding.code];
    if (instead !== undefined && fields.some(({ id }) => id === instead)) {
      missing.add(instead);
      continue;
    }
    if (finding.code === 'missing-key') {
      const name = /^([\w.]+)/.exec(finding.message)?.[1] ?? '';
      const own = fields.filter(({ id, needed }) => needed !== 'no' && (id === name || id.startsWith(`${name}.`)));
      for (const { id } of own) missing.add(id);
      if (own.length > 0) continue;
      // Needed only because of another: the last frets' fall without its amount.
      if (fields.some(({ id }) => id === name)) {
        put(name, finding);
        continue;
      }
    }
    const path = finding.place === undefined ? [] : pathAt(text, finding.place);
    const keys = path.filter((step) => typeof step === 'string').join('.');
    const near = fields.filter(({ id }) => keys === id || keys.startsWith(`${id}.`));
    const [owner] = near.sort((a, b) => b.id.length - a.id.length);
    if (owner === undefined) other.push(finding);
    else put(owner.id, finding);
  }
  return { at, missing, other };
}

/** A finding without its place in the file. */
export function spokenText({ message, expected, remedy }: Finding): string {
  // What is missing expects nothing but itself.
  const wanted = expected === undefined || message.startsWith(`${expected} `) ? undefined : expected;
  const parts = [message, ...(wanted === undefined ? [] : [`expected ${wanted}`]), ...(remedy === undefined ? [] : [remedy])];
  return parts.join('; ');
}

/** A finding beside its own field: the field's name need not be said again either. */
export function besideText(finding: Finding): string {
  return spokenText({ ...finding, message: finding.message.replace(/^[\w.[\]]+: /, '') });
}
