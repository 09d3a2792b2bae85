import fc from 'fast-check';
import type { GuideTask } from '../../src/guide/task.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
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
    hingeName: hingeNameOf(plane, true),
    screws: [],
    sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
    stops: [0.9 * deepestOf(outline, plane), deepestOf(outline, plane)],
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
        stops: fc.constantFrom([], [0], [0.5, 0.7]),
        cutter: fc.constantFrom(undefined, { diameter: 6, length: 26, wall: 0.15 }, { diameter: 19, length: undefined, wall: 0 }),
        rails: fc.record({ length: real(50, 900), base: real(40, 300) }),
        sheet: fc.record({ paper: fc.constantFrom('A4', 'Letter', 'A3'), measuredX: real(80, 120), measuredY: real(80, 120) }),
      }),
    })
    .filter(({ tilt }) => tilt.pitch !== 0 || tilt.roll !== 0 || tilt.skim > 0)
    .map(({ size, tilt, over: { holes, ...over } }) => {
      const { length, width } = size;
      const sizes = { length, width, widthAtMouth: width * (1 + size.taper), cornerRadius: size.round * Math.min(length, width) };
      const usual = [
        { x: length * 0.2, y: -width * 0.3 },
        { x: length * 0.2, y: width * 0.3 },
        { x: length * 0.8, y: -width * 0.3 },
        { x: length * 0.8, y: width * 0.3 },
      ];
      return guideTask({ ...sizes, ...tilt }, { ...over, screws: holes ? usual : over.screws } as Partial<GuideTask>);
    });
}
