import { drawnOutline } from '../../src/job/drawnOutline.ts';
import type { Shop } from '../../src/job/shop.ts';
import { measuredOutline, type Outline } from '../../src/kernel/outline.ts';
import { depthAt, type FloorPlane } from '../../src/kernel/plane.ts';
import type { ProgramTask } from '../../src/program/task.ts';

export interface ShopParts {
  readonly cutter?: Partial<Shop['cutter']>;
  readonly feed?: Partial<Shop['feed']>;
  readonly pass?: Partial<Shop['pass']>;
  readonly clearance?: Partial<Shop['clearance']>;
  readonly zeroing?: number;
  readonly leave?: number;
  readonly program?: Partial<Shop['program']>;
}

export function shopOf(parts: ShopParts = {}): Shop {
  return {
    units: 'mm',
    cutter: { diameter: 6, length: 26, flutes: 2, ...parts.cutter },
    spindle: { speed: 16000, warmUp: 4 },
    feed: { cut: 1200, plunge: 300, ...parts.feed },
    pass: { depth: 0.3, width: 2.4, ...parts.pass },
    clearance: { above: 8, wall: 0.15, beyondMouth: 4, ...parts.clearance },
    zeroing: parts.zeroing ?? 0.05,
    leave: parts.leave ?? 0,
    program: { units: 'mm', look: 'first', turn: 0, ...parts.program },
    sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
    rails: { length: 260, base: 150 },
    assumed: [],
  };
}

export function pocket(size: Partial<Parameters<typeof measuredOutline>[0]> = {}): Outline {
  return measuredOutline({ length: 41.3, width: 37.7, widthAtMouth: size.width ?? 37.7, cornerRadius: 5, ...size });
}

/** The plane of a slope, put so that its least depth over the outline's own corners is `skim`. */
function planeOver(outline: Outline, gx: number, gy: number, skim = 0): FloorPlane {
  const hinge = {
    x: gx > 0 ? 0 : gx < 0 ? outline.length : outline.length / 2,
    y: gy === 0 ? 0 : -Math.sign(gy) * Math.max(outline.mouthHalf, outline.rearHalf),
  };
  return { hinge, skim, gx, gy };
}

export function taskOf(
  parts: Partial<ProgramTask> & { readonly gx?: number; readonly gy?: number; readonly skim?: number },
): ProgramTask {
  const outline = parts.outline ?? pocket();
  const plane = parts.plane ?? planeOver(outline, parts.gx ?? -0.011, parts.gy ?? 0, parts.skim ?? 0);
  const corners = [0, outline.length].flatMap((x) => {
    const half = x === 0 ? outline.mouthHalf : outline.rearHalf;
    return [depthAt(plane, x, -half), depthAt(plane, x, half)];
  });
  const { gx: _gx, gy: _gy, skim: _skim, ...rest } = parts;
  return {
    pocketDepth: 17.4,
    widthBound: 0.1,
    clearBefore: 25,
    hand: 'right',
    fingerprint: '0123456789ab',
    shop: shopOf(),
    deepest: Math.max(...corners),
    ...rest,
    outline,
    plane,
  };
}

/** A small invented pocket with a slanted rear, one bowed side and curved corners, drawn in tenths of a mm. */
function drawnPocket(): Outline {
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 800 600">
    <path id="pocket" d="M100 120 L440 110 A40 40 0 0 1 480 150 L480 410 Q480 460 440 470 Q250 478 100 450 Z"/>
    <line id="mouth" x1="100" y1="130" x2="100" y2="440"/>
    <circle id="bass" cx="200" cy="400" r="9"/>
  </svg>`;
  const read = drawnOutline({ text, file: 'drawn.svg' }, 'right');
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  return read.value;
}

/** The floors and pockets that every program test goes through. */
export const CASES: readonly (readonly [string, ProgramTask])[] = [
  ['pitched back', taskOf({ gx: -0.011 })],
  ['pitched forward', taskOf({ gx: 0.012 })],
  ['pitched back and rolled', taskOf({ gx: -0.01, gy: 0.006 })],
  ['pitched forward and rolled the other way', taskOf({ gx: 0.008, gy: -0.012 })],
  ['rolled far more than pitched', taskOf({ gx: -0.002, gy: 0.015 })],
  ['skim alone', taskOf({ gx: 0, skim: 0.7 })],
  ['pitched back with a skim', taskOf({ gx: -0.009, skim: 0.2 })],
  [
    'steep, wide pocket mouth',
    taskOf({ gx: -0.05, outline: pocket({ width: 30, widthAtMouth: 34 }), shop: shopOf({ cutter: { diameter: 8 } }) }),
  ],
  ['pocket wider at the rear', taskOf({ gx: -0.012, outline: pocket({ width: 39, widthAtMouth: 33 }) })],
  [
    'pocket wider at the rear, pitched forward',
    taskOf({ gx: 0.02, gy: 0.004, outline: pocket({ width: 39, widthAtMouth: 33 }) }),
  ],
  ['sharp corners', taskOf({ gx: -0.014, outline: pocket({ cornerRadius: 0 }) })],
  ['corners just wider than the cutter', taskOf({ gx: 0.014, outline: pocket({ cornerRadius: 3.3 }) })],
  ['inch', taskOf({ gx: -0.011, shop: shopOf({ program: { units: 'in' }, cutter: { diameter: 6.35 } }) })],
  [
    'inch, forward, tapered',
    taskOf({
      gx: 0.013,
      outline: pocket({ width: 36.1, widthAtMouth: 37.9, cornerRadius: 4 }),
      shop: shopOf({ program: { units: 'in', look: 'every' } }),
    }),
  ],
  ['wood left for the file', taskOf({ gx: -0.02, shop: shopOf({ leave: 0.1, program: { look: 'never' } }) })],
  ['drawn, no side like the other', taskOf({ gx: -0.012, gy: 0.003, skim: 0.3, outline: drawnPocket() })],
  ['free space just long enough', taskOf({ clearBefore: 10, shop: shopOf({ program: { units: 'in' } }) })],
];
