import { describe, expect, it } from 'vitest';
import { boxAround, type LineMark, type PathMark, type StationMark } from '../../src/guide/drawing.ts';
import { guideSheets, svgTexts } from '../../src/guide/guide.ts';
import { crossesBox } from '../../src/guide/segments.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { guideTask } from '../support/guideTasks.ts';
import { darkMiddle, rasterOf } from '../support/raster.ts';

const JOBS = {
  mm: guideTask(),
  'rolled, on a printer that is off': guideTask(
    { pitch: 0.01, roll: 0.007 },
    { sheet: { paper: 'Letter', measuredX: 98.4, measuredY: 101.3 } },
  ),
};

describe('the map as pixels', () => {
  // Twice: what depends on a resolution is not true to size.
  it.each(Object.entries(JOBS).flatMap(([name, task]) => [300, 600].map((dpi) => ({ name, task, dpi }))))(
    'has outline, stations and lines of equal depth where the plane has them: $name at $dpi dpi',
    ({ task, dpi }) => {
      const sheets = guideSheets(task, 'map');
      if (!sheets.ok) throw new Error('no map');
      const [sheet] = sheets.value;
      const raster = rasterOf(svgTexts(sheets.value)[0] as string, dpi);
      const mm = 25.4 / dpi;
      expect(raster.width * mm).toBeCloseTo(sheet?.width as number, 0);
      const marks = sheet?.marks ?? [];
      const kx = 100 / task.sheet.measuredX;
      const ky = 100 / task.sheet.measuredY;
      // The outline's mouth edge and side walls, found in the picture, give the frame that all else is measured from.
      const outline = marks.find((mark): mark is PathMark => mark.kind === 'path' && mark.id === 'floor-outline');
      const start = outline?.steps[0];
      if (start?.kind !== 'move') throw new Error('no outline');
      const half = task.outline.mouthHalf;
      const mouthRow = (from: number, to: number): number =>
        darkMiddle(from, to, (i) => raster.dark(Math.round((start.to.x + 12) / mm), i));
      const mouth = mouthRow(Math.round((start.to.y - 1) / mm), Math.round((start.to.y + 1) / mm)) * mm;
      expect(Math.abs(mouth - start.to.y)).toBeLessThan(0.06);
      const middle = start.to.x + half * kx;
      const stations = marks.filter((mark): mark is StationMark => mark.kind === 'station');
      expect(stations.length).toBeGreaterThanOrEqual(12);
      for (const { at, x, y, depth } of stations) {
        const [cx, cy, r] = [at.x / mm, at.y / mm, 1.1 / mm].map(Math.round) as [number, number, number];
        const across = darkMiddle(cx - r, cx + r, (i) => raster.dark(i, cy)) * mm;
        const down = darkMiddle(cy - r, cy + r, (i) => raster.dark(cx, i)) * mm;
        expect(Math.abs(across - (middle + y * kx))).toBeLessThan(0.08);
        expect(Math.abs(down - (mouth + x * ky))).toBeLessThan(0.1);
        expect(depth).toBeCloseTo(depthAt(task.plane, x, y), 9);
      }
      const lines = marks.filter((mark): mark is LineMark => mark.kind === 'line');
      const looked = { contour: 0, stage: 0 };
      for (const line of lines) {
        const { from, to, depth, role } = line;
        if ((role !== 'contour' && role !== 'stage') || Math.hypot(to.x - from.x, to.y - from.y) < (role === 'stage' ? 3 : 6))
          continue;
        // A thin line is darker than the paper beside it where the plane says that it runs, wherever no other line is near.
        const at = [0.4, 0.3, 0.6, 0.2, 0.7]
          .map((share) => ({ x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) }))
          .find(
            (place) =>
              !lines.some((other) => other !== line && crossesBox(other, boxAround(place, role === 'stage' ? 0.4 : 0.7))),
          );
        if (at === undefined) continue;
        const here = depthAt(task.plane, (at.y - mouth) / ky, (at.x - middle) / kx);
        expect(Math.abs(here - (depth as number))).toBeLessThan(0.002);
        const column = Math.round(at.x / mm);
        const tones = Array.from({ length: 2 * Math.round(0.4 / mm) + 1 }, (_, i) =>
          raster.tone(column, Math.round(at.y / mm) - Math.round(0.4 / mm) + i),
        );
        const darkest = tones.indexOf(Math.min(...tones)) - Math.round(0.4 / mm);
        expect(Math.min(...tones)).toBeLessThan(235);
        expect(Math.abs(darkest) * mm).toBeLessThan(0.2);
        looked[role]++;
      }
      expect(looked.contour).toBeGreaterThan(3);
      expect(looked.stage).toBeGreaterThan(0);
    },
  );
});
