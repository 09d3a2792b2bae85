import modeling from '@jscad/modeling';
import stlReader from '@jscad/stl-deserializer';
import { describe, expect, it } from 'vitest';
import { orderOfWork } from '../../src/guide/card.ts';
import { contourLevels, filingRounds } from '../../src/guide/contours.ts';
import type { LineMark } from '../../src/guide/drawing.ts';
import { LEAVES, MOST_LEAVES, stackFor, stackText } from '../../src/guide/feelers.ts';
import { feelerRows } from '../../src/guide/gauge.ts';
import { guideSheets, type Part } from '../../src/guide/guide.ts';
import { railsOf } from '../../src/guide/rails.ts';
import { railSolids } from '../../src/guide/railsSolid.ts';
import { tilesOf } from '../../src/guide/ribbon.ts';
import { mapAt } from '../../src/guide/sheetMap.ts';
import { blockOf, stripRibbon, TONGUE, unrolled } from '../../src/guide/strip.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { guideTask } from '../support/guideTasks.ts';

const ROLLED = guideTask({ pitch: 0.009, roll: -0.006, cornerRadius: 8 }, { hand: 'left' });

function linesOf(task: GuideTask, part: Part, role: LineMark['role']): LineMark[] {
  const sheets = guideSheets(task, part);
  if (!sheets.ok) throw new Error(sheets.findings[0]?.message);
  return sheets.value.flatMap(({ marks }) =>
    marks.filter((mark): mark is LineMark => mark.kind === 'line' && mark.role === role),
  );
}

describe("the map's broken lines", () => {
  it('are named as they are drawn: long dashes, short ones, and dots for a second cutter', () => {
    const task = guideTask({}, { cutter: { diameter: 6, length: 26, wall: 0.15, rim: 3 } });
    const made = guideSheets(task, 'map');
    if (!made.ok) throw new Error('no map');
    const words = made.value.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []))).join(' ');
    expect(words).toContain('Long dashes: centreline.');
    expect(words).toContain("Short dashes: what a router's 6.00 mm cutter would leave");
    expect(words).toContain('dotted and nearer the walls, what the 3.00 mm rim cutter would leave');
    const dashes = (role: LineMark['role']) => new Set(linesOf(task, 'map', role).map(({ stroke }) => stroke.dash?.[0] ?? 0));
    const [long] = dashes('centreline');
    const [short, dot] = [...dashes('rim')].sort((a, b) => b - a);
    expect(long).toBeGreaterThan(5 * (short as number));
    expect(short).toBeGreaterThan(2 * (dot as number));
  });
});

