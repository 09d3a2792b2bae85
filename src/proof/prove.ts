import type { Shop } from '../job/shop.ts';
import { apart } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import { type Fault, tellFaults } from './faults.ts';
import { finishAllowed, finishRule } from './finish.ts';
import { type BodyWork, overBody } from './frame.ts';
import { compareWithLibrary } from './libraryReader.ts';
import { type Load, loadOf, loadWarnings } from './load.ts';
import { endRule, feedRule, movesOf, rapidsRule } from './motionRules.ts';
import { aboveTopRule, floorRule, reachNeeded, reachRule, wallsRule } from './placeRules.ts';
import { removalRules } from './removal.ts';
import { ARITHMETIC_MM, type Earlier, type Setting, settingOf, woodAt } from './setting.ts';
import { spindleOffRule, spindleRule } from './spindleRule.ts';
import { type Move, type Read, readStrictly } from './strictReader.ts';
import { wallsOf } from './walls.ts';

/** `rim` is a floor program for a second, smaller cutter: it comes after another and is judged by what that one left. */
export type ProofKind = 'floor' | 'rim' | 'air' | 'trace';

/** What a program is judged against: the job's floor and pocket, and the shop. Nothing comes from whoever wrote the program. */
export interface ProofWork extends BodyWork {
  /**
   * Of a rim program: the text that was run before it, the shop file as it was for that one's cutter, and how much higher than it says the
   * wood may stand (mm), since each program's Z0 was set by itself. `shop` is then that of the second cutter.
   */
  readonly before?: { readonly text: string; readonly shop: Shop; readonly higher: number };
}

/** Lengths in mm; null where the text does not allow the figure or it was not asked for. */
interface Figures {
  /** How far the cutter goes below the floor; 0 or less is clear. */
  readonly gouge: number | null;
  /** Upper bounds: wood left over the floor, and the part of it no path of this cutter could take. */
  readonly leftover: number | null;
  readonly unreachable: number | null;
  /** Nearest the cutter's edge comes to a wall. */
  readonly wall: number | null;
  /** How far the cutter's face goes below the floor as found. */
  readonly deepest: number | null;
  readonly largestBite: number | null;
  readonly lowestRapid: number | null;
  /** How often the most cut point is cut by more than a tenth of `pass.depth`. */
  readonly passes: number;
  /** Rapids counted at the cutting feed, since nobody told how fast the machine's are; stops not counted. */
  readonly minutes: number | null;
}

/** What the figures were held against, mm, and how much text there was. */
interface Limits {
  readonly lines: number;
  readonly moves: number;
  readonly step: number;
  readonly clear: number;
  readonly top: number;
  /** Over the higher of floor and A(p). */
  readonly finish: number;
  readonly reach: number;
}

export interface Verdict {
  readonly proved: boolean;
  readonly faults: readonly Fault[];
  readonly figures: Figures;
  /** Absent where the text could not be read or the cutter is not known. */
  readonly limits?: Limits;
  readonly load?: Load;
  /** Where a router would burn the wood or chatter, or cuts into what `leave` keeps: no fault, but said. */
  readonly warnings: readonly Finding[];
}

const UNKNOWN: Figures = {
  gouge: null,
  leftover: null,
  unreachable: null,
  wall: null,
  deepest: null,
  largestBite: null,
  lowestRapid: null,
  passes: 0,
  minutes: null,
};

function verdictOf(faults: readonly Fault[], figures: Figures): Verdict {
  return { proved: faults.length === 0, faults: tellFaults(faults), figures, warnings: [] };
}

function deepestOf(moves: readonly Move[], setting: Setting): number | null {
  let deepest = Number.NEGATIVE_INFINITY;
  for (const { to } of moves) {
    const below = Number.isNaN(to.x + to.y) ? -to.z : woodAt(setting, to.x, to.y) - to.z;
    if (below > deepest) deepest = below;
  }
  return Number.isFinite(deepest) ? deepest : null;
}

function minutesOf(read: Read, shop: Shop): number {
  let minutes = 0;
  for (const step of read.steps) {
    if (step.kind === 'dwell') minutes += step.seconds / 60;
    if (step.kind !== 'move') continue;
    const way = Math.hypot(step.to.x - step.from.x, step.to.y - step.from.y, step.to.z - step.from.z);
    const feed = step.rapid ? shop.feed.cut : step.feed;
    if (Number.isFinite(way) && feed !== undefined && feed > 0) minutes += way / feed;
  }
  return minutes;
}

