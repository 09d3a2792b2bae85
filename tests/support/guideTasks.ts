import fc from 'fast-check';
import type { Stage } from '../../src/guide/stages.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import type { Hand } from '../../src/job/job.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
import { depthAt, type FloorPlane } from '../../src/kernel/plane.ts';
import { deepestOf, hingeNameOf, planeOf } from '../../src/solve/solve.ts';

export interface Make {
  readonly length: number;
  readonly width: number;
  readonly widthAtMouth: number;
  readonly cornerRadius: number;
  readonly pitch: number;
  readonly roll: number;
  readonly skim: number;
}

const USUAL: Make = { length: 71.5, width: 58.2, widthAtMouth: 57.4, cornerRadius: 5, pitch: 0.0109, roll: 0, skim: 0 };

/** A floor on the way to `plane`: the skim and that share of the rest. */
export function stageAt(outline: GuideTask['outline'], plane: FloorPlane, hand: Hand, share: number, fit: number): Stage {
  const floor = { ...plane, gx: share * plane.gx, gy: share * plane.gy };
  const edge = plane.gx > 0 ? 'rear' : 'mouth';
  const [x, half] = edge === 'rear' ? [outline.length, outline.rearHalf] : [0, outline.mouthHalf];
  const sign = hand === 'right' ? 1 : -1;
  const at = { bass: depthAt(floor, x, -sign * half), treble: depthAt(floor, x, sign * half) };
  return { fit, edge, at, floor, read: { raised: 1, gaps: { bass: 1.2 - 0.5 * share, treble: 1.1 - 0.5 * share } } };
}

/** A guide's task from a pocket and a tilt; everything else may be given over. */
export function guideTask(make: Partial<Make> = {}, over: Partial<GuideTask> = {}): GuideTask {
  const m = { ...USUAL, ...make };
  const outline = over.outline ?? measuredOutline(m);
  const hand = over.hand ?? 'right';
  const plane = planeOf(outline, m.skim, m.pitch, m.roll, hand === 'right' ? 1 : -1);
  return {
    title: 'Invented sample',
    fingerprint: '0123456789ab',
    units: 'mm',
    hand,
    plane,
    outline,
    pocketDepth: 17.4,
    bodyThickness: 41,
    deepest: deepestOf(outline, plane),
    deepestUncertainty: 0.06,
    pitch: m.pitch,
    roll: m.roll,
    drawingAlone: false,
    hingeName: hingeNameOf(plane, true),
    screws: [],
    sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
    stages: [0.9, 1].map((share, i) => stageAt(outline, plane, hand, share, i + 1)),
    filed: undefined,
    gap: 0,
    highest: 3,
    within: 0.05,
    cutter: { diameter: 6, length: 26, wall: 0.15 },
    rails: { length: 260, base: 150 },
    ...over,
  };
}

/** Anything the job and shop files allow that leaves wood to take off. */
export function anyGuideTask(): fc.Arbitrary<GuideTask> {
  const real = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
  const small = fc.oneof(fc.constant(0), real(-0.052, 0.052), real(-0.002, 0.002));
  return fc
    .record({
      size: fc.record({ length: real(30, 200), width: real(20, 150), taper: real(-0.1, 0.1), round: real(0, 0.45) }),
      tilt: fc.record({ pitch: small, roll: fc.oneof(fc.constant(0), small), skim: fc.oneof(fc.constant(0), real(0.001, 2)) }),
      over: fc.record({
        title: fc.oneof(
          fc.string({ maxLength: 200, unit: 'grapheme' }),
          fc.lorem({ maxCount: 30 }),
          fc.constant('W'.repeat(200)),
        ),
        units: fc.constantFrom('mm', 'in'),
        hand: fc.constantFrom('right', 'left'),
        deepestUncertainty: fc.constantFrom(undefined, 0.06),
        screws: fc.array(fc.record({ x: real(-50, 250), y: real(-100, 100) }), { maxLength: 5 }),
        holes: fc.boolean(),
        pocketDepth: real(4, 40),
        shares: fc.constantFrom([], [1], [0.5, 1], [0.1, 1], [0.97, 1], [0.3, 0.8, 1]),
        filed: fc.constantFrom(undefined, undefined, 0.2, 0.6),
        cutter: fc.constantFrom(undefined, { diameter: 6, length: 26, wall: 0.15 }, { diameter: 19, length: undefined, wall: 0 }),
        rails: fc.record({ length: real(50, 900), base: real(40, 300) }),
        sheet: fc.record({ paper: fc.constantFrom('A4', 'Letter', 'A3'), measuredX: real(80, 120), measuredY: real(80, 120) }),
      }),
    })
    .filter(({ tilt }) => tilt.pitch !== 0 || tilt.roll !== 0 || tilt.skim > 0)
    .map(({ size, tilt, over: { holes, shares, filed, ...over } }) => {
      const { length, width } = size;
      const sizes = { length, width, widthAtMouth: width * (1 + size.taper), cornerRadius: size.round * Math.min(length, width) };
      const usual = [
        { x: length * 0.2, y: -width * 0.3 },
        { x: length * 0.2, y: width * 0.3 },
        { x: length * 0.8, y: -width * 0.3 },
        { x: length * 0.8, y: width * 0.3 },
      ];
      const task = guideTask({ ...sizes, ...tilt }, { ...over, screws: holes ? usual : over.screws } as Partial<GuideTask>);
      const at = (share: number, fit: number): Stage => stageAt(task.outline, task.plane, task.hand, share, fit);
      const stages = shares.map((share, i) => at(share, i + 1));
      return { ...task, stages, filed: filed === undefined ? undefined : at(filed, 0).floor };
    });
}
