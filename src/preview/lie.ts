import type { Shop } from '../job/shop.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import type { Point2, Point3 } from '../kernel/vector.ts';

/**
 * How the body lies on the machine. The page draws it as seen from above along the spindle, turned back so that its mouth is on the left,
 * with heights counted from the floor as found right below: straight moves stay straight there, and planes planes.
 */
export interface Lie {
  /** Degrees anticlockwise seen from above, as `program.turn` says. */
  readonly turn: Shop['program']['turn'];
  /** The floor as found under the spindle: depth (mm) below the machine's Z0 over the body's x and y; all 0 where it lies level. */
  readonly wood: FloorPlane;
}

export const LEVEL: Lie = { turn: 0, wood: { hinge: { x: 0, y: 0 }, skim: 0, gx: 0, gy: 0 } };

/** Where the program has not said x or y yet, the floor at the zero stands for the place. */
function woodBelow({ wood }: Lie, x: number, y: number): number {
  return Number.isNaN(x + y) ? depthAt(wood, 0, 0) : depthAt(wood, x, y);
}

/** A place of the table as one of the body, x and y alone: turned back, clockwise seen from above. */
export function turnedBack(turn: Lie['turn'], { x, y }: Point2): Point2 {
  if (turn === 90) return { x: y, y: -x };
  if (turn === 180) return { x: -x, y: -y };
  if (turn === 270) return { x: -y, y: x };
  return { x, y };
}

/** A place in a program's own words (mm, the machine's axes) as it is drawn. */
export function overBody(lie: Lie, said: Point3): Point3 {
  const { x, y } = turnedBack(lie.turn, said);
  return { x, y, z: said.z + woodBelow(lie, x, y) };
}

/** What the machine shows when the cutter is at a place of the drawing: `overBody` undone. */
export function asSaid(lie: Lie, { x, y, z }: Point3): Point3 {
  const { turn } = lie;
  const back = turnedBack(turn === 90 ? 270 : turn === 270 ? 90 : turn, { x, y });
  return { ...back, z: z - woodBelow(lie, x, y) };
}
