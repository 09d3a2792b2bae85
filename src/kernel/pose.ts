import type { FloorPlane } from './plane.ts';
import type { Point3 } from './vector.ts';

/**
 * The least rotation that takes e_z to the unit normal n = (gx, gy, 1)/|…| of a floor plane (`direction` -1: back again), applied to
 * v = (x, y, z) from the hinge, then moved by `hinge` and `lift`: v + a x v + (a x (a x v)) / (1 + n_z), a = e_z x n (Rodrigues' formula
 * for the shortest arc). Written out, since every gap of every trial floor comes through here: a_z = 0, so
 * a x v = (a_y z, -a_x z, a_x y - a_y x).
 */
function turned(plane: FloorPlane, x: number, y: number, z: number, direction: 1 | -1, lift: number): Point3 {
  const length = Math.sqrt(plane.gx * plane.gx + plane.gy * plane.gy + 1);
  const ax = (-direction * plane.gy) / length;
  const ay = (direction * plane.gx) / length;
  const k = 1 / (1 + 1 / length);
  const ox = ay * z;
  const oy = -ax * z;
  const oz = ax * y - ay * x;
  return {
    x: plane.hinge.x + x + ox + k * ay * oz,
    y: plane.hinge.y + y + oy - k * ax * oz,
    z: lift + z + oz + k * (ax * oy - ay * ox),
  };
}

/** A point of the neck, given in the neck frame, as it stands in the body frame on the cut floor. */
export function neckToBody(plane: FloorPlane, point: Point3): Point3 {
  return turned(plane, point.x - plane.hinge.x, point.y - plane.hinge.y, point.z, 1, -plane.skim);
}

/** A point of the body, given in the body frame, as seen from the moved neck's frame. The pair of `neckToBody`. */
export function bodyToNeck(plane: FloorPlane, point: Point3): Point3 {
  return turned(plane, point.x - plane.hinge.x, point.y - plane.hinge.y, point.z + plane.skim, -1, 0);
}
