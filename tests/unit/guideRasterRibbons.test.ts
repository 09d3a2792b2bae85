import { describe, expect, it } from 'vitest';
import type { Drawing, PathMark } from '../../src/guide/drawing.ts';
import { guideSheets, type Part, svgTexts } from '../../src/guide/guide.ts';
import { railsOf } from '../../src/guide/rails.ts';
import { tilesOf } from '../../src/guide/ribbon.ts';
import { TONGUE } from '../../src/guide/strip.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { guideTask } from '../support/guideTasks.ts';
import { darkMiddle, longestRun, type Raster, rasterOf } from '../support/raster.ts';

const TASKS = {
  mm: guideTask({ pitch: 0.02 }),
  'rolled, on a printer that is off': guideTask(
    { pitch: -0.012, roll: 0.008 },
    { hand: 'left', units: 'in', sheet: { paper: 'Letter', measuredX: 98.4, measuredY: 101.3 } },
  ),
};
// Each resolution once: pictures at 600 dpi are slow, and the places measured are absolute.
const CASES = Object.entries(TASKS).map(([name, task], i) => ({ name, task, dpi: i === 0 ? 300 : 600 }));

/** mm by which a thin line's middle in the picture may miss its place: a pixel at 300 dpi is 0.085. */
const SEEN_WITHIN = 0.07;

function partOf(task: GuideTask, part: Part, dpi: number): { readonly sheet: Drawing; readonly picture: Raster } {
  const sheets = guideSheets(task, part);
  if (!sheets.ok) throw new Error(`no ${part}`);
  const picture = rasterOf(svgTexts(sheets.value)[0] as string, dpi);
  return { sheet: sheets.value[0] as Drawing, picture };
}

/** Boxes of the cut-out shapes of a sheet in order, page mm. */
function shapesOf(
  sheet: Drawing,
): { readonly left: number; readonly right: number; readonly top: number; readonly foot: number }[] {
  const paths = sheet.marks.filter((mark): mark is PathMark => mark.kind === 'path');
  return paths.map(({ steps }) => {
    const points = steps.flatMap((step) => ('to' in step ? [step.to] : []));
    const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)];
    return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), foot: Math.max(...ys) };
  });
}

/** Middle (page mm) of the dark stretch of a column nearest to where a line is looked for; no number where there is none. */
function rowOf(picture: Raster, dpi: number, x: number, near: number): number {
  const mm = 25.4 / dpi;
  const column = Math.round(x / mm - 0.5);
  const reach = Math.round(0.35 / mm);
  const row = Math.round(near / mm - 0.5);
  return darkMiddle(row - reach, row + reach, (i) => picture.tone(column, i) < 150) * mm;
}