describe('the depth-line strip', () => {
  const wordsOf = (task: GuideTask): string => {
    const made = guideSheets(task, 'strip');
    if (!made.ok) throw new Error('no strip');
    return made.value.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []))).join(' ');
  };

  it("is placed from the body's top once the floor that its foot would stand on is filed away", () => {
    const fresh = guideTask();
    const filed = guideTask({}, { filed: { ...fresh.plane, gx: 0.5 * fresh.plane.gx } });
    expect(wordsOf(fresh)).toContain('its foot on the floor as found.');
    expect(wordsOf(fresh)).toContain('Figures: depth to take off there, in mm.');
    expect(wordsOf(fresh)).not.toContain("body's top");
    const words = wordsOf(filed);
    expect(words).toContain("its upper edge level with the body's top");
    expect(words).toContain('as true as pocket.depth was measured');
    expect(words).toContain("the slit level with the floor as found, 17.40 mm (0.685 in) below the body's top.");
    expect(words).toContain('Figures: depth to reach there below the floor as found, in mm.');
    expect(words).not.toContain('its foot on');
  });

  it("has its upper edge where the body's top is, however shallow the pocket: placed by it every line is true", () => {
    for (const pocketDepth of [5, 9, 10.5, 17.4, 40])
      for (const units of ['mm', 'in'] as const) {
        const strip = stripRibbon(guideTask({ roll: 0.004 }, { pocketDepth, units }));
        for (const s of strip.bends) expect(strip.high(s)).toBe(pocketDepth);
      }
  });

  it('goes round the walls as someone in the pocket sees them from left to right', () => {
    const { outline } = ROLLED;
    const flat = unrolled(outline);
    const [start, end, middle] = [0, flat.length, flat.length / 2].map(flat.pointAt) as [
      { x: number; y: number },
      { x: number; y: number },
      { x: number; y: number },
    ];
    // Facing the bridge from the mouth, +y is on the left.
    expect(start.x).toBeCloseTo(0, 9);
    expect(start.y).toBeCloseTo(outline.mouthHalf, 9);
    expect(end.x).toBeCloseTo(0, 9);
    expect(end.y).toBeCloseTo(-outline.mouthHalf, 9);
    expect(middle.x).toBeCloseTo(outline.length, 9);
    expect(middle.y).toBeCloseTo(0, 9);
    // Nowhere does it jump or run at another pace than the paper.
    for (let s = 0; s + 0.01 <= flat.length; s += 0.37) {
      const [a, b] = [flat.pointAt(s), flat.pointAt(s + 0.01)];
      const step = Math.hypot(b.x - a.x, b.y - a.y);
      expect(step).toBeLessThanOrEqual(0.01 + 1e-9);
      expect(step).toBeGreaterThan(0.0099);
    }
  });

  it('draws its line at one height over the finished floor, and names the sides', () => {
    const strip = stripRibbon(ROLLED);
    const [slit, walls, mouth] = strip.lines;
    const { pointAt, length, bends } = unrolled(ROLLED.outline);
    expect(blockOf(ROLLED)).toBe(10);
    for (const s of bends) {
      const { x, y } = pointAt(s);
      expect(walls?.height(TONGUE + s)).toBeCloseTo(10 - depthAt(ROLLED.plane, x, y), 9);
    }
    // On a left-handed instrument +y is the bass side.
    expect(strip.inside.map(({ text }) => text)).toEqual([
      'bass wall',
      'rear wall',
      'treble wall',
      'bass | mouth: file to the line | treble',
    ]);
    expect(strip.length).toBe(TONGUE + length);
    const half = ROLLED.outline.mouthHalf;
    // Seen from the nut the side of +y is on the left; the slit, where both parts meet, is the floor as found.
    const below = (s: number): number => (slit?.height(s) ?? Number.NaN) - (mouth?.height(s) ?? Number.NaN);
    expect(below(TONGUE)).toBeCloseTo(depthAt(ROLLED.plane, 0, half), 9);
    expect(below(TONGUE + 2 * half)).toBeCloseTo(depthAt(ROLLED.plane, 0, -half), 9);
    expect(below(TONGUE)).toBeGreaterThan(below(TONGUE + 2 * half) + 0.2);
    expect([slit?.from, slit?.to, mouth?.from, mouth?.to]).toEqual([TONGUE, TONGUE + 2 * half, TONGUE, TONGUE + 2 * half]);
    // The lower part is there for the mouth's width and no further, and there is nothing of the tongue over the wall's own corner.
    expect(strip.low(TONGUE + 2 * half - 0.01)).toBeLessThan(-below(TONGUE) - 5);
    expect(strip.low(TONGUE + 2 * half + 0.01)).toBe(0);
  });

  it('keeps its line within a shallow pocket', () => {
    for (const pocketDepth of [3, 6, 9.9, 14, 30])
      for (const units of ['mm', 'in'] as const) {
        const block = blockOf(guideTask({}, { pocketDepth, units }));
        expect(block).toBeLessThanOrEqual(Math.max(pocketDepth * 0.7, 1.6));
        expect(block).toBeGreaterThanOrEqual(1);
      }
  });
});

