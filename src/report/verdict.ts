import type { Shop } from '../job/shop.ts';
import { fromMm, type Unit } from '../kernel/units.ts';
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

/** A length as exactly as a proof knows it, in the job's unit. */
export function provedLength(mm: number, units: Unit): string {
  return `${Number(fromMm(mm, units).toFixed(units === 'mm' ? 4 : 5))} ${units}`;
}

/** What a proof of each kind says of a text. */
function provedText(kind: ProofKind, leave: number, units: Unit): string {
  const floor = leave === 0 ? 'this floor' : `this floor, up to ${provedLength(leave, units)} higher for the file,`;
  const off = "the spindle off and the cutter above the body's top throughout, so nothing is cut";
  const said: Readonly<Record<ProofKind, string>> = {
    floor: `the text leaves ${floor} and touches nothing else`,
    rim: `run after the other program the text leaves ${floor} and touches nothing else`,
    air: `a run in the air, ${off}`,
    trace: `a walk round the pocket, ${off}`,
  };
  return `proved: ${said[kind]}`;
}

type Said = (value: number, units: Unit) => string;
const count: Said = (value) => `${value}`;
const minutes: Said = (value) => `${Number(value.toFixed(1))} min`;

/** What each figure is; those of wood are not asked of what runs in the air. */
const FIGURES: Readonly<Record<keyof Verdict['figures'], { readonly said: Said; readonly what: string }>> = {
  gouge: { said: provedLength, what: 'how far the cutter goes below the new floor; 0 or less is clear' },
  leftover: { said: provedLength, what: 'wood above the new floor, at most, beside the strip along the walls' },
  unreachable: { said: provedLength, what: 'of that, what no way of this cutter could take' },
  wall: { said: provedLength, what: 'the nearest that the cutter comes to a wall' },
  deepest: { said: provedLength, what: 'how far it goes below the floor as found; below 0 it stays above' },
  largestBite: { said: provedLength, what: 'the most that is taken at once' },
  lowestRapid: { said: provedLength, what: 'Z of the lowest end of a rapid' },
  passes: { said: count, what: 'cuts one below the other, where there are most of them' },
  minutes: { said: minutes, what: 'rapids counted at the cutting feed, stops not counted' },
};
const OF_WOOD: ReadonlySet<string> = new Set(['gouge', 'leftover', 'unreachable', 'wall', 'largestBite', 'passes']);

/** The verdict for a person: proved or not, each fault with its rule and line, then the figures in the job's unit with what they are. */
export function verdictText(verdict: Verdict, kind: ProofKind, { leave }: Pick<Shop, 'leave'>, units: Unit): string {
  const faultCount = verdict.faults.length;
  const head = verdict.proved ? provedText(kind, leave, units) : `not proved: ${faultCount} fault${faultCount === 1 ? '' : 's'}`;
  const faults = verdict.faults.map(({ rule, line, message }) => `  ${rule}, line ${line}: ${message}`);
  const isCut = kind === 'floor' || kind === 'rim';
  const figures = (Object.keys(FIGURES) as (keyof typeof FIGURES)[])
    .filter((name) => isCut || !OF_WOOD.has(name))
    .map((name) => {
      const value = verdict.figures[name];
      const { said, what } = FIGURES[name];
      return `  ${name.padEnd(12)} ${(value === null ? 'not known' : said(value, units)).padEnd(11)} ${what}`;
    });
  return `${[head, ...faults, 'figures', ...figures].join('\n')}\n`;
}
