import { fromMm, type Unit } from '../kernel/units.ts';
import { RULES, type Rule } from '../proof/faults.ts';
import { bare, long } from './figures.ts';
import type { PreviewProgram } from './task.ts';

/** What each rule of the proof asks for, in a maker's words. */
const ASKS: Readonly<Record<Rule, string>> = {
  before: 'the program it comes after is proved itself, with a larger cutter',
  words: 'only words that every such machine takes, read alike by two readers',
  state: 'units, plane and distances set once, before the first move',
  spindle: 'up to speed and looked at before it goes down; off at the end',
  feed: "the shop's feeds, slower where it falls",
  rapids: 'no fast move below the clear height',
  walls: 'keeps off the walls and inside the free space',
  reach: 'the cutter is long enough for the pocket',
  floor: 'never below the floor to cut',
  bite: 'never more wood at once than the shop allows',
  entry: 'comes in from the open mouth, never straight down into wood',
  finish: 'leaves nothing that this cutter could have reached',
  end: 'goes up, switches off, stops',
};
/** In the air and around the box nothing is cut, so these are not asked. */
const CUTTING: ReadonlySet<Rule> = new Set(['feed', 'walls', 'reach', 'bite', 'entry', 'finish']);

export interface RuleRow {
  readonly rule: string;
  readonly asks: string;
  readonly figure: string;
  readonly holds: 'holds' | 'broken' | 'not judged' | 'not asked';
  readonly lines: readonly number[];
}

/** `a to b`, or one of them where they read the same. */
function range({ least, most }: { readonly least: number; readonly most: number }, text: (value: number) => string): string {
  return text(least) === text(most) ? text(most) : `${text(least)} to ${text(most)}`;
}

/** Decimals beside the usual ones, at most. */
const MOST_MORE = 7;

/** What was found and, after a semicolon, what is asked; nothing where there is no figure. */
function figureOf(rule: Rule, program: PreviewProgram, units: Unit): string {
  const { figures, limits, load } = program.verdict;
  const { shop, higher = 0 } = program;
  const isCut = program.kind === 'floor' || program.kind === 'rim';
  const rate = (mm: number): string => fromMm(mm, units).toFixed(units === 'mm' ? 0 : 1);
  const isBroken = program.verdict.faults.some((fault) => fault.rule === rule);
  // What breaks its rule must not read as what is asked.
  const pair = (found: number, limit: number, asked: string): string => {
    let more = 0;
    while (isBroken && more < MOST_MORE && bare(found, units, more) === bare(limit, units, more)) more += 1;
    return `${bare(found, units, more)} ${units}; ${asked} ${bare(limit, units, more)} ${units}`;
  };
  const said = (value: number | null, words: (mm: number) => string): string => (value === null ? '' : words(value));
  switch (rule) {
    case 'before':
      return `the wood it leaves, taken ${long(higher, units)} higher`;
    case 'words':
      return limits === undefined ? '' : `${limits.lines} lines, ${limits.moves} moves`;
    case 'state':
      return limits === undefined ? '' : `numbers in steps of ${bare(limits.step, units, 1)} ${units}`;
    case 'spindle':
      return load === undefined
        ? ''
        : `S ${range(load.speed, (speed) => speed.toFixed(0))}; asked ${shop.spindle.speed.toFixed(0)} ±10 %, ${shop.spindle.warmUp} s to warm up`;
    case 'feed':
      return load === undefined
        ? ''
        : `cuts at ${range(load.feed, rate)} ${units}/min; allowed ${rate(shop.feed.cut / 4)} to ${rate(shop.feed.cut)}, falling ${rate(shop.feed.plunge)}`;
    case 'entry':
      return isCut && limits !== undefined ? 'asked: no fall in wood steeper than 1 in 20' : '';
    case 'rapids':
      return said(
        figures.lowestRapid,
        (mm) => `lowest at ${long(mm, units)} over ${program.mounted === undefined ? 'the floor as found' : 'Z0'}`,
      );
    case 'walls':
      return said(figures.wall, (mm) => `nearest ${pair(mm, shop.clearance.wall, 'asked')}`);
    case 'floor':
      return said(figures.gouge, (mm) =>
        mm > 0 ? `${bare(mm, units, 1)} ${units} too deep` : `stays ${bare(-mm, units, 1)} ${units} or more above it`,
      );
    case 'reach':
      return said(
        figures.deepest,
        (mm) =>
          `deepest ${long(mm, units)}; ${shop.cutter.length === undefined ? '' : `cutter ${long(shop.cutter.length, units)}`}`,
      );
    case 'bite':
      return said(
        figures.largestBite,
        (mm) => `largest ${pair(mm, shop.pass.depth, 'allowed')}; ${figures.passes} one below the other`,
      );
    case 'finish':
      return said(figures.leftover, (mm) => {
        const rim = figures.unreachable;
        return `at most ${bare(mm, units, 1)} ${units} stays${rim === null ? '' : `, ${bare(rim, units, 1)} of it out of reach`}`;
      });
    case 'end':
      return said(figures.minutes, (minutes) => `about ${minutes.toFixed(1)} min, stops not counted`);
  }
}

/**
 * Each rule with what it asks, its figure and whether it holds. Where the text could not be read, or what it comes after was not proved, no more was
 * judged than that.
 */
export function ruleRows(program: PreviewProgram, units: Unit): RuleRow[] {
  const { faults, limits } = program.verdict;
  const isCut = program.kind === 'floor' || program.kind === 'rim';
  const rules: readonly Rule[] = program.kind === 'rim' ? ['before', ...RULES] : RULES;
  return rules.map((rule) => {
    const lines = faults.filter((fault) => fault.rule === rule).map(({ line }) => line);
    const notAsked = !isCut && CUTTING.has(rule);
    const notJudged = limits === undefined && rule !== 'words';
    const holds = lines.length > 0 ? 'broken' : notAsked ? 'not asked' : notJudged ? 'not judged' : 'holds';
    const figure = figureOf(rule, program, units);
    return { rule, asks: ASKS[rule], figure, holds, lines };
  });
}
