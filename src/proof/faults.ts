/** The rules that every program is judged by, in the order in which they are told. */
export const RULES = [
  'words',
  'state',
  'spindle',
  'feed',
  'rapids',
  'walls',
  'reach',
  'floor',
  'bite',
  'entry',
  'finish',
  'end',
] as const;

/** `before` is asked of a second cutter's program alone: the one it comes after is proved itself. */
export type Rule = 'before' | (typeof RULES)[number];

const TOLD: readonly Rule[] = ['before', ...RULES];

export interface Fault {
  readonly rule: Rule;
  /** Line of the program's text, from 1. */
  readonly line: number;
  readonly message: string;
}

/** How many faults of one rule are told one by one; the last of them says how many more there are. */
const TOLD_PER_RULE = 25;

/** Sorted by line, once for each rule and line, and with no rule drowning the others. */
export function tellFaults(faults: readonly Fault[]): Fault[] {
  const told: Fault[] = [];
  for (const rule of TOLD) {
    const own = new Map<number, Fault>();
    for (const fault of faults) if (fault.rule === rule && !own.has(fault.line)) own.set(fault.line, fault);
    const inOrder = [...own.values()].sort((a, b) => a.line - b.line);
    const more = inOrder.length - TOLD_PER_RULE;
    inOrder.slice(0, TOLD_PER_RULE).forEach((fault, index) => {
      const last = more > 0 && index === TOLD_PER_RULE - 1;
      told.push(
        last ? { ...fault, message: `${fault.message} (and ${more} more ${more === 1 ? 'line' : 'lines'} like it)` } : fault,
      );
    });
  }
  return told.sort((a, b) => a.line - b.line || TOLD.indexOf(a.rule) - TOLD.indexOf(b.rule));
}

/** Millimetres for a message: as many decimals as a workshop can use. */
export function mm(value: number): string {
  return `${Number(value.toFixed(4))} mm`;
}