/** `leave` is no rule: a floor cut to its last place is the floor wanted. But whoever means to file it must know. */
function leaveWarnings(gouge: number | null, { shop, step }: Setting): Finding[] {
  const into = (gouge ?? Number.NEGATIVE_INFINITY) + shop.leave;
  if (into <= step + ARITHMETIC_MM || shop.leave === 0) return [];
  return [
    {
      code: 'into-leave',
      severity: 'warning',
      exit: null,
      message: `the cutter goes ${apart(into, 0)[0]} into the ${apart(shop.leave, 0)[0]} that the shop file keeps on the floor for the file (leave)`,
      remedy: 'write the program anew with this shop file (pocketpitch route), or say leave: 0',
    },
  ];
}

function proveFloor(
  read: Read,
  moves: readonly Move[],
  setting: Setting,
  common: readonly Fault[],
  figures: Figures,
  earlier?: Earlier,
): Verdict {
  const walls = wallsOf(setting.outline, setting.clearBefore + 2 * setting.radius);
  const wall = wallsRule(moves, setting, walls);
  const floor = floorRule(moves, setting);
  const removal = removalRules(moves, setting, walls, earlier);
  const finish = finishRule(moves, setting, walls, earlier);
  const faults = [
    ...common,
    ...spindleRule(read.steps, setting),
    ...feedRule(moves, setting),
    ...wall.faults,
    ...reachRule(moves, setting, setting.shop.cutter.length),
    ...floor.faults,
    ...removal.faults,
    ...finish.faults,
  ];
  const load = loadOf(read.steps, moves, setting, removal);
  const verdict = verdictOf(faults, {
    ...figures,
    gouge: floor.gouge,
    leftover: finish.leftover,
    unreachable: finish.unreachable,
    wall: wall.nearest,
    largestBite: removal.largestBite,
    passes: removal.passes,
  });
  const warnings = leaveWarnings(floor.gouge, setting);
  if (load === undefined) return { ...verdict, warnings };
  return { ...verdict, load, warnings: [...warnings, ...loadWarnings(load, 2 * setting.radius, removal.largestBite)] };
}

function limitsOf(read: Read, moves: readonly Move[], setting: Setting, earlier: Earlier | undefined): Limits {
  const { step, clear, top, deepest } = setting;
  return {
    lines: read.lines.length,
    moves: moves.length,
    step,
    clear,
    top,
    finish: finishAllowed(setting, earlier),
    reach: reachNeeded(top, deepest),
  };
}

/** What was run before a rim program, read from its own text; or why nothing is known of it. */
function earlierOf(work: ProofWork): Earlier | Fault {
  const { before, ...body } = work;
  const none = (message: string): Fault => ({ rule: 'before', line: 1, message });
  if (before === undefined) return none('nobody said which program was run before this one');
  const { diameter } = before.shop.cutter;
  const { faults } = proveProgram(before.text, { ...body, shop: before.shop }, 'floor');
  const [first] = faults;
  if (first !== undefined)
    return none(`the program before this one is not proved: ${first.rule}, its line ${first.line}: ${first.message}`);
  if (diameter === undefined || !(diameter > (work.shop.cutter.diameter ?? 0)))
    return none("the cutter of the program before this one is no larger than this one's");
  const read = readStrictly(before.text);
  const setting = settingOf({ ...body, shop: before.shop }, diameter, read);
  return { setting, moves: overBody(movesOf(read.steps), before.shop.program.turn), higher: before.higher };
}

/**
 * Judges a finished text as a machine would read it. The text is read twice; a text that cannot be read, or that two readers
 * read differently, is not looked at further: its moves stand for nothing.
 */
export function proveProgram(text: string, work: ProofWork, as: ProofKind): Verdict {
  const read = readStrictly(text);
  if (!read.sound) return verdictOf(read.faults, UNKNOWN);
  const disagreement = compareWithLibrary(read);
  if (disagreement.length > 0) return verdictOf([...read.faults, ...disagreement], UNKNOWN);
  const { diameter } = work.shop.cutter;
  if (diameter === undefined) {
    const message = 'the shop file does not say how wide the cutter is';
    return verdictOf([...read.faults, { rule: 'walls', line: 1, message }], UNKNOWN);
  }
  const setting = settingOf(work, diameter, read);
  const moves = overBody(movesOf(read.steps), work.shop.program.turn);
  const rapids = rapidsRule(moves, setting);
  const common = [...read.faults, ...rapids.faults, ...endRule(read.steps, setting)];
  const figures: Figures = {
    ...UNKNOWN,
    deepest: deepestOf(moves, setting),
    lowestRapid: rapids.lowest,
    minutes: minutesOf(read, work.shop),
  };
  const earlier = as === 'rim' ? earlierOf(work) : undefined;
  if (earlier !== undefined && 'rule' in earlier) return verdictOf([...common, earlier], figures);
  const verdict =
    as === 'floor' || as === 'rim'
      ? proveFloor(read, moves, setting, common, figures, earlier)
      : verdictOf([...common, ...spindleOffRule(read.steps), ...aboveTopRule(moves, setting)], figures);
  return { ...verdict, limits: limitsOf(read, moves, setting, earlier) };
}
