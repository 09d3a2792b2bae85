import { depthAt, leanOf } from '../kernel/plane.ts';
import type { Point2, Point3 } from '../kernel/vector.ts';
import type { Pass } from './passes.ts';
import type { ReadyTask } from './task.ts';

/** mm between the points at which the wood left is known. */
const MESH_MM = 0.25;

/** How high the wood stands once some passes were run, at points MESH_MM apart over the pocket's box; mm. */
export interface Left {
  /** The highest wood under a disc; minus infinity where there is none. */
  readonly highest: (c: Point2, radius: number) => number;
}

/** Lowers the heights to what a straight move of a flat cutter leaves: the lowest its face is while its axis is within R of a point. */
function sweep(heights: Float64Array, mesh: Mesh, from: Point3, to: Point3, radius: number): void {
  const { nx, ny, lowY } = mesh;
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const dd = dx * dx + dy * dy;
  const first = (least: number, from0: number): number => Math.max(0, Math.ceil((least - radius - from0) / MESH_MM));
  const last = (most: number, from0: number, count: number): number =>
    Math.min(count - 1, Math.floor((most + radius - from0) / MESH_MM));
  for (let j = first(Math.min(from.y, to.y), lowY); j <= last(Math.max(from.y, to.y), lowY, ny); j++)
    for (let i = first(Math.min(from.x, to.x), 0); i <= last(Math.max(from.x, to.x), 0, nx); i++) {
      const [fx, fy] = [from.x - i * MESH_MM, from.y - lowY - j * MESH_MM];
      const c = fx * fx + fy * fy - radius * radius;
      let z = Math.min(from.z, to.z);
      if (dd < 1e-12) {
        if (c > 0) continue;
      } else {
        const b = fx * dx + fy * dy;
        const root = b * b - dd * c;
        if (root < 0) continue;
        const [t0, t1] = [Math.max(0, (-b - Math.sqrt(root)) / dd), Math.min(1, (-b + Math.sqrt(root)) / dd)];
        if (t0 > t1) continue;
        z = from.z + (to.z - from.z) * (to.z < from.z ? t1 : t0);
      }
      const index = j * nx + i;
      if (z < (heights[index] as number)) heights[index] = z;
    }
}

/** Its first points lie on the mouth edge. */
interface Mesh {
  readonly nx: number;
  readonly ny: number;
  readonly lowY: number;
}

/** What the passes of a task leave of the wood as found, inside the pocket's box. */
export function leftBy(task: ReadyTask, passes: readonly Pass[]): Left {
  const { outline, found, radius } = task;
  const ys = outline.pieces.flatMap((piece) => (piece.kind === 'line' ? [piece.from.y, piece.to.y] : []));
  const lowY = Math.min(...ys);
  const nx = Math.ceil(outline.length / MESH_MM) + 1;
  const ny = Math.ceil((Math.max(...ys) - lowY) / MESH_MM) + 1;
  const mesh: Mesh = { nx, ny, lowY };
  const heights = Float64Array.from(
    { length: nx * ny },
    (_, k) => -depthAt(found, (k % nx) * MESH_MM, lowY + Math.floor(k / nx) * MESH_MM),
  );
  for (const pass of passes) {
    let here: Point3 = pass.start;
    for (const move of pass.moves) {
      sweep(heights, mesh, here, move, radius);
      here = move;
    }
  }
  // Between its points the wood is higher by no more than it leans over half a mesh's diagonal.
  const between = Math.max(leanOf(found), leanOf(task.plane)) * MESH_MM * Math.SQRT1_2;
  return {
    highest: (c, reach) => {
      let highest = Number.NEGATIVE_INFINITY;
      const j0 = Math.max(0, Math.ceil((c.y - reach - lowY) / MESH_MM));
      const j1 = Math.min(ny - 1, Math.floor((c.y + reach - lowY) / MESH_MM));
      for (let j = j0; j <= j1; j++) {
        const y = lowY + j * MESH_MM - c.y;
        const half = Math.sqrt(Math.max(0, reach * reach - y * y));
        const i0 = Math.max(0, Math.ceil((c.x - half) / MESH_MM));
        const i1 = Math.min(nx - 1, Math.floor((c.x + half) / MESH_MM));
        for (let i = i0; i <= i1; i++) highest = Math.max(highest, heights[j * nx + i] as number);
      }
      return highest + between;
    },
  };
}
