import type { Point3 } from '../kernel/vector.ts';
import { type Rail, railsOf } from './rails.ts';
import type { GuideTask } from './task.ts';

type Triangle = readonly [Point3, Point3, Point3];

/**
 * A rail as triangles, mm, in a frame of its own: x to the bridge from the pocket's mouth edge, y from the pocket's centreline, z up from
 * the body's top, so both rails stand where they belong when opened together.
 */
function railTriangles(rail: Rail, heightAt: (x: number, y: number) => number): Triangle[] {
  const [near, far] = [Math.min(rail.inner, rail.outer), Math.max(rail.inner, rail.outer)];
  const foot = [
    [rail.fromX, near],
    [rail.toX, near],
    [rail.toX, far],
    [rail.fromX, far],
  ] as const;
  const points = [
    ...foot.map(([x, y]): Point3 => ({ x, y, z: 0 })),
    ...foot.map(([x, y]): Point3 => ({ x, y, z: heightAt(x, y) })),
  ];
  // Each face runs anticlockwise seen from outside. A solid modeller would say the same and costs a fifth of a run of `make` to load; one
  // judges the files in the tests.
  const faces = [
    [0, 3, 2, 1],
    [4, 5, 6, 7],
    [0, 1, 5, 4],
    [1, 2, 6, 5],
    [2, 3, 7, 6],
    [3, 0, 4, 7],
  ] as const;
  const corner = (i: number): Point3 => points[i] as Point3;
  return faces.flatMap(([a, b, c, d]): Triangle[] => [
    [corner(a), corner(b), corner(c)],
    [corner(a), corner(c), corner(d)],
  ]);
}

/** Five decimals of a millimetre: a program that reads single precision keeps fewer. */
const num = (value: number): string => `${Number(value.toFixed(5)) + 0}`;

/** ASCII STL (facet normal, outer loop, three vertices; common practice, no source). Its units are taken for mm everywhere. */
function stl(name: string, triangles: readonly Triangle[]): string {
  const point = ({ x, y, z }: Point3): string => `${num(x)} ${num(y)} ${num(z)}`;
  const facets = triangles.map(([a, b, c]) => {
    const [u, v] = [b, c].map((p) => ({ x: p.x - a.x, y: p.y - a.y, z: p.z - a.z })) as [Point3, Point3];
    const n = { x: u.y * v.z - u.z * v.y, y: u.z * v.x - u.x * v.z, z: u.x * v.y - u.y * v.x };
    const size = Math.hypot(n.x, n.y, n.z);
    const normal = point({ x: n.x / size, y: n.y / size, z: n.z / size });
    return `facet normal ${normal}\nouter loop\n${[a, b, c].map((p) => `vertex ${point(p)}`).join('\n')}\nendloop\nendfacet`;
  });
  return [`solid ${name}`, ...facets, `endsolid ${name}`, ''].join('\n');
}

export interface SolidText {
  readonly name: string;
  readonly text: string;
}

/** The rails for a printer or a small mill, one file each. */
export function railSolids(task: GuideTask): SolidText[] {
  const { rails, heightAt } = railsOf(task);
  return rails.map((rail) => ({
    name: `rails-${rail.side}.stl`,
    text: stl(`pocketpitch rail ${rail.side} job ${task.fingerprint}`, railTriangles(rail, heightAt)),
  }));
}
