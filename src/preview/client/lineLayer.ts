import { RAPID, STILL, type Timeline } from '../timeline.ts';

/** From millimetres to CSS pixels of a canvas. */
export interface Projection {
  readonly px: (x: number, y: number, z: number) => number;
  readonly py: (x: number, y: number, z: number) => number;
}

/** px. Moves that end nearer than this to what was drawn last are joined: no screen shows them apart. */
const SEEN_PX = 0.7;

export interface LineLayer {
  readonly canvas: HTMLCanvasElement;
  /** Draws on towards the end of step `target` - 1, at most `budget` steps; true once it is there. Going back begins anew. */
  readonly goTo: (target: number, budget: number) => boolean;
}

/**
 * The moves from step `first` on as a picture that grows, so that a frame draws only what is new: 200 000 moves in one frame would take
 * too long, and most of them fall on pixels that are drawn already.
 */
export function lineLayer(
  timeline: Timeline,
  first: number,
  projection: Projection,
  size: { readonly width: number; readonly height: number; readonly ratio: number },
  look: { readonly color: string; readonly width: number; readonly airFrom: number },
): LineLayer {
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(size.width * size.ratio));
  canvas.height = Math.max(1, Math.round(size.height * size.ratio));
  const context = canvas.getContext('2d') as CanvasRenderingContext2D;
  context.scale(size.ratio, size.ratio);
  context.lineJoin = 'round';
  context.lineCap = 'round';
  let at = first;
  const place = (i: number): readonly [number, number] => {
    const [x, y, z] = [timeline.x[i] as number, timeline.y[i] as number, timeline.z[i] as number];
    return [projection.px(x, y, z), projection.py(x, y, z)];
  };
  const inTheAir = (i: number): boolean =>
    timeline.kind[i] === RAPID ||
    ((timeline.z[i] as number) >= look.airFrom && i > 0 && (timeline.z[i - 1] as number) >= look.airFrom);
  const strokes = (from: number, to: number, air: boolean): void => {
    context.beginPath();
    let [lastX, lastY] = from > 0 ? place(from - 1) : [Number.NaN, Number.NaN];
    let open = false;
    for (let i = from; i < to; i++) {
      if (timeline.kind[i] === STILL) continue;
      const [x, y] = place(i);
      const own = inTheAir(i) === air;
      // Before a program has named every axis nobody knows where the cutter is: nothing is drawn.
      if (!own || Number.isNaN(x + y + lastX + lastY)) {
        open = false;
        lastX = x;
        lastY = y;
        continue;
      }
      if (Math.abs(x - lastX) < SEEN_PX && Math.abs(y - lastY) < SEEN_PX && i + 1 < to) continue;
      if (!open) context.moveTo(lastX, lastY);
      context.lineTo(x, y);
      open = true;
      lastX = x;
      lastY = y;
    }
    context.lineWidth = air ? 1 : look.width;
    context.setLineDash(air ? [2, 4] : []);
    context.strokeStyle = look.color;
    context.stroke();
  };
  return {
    canvas,
    goTo(target, budget) {
      if (target < at) {
        context.clearRect(0, 0, size.width, size.height);
        at = first;
      }
      const end = Math.min(target, at + budget);
      if (end > at) {
        strokes(at, end, false);
        strokes(at, end, true);
        at = end;
      }
      return at >= target;
    },
  };
}