describe('feelers', () => {
  it('takes the nearest stack of different leaves, the fewest where several are as near', () => {
    expect(stackFor(0.8, 'mm')?.leaves).toEqual([0.8]);
    expect(stackFor(0.65, 'mm')?.leaves).toEqual([0.6, 0.05]);
    expect(stackFor(0.0115, 'in')?.leaves).toEqual([0.01, 0.0015]);
    expect(stackFor(0, 'mm')).toBeUndefined();
    expect(stackFor(9, 'mm')).toBeUndefined();
    expect(stackText(undefined, 'mm')).toBe('-');
    for (const unit of ['mm', 'in'] as const) {
      const leaves = LEAVES[unit];
      for (let i = 1; i < 40; i++) {
        const wanted = (i * (leaves[leaves.length - 1] as number)) / 30;
        const stack = stackFor(wanted, unit);
        if (stack === undefined) continue;
        expect(new Set(stack.leaves).size).toBe(stack.leaves.length);
        expect(stack.leaves.length).toBeLessThanOrEqual(MOST_LEAVES);
        expect(stack.leaves.reduce((a, b) => a + b, 0)).toBeCloseTo(stack.total, 9);
        // A second witness: every pair and single leaf, by plain trial.
        const pairs = leaves.flatMap((a, n) => [a, ...leaves.slice(n + 1).map((b) => a + b)]);
        const best = Math.min(...pairs.map((sum) => Math.abs(sum - wanted)));
        expect(Math.abs(stack.total - wanted)).toBeLessThanOrEqual(best + 1e-9);
      }
    }
  });

  it('lists depths of the plane from mouth to rear, both sides where it rolls', () => {
    const { rows } = feelerRows(guideTask());
    expect(rows).toHaveLength(7);
    expect(rows[0]?.slice(0, 3)).toEqual(['0.0', '0.78', '18.18']);
    expect(rows[6]?.slice(0, 3)).toEqual(['71.5', '0.00', '17.40']);
    const rolled = feelerRows(ROLLED).rows;
    expect(rolled).toHaveLength(10);
    // Not even beside the rounded corner is a place named where there is no floor.
    for (const [, depth] of rolled) expect(Number(depth)).toBeGreaterThanOrEqual(ROLLED.plane.skim);
    const deeper = rolled.filter(([where]) => where === '0.0 bass').map(([, depth]) => Number(depth));
    const higher = rolled.filter(([where]) => where === '0.0 treble').map(([, depth]) => Number(depth));
    expect(deeper[0]).toBeGreaterThan((higher[0] as number) + 0.2);
  });
});

describe('the order of filing', () => {
  it('never takes a strip below its shallower line, whatever the skim', () => {
    let strips = 0;
    for (const skim of [0, 0.013, 0.19, 0.25, 0.4])
      for (const pitch of [0.004, 0.0109, -0.02]) {
        const task = guideTask({ pitch, skim });
        const levels = contourLevels(task, mapAt(task.sheet, { x: 0, y: 0 }), 7.5);
        const { step, even } = filingRounds(task, levels);
        expect(even).toBeLessThanOrEqual(skim);
        levels.forEach((level, i) => {
          strips++;
          expect(even + (i + 1) * step).toBeLessThanOrEqual(level + 1e-9);
        });
      }
    expect(strips).toBeGreaterThan(30);
    expect(orderOfWork(guideTask()).join(' ')).toContain('the first strip');
    expect(orderOfWork(guideTask({ pitch: 0, skim: 0.4 })).join(' ')).not.toContain('strip');
  });

  it("draws a router's rim where the cutter's face stays over the floor", () => {
    const task = guideTask({ widthAtMouth: 58.2 });
    const rim = linesOf(task, 'map', 'rim');
    const outer = 105;
    expect(rim.length).toBeGreaterThan(1);
    // R + clearance beside both side walls; the high rear keeps nothing but the clearance, too near the wall to draw.
    const middle =
      rim.map(({ from }) => from.x).reduce((a, b) => Math.max(a, b)) +
      rim.map(({ from }) => from.x).reduce((a, b) => Math.min(a, b));
    for (const { from, to } of rim) {
      expect(from.x).toBeCloseTo(to.x, 9);
      expect(Math.abs(from.x - middle / 2)).toBeCloseTo(58.2 / 2 - 3.15, 6);
    }
    expect(Math.abs(middle / 2 - outer)).toBeLessThan(20);
    expect(linesOf(guideTask({}, { cutter: undefined }), 'map', 'rim')).toEqual([]);
  });
});

