import { apart } from '../kernel/dimension.ts';
import { type Fault, mm } from './faults.ts';
import { goesBelow, isKnown } from './motionRules.ts';
import { ARITHMETIC_MM, lowestFaceAt, type Setting } from './setting.ts';
import type { Move } from './strictReader.ts';
import { leastDistances, leastInMouth, type Walls } from './walls.ts';

/** `walls`: below the clear height the cutter keeps `clearance.wall` from the walls, and before the mouth to the space that is free. */
export function wallsRule(
  moves: readonly Move[],
  setting: Setting,
  walls: Walls,
): { readonly faults: Fault[]; readonly nearest: number | null } {
  const { radius, clear, clearBefore, shop } = setting;
  const faults: Fault[] = [];
  const distance = leastDistances(walls);
  let nearest = Number.POSITIVE_INFINITY;
  for (const move of moves) {
    if (!goesBelow(move, clear)) continue;
    const { line } = move;
    if (!isKnown(move)) {
      faults.push({ rule: 'walls', line, message: 'goes below the clear height at a place the program has not given' });
      continue;
    }
    const gap = distance(move.from, move.to) - radius;
    nearest = Math.min(nearest, gap);
    if (gap < shop.clearance.wall - ARITHMETIC_MM) {
      const [found, limit] = apart(gap, shop.clearance.wall);
      const said = gap < 0 ? `cuts ${mm(-gap)} into a wall` : `passes ${found} from a wall`;
      faults.push({ rule: 'walls', line, message: `${said}; ${limit} must be kept` });
    }
    const beside = radius - leastInMouth(walls, move.from, move.to);
    if (beside > ARITHMETIC_MM)
      faults.push({
        rule: 'walls',
        line,
        message: `reaches ${mm(beside)} past the mouth's width before it; only that width is free there`,
      });
    const front = Math.min(move.from.x, move.to.x) - radius;
    if (front < -clearBefore - ARITHMETIC_MM) {
      const [found, limit] = apart(-front, clearBefore);
      faults.push({ rule: 'walls', line, message: `reaches ${found} before the mouth; ${limit} are free there` });
    }
  }
  return { faults, nearest: Number.isFinite(nearest) ? nearest : null };
}

/** `floor`: exact, because both the floor and a move's height are linear along it: the ends decide. */
export function floorRule(moves: readonly Move[], setting: Setting): { readonly faults: Fault[]; readonly gouge: number | null } {
  const faults: Fault[] = [];
  let gouge = Number.NEGATIVE_INFINITY;
  for (const move of moves) {
    if (!goesBelow(move, setting.clear) || !isKnown(move)) continue;
    const { from, to } = move;
    const below = Math.max(lowestFaceAt(setting, from.x, from.y) - from.z, lowestFaceAt(setting, to.x, to.y) - to.z);
    gouge = Math.max(gouge, below);
    if (below > setting.step + ARITHMETIC_MM)
      faults.push({
        rule: 'floor',
        line: move.line,
        message: `the cutter goes ${apart(below, setting.step)[0]} below the floor`,
      });
  }
  return { faults, gouge: Number.isFinite(gouge) ? gouge : null };
}

/** mm. What must stay between the collet nut and the body's top. */
const NUT_CLEAR_MM = 1;

/** mm. How far the cutter must stick out of its collet nut. */
export function reachNeeded(pocketDepth: number, deepest: number): number {
  return pocketDepth + deepest + NUT_CLEAR_MM;
}

/** `reach`: depth of the pocket + deepest + 1 mm ≤ cutter.length; told at the line that goes deepest. */
export function reachRule(moves: readonly Move[], setting: Setting, length: number | undefined): Fault[] {
  const needed = reachNeeded(setting.top, setting.deepest);
  if (length !== undefined && needed <= length + ARITHMETIC_MM) return [];
  let line = setting.lastLine;
  let lowest = Number.POSITIVE_INFINITY;
  for (const move of moves)
    if (move.to.z < lowest) {
      lowest = move.to.z;
      line = move.line;
    }
  const [needs, has] = apart(needed, length ?? 0);
  const said = length === undefined ? 'the shop file does not say how long it is' : `it has ${has}`;
  return [{ rule: 'reach', line, message: `the cutter needs ${needs} below its collet nut; ${said}` }];
}

/** In the air and around the box: nothing below the body's top. */
export function aboveTopRule(moves: readonly Move[], setting: Setting): Fault[] {
  return moves
    .filter((move) => move.to.z < setting.top - ARITHMETIC_MM)
    .map((move) => {
      const [found, limit] = apart(move.to.z, setting.top);
      return { rule: 'floor', line: move.line, message: `z ${found} is below the body's top, ${limit}` };
    });
}
