import { flatten, type Outline } from '../kernel/outline.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { Box, Step } from './drawing.ts';
import type { GuideTask } from './task.ts';

/**
 * How the body frame lies on the sheet: seen from above, turned so that the mouth is at the top. Page x runs along body y, page y
 * (downwards) along body x: a quarter turn of the plain view from above, so nothing is mirrored. `kx`, `ky` are the printer's
 * correction, 100 / measured.
 */
export interface SheetMap {
  readonly origin: Point2;
  readonly kx: number;
  readonly ky: number;
}

export function mapAt(sheet: GuideTask['sheet'], origin: Point2): SheetMap {
  return { origin, kx: 100 / sheet.measuredX, ky: 100 / sheet.measuredY };
}

export function bodyToPage(map: SheetMap, p: Point2): Point2 {
  return { x: map.origin.x + map.kx * p.y, y: map.origin.y + map.ky * p.x };
}

/** The pair of `bodyToPage`. */
export function pageToBody(map: SheetMap, p: Point2): Point2 {
  return { x: (p.y - map.origin.y) / map.ky, y: (p.x - map.origin.x) / map.kx };
}

/** Unit direction on the page along which the depth does not change, pointing right (or down). */
export function levelDirection(plane: Pick<FloorPlane, 'gx' | 'gy'>, map: SheetMap): Point2 {
  const x = map.kx * plane.gx;
  const y = -map.ky * plane.gy;
  const size = Math.hypot(x, y);
  const sign = x < 0 || (x === 0 && y < 0) ? -1 : 1;
  return { x: (sign * x) / size, y: (sign * y) / size };
}

export function outlineOnPage(map: SheetMap, outline: Outline): Point2[] {
  return flatten(outline, FLATTEN_WITHIN_MM).map((p) => bodyToPage(map, p));
}

export function boundsOf(points: readonly Point2[]): Box {
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
}

/** The outline's pieces one for one. A circle's arc under unequal corrections is an arc of an ellipse: still exact. */
export function outlineSteps(map: SheetMap, outline: Outline): Step[] {
  const steps: Step[] = [];
  for (const piece of outline.pieces) {
    if (piece.kind === 'line') {
      if (steps.length === 0) steps.push({ kind: 'move', to: bodyToPage(map, piece.from) });
      steps.push({ kind: 'line', to: bodyToPage(map, piece.to) });
      continue;
    }
    const { centre, radius, start, sweep } = piece;
    const point = (t: number): Point2 =>
      bodyToPage(map, { x: centre.x + radius * Math.cos(t), y: centre.y + radius * Math.sin(t) });
    if (steps.length === 0) steps.push({ kind: 'move', to: point(start) });
    steps.push({
      kind: 'arc',
      rx: radius * map.kx,
      ry: radius * map.ky,
      wide: sweep > Math.PI,
      // Anticlockwise seen from above stays anticlockwise on paper.
      clockwise: false,
      to: point(start + sweep),
    });
  }
  return [...steps, { kind: 'close' }];
}
