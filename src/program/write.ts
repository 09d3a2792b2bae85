import { bothUnits } from '../kernel/dimension.ts';
import { bad, good, type Result } from '../kernel/findings.ts';
import type { Point2 } from '../kernel/vector.ts';
import { feedText, type Grid, gridDown, gridOf, gridText, gridUp } from './grid.ts';
import { type Move, type Pass, type Plan, passAt } from './passes.ts';
import { noRoom, readyTask, tooNarrow, tooSteep, tooWide } from './ready.ts';
import { axisRegion, isDrawn } from './region.ts';
import { ringStaysOf } from './ringStays.ts';
import { staysOf } from './stays.ts';
import { cuspOf, laneWidthOf, levelsOf, woodAt } from './surface.ts';
import { onTable } from './table.ts';
import type { ProgramTask, ReadyTask, Stay } from './task.ts';
import { type Facts, header, isRim, type Kind, modes, passLines, stop } from './text.ts';

/** mm/min. Only for the estimate of minutes: a slow hobby machine's rapid. */
const RAPID_GUESS = 2000;
/** mm. An air program's lowest move stays this far above the body's top. */
const AIR_ABOVE_MM = 2;
/** Falls steeper than this may not take wood (program.md, `entry`). */
const STEEPEST_FALL = 1 / 20;

export interface Program {
  readonly text: string;
  /** Levels that find wood; none in a trace. */
  readonly passes: number;
  readonly minutes: number;
  readonly stays: readonly Stay[];
  /** Of the floor, and the lowest Z written; mm. */
  readonly deepest: number;
  readonly leastZ: number;
  readonly clearZ: number;
  /** Distance between lanes and the ridge that it leaves between them; mm. */
  readonly laneWidth: number;
  readonly cusp: number;
}

export interface Planned {
  readonly plan: Plan;
  readonly passes: readonly Pass[];
  readonly facts: Facts;
}

/** Where the cutter goes down: its near side `beyondMouth` from the mouth edge, its far side within the free space. */
function entryOf(task: ReadyTask, grid: Grid): number {
  const wanted = gridDown(grid, -(task.radius + task.shop.clearance.beyondMouth));
  return Math.max(wanted, gridUp(grid, task.radius - task.clearBefore));
}

function minutesOf(task: ReadyTask, passes: readonly Pass[], clearZ: number): number {
  const { feed, spindle } = task.shop;
  const ofPass = (pass: Pass): number => {
    let here: { x: number; y: number; z: number } = pass.start;
    let sum = (clearZ - pass.start.z) / feed.plunge + (clearZ - pass.start.z) / feed.cut;
    for (const move of pass.moves) {
      sum += Math.hypot(move.x - here.x, move.y - here.y, move.z - here.z) / feed[move.feed];
      here = move;
    }
    return sum + Math.hypot(here.x - pass.start.x, here.y - pass.start.y) / RAPID_GUESS;
  };
  return passes.reduce((sum, pass) => sum + ofPass(pass), (2 * spindle.warmUp) / 60);
}

/** The steepest fall of a move that ends below the floor as found and goes at the cutting feed. */
function steepestFall(task: ReadyTask, passes: readonly Pass[]): number {
  const falls = passes.flatMap((pass) =>
    pass.moves.map((move: Move, i) => {
      const from = pass.moves[i - 1] ?? pass.start;
      if (move.feed === 'plunge' || move.z >= woodAt(task, move) || move.z >= from.z) return 0;
      return (from.z - move.z) / Math.hypot(move.x - from.x, move.y - from.y);
    }),
  );
  return Math.max(0, ...falls);
}

/** What a second cutter does otherwise: the share of the cusp allowed that its lanes may leave, and how far they keep off its ways along the walls. */
interface Finer {
  readonly cusp: number;
  /** mm. */
  readonly offWalls: number;
}

