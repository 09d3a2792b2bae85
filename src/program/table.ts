import type { Shop } from '../job/shop.ts';
import type { Point2 } from '../kernel/vector.ts';

export type Turn = Shop['program']['turn'];

/**
 * A place over the pocket (mm, body frame seen from above) as the table's X and Y for a body turned by `turn` degrees
 * anticlockwise seen from above: the body's x axis (from the mouth to the bridge) points along the table's +X for 0, +Y for
 * 90, -X for 180, -Y for 270. The origin stays where it is. A point of the program's grid stays on it.
 */
export function onTable(turn: Turn, { x, y }: Point2): Point2 {
  if (turn === 90) return { x: -y, y: x };
  if (turn === 180) return { x: -x, y: -y };
  if (turn === 270) return { x: y, y: -x };
  return { x, y };
}

/** The table's axis, with its sign, along which the body's x runs. */
export function lengthwise(turn: Turn): '+X' | '+Y' | '-X' | '-Y' {
  return turn === 90 ? '+Y' : turn === 180 ? '-X' : turn === 270 ? '-Y' : '+X';
}

/** The letter of the table's axis that runs along the pocket, and of the one across it. */
export function axesOf(turn: Turn): { readonly along: 'X' | 'Y'; readonly across: 'X' | 'Y'; readonly sign: 1 | -1 } {
  const along = turn === 90 || turn === 270 ? 'Y' : 'X';
  return { along, across: along === 'X' ? 'Y' : 'X', sign: turn === 0 || turn === 90 ? 1 : -1 };
}
