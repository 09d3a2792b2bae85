import type { Point2 } from './vector.ts';

/**
 * The floor to cut, body frame, as depth (mm) below the floor as found:
 * D(x, y) = skim + gx (x - hinge.x) + gy (y - hinge.y).
 */
export interface FloorPlane {
  readonly hinge: Point2;
  readonly skim: number;
  readonly gx: number;
  readonly gy: number;
}

export function depthAt(plane: FloorPlane, x: number, y: number): number {
  return plane.skim + plane.gx * (x - plane.hinge.x) + plane.gy * (y - plane.hinge.y);
}

/** How steeply the floor leans: rise over run, dimensionless. */
export function leanOf(plane: FloorPlane): number {
  return Math.hypot(plane.gx, plane.gy);
}
