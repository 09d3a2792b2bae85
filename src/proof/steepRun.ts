import { ARITHMETIC_MM } from './setting.ts';
import type { Move } from './strictReader.ts';

/**
 * How much a program has fallen more than a slope allows, over the worst stretch of moves that ends here. Judged one by one, a fall cut
 * into moves of one rounding step each would never be steep; a long one that is cut up by rounding alone never adds up to more than
 * one step, because the roundings of its inner places cancel.
 */
export interface SteepRun {
  /**
   * Adds a move. `counts` says that its fall matters; whatever else it does only lets the run end. The answer is true where the stretch
   * that ends with this move falls by more than the slope and one rounding step, and this move has its part in it.
   */
  readonly add: (move: Move, counts: boolean) => boolean;
  /** Nothing steep has happened since the last move that was as flat as allowed. */
  readonly idle: () => boolean;
}

/** z falls by more than `slope` times the way, however little that is. */
export function fallsAtAll(move: Move, slope: number): boolean {
  return excessOf(move, slope) > 0;
}

function excessOf({ from, to }: Move, slope: number): number {
  return from.z - to.z - slope * Math.hypot(to.x - from.x, to.y - from.y);
}

/** `step` (mm) is one rounding step of the program's numbers; x and y are rounded too, which the slope makes small. */
export function steepRun(slope: number, step: number): SteepRun {
  const most = step * (1 + slope) + ARITHMETIC_MM;
  let excess = 0;
  return {
    add: (move, counts) => {
      const own = excessOf(move, slope);
      // A fall that does not count still has a way, and that way makes the stretch flatter.
      const fall = counts ? 0 : Math.max(0, move.from.z - move.to.z);
      const next = excess + own - fall;
      excess = Number.isFinite(next) ? Math.max(0, next) : 0;
      return counts && own > 0 && excess > most;
    },
    idle: () => excess === 0,
  };
}
