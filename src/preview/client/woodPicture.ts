import { depthAt, type FloorPlane } from '../../kernel/plane.ts';
import type { Scene } from '../scene.ts';
import type { Lattice } from '../wood.ts';
import { type Palette, type Rgb, shade } from './palette.ts';

/** mm. Wood that is lower than the floor to cut by more than this is shown as too deep. */
const TOO_DEEP_MM = 0.02;
/** mm. Less wood than this over the floor no file or straightedge would find. */
const LEFT_FROM_MM = 0.015;

/** The plane's height at every point of a lattice. */
function planeOn(lattice: Lattice, plane: FloorPlane): Float32Array {
  const { nx, ny, step, x0, y0 } = lattice;
  const heights = new Float32Array(nx * ny);
  for (let j = 0; j < ny; j++) for (let i = 0; i < nx; i++) heights[j * nx + i] = -depthAt(plane, x0 + i * step, y0 + j * step);
  return heights;
}

export interface WoodPicture {
  readonly canvas: HTMLCanvasElement;
  readonly draw: (heights: Float32Array, palette: Palette) => void;
}

/**
 * One pixel a lattice point, +y up: the pocket's floor by depth, what is cut too deep chequered, the body's top plain. With `showsLeft` what stands
 * above the floor to cut is hatched: for a cutter that comes after another that is what it is there for.
 */
export function woodPicture(
  lattice: Lattice,
  { plane, deepest, pocketDepth: top }: Pick<Scene, 'plane' | 'deepest' | 'pocketDepth'>,
  showsLeft: boolean,
): WoodPicture {
  const { nx, ny, floor } = lattice;
  const canvas = document.createElement('canvas');
  canvas.width = nx;
  canvas.height = ny;
  const context = canvas.getContext('2d') as CanvasRenderingContext2D;
  const image = context.createImageData(nx, ny);
  const wanted = planeOn(lattice, plane);
  const cssRgb = (text: string): Rgb => {
    const [r = 0, g = 0, b = 0] = (/^#(..)(..)(..)$/.exec(text) ?? []).slice(1).map((pair) => Number.parseInt(pair, 16));
    return [r, g, b];
  };
  return {
    canvas,
    draw(heights, palette) {
      const shades = Array.from({ length: 256 }, (_, k) => shade(palette, k / 255));
      const fault = cssRgb(palette.fault);
      const paper = cssRgb(palette.paper);
      const body = cssRgb(palette.wash);
      const ink = cssRgb(palette.ink);
      for (let j = 0; j < ny; j++)
        for (let i = 0; i < nx; i++) {
          const at = j * nx + i;
          const z = heights[at] as number;
          const inside = floor[at] === 1;
          const tooDeep = inside ? z < (wanted[at] as number) - TOO_DEEP_MM : z < top - TOO_DEEP_MM;
          const isLeft = showsLeft && inside && z > (wanted[at] as number) + LEFT_FROM_MM;
          const shaded = shades[Math.max(0, Math.min(255, Math.round((-z / Math.max(deepest, 1e-6)) * 255)))] ?? body;
          const plain = inside ? (isLeft && (i + ny - j) % 3 === 0 ? ink : shaded) : body;
          const [r, g, b] = tooDeep ? (((i >> 1) + (j >> 1)) % 2 === 0 ? fault : paper) : plain;
          const to = ((ny - 1 - j) * nx + i) * 4;
          image.data[to] = r;
          image.data[to + 1] = g;
          image.data[to + 2] = b;
          image.data[to + 3] = 255;
        }
      context.putImageData(image, 0, 0);
    },
  };
}

/** What stays above the floor inside the walls, joined row by row into rectangles (body frame, mm). */
export function leftOver(
  lattice: Lattice,
  heights: Float32Array,
  plane: FloorPlane,
): { readonly x: number; readonly y: number; readonly w: number; readonly h: number }[] {
  const { nx, ny, step, x0, y0, floor } = lattice;
  const wanted = planeOn(lattice, plane);
  const found: { x: number; y: number; w: number; h: number }[] = [];
  for (let j = 0; j < ny; j++) {
    let start = -1;
    for (let i = 0; i <= nx; i++) {
      const at = j * nx + i;
      const stays = i < nx && floor[at] === 1 && (heights[at] as number) > (wanted[at] as number) + LEFT_FROM_MM;
      if (stays && start < 0) start = i;
      if (!stays && start >= 0) {
        found.push({ x: x0 + (start - 0.5) * step, y: y0 + (j - 0.5) * step, w: (i - start) * step, h: step });
        start = -1;
      }
    }
  }
  return found;
}
