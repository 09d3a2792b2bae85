import { flatten } from '../../kernel/outline.ts';
import { depthAt } from '../../kernel/plane.ts';
import type { Point3 } from '../../kernel/vector.ts';
import { turnedBack } from '../lie.ts';
import type { Timeline } from '../timeline.ts';
import type { Lattice } from '../wood.ts';
import type { Frame, SideFrame } from './frames.ts';
import type { Palette } from './palette.ts';
import type { SceneUnder } from './run.ts';

/** What both views show at a moment. */
export interface Shown {
  readonly palette: Palette;
  /** Where the last whole step ended, and where the cutter is. */
  readonly from: Point3;
  readonly at: Point3;
  readonly layers: readonly HTMLCanvasElement[];
  /** Steps at which a fault stands. */
  readonly faulty: readonly number[];
}

/** Makes a canvas as large as its frame at the screen's own resolution, and gives it a clean sheet in CSS pixels. */
export function cleanSheet(canvas: HTMLCanvasElement, frame: Frame, ratio: number, palette: Palette): CanvasRenderingContext2D {
  const [width, height] = [Math.round(frame.width * ratio), Math.round(frame.height * ratio)];
  if (canvas.width !== width || canvas.height !== height) {
    canvas.width = width;
    canvas.height = height;
  }
  const context = canvas.getContext('2d') as CanvasRenderingContext2D;
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.fillStyle = palette.paper;
  context.fillRect(0, 0, frame.width, frame.height);
  return context;
}

/** A cross in a ring: told by its form, not by its colour. */
function faultMark(context: CanvasRenderingContext2D, palette: Palette, x: number, y: number): void {
  context.beginPath();
  context.arc(x, y, 8, 0, 2 * Math.PI);
  context.fillStyle = palette.paper;
  context.fill();
  context.moveTo(x - 4, y - 4);
  context.lineTo(x + 4, y + 4);
  context.moveTo(x + 4, y - 4);
  context.lineTo(x - 4, y + 4);
  context.setLineDash([]);
  context.strokeStyle = palette.fault;
  context.lineWidth = 2.5;
  context.stroke();
}

function faultMarks(context: CanvasRenderingContext2D, frame: Frame, timeline: Timeline, { palette, faulty }: Shown): void {
  const seen = new Set<string>();
  for (const i of faulty) {
    const [x, y, z] = [timeline.x[i] as number, timeline.y[i] as number, timeline.z[i] as number];
    const [px, py] = [frame.projection.px(x, y, z), frame.projection.py(x, y, z)];
    const key = `${Math.round(px / 6)} ${Math.round(py / 6)}`;
    if (Number.isNaN(px + py) || seen.has(key)) continue;
    seen.add(key);
    faultMark(context, palette, px, py);
  }
}

function layersOn(context: CanvasRenderingContext2D, frame: Frame, layers: readonly HTMLCanvasElement[]): void {
  for (const layer of layers) context.drawImage(layer, 0, 0, frame.width, frame.height);
}

export function drawAbove(
  context: CanvasRenderingContext2D,
  frame: Frame,
  scene: SceneUnder,
  timeline: Timeline,
  shown: Shown,
  wood: { readonly lattice: Lattice; readonly picture: HTMLCanvasElement } | undefined,
): void {
  const { px, py } = frame.projection;
  const { palette } = shown;
  if (wood !== undefined) {
    const { nx, ny, step, x0, y0 } = wood.lattice;
    context.imageSmoothingEnabled = false;
    const top = y0 + (ny - 0.5) * step;
    context.drawImage(wood.picture, px(x0 - step / 2, 0, 0), py(0, top, 0), nx * step * frame.k, ny * step * frame.k);
    context.imageSmoothingEnabled = true;
  }
  layersOn(context, frame, shown.layers);
  const points = flatten(scene.outline, 0.05);
  context.beginPath();
  points.forEach((p, i) => {
    if (i === 0) context.moveTo(px(p.x, p.y, 0), py(p.x, p.y, 0));
    else context.lineTo(px(p.x, p.y, 0), py(p.x, p.y, 0));
  });
  context.setLineDash([]);
  context.lineWidth = 2.5;
  context.strokeStyle = palette.ink;
  context.stroke();
  axesMark(context, frame, scene, shown);
  cutterAbove(context, frame, scene, shown);
  faultMarks(context, frame, timeline, shown);
}

