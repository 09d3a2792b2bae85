import type { Shop } from '../../src/job/shop.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
import type { ProofWork } from '../../src/proof/prove.ts';

/** A plain writer for the proof's own tests: nothing of it is shared with the program that the tool writes. */
export interface Case {
  readonly pitch: number;
  readonly roll: number;
  readonly length: number;
  readonly width: number;
  readonly widthAtMouth: number;
  readonly cornerRadius: number;
  readonly diameter: number;
  readonly inch: boolean;
  readonly passDepth: number;
  readonly passWidth: number;
}

export const CASE: Case = {
  pitch: 0.5,
  roll: 0,
  length: 72,
  width: 58,
  widthAtMouth: 58,
  cornerRadius: 5,
  diameter: 6,
  inch: false,
  passDepth: 0.3,
  passWidth: 2.4,
};

function shopOf(given: Case): Shop {
  return {
    units: 'mm',
    cutter: { diameter: given.diameter, length: 26, flutes: 2 },
    spindle: { speed: 16000, warmUp: 4 },
    feed: { cut: 1200, plunge: 300 },
    pass: { depth: given.passDepth, width: given.passWidth },
    clearance: { above: 8, wall: 0.15, beyondMouth: 4 },
    zeroing: 0.05,
    leave: 0,
    program: { units: given.inch ? 'in' : 'mm', look: 'first', turn: 0 },
    sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
    rails: { length: 260, base: 150 },
    assumed: [],
  };
}

export function workOf(given: Case = CASE): ProofWork {
  const gx = -Math.tan((given.pitch * Math.PI) / 180);
  const gy = Math.tan((given.roll * Math.PI) / 180);
  const { length, width } = given;
  // The least depth over the corners of the box is 0: a square box is enough for the tests.
  const hinge = { x: gx <= 0 ? length : 0, y: gy === 0 ? 0 : gy > 0 ? -width / 2 : width / 2 };
  return {
    plane: { hinge, skim: 0, gx, gy },
    outline: measuredOutline(given),
    pocketDepth: 17.4,
    clearBefore: 25,
    deepest: Math.abs(gx) * length + Math.abs(gy) * width,
    shop: shopOf(given),
  };
}

export interface Options {
  /** Which lanes, levels or wall passes to leave out, or moves to change: the lines are made here and may be edited after. */
  readonly split?: number;
  readonly backAndForth?: boolean;
}

/** The program's lines. Lanes from the mouth along x, back the same way, stepped over before the mouth; a wall pass a level. */
export function plainProgram(given: Case = CASE, options: Options = {}): string[] {
  const work = workOf(given);
  const { plane } = work;
  const R = given.diameter / 2;
  const e = R + 0.15;
  const g = Math.hypot(plane.gx, plane.gy);
  const unit = given.inch ? 25.4 : 1;
  const places = given.inch ? 4 : 3;
  const step = 10 ** places;
  const round = (value: number, how: (v: number) => number): string => {
    const n = how((value / unit) * step - (how === Math.ceil ? 1e-6 : -1e-6)) / step;
    return (n === 0 ? 0 : n).toFixed(places);
  };
  const X = (x: number): string => `X${round(x, Math.floor)}`;
  const Y = (y: number): string => `Y${round(y, y > 0 ? Math.floor : Math.ceil)}`;
  const Z = (z: number): string => `Z${round(z, Math.ceil)}`;
  const F = (f: number): string => `F${round(f, Math.floor)}`;
  const lowest = (x: number, y: number): number => -(plane.gx * (x - plane.hinge.x) + plane.gy * (y - plane.hinge.y)) + R * g;
  const clear = 17.4 + 8;
  const slope = (given.width - given.widthAtMouth) / 2 / given.length;
  const lean = Math.hypot(1, slope);
  const sideAt = (x: number): number => given.widthAtMouth / 2 + slope * x - e * lean;
  const inner = given.cornerRadius - e;
  const rear = given.length - e;
  const corner = Math.max(0, inner);
  const lines: string[] = [
    '(plain test program)',
    given.inch ? 'G20' : 'G21',
    'G17',
    'G90',
    'G94',
    '(MSG, cutter over the pocket)',
    'M0',
    `G0 ${Z(clear)}`,
  ];
  const xe = -(R + 4);
  lines.push(`G0 ${X(xe)} Y0`, 'M3 S16000', 'G4 P4', '(MSG, turning)', 'M0');
  const levels = Math.ceil(work.deepest / (given.passDepth - 0.01));
  const go = (x0: number, y0: number, x1: number, y1: number, h: number, feed = ''): void => {
    const n = options.split ?? 1;
    for (let i = 1; i <= n; i++) {
      const x = x0 + ((x1 - x0) * i) / n;
      const y = y0 + ((y1 - y0) * i) / n;
      lines.push(`G1 ${X(x)} ${Y(y)} ${Z(lowest(x, y) + h)}${i === 1 ? feed : ''}`);
    }
  };
  for (let k = 1; k <= levels; k++) {
    const h = (work.deepest * (levels - k)) / levels;
    const reach = Math.min(sideAt(xe), sideAt(rear));
    const count = Math.ceil((2 * reach) / given.passWidth);
    for (let i = 0; i <= count; i++) {
      const y = -reach + (2 * reach * i) / count;
      // In a rounded corner the lane ends on the arc of radius `corner`.
      const over = Math.max(0, Math.abs(y) - (sideAt(rear) - corner));
      const end = rear - corner + Math.sqrt(Math.max(0, corner ** 2 - over ** 2)) - (corner > 0 ? 0.01 : 0);
      lines.push(`G0 ${X(xe)} ${Y(y)}`, `G1 ${Z(lowest(xe, y) + h)} ${F(300)}`);
      go(xe, y, end, y, h, ` ${F(1200)}`);
      if (options.backAndForth) go(end, y, xe, y, h);
      lines.push(`G0 ${Z(clear)}`.replace('G0', 'G1'));
    }
    const ys = sideAt(xe);
    lines.push(`G0 ${X(xe)} ${Y(-ys)}`, `G1 ${Z(lowest(xe, -ys) + h)} ${F(300)}`);
    const path: [number, number][] = [[xe, -ys]];
    // For tapered walls the rear corner is taken as that of the straight one at the rear: a hair inside.
    const N = corner > 0 ? 40 : 0;
    const yc = sideAt(rear) - corner;
    path.push([rear - corner, -Math.min(sideAt(rear - corner), yc + corner)]);
    for (let i = 0; i <= N; i++) {
      const a = -Math.PI / 2 + (Math.PI / 2) * (i / Math.max(1, N));
      path.push([rear - corner + corner * Math.cos(a), -yc + corner * Math.sin(a)]);
    }
    for (const [x, y] of [...path].reverse()) path.push([x, -y]);
    for (let i = 1; i < path.length; i++) {
      const [a, b] = [path[i - 1] as [number, number], path[i] as [number, number]];
      go(a[0], a[1], b[0], b[1], h, i === 1 ? ` ${F(1200)}` : '');
    }
    lines.push(`G1 ${Z(clear)}`);
  }
  lines.push('M5', 'M2');
  return lines;
}

export function textOf(lines: readonly string[]): string {
  return `${lines.join('\n')}\n`;
}
