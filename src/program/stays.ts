import { decimalInchText } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Outline } from '../kernel/outline.ts';
import { depthAt, leanOf } from '../kernel/plane.ts';
import type { Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { ReadyTask, Stay } from './task.ts';

/** Both cutters keep off the walls alike. */
export const STRIP = 'strip along the walls';

/** What `leave` keeps everywhere: for the file, nothing that a cutter could not reach. */
export const WHOLE_FLOOR = 'whole floor, for the file';

/** mm. Less than this no one can feel, measure or cut. */
export const NOTHING_MM = 0.0005;

interface Wall {
  readonly where: string;
  readonly from: Point2;
  readonly to: Point2;
  /** Outward unit normal. */
  readonly out: Point2;
}

interface Corner {
  readonly where: string;
  /** Where the two walls, carried on, would meet. */
  readonly apex: Point2;
  /** Half the angle between the walls, inside. */
  readonly half: number;
  readonly radius: number;
}

export function sideName(y: number, hand: 'right' | 'left'): 'bass' | 'treble' {
  return y > 0 === (hand === 'right') ? 'treble' : 'bass';
}

/** The walls in order, the open mouth edge left out, each named by the way it faces. */
function wallsOf(outline: Outline, hand: 'right' | 'left'): Wall[] {
  return outline.pieces.flatMap((piece) => {
    if (piece.kind !== 'line' || (Math.abs(piece.from.x) < 1e-9 && Math.abs(piece.to.x) < 1e-9)) return [];
    const { from, to } = piece;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const out = { x: (to.y - from.y) / length, y: -(to.x - from.x) / length };
    const where = out.x > Math.SQRT1_2 ? 'rear wall' : `${sideName(out.y, hand)} wall`;
    return [{ where, from, to, out }];
  });
}

function cornersOf(outline: Outline, walls: readonly Wall[], hand: 'right' | 'left'): Corner[] {
  return walls.flatMap((a, i) => {
    const b = walls[i + 1];
    if (b === undefined) return [];
    const cross = a.out.x * b.out.y - a.out.y * b.out.x;
    if (cross < 0.05) return [];
    const da = a.out.x * a.from.x + a.out.y * a.from.y;
    const db = b.out.x * b.from.x + b.out.y * b.from.y;
    const apex = { x: (da * b.out.y - db * a.out.y) / cross, y: (db * a.out.x - da * b.out.x) / cross };
    const turn = Math.atan2(cross, a.out.x * b.out.x + a.out.y * b.out.y);
    const arc = outline.pieces.find(
      (piece) => piece.kind === 'arc' && Math.hypot(piece.centre.x - apex.x, piece.centre.y - apex.y) < 2 * piece.radius,
    );
    const radius = arc?.kind === 'arc' ? arc.radius : 0;
    return [{ where: `rear ${sideName(apex.y, hand)} corner`, apex, half: (Math.PI - turn) / 2, radius }];
  });
}

/**
 * What stays for the chisel. Along a wall with the outward normal m the cutter's axis stops at R + w from it, so the wood there keeps
 * its height within w, and a floor that leans by g along the unit fall u keeps up to R g (1 + u.m) over a width R (1 + u.m):
 * R g beside side walls of a pure pitch, 2 R g at the closed low end, nothing at the high end. In a corner tighter than R + w it keeps
 * its height out to (R + w - r)/sin(half) - (R - r) from the corner's own rounding r.
 */
export function staysOf(task: ReadyTask): Stay[] {
  const { outline, plane, radius, hand, shop } = task;
  const g = leanOf(plane);
  const inset = radius + shop.clearance.wall;
  const walls = wallsOf(outline, hand);
  const deepestOn = (points: readonly Point2[]): number => Math.max(0, ...points.map((p) => depthAt(plane, p.x, p.y)));
  const strip = deepestOn(walls.flatMap((wall) => [wall.from, wall.to]));
  const stays: Stay[] = [];
  if (shop.clearance.wall > 0) stays.push({ where: STRIP, height: strip, width: shop.clearance.wall });
  for (const wall of walls) {
    // The floor falls along (gx, gy): D grows that way.
    const share = g === 0 ? 0 : 1 + (plane.gx * wall.out.x + plane.gy * wall.out.y) / g;
    const height = Math.min(radius * g * share, deepestOn([wall.from, wall.to]));
    stays.push({ where: `rim at the ${wall.where}`, height, width: shop.clearance.wall + radius * share });
  }
  for (const corner of cornersOf(outline, walls, hand)) {
    const width = (inset - corner.radius) / Math.sin(corner.half) - (radius - corner.radius);
    if (corner.radius < inset) stays.push({ where: corner.where, height: deepestOn([corner.apex]), width });
  }
  stays.push({ where: WHOLE_FLOOR, height: shop.leave, width: 2 * outline.rearHalf });
  return stays.filter((stay) => stay.height > NOTHING_MM);
}

/** A height of hundredths in a job's unit. */
export function heightIn(units: Unit, mm: number): string {
  return units === 'mm' ? `${mm.toFixed(3)} mm` : decimalInchText(mm, 4);
}

function widthIn(units: Unit, mm: number): string {
  return units === 'mm' ? `${mm.toFixed(2)} mm` : decimalInchText(mm);
}

/** A warning for all that would hold the heel up by more than `most` (mm: target.within over the gain) if it were left; said in `units`. */
export function staysWarnings(stays: readonly Stay[], most: number, units: Unit): Finding[] {
  const high = stays.filter(({ where, height }) => where !== WHOLE_FLOOR && height > most);
  if (high.length === 0) return [];
  const list = high
    .map((stay) => `${stay.where} ${heightIn(units, stay.height)} high, ${widthIn(units, stay.width)} wide`)
    .join('; ');
  return [
    {
      code: 'stays-hold-up',
      severity: 'warning',
      exit: null,
      message: `what the cutter cannot reach would hold the heel up by more than target.within forgives: ${list}`,
      remedy: 'take it off with a chisel before the heel is laid in',
    },
  ];
}
