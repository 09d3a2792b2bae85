import type { Shop } from '../job/shop.ts';
import { apart } from '../kernel/dimension.ts';
import { findingText } from '../kernel/findings.ts';
import { fromMm, MM_PER_INCH, type Unit } from '../kernel/units.ts';
import { RULES, type Rule } from '../proof/faults.ts';
import { FIGURE_WITHIN_MM } from '../proof/finish.ts';
import type { ProofKind, Verdict } from '../proof/prove.ts';
import { BITE_WITHIN_MM } from '../proof/removal.ts';
import { wrap } from './text.ts';
import { provedLength } from './verdict.ts';

/** What a proof was about, for a sheet that is kept with the job: the names by which texts are known again. */
export interface ProofRecord {
  readonly title: string;
  /** The job's, in which the sheet is read. */
  readonly units: Unit;
  readonly jobFingerprint: string;
  readonly programFingerprint: string;
  /** Of the program that a rim program comes after. */
  readonly beforeFingerprint?: string | undefined;
  readonly kind: ProofKind;
  readonly shop: Shop;
  /** mm. */
  readonly clearBefore: number | undefined;
}

/** Rules that are asked of a program that runs in the air, spindle off. */
const IN_THE_AIR: ReadonlySet<Rule> = new Set<Rule>(['words', 'state', 'spindle', 'rapids', 'floor', 'end']);

type Length = (mm: number | null | undefined) => string;
const lengthIn =
  (units: Unit): Length =>
  (mm) =>
    mm === null || mm === undefined ? 'not known' : provedLength(mm, units);
const plain = (value: number): string => `${Number(value.toFixed(1))}`;
/** `a to b`, or one of them where they are the same. */
const range = ({ least, most }: { readonly least: number; readonly most: number }, text: (value: number) => string): string =>
  text(least) === text(most) ? text(most) : `${text(least)} to ${text(most)}`;

/** For each rule what was found and what is allowed. */
function figuresOf(
  verdict: Verdict,
  { shop, clearBefore, kind, units }: Pick<ProofRecord, 'shop' | 'clearBefore' | 'kind' | 'units'>,
): Readonly<Record<Rule, readonly [string, string]>> {
  const { figures, limits, load } = verdict;
  const say = lengthIn(units);
  const feed = (mmPerMinute: number): string => plain(fromMm(mmPerMinute, units));
  const speed = shop.spindle.speed;
  // What breaks its rule must not read as what is allowed.
  const pair = (rule: Rule, found: number | null | undefined, limit: number | undefined): readonly [string, string] => {
    const isBroken = verdict.faults.some((fault) => fault.rule === rule);
    return isBroken && typeof found === 'number' && limit !== undefined ? apart(found, limit, units) : [say(found), say(limit)];
  };
  if (kind !== 'floor' && kind !== 'rim') {
    const [lowest, top] = pair('floor', figures.deepest === null ? null : -figures.deepest, limits?.top);
    return {
      ...figuresOf(verdict, { shop, clearBefore, kind: 'floor', units }),
      spindle: ['', 'no M3, S or G4'],
      floor: [`lowest z ${lowest}`, `at least ${top}, the body's top`],
    };
  }
  const rapids = pair('rapids', figures.lowestRapid, limits?.clear);
  const walls = pair('walls', figures.wall, shop.clearance.wall);
  const reach = pair('reach', limits?.reach, shop.cutter.length);
  const floor = pair('floor', figures.gouge, limits?.step);
  const bite = pair('bite', figures.largestBite, shop.pass.depth);
  return {
    before: ['', 'proved, with the larger cutter of the shop file'],
    words: [limits === undefined ? 'not read' : `${limits.lines} lines, ${limits.moves} moves`, 'two readers see the same'],
    state: ['', 'units and modes set once, before the first move'],
    spindle: [
      load === undefined ? '' : `S ${range(load.speed, plain)}`,
      `S ${Math.ceil(0.9 * speed)} to ${Math.floor(1.1 * speed)}, warm-up ${shop.spindle.warmUp} s, stop`,
    ],
    feed: [
      load === undefined ? '' : `cuts at ${range(load.feed, feed)} ${units}/min`,
      `${feed(shop.feed.cut / 4)} to ${feed(shop.feed.cut)} ${units}/min; plunge ${feed(shop.feed.plunge)}`,
    ],
    rapids: [`lowest ${rapids[0]}`, `at least ${rapids[1]}`],
    walls: [`nearest ${walls[0]}`, `at least ${walls[1]}; ${say(clearBefore)} free before the mouth`],
    reach: [`needs ${reach[0]}`, `at most ${reach[1]}`],
    floor: [`below it by ${floor[0]}`, `at most ${floor[1]}`],
    bite: [`largest ${bite[0]}`, `at most ${bite[1]}`],
    entry: ['', `no fall over 1 in 20 takes over ${say(limits?.step)}`],
    finish: [
      `${say(figures.leftover)} stays, ${say(figures.unreachable)} out of reach`,
      `${say(limits?.finish)} over floor or reach`,
    ],
    end: ['', 'up, M5, M2, nothing after it'],
  };
}

