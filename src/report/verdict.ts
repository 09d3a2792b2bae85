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

const UNITS: Readonly<Record<string, string>> = { passes: '', minutes: ' min' };

/** The verdict for a person: proved or not, each fault with its rule and line, then the figures. */
export function verdictText(verdict: Verdict): string {
  const head = verdict.proved
    ? 'proved: the text leaves this floor and touches nothing else'
    : `not proved: ${verdict.faults.length} fault${verdict.faults.length === 1 ? '' : 's'}`;
  const faults = verdict.faults.map(({ rule, line, message }) => `  ${rule}, line ${line}: ${message}`);
  const figures = Object.entries(verdict.figures).map(([name, value]) => {
    const number = typeof value === 'number' ? `${Number(value.toFixed(4))}${UNITS[name] ?? ' mm'}` : 'not known';
    return `  ${name.padEnd(12)} ${number}`;
  });
  return `${[head, ...faults, 'figures', ...figures].join('\n')}\n`;
}