describe('rails for a hand router', () => {
  it('carry the base parallel to the floor, one setting of the cutter for all of it', () => {
    for (const task of [guideTask(), ROLLED, guideTask({ pitch: -0.015, skim: 0.2 })]) {
      const { heightAt, setting } = railsOf(task);
      const { plane, pocketDepth } = task;
      const size = Math.hypot(plane.gx, plane.gy, 1);
      for (const [x, y] of [
        [0, 0],
        [71, 20],
        [30, -29],
      ] as const) {
        // From a point of the base straight along its own normal by the setting: the tip lies on the floor.
        const z = pocketDepth + heightAt(x, y);
        const tip = {
          x: x - (setting * plane.gx) / size,
          y: y - (setting * plane.gy) / size,
          z: z - setting / size,
        };
        expect(tip.z).toBeCloseTo(-depthAt(plane, tip.x, tip.y), 9);
      }
    }
  });

  it('are closed solids of the right heights and volume, read back by a library', () => {
    for (const task of [guideTask(), ROLLED]) {
      const { rails, heightAt } = railsOf(task);
      const files = railSolids(task);
      expect(files.map(({ name }) => name)).toEqual(['rails-left.stl', 'rails-right.stl']);
      files.forEach(({ text }, i) => {
        const rail = rails[i] as (typeof rails)[number];
        const solid = stlReader.deserialize({ output: 'geometry', filename: 'rail.stl' }, text);
        const { measureVolume, measureBoundingBox } = modeling.measurements;
        const { fromX, toX, inner, outer } = rail;
        const mean = heightAt((fromX + toX) / 2, (inner + outer) / 2);
        expect(measureVolume(solid) / ((toX - fromX) * Math.abs(outer - inner) * mean)).toBeCloseTo(1, 5);
        const [low, high] = measureBoundingBox(solid);
        const heights = [fromX, toX].flatMap((x) => [inner, outer].map((y) => heightAt(x, y)));
        expect(Math.min(...heights)).toBeGreaterThanOrEqual(6 - 1e-9);
        [fromX, Math.min(inner, outer), 0].forEach((value, k) => {
          expect(low[k]).toBeCloseTo(value, 4);
        });
        [toX, Math.max(inner, outer), Math.max(...heights)].forEach((value, k) => {
          expect(high[k]).toBeCloseTo(value, 4);
        });
        // Closed: every edge is walked once each way.
        const corners = [...text.matchAll(/vertex (.*)/g)].map(([, corner]) => corner as string);
        const edges = new Map<string, number>();
        for (let n = 0; n < corners.length; n += 3)
          for (const [a, b] of [
            [0, 1],
            [1, 2],
            [2, 0],
          ] as const) {
            const [from, to] = [corners[n + a] as string, corners[n + b] as string];
            const [key, sign] = from < to ? [`${from}|${to}`, 1] : [`${to}|${from}`, -1];
            edges.set(key, (edges.get(key) ?? 0) + sign);
          }
        expect(edges.size).toBe(18);
        expect([...edges.values()].every((sum) => sum === 0)).toBe(true);
      });
    }
  });

  it('are cut into tiles that overlap and leave nothing out', () => {
    expect(tilesOf(100, 120)).toEqual([{ from: 0, to: 100 }]);
    for (const [length, room] of [
      [260, 178],
      [900, 140],
      [178.5, 178],
    ] as const) {
      const tiles = tilesOf(length, room);
      expect(tiles.length).toBeGreaterThan(1);
      expect(tiles[0]?.from).toBe(0);
      expect(tiles[tiles.length - 1]?.to).toBeCloseTo(length, 9);
      tiles.forEach(({ from, to }, i) => {
        expect(to - from).toBeLessThanOrEqual(room + 1e-9);
        const next = tiles[i + 1];
        if (next !== undefined) expect(to - next.from).toBeCloseTo(12, 9);
      });
    }
  });
});

describe('the square on the gauge sheet', () => {
  it('has equal diagonals once the printer has had its way', () => {
    const task = guideTask({}, { sheet: { paper: 'A4', measuredX: 97, measuredY: 103 } });
    const found = linesOf(task, 'gauge', 'bar').filter(({ id }) => id?.startsWith('diagonal'));
    expect(found).toHaveLength(2);
    for (const { from, to } of found)
      expect(Math.hypot((to.x - from.x) * 0.97, (to.y - from.y) * 1.03)).toBeCloseTo(50 * Math.SQRT2, 6);
  });
});
