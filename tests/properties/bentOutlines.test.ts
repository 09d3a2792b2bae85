import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawnOutline } from '../../src/job/drawnOutline.ts';
import { apartInZ, withRimCutter } from '../../src/job/shop.ts';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { isConvex } from '../../src/program/region.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { planRim, writeRimProgram } from '../../src/program/writeRim.ts';
import { type ProofWork, proveProgram } from '../../src/proof/prove.ts';
import { type DenseCase, denseJudge } from '../support/denseJudge.ts';
import { shopOf, taskOf } from '../unit/programTasks.ts';

const SEED = Number(process.env.PROPERTY_SEED ?? 20261126);
const RUNS = Number(process.env.PROPERTY_RUNS ?? 10);

const from = (least: number, most: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 10_000 }).map((k) => least + ((most - least) * k) / 10_000);

/** Corners on a wall: at which part of its length, and how far out (or, below 0, into the pocket). */
const bends = fc.array(fc.record({ at: from(0.25, 0.85), out: from(-6, 4) }), { minLength: 1, maxLength: 3 });

interface Bent {
  readonly low: readonly { readonly at: number; readonly out: number }[];
  readonly high: readonly { readonly at: number; readonly out: number }[];
  readonly rear: readonly { readonly at: number; readonly out: number }[];
  readonly length: number;
  readonly width: number;
}

/** Corners from the mouth's corner of least y round to that of greatest y. */
function cornersOf({ low, high, rear, length, width }: Bent): Point2[] {
  const half = width / 2;
  const inOrder = (some: Bent['low']): Bent['low'] =>
    [...some].sort((a, b) => a.at - b.at).filter(({ at }, i, all) => i === 0 || at - (all[i - 1] as { at: number }).at > 0.12);
  return [
    { x: 0, y: -half },
    ...inOrder(low).map(({ at, out }) => ({ x: at * length, y: -half - out })),
    { x: length, y: -half },
    ...[...rear].sort((a, b) => a.at - b.at).map(({ at, out }) => ({ x: length + out, y: -half + at * width })),
    { x: length, y: half },
    ...inOrder(high)
      .map(({ at, out }) => ({ x: at * length, y: half + out }))
      .reverse(),
    { x: 0, y: half },
  ];
}