/** Where the cutter's axis may go, and how far apart its lanes are. */
export function planOf(task: ReadyTask, finer?: Finer): Result<Plan> {
  const grid = gridOf(task.units);
  const entryX = entryOf(task, grid);
  if (entryX > -task.radius + 1e-9) return bad([noRoom(task, entryX + task.radius)]);
  const inset = task.radius + task.shop.clearance.wall;
  const region = axisRegion(task.outline, inset, entryX, grid);
  if (region === undefined) return bad([tooWide(task)]);
  if (region.apart.length > 0) return bad([tooNarrow(task, region.apart)]);
  const forLanes = finer === undefined ? undefined : axisRegion(task.outline, inset + finer.offWalls, entryX, grid);
  return good({
    task,
    grid,
    region,
    forLanes: forLanes === undefined || forLanes.apart.length > 0 ? region : forLanes,
    laneWidth: laneWidthOf(task, finer?.cusp),
  });
}

/** The passes with what the header says of them, unless they would go down into wood too steeply. */
export function plannedOf(plan: Plan, passes: readonly Pass[]): Result<Planned> {
  const { task, grid, region } = plan;
  const steepest = steepestFall(task, passes);
  if (steepest > STEEPEST_FALL) return bad([tooSteep(task, steepest)]);
  const clearZ = gridUp(grid, task.top + task.shop.clearance.above);
  const leastZ = Math.min(...passes.flatMap((pass) => pass.moves.map((move) => move.z)));
  const minutes = minutesOf(task, passes, clearZ);
  const stays = isDrawn(task.outline) || task.clamped !== undefined ? ringStaysOf(task, region) : staysOf(task);
  return good({ plan, passes, facts: { minutes, leastZ, clearZ, passes: passes.length, stays } });
}

export function planned(given: ProgramTask): Result<Planned> {
  const ready = readyTask(given);
  if (!ready.ok) return ready;
  const plan = planOf(ready.value);
  if (!plan.ok) return plan;
  const { task } = plan.value;
  const passes = levelsOf(task).flatMap((level) => passAt(plan.value, level) ?? []);
  if (passes.length === 0)
    return bad([
      {
        code: 'nothing-to-cut',
        severity: 'error',
        exit: 3,
        message: 'nowhere can this cutter take wood without going below the floor',
        found: `deepest ${bothUnits(task.deepest, 3)}`,
        remedy: 'a thinner cutter reaches lower; or take this much off by hand',
      },
    ]);
  return plannedOf(plan.value, passes);
}

function programOf({ plan, facts }: Planned, lines: readonly string[]): Program {
  const { task, laneWidth } = plan;
  return {
    text: `${lines.join('\n')}\n`,
    passes: facts.passes,
    minutes: facts.minutes,
    stays: facts.stays,
    deepest: task.body.deepest,
    leastZ: facts.leastZ,
    clearZ: facts.clearZ,
    laneWidth,
    cusp: cuspOf(task.radius, task.plane.gx, task.plane.gy, laneWidth),
  };
}

function spindleOn(task: ReadyTask): string[] {
  return [
    `M3 S${Math.round(task.shop.spindle.speed)}`,
    `G4 P${Math.ceil(task.shop.spindle.warmUp)}`,
    ...stop('SPINDLE AT SPEED, HANDS OUT, THEN GO ON', 'spindle switched by hand: switch it on now'),
  ];
}

/** A rapid to over a place of the body. */
function overLine(task: ReadyTask, grid: Grid, place: Point2): string {
  const { x, y } = onTable(task.shop.program.turn, place);
  return `G0 X${gridText(grid, x)} Y${gridText(grid, y)}`;
}

