import { flatten } from '../../kernel/outline.ts';
import { depthAt } from '../../kernel/plane.ts';
import type { Point2 } from '../../kernel/vector.ts';
import { bandPolygon, bandsOf, chord, depthsOver } from '../bands.ts';
import { bare, long, place } from '../figures.ts';
import type { Scene } from '../scene.ts';
import { add, byId, keyItem, onWidth, PAPER_WIDTH, path, placeIn, sheetOf } from './dom.ts';
import { css, paletteNow, shade } from './palette.ts';

/** px an mm at most: larger would be no clearer. */
const LARGEST_SCALE = 20;
/** mm. What a chord may stand off an arc: no screen shows it. */
const CHORD_MM = 0.02;
/** px that a station's figure takes. */
const FIGURE = { mm: 38, in: 46, height: 16 };
/** px beside the plan. */
const EDGE = { left: 46, top: 36, gap: 26 };

export interface FloorDrawing {
  readonly draw: (printing: boolean) => void;
  /** What the program leaves above the floor, as rectangles in the body frame. */
  readonly setLeft: (
    rectangles: readonly { readonly x: number; readonly y: number; readonly w: number; readonly h: number }[],
  ) => void;
}

export function floorDrawing(scene: Scene): FloorDrawing {
  const svg = byId('floor-drawing', SVGSVGElement);
  const cutX = byId('cut-x', HTMLInputElement);
  const cutY = byId('cut-y', HTMLInputElement);
  const { outline, plane, units } = scene;
  const polygon = flatten(outline, CHORD_MM);
  const half = Math.max(outline.mouthHalf, outline.rearHalf);
  const { least, deepest } = depthsOver(polygon, plane);
  const bands = bandsOf(least, deepest, units);
  let left: Parameters<FloorDrawing['setLeft']>[0] = [];
  let screenWidth = 0;
  let toBody: (x: number, y: number) => Point2 = () => ({ x: 0, y: 0 });

  const drawPlan = (k: number, X: (x: number) => number, Y: (y: number) => number, printing: boolean): void => {
    const page = (points: readonly Point2[]): Point2[] => points.map((p) => ({ x: X(p.x), y: Y(p.y) }));
    const palette = paletteNow(printing);
    const taken: Point2[] = [];
    const hasRoom = (text: Point2): boolean => {
      const free = taken.every(
        (other) => Math.abs(other.x - text.x) >= FIGURE[units] || Math.abs(other.y - text.y) >= FIGURE.height,
      );
      if (free) taken.push(text);
      return free;
    };
    bands.forEach((band, i) => {
      const part = bandPolygon(polygon, plane, band);
      const fill = css(shade(palette, (i + 0.5) / bands.length));
      if (part.length > 2) add(svg, 'path', { d: path(page(part), true), fill, class: 'band' });
    });
    if (left.length > 0) {
      const pattern = add(add(svg, 'defs', {}), 'pattern', {
        id: 'left-hatch',
        width: 5,
        height: 5,
        patternUnits: 'userSpaceOnUse',
        patternTransform: 'rotate(45)',
      });
      add(pattern, 'path', { d: 'M0 0V5', stroke: palette.ink, 'stroke-width': 1.6 });
      const d = left.map(
        ({ x, y, w, h }) =>
          `M${X(x).toFixed(1)} ${Y(y + h).toFixed(1)}h${(w * k).toFixed(1)}v${(h * k).toFixed(1)}h${(-w * k).toFixed(1)}z`,
      );
      add(svg, 'path', { d: d.join(''), fill: 'url(#left-hatch)', id: 'left-over' });
    }
    for (const { to } of bands.slice(0, -1)) {
      const ends = chord(polygon, (p) => depthAt(plane, p.x, p.y) - to);
      if (ends === undefined) continue;
      const [a, b] = page(ends);
      if (a === undefined || b === undefined) continue;
      add(svg, 'path', { d: path([a, b], false), class: 'ink', 'stroke-width': 1 });
      // Its depth stands at the upper end, or at the end nearer the mouth where the line runs along the pocket.
      const steep = Math.abs(a.y - b.y) > Math.abs(a.x - b.x);
      const aIsNear = steep ? a.y < b.y : a.x < b.x;
      const near = aIsNear ? a : b;
      const atMouth = near.x < EDGE.left + 1;
      const text = atMouth ? { x: near.x - 8, y: near.y + 4 } : { x: near.x, y: near.y - 8 };
      if (hasRoom(text)) add(svg, 'text', { ...text, 'text-anchor': atMouth ? 'end' : 'middle' }, bare(to, units));
    }
    const walls = page([...polygon]);
    add(svg, 'path', { d: path(walls, false), class: 'ink', 'stroke-width': 2.5, id: 'floor-outline' });
    const [first, last] = [walls[0], walls.at(-1)];
    if (first !== undefined && last !== undefined)
      add(svg, 'path', { d: path([last, first], false), class: 'ink', 'stroke-width': 1.5, 'stroke-dasharray': '9 5' });
    for (const { x, y } of scene.screws) {
      const r = Math.max(6, 1.6 * k);
      add(svg, 'circle', { cx: X(x), cy: Y(y), r, class: 'ink', 'stroke-width': 1.3 });
      add(svg, 'path', {
        d: `M${X(x) - r - 4} ${Y(y)}h${2 * r + 8}M${X(x)} ${Y(y) - r - 4}v${2 * r + 8}`,
        class: 'ink',
        'stroke-width': 0.9,
      });
    }
    for (const { x, y, depth } of scene.stations) {
      add(svg, 'circle', { cx: X(x), cy: Y(y), r: 3, fill: palette.ink, stroke: palette.paper, 'stroke-width': 1 });
      const text = { x: X(x), y: Y(y) + (y > 0 ? 18 : -8) };
      // On a small screen not every figure finds room: the dot stays, and A and B tell its depth.
      if (hasRoom(text)) add(svg, 'text', { ...text, 'text-anchor': 'middle' }, bare(depth, units));
    }
  };

  const draw = (printing: boolean): void => {
    if (screenWidth === 0) return;
    const width = printing ? PAPER_WIDTH : screenWidth;
    const beside = width < 560 ? 62 : Math.max(170, Math.min(240, width / 5));
    const k = Math.min(LARGEST_SCALE, (width - EDGE.left - beside - EDGE.gap - 14) / outline.length);
    const X = (x: number): number => EDGE.left + x * k;
    const Y = (y: number): number => EDGE.top + (half - y) * k;
    const [right, bottom] = [X(outline.length), Y(-half)];
    const times = Math.max(1, Math.floor((beside - 34) / (Math.max(deepest, 0.05) * k)));
    const kz = k * times;
    const below = deepest * kz;
    sheetOf(svg, width, bottom + EDGE.gap + 24 + below + 12);
    toBody = (x, y) => ({ x: (x - EDGE.left) / k, y: half - (y - EDGE.top) / k });
    drawPlan(k, X, Y, printing);
    const at = { x: Number(cutX.value), y: Number(cutY.value) };
    const side = scene.hand === 1 ? ['treble side', 'bass side'] : ['bass side', 'treble side'];
    add(svg, 'text', { x: right - 4, y: 13, 'text-anchor': 'end', class: 'soft' }, side[0]);
    add(svg, 'text', { x: right - 4, y: bottom + 17, 'text-anchor': 'end', class: 'soft' }, side[1]);
    add(svg, 'text', { x: EDGE.left, y: 13, class: 'soft' }, 'mouth');
    // The cutting planes, lettered as on a drawing: A along, B across.
    const plan = { 'stroke-width': 2, 'stroke-dasharray': '14 4 3 4', class: 'mark' };
    add(svg, 'path', { d: `M${EDGE.left - 10} ${Y(at.y)}H${right + 10}`, ...plan });
    add(svg, 'path', { d: `M${X(at.x)} ${EDGE.top}V${bottom + 10}`, ...plan });
    add(svg, 'text', { x: right + 16, y: Y(at.y) + 5, 'font-weight': 700 }, 'A');
    add(svg, 'text', { x: X(at.x), y: bottom + 22, 'text-anchor': 'middle', 'font-weight': 700 }, 'B');
    const along = chord(polygon, (p) => p.y - at.y);
    const across = chord(polygon, (p) => p.x - Math.max(0.01, Math.min(outline.length - 0.01, at.x)));
    const base = bottom + EDGE.gap + 24;
    add(svg, 'text', { x: EDGE.left, y: base - 9 }, `A, along at ${place(at.y, units)}`);
    if (along !== undefined) {
      const [a, b] = along[0].x < along[1].x ? along : [along[1], along[0]];
      const line = [a, b].map((p) => ({ x: X(p.x), y: base + depthAt(plane, p.x, at.y) * kz }));
      add(svg, 'path', {
        d: `${path(line, false)}L${X(b.x)} ${base}L${X(a.x)} ${base}Z`,
        class: 'cut-face',
        fill: 'var(--wash)',
      });
      add(svg, 'path', { d: `M${X(a.x)} ${base}H${X(b.x)}`, class: 'ink', 'stroke-width': 1, 'stroke-dasharray': '6 4' });
      add(svg, 'path', { d: path(line, false), class: 'ink', 'stroke-width': 2.5 });
    }
    const start = right + EDGE.gap + 22;
    add(svg, 'text', { x: start, y: 14 }, 'B');
    if (across !== undefined) {
      const [a, b] = across;
      const line = [a, b].map((p) => ({ x: start + depthAt(plane, at.x, p.y) * kz, y: Y(p.y) }));
      add(svg, 'path', {
        d: `${path(line, false)}L${start} ${Y(b.y)}L${start} ${Y(a.y)}Z`,
        class: 'cut-face',
        fill: 'var(--wash)',
      });
      add(svg, 'path', { d: `M${start} ${Y(a.y)}V${Y(b.y)}`, class: 'ink', 'stroke-width': 1, 'stroke-dasharray': '6 4' });
      add(svg, 'path', { d: path(line, false), class: 'ink', 'stroke-width': 2.5 });
    }
    byId('floor-scale', HTMLParagraphElement).textContent =
      `Depths in A and B are drawn ${times} times as large as lengths; dashed: the floor as found.`;
    byId('cut-x-said', HTMLOutputElement).textContent = place(at.x, units);
    byId('cut-y-said', HTMLOutputElement).textContent = place(at.y, units);
    byId('floor-at', HTMLParagraphElement).textContent =
      `Where A and B cross, ${place(at.x, units)} from the mouth and ${place(at.y, units)} from the centreline: ${long(depthAt(plane, at.x, at.y), units)} deep.`;
  };

  const keyNow = (printing: boolean): void => {
    const key = byId('floor-key', HTMLUListElement);
    key.replaceChildren();
    const palette = paletteNow(printing);
    bands.forEach(({ from, to }, i) => {
      const words = bands.length === 1 ? `${long(to, units)} everywhere` : `${bare(from, units)} to ${long(to, units)}`;
      keyItem(key, words, (sample) => {
        add(sample, 'rect', {
          x: 0.5,
          y: 0.5,
          width: 33,
          height: 15,
          fill: css(shade(palette, (i + 0.5) / bands.length)),
          stroke: palette.ink,
        });
      });
    });
    if (left.length > 0)
      keyItem(key, 'stays for the chisel', (sample) => {
        add(sample, 'rect', { x: 0.5, y: 0.5, width: 33, height: 15, fill: 'url(#left-hatch)', stroke: palette.ink });
      });
  };

  const all = (printing: boolean): void => {
    draw(printing);
    keyNow(printing);
  };
  for (const field of [cutX, cutY]) field.addEventListener('input', () => draw(false));
  const follow = (event: PointerEvent): void => {
    const at = placeIn(svg, event);
    const p = toBody(at.x, at.y);
    if (p.x < -2 || p.x > outline.length + 2 || Math.abs(p.y) > half + 2) return;
    cutX.value = String(p.x);
    cutY.value = String(p.y);
    draw(false);
  };
  svg.addEventListener('pointerdown', follow);
  svg.addEventListener('pointermove', (event) => {
    if (event.buttons === 1) follow(event);
  });
  onWidth(svg, (now) => {
    screenWidth = now;
    draw(false);
  });
  keyNow(false);
  return {
    draw: all,
    setLeft: (rectangles) => {
      left = rectangles;
      all(false);
    },
  };
}