function answerOf(verdict: Verdict, rule: Rule, asked: boolean): string {
  const lines = verdict.faults.filter((fault) => fault.rule === rule).map(({ line }) => line);
  if (lines.length > 0) return `BROKEN, line ${lines.slice(0, 3).join(', ')}${lines.length > 3 ? ' …' : ''}`;
  if (!asked) return 'not asked';
  // A text that could not be read is not looked at further.
  return verdict.limits === undefined ? 'not judged' : 'holds';
}

function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = [0, 1, 2].map((i) => Math.max(...rows.map((row) => (row[i] ?? '').length)));
  return rows.map((row) => `  ${row.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join('  ')}`.trimEnd());
}

/** The rule table of `prove --report`: plain text, one rule a line with what was found and what is allowed. */
export function ruleTable(verdict: Verdict, record: ProofRecord): string {
  const { shop, kind, units } = record;
  const say = lengthIn(units);
  const figures = figuresOf(verdict, record);
  const rules: readonly Rule[] = kind === 'rim' ? ['before', ...RULES] : RULES;
  const rows = rules.map((rule) => {
    const asked = kind === 'floor' || kind === 'rim' || IN_THE_AIR.has(rule);
    return [rule, answerOf(verdict, rule, asked), ...(asked && verdict.limits !== undefined ? figures[rule] : ['', ''])];
  });
  const { load } = verdict;
  const minutes = verdict.figures.minutes;
  const work = [
    ...(verdict.figures.passes > 0
      ? [`  passes     ${verdict.figures.passes}, one below the other, where there are most of them`]
      : []),
    ...(minutes === null ? [] : [`  minutes    ${minutes.toFixed(1)}, rapids counted at the cutting feed, stops not counted`]),
    ...(load === undefined
      ? []
      : [
          `  chip       ${range(load.chip, (value) => fromMm(value, units).toFixed(units === 'mm' ? 3 : 4))} ${units} a tooth`,
          ...(units === 'mm'
            ? [
                `  edge       ${(load.surface / 1000).toFixed(0)} m/min`,
                `  removal    ${(load.removal / 1000).toFixed(1)} cm3/min at most, ${(load.volume / 1000).toFixed(2)} cm3 in all`,
              ]
            : [
                `  edge       ${(load.surface / MM_PER_INCH / 12).toFixed(0)} ft/min`,
                `  removal    ${(load.removal / MM_PER_INCH ** 3).toFixed(2)} in3/min at most, ${(load.volume / MM_PER_INCH ** 3).toFixed(3)} in3 in all`,
              ]),
        ]),
  ];
  const faults = verdict.faults.map(({ rule, line, message }) => `${rule}, line ${line}: ${message}`);
  return `${[
    `proof of a router program, as ${kind}: ${verdict.proved ? 'PROVED' : 'NOT PROVED'}`,
    `  job        ${record.jobFingerprint}  ${record.title}`.trimEnd(),
    `  program    ${record.programFingerprint}`,
    ...(record.beforeFingerprint === undefined ? [] : [`  after      ${record.beforeFingerprint}`]),
    `  cutter     flat, ${say(shop.cutter.diameter)}, ${shop.cutter.flutes} flutes, stick-out ${say(shop.cutter.length)}`,
    '',
    ...columns([['rule', 'answer', 'found', 'allowed'], ...rows]),
    ...(faults.length > 0 ? ['', 'what breaks them', ...faults.flatMap((fault) => wrap(`  ${fault}`))] : []),
    ...(work.length > 0 ? ['', 'the work', ...work] : []),
    ...(verdict.warnings.length > 0 ? ['', ...verdict.warnings.flatMap((warning) => wrap(findingText(warning)))] : []),
    '',
    ...wrap(
      `The bite is known to ${say(BITE_WITHIN_MM)}. What stays is a bound, too large by ${say(FIGURE_WITHIN_MM)} at most; all else is exact.`,
    ),
    ...wrap(
      'A proof speaks about the text, the job and the shop file: not about a slipped clamp, a wrong zero, a wrong cutter or a machine that loses steps.',
    ),
  ].join('\n')}\n`;
}
