import { apart } from '../kernel/dimension.ts';
import type { Point3 } from '../kernel/vector.ts';
import { type Fault, mmPerMinute } from './faults.ts';
import { ARITHMETIC_MM, type Setting } from './setting.ts';
import { fallsAtAll, steepRun } from './steepRun.ts';
import type { Move, Step } from './strictReader.ts';

/** A fall steeper than this is a plunge for the feed. */
const PLUNGE_SLOPE = 1 / 10;

export function movesOf(steps: readonly Step[]): Move[] {
  return steps.filter((step) => step.kind === 'move');
}

function isPlace({ x, y, z }: Point3): boolean {
  return Number.isFinite(x) && Number.isFinite(y) && Number.isFinite(z);
}

/** Whether the program has given both ends of a move, with all their coordinates. */
export function isKnown({ from, to }: Move): boolean {
  return isPlace(from) && isPlace(to);
}

export function isBelow(z: number, clear: number): boolean {
  return z < clear - ARITHMETIC_MM;
}

/** Some of the move is below the clear height. */
export function goesBelow(move: Move, clear: number): boolean {
  return isBelow(move.from.z, clear) || isBelow(move.to.z, clear);
}

/**
 * z falls by more than `slope` times the way along. One rounding step is no fall: the ends of a move shorter than a tenth of a
 * millimetre, each rounded by itself, would look steep on any floor.
 */
export function fallsSteeper(move: Move, slope: number, step: number): boolean {
  const along = Math.hypot(move.to.x - move.from.x, move.to.y - move.from.y);
  return move.from.z - move.to.z > along * slope + step + ARITHMETIC_MM;
}

/** `feed`: set; plunges at most the plunge feed, elsewhere between a quarter and all of the cutting feed. */
export function feedRule(moves: readonly Move[], setting: Setting): Fault[] {
  const { cut, plunge } = setting.shop.feed;
  const slack = setting.step + ARITHMETIC_MM;
  const run = steepRun(PLUNGE_SLOPE, setting.step);
  const faults: Fault[] = [];
  for (const move of moves) {
    const { line, feed } = move;
    const steep = run.add(move, !move.rapid && feed !== undefined && feed > plunge + slack && goesBelow(move, setting.clear));
    if (move.rapid) continue;
    if (feed === undefined) faults.push({ rule: 'feed', line, message: 'G1 before any F' });
    else if (!(feed > 0)) faults.push({ rule: 'feed', line, message: 'the feed is zero' });
    else if (goesBelow(move, setting.clear)) {
      const rate = mmPerMinute(feed);
      if (steep || fallsSteeper(move, PLUNGE_SLOPE, setting.step)) {
        if (feed > plunge + slack)
          faults.push({
            rule: 'feed',
            line,
            message: `falls at ${rate}; the plunge feed is ${mmPerMinute(plunge)}`,
          });
      } else if (feed > cut + slack || (feed < cut / 4 - slack && !fallsAtAll(move, PLUNGE_SLOPE)))
        // A plunge in moves of one rounding step is a plunge: it may go as slowly.
        faults.push({
          rule: 'feed',
          line,
          message: `cuts at ${rate}; between a quarter and all of ${mmPerMinute(cut)} is taken`,
        });
    }
  }
  return faults;
}

/** `rapids`: the first motion is Z alone; both ends of every G0 at or above the clear height. */
export function rapidsRule(
  moves: readonly Move[],
  setting: Setting,
): { readonly faults: Fault[]; readonly lowest: number | null } {
  const faults: Fault[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  const first = moves[0];
  if (first !== undefined && first.axes !== 'Z')
    faults.push({ rule: 'rapids', line: first.line, message: 'the first motion is not Z alone: the cutter may still be low' });
  for (const move of moves) {
    if (!move.rapid) continue;
    // Nobody knows from where the first move comes: a program starts from the top (its header says so).
    for (const z of [move.from.z, move.to.z]) if (!Number.isNaN(z)) lowest = Math.min(lowest, z);
    if (goesBelow(move, setting.clear)) {
      const [found, limit] = apart(Math.min(move.to.z, Number.isNaN(move.from.z) ? move.to.z : move.from.z), setting.clear);
      faults.push({ rule: 'rapids', line: move.line, message: `a rapid at z ${found}, below the clear height ${limit}` });
    } else if (Number.isNaN(move.to.z))
      faults.push({ rule: 'rapids', line: move.line, message: 'a rapid while the height of the cutter is not known' });
  }
  return { faults, lowest: Number.isFinite(lowest) ? lowest : null };
}

/** `end`: up to the clear height, M5, M2, and nothing after it. */
export function endRule(steps: readonly Step[], setting: Setting): Fault[] {
  const faults: Fault[] = [];
  const finish = steps.find((step) => step.kind === 'finish');
  const line = finish?.line ?? setting.lastLine;
  const add = (message: string, where = line): void => {
    faults.push({ rule: 'end', line: where, message });
  };
  if (finish === undefined) add('the program does not end with M2');
  const after = steps.find((step) => step.kind === 'after');
  if (after !== undefined) add('something stands after the end of the program', after.line);
  // Behind the end nothing is a move or switches: it is told once, as what stands there.
  const last = movesOf(steps).at(-1);
  if (last !== undefined && !(last.to.z >= setting.clear - ARITHMETIC_MM)) {
    const [found, limit] = apart(last.to.z, setting.clear);
    add(`the program ends at z ${found}, below the clear height ${limit}`);
  }
  // The M5 that counts comes after everything below the clear height and after every M3.
  const busy = steps.findLastIndex((step) => step.kind === 'on' || (step.kind === 'move' && goesBelow(step, setting.clear)));
  const off = steps.findLastIndex((step) => step.kind === 'off');
  if (off < 0 || off < busy) add('no M5 before the end');
  return faults;
}
