import modeling from '@jscad/modeling';
import { areaAndMoments, flatten, type Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import type { Point3 } from '../kernel/vector.ts';

/** mm. The shim's outline has chords for the corner arcs: nobody prints finer. */
const CHORD_WITHIN_MM = 0.01;
/** Relative. The solid's volume may differ from the formula by what its chords cut off, and no more. */
const VOLUME_WITHIN = 1e-3;
/** Decimals of a millimetre in the text of a solid. */
const DECIMALS = 4;

type Triangle = readonly [Point3, Point3, Point3];

export interface Shim {
  /** mm³, by the area and its first moments; the solid's own agrees. */
  readonly volume: number;
  readonly thickest: number;
  readonly thinnest: number;
  /** A closed surface, outward normals, lying on z = 0 as it lies on the floor as found (body frame, mm). */
  readonly triangles: readonly Triangle[];
}

const same = (a: Point3, b: Point3): boolean => a.x === b.x && a.y === b.y && a.z === b.z;

/** Triangles of the prism between z = 0 and the plane: a fan above and below (the outline is convex), two a wall; none without area. */
function skin(outline: Outline, plane: FloorPlane): Triangle[] {
  const foot = flatten(outline, CHORD_WITHIN_MM).map(({ x, y }): Point3 => ({ x, y, z: 0 }));
  const top = foot.map(({ x, y }): Point3 => ({ x, y, z: Math.max(0, -depthAt(plane, x, y)) }));
  const n = foot.length;
  const at = (list: readonly Point3[], i: number): Point3 => list[i % n] as Point3;
  const all: Triangle[] = [];
  for (let i = 1; i < n - 1; i++) {
    all.push([at(top, 0), at(top, i), at(top, i + 1)], [at(foot, 0), at(foot, i + 1), at(foot, i)]);
  }
  for (let i = 0; i < n; i++) {
    all.push([at(foot, i), at(foot, i + 1), at(top, i + 1)], [at(foot, i), at(top, i + 1), at(top, i)]);
  }
  return all.filter(([a, b, c]) => !same(a, b) && !same(b, c) && !same(c, a));
}

/**
 * A shim that covers the whole floor as found: its upper face is the plane on which the heel then sits (depth below the floor as found,
 * so thickness is minus that). The solid's volume, as @jscad/modeling measures it, is held to the formula's.
 */
export function shimOf(outline: Outline, plane: FloorPlane): Shim {
  const { area, mx, my } = areaAndMoments(outline);
  const volume = -area * depthAt(plane, mx / area, my / area);
  const triangles = skin(outline, plane);
  const solid = modeling.geometries.geom3.fromPoints(
    triangles.map((points) => points.map(({ x, y, z }): [number, number, number] => [x, y, z])),
  );
  const measured = modeling.measurements.measureVolume(solid);
  if (!(Math.abs(measured - volume) <= VOLUME_WITHIN * volume))
    throw new Error(`the shim's solid has ${measured} mm3 and not the ${volume} mm3 worked out`);
  const heights = triangles.flatMap((points) => points.map(({ x, y }) => -depthAt(plane, x, y)));
  return { volume, thickest: Math.max(...heights), thinnest: Math.min(...heights), triangles };
}

/** The shim as an STL text, millimetres. `name` is letters, digits and hyphens. */
export function stlText(shim: Shim, name: string): string {
  const number = (value: number): string => (Number(value.toFixed(DECIMALS)) + 0).toFixed(DECIMALS);
  const point = ({ x, y, z }: Point3): string => `${number(x)} ${number(y)} ${number(z)}`;
  const facets = shim.triangles.map(([a, b, c]) => {
    const normal = {
      x: (b.y - a.y) * (c.z - a.z) - (b.z - a.z) * (c.y - a.y),
      y: (b.z - a.z) * (c.x - a.x) - (b.x - a.x) * (c.z - a.z),
      z: (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x),
    };
    const length = Math.hypot(normal.x, normal.y, normal.z);
    const unit = { x: normal.x / length, y: normal.y / length, z: normal.z / length };
    const corners = [a, b, c].map((each) => `      vertex ${point(each)}`);
    return [`  facet normal ${point(unit)}`, '    outer loop', ...corners, '    endloop', '  endfacet'].join('\n');
  });
  return `solid ${name}\n${facets.join('\n')}\nendsolid ${name}\n`;
}
