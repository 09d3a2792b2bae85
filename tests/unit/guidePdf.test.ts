import { describe, expect, it } from 'vitest';
import type { LineMark, StationMark, TextMark } from '../../src/guide/drawing.ts';
import { guideSheets } from '../../src/guide/guide.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { textWidth } from '../../src/guide/text.ts';
import { pdfBytes } from '../../src/pdfJob.ts';
import { guideTask } from '../support/guideTasks.ts';
import { readPdf, seenOn } from '../support/pdfRead.ts';

function sheetsOf(task: GuideTask) {
  const sheets = guideSheets(task);
  if (!sheets.ok) throw new Error(sheets.findings[0]?.message);
  return sheets.value;
}

/** mm, by which the two writers may differ (a tenth of a printer's dot). */
const AGREE = 0.02;

const TASKS = {
  'a usual job': guideTask({}, { screws: [{ x: 14, y: -17 }] }),
  'a left-handed bass in inches': guideTask(
    { length: 95, pitch: 0.009, roll: -0.006 },
    { hand: 'left', units: 'in', sheet: { paper: 'Letter', measuredX: 98.5, measuredY: 101 }, title: 'Größe Щука 漢' },
  ),
};

describe('the guide as PDF', () => {
  it.each(Object.entries(TASKS))('places everything where the drawing has it: %s', async (_, task) => {
    const sheets = sheetsOf(task);
    const { pages } = readPdf(await pdfBytes(sheets, 'sample'));
    expect(pages).toHaveLength(sheets.length);
    expect(sheets.length).toBeGreaterThanOrEqual(5);
    sheets.forEach((sheet, i) => {
      const page = pages[i] as (typeof pages)[number];
      expect(Math.abs(page.width - sheet.width)).toBeLessThan(AGREE / 10);
      expect(Math.abs(page.height - sheet.height)).toBeLessThan(AGREE / 10);
      const seen = seenOn(page);
      const lines = sheet.marks.filter((mark): mark is LineMark => mark.kind === 'line');
      expect(seen.lines.length).toBe(lines.length);
      expect(lines.length).toBeGreaterThan(5);
      lines.forEach(({ from, to }, n) => {
        const found = seen.lines[n] as readonly number[];
        [from.x, from.y, to.x, to.y].forEach((value, k) => {
          expect(Math.abs((found[k] as number) - value)).toBeLessThan(AGREE);
        });
      });
      const stations = sheet.marks.filter((mark): mark is StationMark => mark.kind === 'station');
      expect(seen.fills).toHaveLength(stations.length);
      stations.forEach(({ at, radius }, n) => {
        const { left, right, top, bottom } = seen.fills[n] as (typeof seen.fills)[number];
        expect(Math.abs((left + right) / 2 - at.x)).toBeLessThan(AGREE);
        expect(Math.abs((top + bottom) / 2 - at.y)).toBeLessThan(AGREE);
        expect(Math.abs(right - left - 2 * radius)).toBeLessThan(AGREE);
      });
      const texts = sheet.marks.filter((mark): mark is TextMark => mark.kind === 'text' && mark.text.trim() !== '');
      expect(seen.texts).toHaveLength(texts.length);
      texts.forEach((mark, n) => {
        const width = textWidth(mark.text, mark.size, mark.bold);
        const left = mark.at.x - { start: 0, middle: width / 2, end: width }[mark.anchor];
        const found = seen.texts[n] as (typeof seen.texts)[number];
        expect(Math.abs(found.x - left)).toBeLessThan(AGREE);
        expect(Math.abs(found.y - mark.at.y)).toBeLessThan(AGREE);
        expect(Math.abs(found.size - mark.size)).toBeLessThan(AGREE / 10);
      });
    });
    expect(seenOn(pages[0] as (typeof pages)[number]).fills.length).toBeGreaterThanOrEqual(12);
  });

  it('draws the rounded corners on the inside of the corner', async () => {
    const round = 15;
    const task = guideTask(
      { widthAtMouth: 58.2, cornerRadius: round },
      { sheet: { paper: 'A4', measuredX: 98, measuredY: 102 } },
    );
    const [page] = readPdf(await pdfBytes(sheetsOf(task), 'sample')).pages;
    const curved = seenOn(page as NonNullable<typeof page>).curved;
    const [outline] = curved;
    // The others are the rings round the strips' numbers.
    expect(curved.filter(({ left, right }) => right - left > 10)).toHaveLength(1);
    // An arc that bulged the wrong way would reach into the pocket, one on the wrong side of its chord beyond the walls.
    const { left, right, top, bottom } = outline as NonNullable<typeof outline>;
    expect(Math.abs(right - left - (58.2 * 100) / 98)).toBeLessThan(AGREE);
    expect(Math.abs(bottom - top - (71.5 * 100) / 102)).toBeLessThan(AGREE);
    const points = seenOn(page as NonNullable<typeof page>).curvePoints[0] as readonly (readonly [number, number])[];
    // In the pocket's own mm: every point near the rear corner lies on the circle about its centre.
    const corner = points
      .map(([x, y]) => ({ x: ((right - x) * 98) / 100, y: ((bottom - y) * 102) / 100 }))
      .filter(({ x, y }) => x < round - 0.01 && y < round - 0.01);
    expect(corner.length).toBeGreaterThan(4);
    for (const { x, y } of corner) expect(Math.abs(Math.hypot(x - round, y - round) - round)).toBeLessThan(AGREE);
  });

  it('is the same to the last byte each time, and another for another job', async () => {
    const bytes = async (task: GuideTask): Promise<string> =>
      Buffer.from(await pdfBytes(sheetsOf(task), 'sample')).toString('latin1');
    const first = await bytes(guideTask());
    expect(await bytes(guideTask())).toBe(first);
    expect(await bytes(guideTask({ pitch: 0.011 }))).not.toBe(first);
  });

  it('holds its letters itself, and what they stand for', async () => {
    const text = Buffer.from(await pdfBytes(sheetsOf(guideTask()), 'sample')).toString('latin1');
    const kinds = [...text.matchAll(/\/Subtype \/(Type\w*|TrueType|CID\w+)/g)].map(([, kind]) => kind);
    expect(kinds.length).toBeGreaterThanOrEqual(2);
    expect(new Set(kinds)).toEqual(new Set(['Type3']));
    expect([...text.matchAll(/\/ToUnicode \d+ 0 R/g)]).toHaveLength(kinds.length);
  });
});
