import type { FloorPlane } from './plane.ts';
import { add, cross, type Point3, scale, subtract } from './vector.ts';

/**
 * The least rotation that takes e_z to the unit normal n = (gx, gy, 1)/|…| of a floor plane, applied to v:
 * v + a x v + (a x (a x v)) / (1 + n_z), a = e_z x n (Rodrigues' formula for the shortest arc).
 */
function turn(plane: FloorPlane, v: Point3, direction: 1 | -1): Point3 {
  const length = Math.hypot(plane.gx, plane.gy, 1);
  const n = { x: plane.gx / length, y: plane.gy / length, z: 1 / length };
  const a = { x: -direction * n.y, y: direction * n.x, z: 0 };
  const once = cross(a, v);
  return add(add(v, once), scale(cross(a, once), 1 / (1 + n.z)));
}

/** A point of the neck, given in the neck frame, as it stands in the body frame on the cut floor. */
export function neckToBody(plane: FloorPlane, point: Point3): Point3 {
  const hinge = { x: plane.hinge.x, y: plane.hinge.y, z: 0 };
  return add({ ...hinge, z: -plane.skim }, turn(plane, subtract(point, hinge), 1));
}

/** A point of the body, given in the body frame, as seen from the moved neck's frame. The pair of `neckToBody`. */
export function bodyToNeck(plane: FloorPlane, point: Point3): Point3 {
  const hinge = { x: plane.hinge.x, y: plane.hinge.y, z: 0 };
  return add(hinge, turn(plane, subtract(point, { ...hinge, z: -plane.skim }), -1));
}
