import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LineMark, StationMark } from '../../src/guide/drawing.ts';
import { guideSheets, svgTexts } from '../../src/guide/guide.ts';
import { pdfBytes } from '../../src/pdfJob.ts';
import { spawned } from '../support/command.ts';
import { guideTask } from '../support/guideTasks.ts';
import { darkMiddle, greymapOf, longestRun, rasterOf } from '../support/raster.ts';

// Needs poppler-utils, which .ci/run brings: what the PDF looks like to a program that has nothing to do with the one that wrote it.
const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-poppler-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const DPI = 300;
const MM = 25.4 / DPI;
const JOBS = {
  a4: guideTask({}, { screws: [{ x: 14, y: -17 }] }),
  letter: guideTask(
    { length: 95, pitch: 0.009, roll: -0.006 },
    { hand: 'left', units: 'in', sheet: { paper: 'Letter', measuredX: 98.5, measuredY: 101 } },
  ),
};

function tool(name: string, args: readonly string[]): string {
  const ran = spawned(name, args, { cwd: folder });
  expect(ran.code, ran.err).toBe(0);
  expect(ran.err).toBe('');
  return ran.out;
}

describe.each(Object.entries(JOBS))('the PDF of %s in the eyes of another program', (name, task) => {
  const laid = guideSheets(task);
  if (!laid.ok) throw new Error('no guide');
  const sheets = laid.value;
  beforeAll(async () => writeFileSync(join(folder, `${name}.pdf`), await pdfBytes(sheets, 'Größe')));

  it('has its pages, their size, its fonts inside and its words', () => {
    const info = tool('pdfinfo', [`${name}.pdf`]);
    expect(Number(/^Pages: +(\d+)$/m.exec(info)?.[1])).toBe(sheets.length);
    const [, width, height] = /^Page size: +([\d.]+) x ([\d.]+) pts/m.exec(info) as RegExpExecArray;
    expect(Number(width)).toBeCloseTo(((sheets[0]?.width ?? 0) * 72) / 25.4, 2);
    expect(Number(height)).toBeCloseTo(((sheets[0]?.height ?? 0) * 72) / 25.4, 2);
    expect(info).toContain('Größe');
    const fonts = tool('pdffonts', [`${name}.pdf`])
      .trim()
      .split('\n')
      .slice(2);
    expect(fonts.length).toBeGreaterThanOrEqual(2);
    for (const font of fonts) expect(font).toMatch(/Type 3 +Custom +yes +no +yes/);
    const words = tool('pdftotext', [`${name}.pdf`, '-']);
    for (const word of ['MOUTH', 'Bench card', 'Only for the neck', `page ${sheets.length} of ${sheets.length}`])
      expect(words).toContain(word);
  });

  it('shows the same as the SVG: bars, stations, and hardly a pixel elsewhere', () => {
    tool('pdftoppm', ['-r', `${DPI}`, '-gray', `${name}.pdf`, name]);
    const svgs = svgTexts(sheets);
    sheets.forEach((sheet, i) => {
      const page = greymapOf(readFileSync(join(folder, `${name}-${i + 1}.pgm`)));
      const bar = (id: string): LineMark =>
        sheet.marks.find((mark): mark is LineMark => mark.kind === 'line' && mark.id === id) as LineMark;
      const x = bar('check-bar-x');
      const y = bar('check-bar-y');
      const along = longestRun(page.width, (c) => page.dark(c, Math.floor(x.from.y / MM)));
      const down = longestRun(page.height, (r) => page.dark(Math.floor(y.from.x / MM), r));
      // Each end carries half a tick of 0.3 mm.
      expect(Math.abs(along * MM - 0.3 - 10000 / task.sheet.measuredX)).toBeLessThan(0.2);
      expect(Math.abs(down * MM - 0.3 - 10000 / task.sheet.measuredY)).toBeLessThan(0.2);
      for (const { at } of sheet.marks.filter((mark): mark is StationMark => mark.kind === 'station')) {
        const [cx, cy, r] = [at.x / MM, at.y / MM, 1.1 / MM].map(Math.floor) as [number, number, number];
        expect(Math.abs(darkMiddle(cx - r, cx + r, (c) => page.dark(c, cy)) * MM - at.x)).toBeLessThan(0.08);
        expect(Math.abs(darkMiddle(cy - r, cy + r, (c) => page.dark(cx, c)) * MM - at.y)).toBeLessThan(0.08);
      }
      const other = rasterOf(svgs[i] as string, DPI);
      let dark = 0;
      let stray = 0;
      // A dark pixel of one must have a dark one of the other within two pixels (0.17 mm): rims may differ, places may not.
      const near = (px: number, py: number): boolean => {
        for (let dy = -2; dy <= 2; dy++) for (let dx = -2; dx <= 2; dx++) if (other.tone(px + dx, py + dy) < 200) return true;
        return false;
      };
      for (let py = 3; py < Math.min(page.height, other.height) - 3; py++)
        for (let px = 3; px < Math.min(page.width, other.width) - 3; px++) {
          if (!page.dark(px, py)) continue;
          dark++;
          if (!near(px, py)) stray++;
        }
      expect(dark).toBeGreaterThan(5000);
      expect(stray / dark).toBeLessThan(0.001);
    });
  });
});