/** px. The arrows at the zero, and the letters at their tips. */
const ARROW = { length: 34, head: 5, letter: 4.5, apart: 12 };
/** Strokes of the two letters, y downwards: the canvas needs no font for them. */
const LETTERS: Readonly<Record<'X' | 'Y', readonly (readonly [number, number, number, number])[]>> = {
  X: [
    [-1, -1.3, 1, 1.3],
    [1, -1.3, -1, 1.3],
  ],
  Y: [
    [-1, -1.3, 0, 0],
    [1, -1.3, 0, 0],
    [0, 0, 0, 1.3],
  ],
};

/** The machine's zero and which way its X and Y grow, whichever way the body lies. */
function axesMark(context: CanvasRenderingContext2D, frame: Frame, scene: SceneUnder, { palette }: Shown): void {
  const { px, py } = frame.projection;
  const [cx, cy] = [px(0, 0, 0), py(0, 0, 0)];
  const turn = scene.program.lie.turn;
  const arrows = (['X', 'Y'] as const).map((letter) => {
    const { x, y } = turnedBack(turn, letter === 'X' ? { x: 1, y: 0 } : { x: 0, y: 1 });
    return { letter, dx: x, dy: -y };
  });
  const strokes = (): void => {
    context.beginPath();
    for (const { letter, dx, dy } of arrows) {
      const [tx, ty] = [cx + dx * ARROW.length, cy + dy * ARROW.length];
      context.moveTo(cx, cy);
      context.lineTo(tx, ty);
      context.moveTo(tx - (dx + dy) * ARROW.head, ty - (dy - dx) * ARROW.head);
      context.lineTo(tx, ty);
      context.lineTo(tx - (dx - dy) * ARROW.head, ty - (dy + dx) * ARROW.head);
      const [lx, ly] = [tx + dx * ARROW.apart, ty + dy * ARROW.apart];
      for (const [x0, y0, x1, y1] of LETTERS[letter]) {
        context.moveTo(lx + x0 * ARROW.letter, ly + y0 * ARROW.letter);
        context.lineTo(lx + x1 * ARROW.letter, ly + y1 * ARROW.letter);
      }
    }
    context.stroke();
  };
  context.setLineDash([]);
  context.lineCap = 'round';
  context.lineWidth = 5;
  context.strokeStyle = palette.paper;
  strokes();
  context.lineWidth = 1.8;
  context.strokeStyle = palette.ink;
  strokes();
  context.lineCap = 'butt';
  context.beginPath();
  context.arc(cx, cy, 4, 0, 2 * Math.PI);
  context.fillStyle = palette.paper;
  context.fill();
  context.stroke();
}

function cutterAbove(context: CanvasRenderingContext2D, frame: Frame, scene: SceneUnder, { palette, at, from }: Shown): void {
  const { px, py } = frame.projection;
  if (Number.isNaN(at.x + at.y)) return;
  const [cx, cy] = [px(at.x, at.y, at.z), py(at.x, at.y, at.z)];
  if (!Number.isNaN(from.x + from.y)) {
    context.beginPath();
    context.moveTo(px(from.x, from.y, from.z), py(from.x, from.y, from.z));
    context.lineTo(cx, cy);
    context.lineWidth = 3;
    context.strokeStyle = palette.mark;
    context.stroke();
  }
  const radius = Math.max(4, (scene.program.radius ?? 0) * frame.k);
  context.beginPath();
  context.arc(cx, cy, radius, 0, 2 * Math.PI);
  context.lineWidth = 2.5;
  context.strokeStyle = palette.mark;
  context.stroke();
  context.beginPath();
  context.arc(cx, cy, 3.5, 0, 2 * Math.PI);
  context.fillStyle = palette.mark;
  context.fill();
}