function outlineOf(corners: readonly Point2[]): Outline | undefined {
  const half = (corners.at(-1) as Point2).y;
  const path = corners.map(({ x, y }) => `${(x + 10).toFixed(4)} ${(60 - y).toFixed(4)}`).join(' L');
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="120mm" viewBox="0 0 120 120"><path id="pocket" d="M${path} Z"/>
    <line id="mouth" x1="10" y1="${61 - half}" x2="10" y2="${59 + half}"/><circle id="bass" cx="30" cy="${60 + half / 2}" r="1"/></svg>`;
  const read = drawnOutline({ text, file: 'bent.svg' }, 'right');
  return read.ok ? read.value : undefined;
}

function bentTask(
  corners: readonly Point2[],
  outline: Outline,
  gx: number,
  gy: number,
  diameter: number,
  inch: boolean,
): ProgramTask {
  const along = corners.map(({ x, y }) => gx * x + gy * y);
  const plane = { hinge: { x: 0, y: 0 }, skim: 0.05 - Math.min(...along), gx, gy };
  const deepest = 0.05 + Math.max(...along) - Math.min(...along);
  const shop = shopOf({ cutter: { diameter }, pass: { width: 0.4 * diameter }, program: { units: inch ? 'in' : 'mm' } });
  return taskOf({ outline, plane, shop, deepest, clearBefore: 30 });
}

function workOf({ plane, outline, pocketDepth, deepest, shop }: ProgramTask): ProofWork {
  return { plane, outline, pocketDepth, clearBefore: 30, deepest, shop };
}

function denseOf(task: ProgramTask, corners: readonly Point2[]): DenseCase {
  const { plane, shop } = task;
  return {
    length: Math.max(...corners.map(({ x }) => x)),
    width: 2 * Math.max(...corners.map(({ y }) => Math.abs(y))),
    corners,
    pocketDepth: task.pocketDepth,
    clearBefore: 30,
    d0: plane.skim,
    dx: plane.gx,
    dy: plane.gy,
    radius: (shop.cutter.diameter as number) / 2,
    cutterLength: 26,
    speed: 16000,
    warmUp: 4,
    cut: 1200,
    plunge: 300,
    passDepth: 0.3,
    mayStay: 0.02,
    above: 8,
    wall: 0.15,
  };
}

describe('pockets with corners that point inwards', () => {
  const seen = { proved: 0, refused: 0, rims: 0, judged: 0 };

  it(
    'are cut as a slow judge finds right, or refused; never unproved, never wrongly',
    () => {
      fc.assert(
        fc.property(
          fc.record({
            low: bends,
            high: bends,
            rear: fc.array(fc.record({ at: from(0.2, 0.8), out: from(-7, 5) }), { maxLength: 2 }),
            length: from(30, 50),
            width: from(26, 44),
          }),
          from(-0.03, 0.03),
          from(-0.015, 0.015),
          fc.constantFrom(3, 4, 6, 8),
          fc.boolean(),
          (bent, gx, gy, diameter, inch) => {
            const corners = cornersOf(bent);
            const outline = outlineOf(corners);
            fc.pre(outline !== undefined && !isConvex(outline));
            const task = bentTask(corners, outline as Outline, gx, gy, diameter, inch);
            const written = writeFloorProgram(task);
            if (!written.ok) {
              seen.refused += 1;
              for (const { code } of written.findings)
                expect(['cutter-too-wide', 'waist-too-narrow', 'too-steep-to-enter']).toContain(code);
              return;
            }
            const { text } = written.value;
            expect(proveProgram(text, workOf(task), 'floor').faults).toEqual([]);
            seen.proved += 1;
            if (seen.proved % 3 === 1) {
              seen.judged += 1;
              expect(denseJudge(text, denseOf(task, corners))).toEqual([]);
            }
            if (diameter < 6) return;
            const rim = {
              diameter: diameter / 2,
              length: 26,
              flutes: 2,
              speed: 16000,
              cut: 1200,
              plunge: 300,
              depth: 0.3,
              width: 0.2 * diameter,
            };
            const both = { ...task, shop: { ...task.shop, rim } };
            const plan = planRim(both);
            if (!plan.ok || plan.value === undefined) return;
            const before = { text, shop: both.shop, higher: apartInZ(both.shop) };
            const work = { ...workOf(both), shop: withRimCutter(both.shop, rim), before };
            expect(proveProgram(writeRimProgram(plan.value).text, work, 'rim').faults).toEqual([]);
            seen.rims += 1;
          },
        ),
        { seed: SEED, numRuns: RUNS },
      );
      expect(seen.proved, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 2);
      expect(seen.rims, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 6);
      expect(seen.judged, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 6);
    },
    60_000 + RUNS * 10_000,
  );
});

describe('a waist', () => {
  const waisted = (gap: number): Point2[] => [
    { x: 0, y: -15 },
    { x: 16, y: -15 },
    { x: 20, y: -gap / 2 },
    { x: 24, y: -15 },
    { x: 40, y: -15 },
    { x: 40, y: 15 },
    { x: 24, y: 15 },
    { x: 20, y: gap / 2 },
    { x: 16, y: 15 },
    { x: 0, y: 15 },
  ];
  const written = (gap: number): ReturnType<typeof writeFloorProgram> =>
    writeFloorProgram(bentTask(waisted(gap), outlineOf(waisted(gap)) as Outline, -0.012, 0.002, 6, false));

  it('just wide enough for the cutter and its clearance is passed, and proved', () => {
    const gap = 6 + 2 * 0.15 + 0.06;
    const made = written(gap);
    if (!made.ok) throw new Error(JSON.stringify(made.findings));
    const task = bentTask(waisted(gap), outlineOf(waisted(gap)) as Outline, -0.012, 0.002, 6, false);
    expect(proveProgram(made.value.text, workOf(task), 'floor').faults).toEqual([]);
    expect(denseJudge(made.value.text, denseOf(task, waisted(gap)))).toEqual([]);
  });

  it('just too narrow is refused by name', () => {
    const made = written(6 + 2 * 0.15 - 0.01);
    expect(made.ok ? [] : made.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual(['waist-too-narrow 3']);
  });

  it('is not crossed by a move over the bump, and such a move is refused where it is', () => {
    const gap = 12;
    const made = written(gap);
    if (!made.ok) throw new Error(JSON.stringify(made.findings));
    const task = bentTask(waisted(gap), outlineOf(waisted(gap)) as Outline, -0.012, 0.002, 6, false);
    const lines = made.value.text.split('\n');
    const at = lines.findIndex((line) => line.startsWith('G1 X30'));
    const line = at < 0 ? lines.findIndex((each) => /^G1 X3\d/.test(each)) : at;
    // Both ends are well inside the pocket; only the way between them runs through a wall.
    const across = lines.toSpliced(line, 0, 'G1 X10.000 Y-11.000', 'G1 X30.000 Y-11.000');
    const rules = proveProgram(across.join('\n'), workOf(task), 'floor').faults.map((fault) => `${fault.rule} ${fault.line}`);
    expect(rules).toContain(`walls ${line + 2}`);
  });
});
