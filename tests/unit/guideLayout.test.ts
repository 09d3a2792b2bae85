import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { clashesOf } from '../../src/guide/clashes.ts';
import type { Drawing, LineMark, PathMark, StationMark, TextMark } from '../../src/guide/drawing.ts';
import { guideSheets, guideSvg } from '../../src/guide/guide.ts';
import { holdsBox } from '../../src/guide/segments.ts';
import { layGuide } from '../../src/guide/sheets.ts';
import { shapeOf } from '../../src/guide/stations.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { flatten, type Outline, type OutlinePiece } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { anyGuideTask, guideTask } from '../support/guideTasks.ts';

const SEED = 20260; // printed by fast-check on failure

const stationsOf = (sheet: Drawing): StationMark[] => sheet.marks.filter((mark) => mark.kind === 'station');
const textsOf = (sheet: Drawing): TextMark[] => sheet.marks.filter((mark) => mark.kind === 'text');
const linesOf = (sheet: Drawing, role: LineMark['role']): LineMark[] =>
  sheet.marks.filter((mark) => mark.kind === 'line').filter((line) => line.role === role);

function firstSheet(task: GuideTask): Drawing {
  const sheet = layGuide(task)?.[0];
  if (sheet === undefined) throw new Error('no sheet');
  return sheet;
}

/** Page to body, found from two stations far apart rather than from the program's own map. */
function bodyOf(stations: readonly StationMark[]): (p: { x: number; y: number }) => { x: number; y: number } {
  const far = (key: 'x' | 'y'): [StationMark, StationMark] => {
    const sorted = [...stations].sort((a, b) => a[key] - b[key]);
    return [sorted[0] as StationMark, sorted[sorted.length - 1] as StationMark];
  };
  const [x0, x1] = far('x');
  const [y0, y1] = far('y');
  const perX = (x1.at.y - x0.at.y) / (x1.x - x0.x);
  const perY = (y1.at.x - y0.at.x) / (y1.y - y0.y);
  return (p) => ({ x: x0.x + (p.y - x0.at.y) / perX, y: y0.y + (p.x - y0.at.x) / perY });
}