function cutLines({ plan, passes, facts }: Planned, kind: Kind, lift: number): string[] {
  const { task, grid } = plan;
  const clear = gridText(grid, facts.clearZ);
  const floor = kind === 'floor' || kind === 'rim';
  const lines = [
    ...header(plan, kind, facts),
    ...modes(grid),
    ...(isRim(kind) ? stop('RIM CUTTER IN, ITS Z SET ANEW, ABOVE ALL, SPINDLE OFF') : []),
    ...stop('CUTTER OVER THE POCKET, ABOVE ALL, SPINDLE OFF'),
    `G0 Z${clear}`,
  ];
  passes.forEach((pass, i) => {
    const first = i === 0;
    lines.push(overLine(task, grid, pass.start));
    if (first) {
      lines.push(...stop(floor ? 'IS THE ZERO RIGHT, SPINDLE STILL OFF' : 'IS THE ZERO RIGHT, SPINDLE STAYS OFF'));
      if (floor) lines.push(...spindleOn(task));
    }
    lines.push(...passLines(plan, pass, lift));
    // Every level begins from the clear height, as the first one did that was looked at.
    lines.push(`G1 Z${clear} F${feedText(grid, task.shop.feed.cut)}`);
    const { look } = task.shop.program;
    const last = i === passes.length - 1;
    if (last || !(look === 'every' || (look === 'first' && first))) return;
    lines.push('M5', ...stop(floor ? 'SPINDLE OFF, LOOK AT THE CUT, HANDS OUT' : 'LOOK, SPINDLE STAYS OFF'));
    if (floor) lines.push(...spindleOn(task));
  });
  return [...lines, 'M5', 'M2'];
}

/** The program of passes that cut. */
export function cutProgram(made: Planned, kind: 'floor' | 'rim'): Program {
  return programOf(made, cutLines(made, kind, 0));
}

/** The same moves above the body's top, X and Y unchanged, the spindle off throughout. */
export function airProgram(made: Planned, kind: 'air' | 'rim-air'): Program {
  const { plan, passes, facts } = made;
  const { grid } = plan;
  const lift = gridUp(grid, plan.task.top + AIR_ABOVE_MM - facts.leastZ);
  const highest = Math.max(...passes.flatMap((pass) => [pass.start.z, ...pass.moves.map((move) => move.z)]));
  const clearZ = Math.max(facts.clearZ, gridUp(grid, highest + lift + 1));
  const air: Planned = { ...made, facts: { ...facts, clearZ, leastZ: facts.leastZ + lift, lift } };
  return programOf(air, cutLines(air, kind, lift));
}

/** The program that cuts the floor. */
export function writeFloorProgram(task: ProgramTask): Result<Program> {
  const made = planned(task);
  return made.ok ? good(cutProgram(made.value, 'floor'), made.warnings) : made;
}

export function writeAirProgram(task: ProgramTask): Result<Program> {
  const made = planned(task);
  return made.ok ? good(airProgram(made.value, 'air'), made.warnings) : made;
}

/** A walk round the pocket's box at clear height, with a stop over each end of the mouth and over the rear. */
export function writeTraceProgram(task: ProgramTask): Result<Program> {
  const made = planned(task);
  if (!made.ok) return made;
  const { plan, facts } = made.value;
  const { grid, region } = plan;
  const { outline, hand } = plan.task.body;
  const treble = hand === 'right' ? 1 : -1;
  const half = Math.max(outline.mouthHalf, outline.rearHalf);
  const walk = (x: number, y: number): string =>
    overLine(plan.task, grid, plan.task.clamped?.toMachine({ x, y, z: 0 }) ?? { x, y });
  const at = (x: number, y: number, name: string): string[] => [walk(x, y), ...stop(`CUTTER OVER ${name}, SPINDLE STAYS OFF`)];
  const lines = [
    ...header(plan, 'trace', { ...facts, leastZ: facts.clearZ }),
    ...modes(grid),
    ...stop('CUTTER OVER THE POCKET, ABOVE ALL, SPINDLE OFF'),
    `G0 Z${gridText(grid, facts.clearZ)}`,
    ...at(0, -treble * outline.mouthHalf, 'MOUTH-BASS'),
    ...at(0, treble * outline.mouthHalf, 'MOUTH-TREBLE'),
    walk(outline.length, treble * half),
    ...at(outline.length, 0, 'REAR'),
    walk(outline.length, -treble * half),
    walk(region.entryX, -treble * half),
    walk(region.entryX, treble * half),
    walk(0, 0),
    'M5',
    'M2',
  ];
  const traced: Planned = { ...made.value, facts: { ...facts, passes: 0, minutes: 0, leastZ: facts.clearZ, stays: [] } };
  return good(programOf(traced, lines), made.warnings);
}
