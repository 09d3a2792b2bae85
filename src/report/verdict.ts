import type { Shop } from '../job/shop.ts';
import type { ProofKind, Verdict } from '../proof/prove.ts';

/** The document of contract.md, `prove --json`. */
export function verdictJson(verdict: Verdict) {
  return {
    proved: verdict.proved,
    faults: verdict.faults.map(({ rule, line, message }) => ({ rule, line, message })),
    figures: { ...verdict.figures },
    warnings: verdict.warnings.map(({ code, message }) => ({ code, message })),
  };
}

/** What a proof of each kind says of a text. */
function provedText(kind: ProofKind, leave: number): string {
  const floor = leave === 0 ? 'this floor' : `this floor, up to ${Number(leave.toFixed(4))} mm higher for the file,`;
  const off = "the spindle off and the cutter above the body's top throughout, so nothing is cut";
  const said: Readonly<Record<ProofKind, string>> = {
    floor: `the text leaves ${floor} and touches nothing else`,
    rim: `run after the other program the text leaves ${floor} and touches nothing else`,
    air: `a run in the air, ${off}`,
    trace: `a walk round the pocket, ${off}`,
  };
  return `proved: ${said[kind]}`;
}

/** What each figure is; those of wood are not asked of what runs in the air. */
const FIGURES: Readonly<
  Record<keyof Verdict['figures'], { readonly unit: string; readonly decimals: number; readonly what: string }>
> = {
  gouge: { unit: ' mm', decimals: 4, what: 'how far the cutter goes below the new floor; 0 or less is clear' },
  leftover: { unit: ' mm', decimals: 4, what: 'wood above the new floor, at most, beside the strip along the walls' },
  unreachable: { unit: ' mm', decimals: 4, what: 'of that, what no way of this cutter could take' },
  wall: { unit: ' mm', decimals: 4, what: 'the nearest that the cutter comes to a wall' },
  deepest: { unit: ' mm', decimals: 4, what: 'how far it goes below the floor as found; below 0 it stays above' },
  largestBite: { unit: ' mm', decimals: 4, what: 'the most that is taken at once' },
  lowestRapid: { unit: ' mm', decimals: 4, what: 'Z of the lowest end of a rapid' },
  passes: { unit: '', decimals: 0, what: 'cuts one below the other, where there are most of them' },
  minutes: { unit: ' min', decimals: 1, what: 'rapids counted at the cutting feed, stops not counted' },
};
const OF_WOOD: ReadonlySet<string> = new Set(['gouge', 'leftover', 'unreachable', 'wall', 'largestBite', 'passes']);

/** The verdict for a person: proved or not, each fault with its rule and line, then the figures with what they are. */
export function verdictText(verdict: Verdict, kind: ProofKind, { leave }: Pick<Shop, 'leave'>): string {
  const count = verdict.faults.length;
  const head = verdict.proved ? provedText(kind, leave) : `not proved: ${count} fault${count === 1 ? '' : 's'}`;
  const faults = verdict.faults.map(({ rule, line, message }) => `  ${rule}, line ${line}: ${message}`);
  const isCut = kind === 'floor' || kind === 'rim';
  const figures = (Object.keys(FIGURES) as (keyof typeof FIGURES)[])
    .filter((name) => isCut || !OF_WOOD.has(name))
    .map((name) => {
      const value = verdict.figures[name];
      const { unit, decimals, what } = FIGURES[name];
      const number = value === null ? 'not known' : `${Number(value.toFixed(decimals))}${unit}`;
      return `  ${name.padEnd(12)} ${number.padEnd(11)} ${what}`;
    });
  return `${[head, ...faults, 'figures', ...figures].join('\n')}\n`;
}