describe('the sheet', () => {
  it('holds everything without one thing on another, whatever the job', () => {
    let laid = 0;
    fc.assert(
      fc.property(anyGuideTask(), (task) => {
        const sheets = layGuide(task);
        if (sheets === undefined) return;
        laid++;
        for (const sheet of sheets) expect(clashesOf(sheet)).toEqual([]);
        const stations = stationsOf(sheets[0] as Drawing);
        expect(stations.length).toBeGreaterThanOrEqual(12);
        const { polygon, edges } = shapeOf(flatten(task.outline, 0.001));
        for (const { x, y, depth } of stations) {
          expect(holdsBox(polygon, edges, { left: x - 0.2, right: x + 0.2, top: y - 0.2, bottom: y + 0.2 })).toBe(true);
          expect(depth).toBeCloseTo(depthAt(task.plane, x, y), 12);
        }
        const words = textsOf(sheets[0] as Drawing).map(({ text }) => text);
        for (const name of ['MOUTH', 'REAR']) expect(words.filter((text) => text === name)).toHaveLength(1);
        // A sheet too narrow for the sides' names beside the map has them on its tab.
        for (const name of ['BASS', 'TREBLE'])
          expect(words.filter((text) => text === name || text === name.toLowerCase()).length).toBeGreaterThan(0);
      }),
      { seed: SEED, numRuns: 100 },
    );
    expect(laid).toBeGreaterThan(55);
  });

  it('holds everything on every other sheet too, or says that the paper is too small', () => {
    const seen = { strip: 0, gauge: 0, rails: 0, card: 0 };
    fc.assert(
      fc.property(anyGuideTask(), (task) => {
        for (const part of ['strip', 'gauge', 'rails', 'card'] as const) {
          const sheets = guideSheets(task, part);
          if (!sheets.ok) {
            expect(sheets.findings[0]).toMatchObject({ code: 'sheet-too-small', exit: 3 });
            continue;
          }
          seen[part]++;
          for (const sheet of sheets.value) expect(clashesOf(sheet)).toEqual([]);
          sheets.value.forEach((sheet, i) => {
            const words = textsOf(sheet).map(({ text }) => text);
            expect(words).toContain(`job 0123456789ab, page ${i + 1} of ${sheets.value.length}`);
            const bars = linesOf(sheet, 'bar').filter(({ id }) => id === 'check-bar-x' || id === 'check-bar-y');
            expect(bars).toHaveLength(2);
          });
        }
      }),
      { seed: SEED, numRuns: 100 },
    );
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(60);
  });

  it('is well-formed XML without exponents and non-numbers, whatever the title', () => {
    fc.assert(
      fc.property(anyGuideTask(), (task) => {
        const pages = guideSvg(task);
        if (!pages.ok) {
          expect(pages.findings[0]?.code).toBe('sheet-too-small');
          return;
        }
        for (const svg of pages.value) {
          const parser = new SaxesParser();
          parser.on('error', (error) => {
            throw error;
          });
          parser.write(svg).close();
          for (const [, name, value] of svg.matchAll(/ ([\w-]+)="([^"]*)"/g))
            if (/^(x|y|x1|y1|x2|y2|cx|cy|r|d|data-\w+|font-size)$/.test(name as string))
              expect(value).not.toMatch(/NaN|Infinity|\de|undefined/);
          expect(svg).not.toContain('transform');
        }
      }),
      { seed: SEED, numRuns: 40 },
    );
  });

  it('finds clashes where there are some', () => {
    const text = (x: number, y: number): TextMark => ({
      kind: 'text',
      at: { x, y },
      text: 'here',
      size: 4,
      anchor: 'start',
      bold: false,
    });
    const line: LineMark = {
      kind: 'line',
      role: 'tick',
      from: { x: 40, y: 0 },
      to: { x: 45, y: 60 },
      stroke: { width: 0.2, grey: '#000' },
    };
    expect(clashesOf({ width: 100, height: 100, marks: [text(40, 40), text(44, 42)] })).toHaveLength(1);
    expect(clashesOf({ width: 100, height: 100, marks: [text(97, 40)] })).toHaveLength(1);
    expect(clashesOf({ width: 100, height: 100, marks: [text(42, 40), line] })).toHaveLength(2);
    expect(clashesOf({ width: 100, height: 100, marks: [text(40, 40), text(40, 50)] })).toEqual([]);
    const square = (left: number): PathMark => ({
      kind: 'path',
      steps: [
        { kind: 'move', to: { x: left, y: 20 } },
        { kind: 'line', to: { x: left, y: 80 } },
        { kind: 'line', to: { x: 90, y: 80 } },
        { kind: 'close' },
      ],
      stroke: { width: 0.2, grey: '#000' },
    });
    expect(clashesOf({ width: 100, height: 100, marks: [text(40, 60), square(42)] })).toHaveLength(1);
    expect(clashesOf({ width: 100, height: 100, marks: [text(40, 76), square(20)] })).toEqual([]);
  });

  it('draws every contour where the plane has that depth, and says the depth once, in both units where there is room', () => {
    let inBoth = 0;
    for (const task of [
      guideTask(),
      guideTask({ pitch: -0.014 }),
      guideTask({ pitch: 0.01, roll: 0.007 }, { units: 'in' }),
      guideTask(
        { pitch: 0.004, roll: -0.02, skim: 0.3 },
        { hand: 'left', sheet: { paper: 'Letter', measuredX: 98, measuredY: 101.5 } },
      ),
    ]) {
      const sheet = firstSheet(task);
      const body = bodyOf(stationsOf(sheet));
      const contours = linesOf(sheet, 'contour');
      const levels = new Set(contours.map(({ depth }) => depth));
      expect(levels.size).toBeGreaterThanOrEqual(3);
      for (const { from, to, depth } of contours)
        for (const end of [from, to]) {
          const { x, y } = body(end);
          expect(depthAt(task.plane, x, y)).toBeCloseTo(depth as number, 6);
        }
      const words = textsOf(sheet).map(({ text }) => text);
      for (const level of levels) {
        const [mm, inches] = [(level as number).toFixed(2), ((level as number) / 25.4).toFixed(3)];
        const [own, other] = task.units === 'mm' ? [mm, inches] : [inches, mm];
        expect(words.filter((text) => text === own || text === `${own} (${other})`)).not.toEqual([]);
        if (words.some((text) => text.endsWith(` (${other})`))) inBoth += 1;
      }
    }
    expect(inBoth).toBeGreaterThan(10);
  });

  it('draws the hinge where the depth is the skim, and no hinge where there is no tilt', () => {
    for (const task of [guideTask(), guideTask({ pitch: -0.01, skim: 0.2 }), guideTask({ pitch: 0.01, roll: 0.01 })]) {
      const sheet = firstSheet(task);
      const body = bodyOf(stationsOf(sheet));
      const hinge = linesOf(sheet, 'hinge');
      expect(hinge.length).toBeGreaterThan(0);
      for (const end of hinge.flatMap(({ from, to }) => [from, to])) {
        const { x, y } = body(end);
        expect(depthAt(task.plane, x, y)).toBeCloseTo(task.plane.skim, 6);
      }
      expect(textsOf(sheet).filter(({ text }) => text.startsWith('hinge'))).toHaveLength(1);
    }
    const flat = firstSheet(guideTask({ pitch: 0, skim: 0.4 }));
    expect(linesOf(flat, 'hinge')).toEqual([]);
    expect(linesOf(flat, 'contour')).toEqual([]);
  });

  it('crosses every screw hole at its place and says how many lie off the map', () => {
    const screws = [
      { x: 14, y: -17 },
      { x: 57, y: 16 },
      { x: 240, y: 99 },
    ];
    const sheet = firstSheet(guideTask({}, { screws }));
    const body = bodyOf(stationsOf(sheet));
    const crosses = linesOf(sheet, 'screw');
    expect(crosses).toHaveLength(4);
    for (const { x, y } of screws.slice(0, 2)) {
      const middles = crosses.map(({ from, to }) => body({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }));
      expect(middles.filter((m) => Math.hypot(m.x - x, m.y - y) < 1e-6)).toHaveLength(2);
    }
    expect(
      textsOf(sheet)
        .map(({ text }) => text)
        .join(' '),
    ).toContain('(1 more lie');
  });

  it('prints beside each station its own depth in the units of the job', () => {
    for (const units of ['mm', 'in'] as const) {
      const sheet = firstSheet(guideTask({ pitch: 0.01, roll: 0.006 }, { units }));
      const texts = textsOf(sheet);
      for (const { at, depth } of stationsOf(sheet)) {
        const near = texts.filter(
          (text) => Math.abs(Math.abs(text.at.x - at.x) - 1.6) < 0.01 && Math.abs(text.at.y - at.y - 1.48) < 0.01,
        );
        expect(near.map(({ text }) => text)).toEqual([units === 'mm' ? depth.toFixed(2) : (depth / 25.4).toFixed(3)]);
        expect(near[0]?.size).toBeGreaterThanOrEqual(4);
      }
    }
  });

  it('keeps its stations inside a drawn outline with a notch', () => {
    const corners = [
      { x: 0, y: -30 },
      { x: 80, y: -30 },
      { x: 80, y: -8 },
      { x: 55, y: 0 },
      { x: 80, y: 8 },
      { x: 80, y: 30 },
      { x: 0, y: 30 },
    ];
    const pieces = corners.map(
      (from, i): OutlinePiece => ({ kind: 'line', from, to: corners[(i + 1) % corners.length] as { x: number; y: number } }),
    );
    const outline: Outline = { pieces, length: 80, mouthHalf: 30, rearHalf: 30 };
    const task = guideTask({ pitch: 0.012, roll: 0.003 }, { outline });
    const sheet = firstSheet(task);
    expect(clashesOf(sheet)).toEqual([]);
    const { polygon, edges } = shapeOf(corners);
    const stations = stationsOf(sheet);
    expect(stations.length).toBeGreaterThanOrEqual(12);
    for (const { x, y } of stations)
      expect(holdsBox(polygon, edges, { left: x - 1, right: x + 1, top: y - 1, bottom: y + 1 })).toBe(true);
  });
});
