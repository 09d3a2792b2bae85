import { fromMm, type Unit } from '../kernel/units.ts';
import type { Verdict } from '../proof/prove.ts';

/** The document of contract.md, `prove --json`. */
export function verdictJson(verdict: Verdict) {
  return {
    proved: verdict.proved,
    faults: verdict.faults.map(({ rule, line, message }) => ({ rule, line, message })),
    figures: { ...verdict.figures },
    warnings: verdict.warnings.map(({ code, message }) => ({ code, message })),
  };
}

/** What is no length among the figures. */
const UNITS: Readonly<Record<string, string>> = { passes: '', minutes: ' min' };

/** A length as exactly as a proof knows it, in the job's unit. */
export function provedLength(mm: number, units: Unit): string {
  return `${Number(fromMm(mm, units).toFixed(units === 'mm' ? 4 : 5))} ${units}`;
}

/** The verdict for a person: proved or not, each fault with its rule and line, then the figures in the job's unit. */
export function verdictText(verdict: Verdict, units: Unit): string {
  const head = verdict.proved
    ? 'proved: the text leaves this floor and touches nothing else'
    : `not proved: ${verdict.faults.length} fault${verdict.faults.length === 1 ? '' : 's'}`;
  const faults = verdict.faults.map(({ rule, line, message }) => `  ${rule}, line ${line}: ${message}`);
  const figures = Object.entries(verdict.figures).map(([name, value]) => {
    const unit = UNITS[name];
    const number =
      typeof value !== 'number'
        ? 'not known'
        : unit === undefined
          ? provedLength(value, units)
          : `${Number(value.toFixed(4))}${unit}`;
    return `  ${name.padEnd(12)} ${number}`;
  });
  return `${[head, ...faults, 'figures', ...figures].join('\n')}\n`;
}