describe('strip, gauge and rails as pixels', () => {
  it.each(CASES)('has the lines on the walls and at the mouth at their heights: $name at $dpi dpi', ({ task, dpi }) => {
    const { sheet, picture } = partOf(task, 'strip', dpi);
    const [kx, ky] = [100 / task.sheet.measuredX, 100 / task.sheet.measuredY];
    const [strip] = shapesOf(sheet);
    if (strip === undefined) throw new Error('no strip');
    const half = task.outline.mouthHalf;
    // The first tile: the walls' part, as high as the pocket was deep, over the slit; the mouth's part under it.
    const slit = strip.top + task.pocketDepth * ky;
    const start = strip.left + TONGUE * kx;
    let looked = 0;
    // Seen from the nut the side of +y is on the left. A line nearer to the edge than the ink is wide cannot be told from it.
    for (const s of [3, 15, 40, 2 * half - 3]) {
      const depth = depthAt(task.plane, 0, half - s);
      if (depth * ky < 0.6) continue;
      const x = start + s * kx;
      const edge = rowOf(picture, dpi, x, slit);
      expect(Math.abs((rowOf(picture, dpi, x, slit + depth * ky) - edge) / ky - depth)).toBeLessThan(SEEN_WITHIN);
      looked++;
    }
    // The strip along the first wall begins at the mouth corner of greatest y; this far the wall is straight. The line is a block over the floor.
    const { from: corner, to: end } = { from: { x: 0, y: half }, to: { x: task.outline.length, y: task.outline.rearHalf } };
    const wall = Math.hypot(end.x - corner.x, end.y - corner.y);
    const block = task.units === 'mm' ? 10 : 9.525;
    for (const s of [3, 22, 47, 61]) {
      const place = { x: (corner.x + (end.x - corner.x) * s) / wall, y: corner.y + ((end.y - corner.y) * s) / wall };
      const height = block - depthAt(task.plane, (end.x * s) / wall, place.y);
      const x = start + s * kx;
      const top = rowOf(picture, dpi, x, strip.top);
      expect(Math.abs(task.pocketDepth - (rowOf(picture, dpi, x, slit - height * ky) - top) / ky - height)).toBeLessThan(
        SEEN_WITHIN,
      );
      looked++;
    }
    expect(looked).toBeGreaterThan(3);
  });

  it.each(CASES)('has a gauge as much lower along as the floor is deeper: $name at $dpi dpi', ({ task, dpi }) => {
    const { sheet, picture } = partOf(task, 'gauge', dpi);
    const [kx, ky] = [100 / task.sheet.measuredX, 100 / task.sheet.measuredY];
    const [gauge, tall] = shapesOf(sheet);
    if (gauge === undefined || tall === undefined) throw new Error('no gauge');
    const { length } = task.outline;
    const heightOf = (shape: typeof gauge, s: number, stretch: number): number => {
      const x = shape.left + s * kx;
      const most = Math.max(depthAt(task.plane, 0, 0), depthAt(task.plane, length, 0));
      const low = shape.foot - stretch * (most - depthAt(task.plane, s, 0)) * ky;
      return (rowOf(picture, dpi, x, low) - rowOf(picture, dpi, x, shape.top)) / ky;
    };
    for (const [one, other] of [
      [4, 34],
      [16, 66],
    ] as const) {
      const fall = depthAt(task.plane, one, 0) - depthAt(task.plane, other, 0);
      for (const [shape, stretch] of [
        [gauge, 1],
        [tall, 10],
      ] as const)
        expect(Math.abs(heightOf(shape, one, stretch) - heightOf(shape, other, stretch) - stretch * fall)).toBeLessThan(
          SEEN_WITHIN + 0.03,
        );
    }
    // The square for the printer, true on paper once the printer has had its way: a side's run of ink.
    const side = sheet.marks.find((mark) => mark.kind === 'line' && mark.id === 'square-top');
    if (side?.kind === 'line') {
      const mm = 25.4 / dpi;
      const run = longestRun(picture.width, (i) => picture.tone(i, Math.round(side.from.y / mm - 0.5)) < 150);
      expect(Math.abs((run * mm) / kx - 50)).toBeLessThan(0.3);
    }
  });

  it.each(CASES)('has rails as high as the ramp at every place: $name at $dpi dpi', ({ task, dpi }) => {
    const { sheet, picture } = partOf(task, 'rails', dpi);
    const [kx, ky] = [100 / task.sheet.measuredX, 100 / task.sheet.measuredY];
    const { rails, heightAt } = railsOf(task);
    const [first] = shapesOf(sheet);
    if (first === undefined) throw new Error('no rail');
    const [tile] = tilesOf(task.rails.length, (sheet.width - 32) / kx);
    expect(Math.abs((first.right - first.left) / kx - (tile as { to: number }).to)).toBeLessThan(1e-6);
    for (const s of [2, 30, 71, 101, 117]) {
      const height = heightAt(rails[0].fromX + s, rails[0].inner);
      const x = first.left + s * kx;
      const seen = rowOf(picture, dpi, x, first.foot) - rowOf(picture, dpi, x, first.foot - height * ky);
      expect(Math.abs(seen / ky - height)).toBeLessThan(SEEN_WITHIN);
    }
  });
});