function profile(wood: { lattice: Lattice; heights: Float32Array }, y: number): { readonly x: number; readonly z: number }[] {
  const { nx, ny, step, x0, y0 } = wood.lattice;
  const j = Math.max(0, Math.min(ny - 1, Math.round(((Number.isNaN(y) ? 0 : y) - y0) / step)));
  return Array.from({ length: nx }, (_, i) => ({ x: x0 + i * step, z: wood.heights[j * nx + i] as number }));
}

export function drawSide(
  context: CanvasRenderingContext2D,
  frame: SideFrame,
  scene: SceneUnder,
  timeline: Timeline,
  shown: Shown,
  wood: { readonly lattice: Lattice; readonly heights: Float32Array } | undefined,
): void {
  const { px, py } = frame.projection;
  const { palette, at } = shown;
  const bottom = frame.height - 2;
  if (wood !== undefined) {
    const cut = profile(wood, at.y);
    context.beginPath();
    context.moveTo(px(cut[0]?.x ?? 0, 0, 0), bottom);
    for (const { x, z } of cut) context.lineTo(px(x, 0, 0), py(0, 0, z));
    context.lineTo(px(cut.at(-1)?.x ?? 0, 0, 0), bottom);
    context.closePath();
    context.fillStyle = palette.wash;
    context.fill();
    context.setLineDash([]);
    context.strokeStyle = palette.ink;
    context.lineWidth = 1.2;
    context.stroke();
  }
  const line = (z0: number, z1: number, dash: readonly number[], width: number): void => {
    context.beginPath();
    context.moveTo(px(0, 0, 0), py(0, 0, z0));
    context.lineTo(px(scene.outline.length, 0, 0), py(0, 0, z1));
    context.setLineDash([...dash]);
    context.lineWidth = width;
    context.strokeStyle = palette.ink;
    context.stroke();
  };
  const y = Number.isNaN(at.y) ? 0 : at.y;
  line(0, 0, [6, 4], 1);
  line(-depthAt(scene.plane, 0, y), -depthAt(scene.plane, scene.outline.length, y), [14, 3, 2, 3], 1.6);
  layersOn(context, frame, shown.layers);
  // The break: above it heights are squeezed.
  context.beginPath();
  const level = py(0, 0, frame.breakZ);
  for (let x = 0; x <= frame.width; x += 12) context.lineTo(x, level + (x % 24 === 0 ? -2.5 : 2.5));
  context.setLineDash([]);
  context.lineWidth = 1;
  context.strokeStyle = palette.rule;
  context.stroke();
  cutterFromSide(context, frame, scene, shown);
  faultMarks(context, frame, timeline, shown);
}

function cutterFromSide(context: CanvasRenderingContext2D, frame: Frame, scene: SceneUnder, { palette, at, from }: Shown): void {
  const { px, py } = frame.projection;
  if (Number.isNaN(at.x + at.z)) return;
  const [cx, cz] = [px(at.x, at.y, at.z), py(at.x, at.y, at.z)];
  const radius = scene.program.radius ?? 0;
  const aside = Math.max(3, radius * frame.k);
  // Heights are counted from the floor as found: where that leans, a level face leans the other way.
  const rise = radius * scene.program.lie.wood.gx;
  context.beginPath();
  context.moveTo(cx - aside, 0);
  context.lineTo(cx - aside, py(at.x, at.y, at.z - rise));
  context.lineTo(cx + aside, py(at.x, at.y, at.z + rise));
  context.lineTo(cx + aside, 0);
  context.lineWidth = 2.5;
  context.strokeStyle = palette.mark;
  context.stroke();
  if (!Number.isNaN(from.x + from.z)) {
    context.beginPath();
    context.moveTo(px(from.x, from.y, from.z), py(from.x, from.y, from.z));
    context.lineTo(cx, cz);
    context.lineWidth = 3;
    context.stroke();
  }
  context.beginPath();
  context.arc(cx, cz, 3.5, 0, 2 * Math.PI);
  context.fillStyle = palette.mark;
  context.fill();
}
