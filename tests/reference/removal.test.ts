import Module, { type Manifold as Solid } from 'manifold-3d';
import { describe, expect, it } from 'vitest';
import { depthAt, leanOf } from '../../src/kernel/plane.ts';
import { movesOf } from '../../src/proof/motionRules.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { lowestFaceAt, settingOf } from '../../src/proof/setting.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { CASE, type Case, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';

// Referee: manifold-3d 3.2.1 (dev only), a general boolean modeller. Solids are built from hulls, since its meshes are float32.
const modeller = await Module();
modeller.setup();
const { Manifold } = modeller;

type Corner = [number, number, number];

/** Corners of the cutter's polygon: `segments` of them, one pointing along `heading`. */
function disc(x: number, y: number, z: number, radius: number, segments: number, heading = 0): Corner[] {
  return Array.from({ length: segments }, (_, k) => {
    const angle = heading + (2 * Math.PI * k) / segments;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle), z];
  });
}

const TOP = 3;
const SEGMENTS = 48;

/** The wood of a rectangular pocket down to z = -3, less all that the moves sweep; `grow` scales the cutter's polygon. */
function woodAfter(given: Case, text: string, grow: number): Solid {
  const radius = (given.diameter / 2) * grow;
  const tools: Solid[] = [];
  for (const { from, to } of movesOf(readStrictly(text).steps)) {
    if (Math.min(from.z, to.z) >= 0 || Number.isNaN(from.x + to.x + from.z)) continue;
    tools.push(
      Manifold.hull([
        ...disc(from.x, from.y, from.z, radius, SEGMENTS),
        ...disc(to.x, to.y, to.z, radius, SEGMENTS),
        ...disc(from.x, from.y, TOP + 30, radius, SEGMENTS),
        ...disc(to.x, to.y, TOP + 30, radius, SEGMENTS),
      ]),
    );
  }
  const { length, width } = given;
  const block = Manifold.cube([length, width, TOP]).translate([0, -width / 2, -TOP]);
  return Manifold.difference([block, ...tools]);
}

/** The part of a solid that stands higher than `by` over the floor, from `inset` inwards. */
function above(given: Case, wood: Solid, by: number, inset: number): Solid {
  const { plane } = workOf(given);
  const half = given.width / 2 - inset;
  const far = given.length - inset;
  const corners: [number, number][] = [
    [0, -half],
    [far, -half],
    [far, half],
    [0, half],
  ];
  return wood.intersect(
    Manifold.hull([
      ...corners.map(([x, y]): Corner => [x, y, by - depthAt(plane, x, y)]),
      ...corners.map(([x, y]): Corner => [x, y, 9]),
    ]),
  );
}

const SMALL: Case = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };

describe('removed wood, against manifold-3d', () => {
  it.each([
    ['pitched back', SMALL],
    ['forward', { ...SMALL, pitch: -0.9 }],
    ['with a roll, in inches', { ...SMALL, roll: 0.4, inch: true, passWidth: 1.6 }],
    ['steep', { ...SMALL, pitch: 2.4, passDepth: 0.4, passWidth: 1.6 }],
  ])('%s: the volume, and `leftover` from both sides', (_name, given) => {
    const text = textOf(plainProgram(given));
    const work = workOf(given);
    const verdict = proveProgram(text, work, 'floor');
    expect(verdict.faults).toEqual([]);
    const read = readStrictly(text);
    const setting = settingOf(work, given.diameter, read);
    const { volume } = removalRules(movesOf(read.steps), setting, wallsOf(work.outline, 50));
    // A polygon inside the cutter takes too little, one around it too much.
    const least = woodAfter(given, text, 1);
    const most = woodAfter(given, text, 1 / Math.cos(Math.PI / SEGMENTS));
    const all = given.length * given.width * TOP;
    // Half a cell of the lattice along the rim of what is cut, at its depth.
    const rim = (2 * given.length + given.width) * 0.125 * work.deepest;
    expect(volume).toBeGreaterThan(all - least.volume() - rim);
    expect(volume).toBeLessThan(all - most.volume() + rim);
    expect(rim / volume).toBeLessThan(0.05);
    const inset = work.shop.clearance.wall + 0.05;
    const leftover = verdict.figures.leftover as number;
    expect(above(given, most, leftover + 1e-5, inset).volume()).toBeLessThan(1e-6);
    // It is too large by 0.01 mm at most.
    expect(above(given, least, leftover - 0.0101, inset).volume()).toBeGreaterThan(0);
  });

  it('a lane left out: the figure tells what stands there', () => {
    const lines = plainProgram(SMALL);
    const starts = lines.flatMap((line, index) => (line.startsWith('G0 X') ? [index] : []));
    const [a, b] = [starts.at(-6) as number, starts.at(-4) as number];
    const text = textOf([...lines.slice(0, a), ...lines.slice(b)]);
    const verdict = proveProgram(text, workOf(SMALL), 'floor');
    expect(verdict.faults.map(({ rule }) => rule)).toEqual(['finish']);
    const leftover = verdict.figures.leftover as number;
    expect(above(SMALL, woodAfter(SMALL, text, 1 / Math.cos(Math.PI / SEGMENTS)), leftover + 1e-5, 0.2).volume()).toBeLessThan(
      1e-6,
    );
    expect(above(SMALL, woodAfter(SMALL, text, 1), leftover - 0.0101, 0.2).volume()).toBeGreaterThan(0);
  });
});

describe('cutter heights over a leaning floor, against an intersection by manifold-3d', () => {
  it.each([
    [-0.5, 0],
    [1.3, 0],
    [0, 2],
    [-0.7, 0.9],
    [2.2, -1.1],
  ])('pitch %d, roll %d: to 1e-9 where a corner of the polygon points uphill', (pitch, roll) => {
    const given = { ...SMALL, pitch, roll };
    const work = workOf(given);
    const setting = settingOf(work, given.diameter, { roundingStep: 0.001, lastLine: 1 });
    const { plane } = work;
    const square: [number, number][] = [
      [-60, -60],
      [60, -60],
      [60, 60],
      [-60, 60],
    ];
    const floor = Manifold.hull([
      ...square.map(([x, y]): Corner => [x, y, -depthAt(plane, x, y)]),
      ...square.map(([x, y]): Corner => [x, y, -40]),
    ]);
    const uphill = Math.atan2(-plane.gy, -plane.gx);
    for (const [x, y] of [
      [0, 0],
      [12.3, -4.5],
      [26.85, 6.85],
    ] as const) {
      const radius = given.diameter / 2;
      const under = Manifold.hull([...disc(x, y, -30, radius, 16, uphill), ...disc(x, y, 30, radius, 16, uphill)]);
      const height = floor.intersect(under).boundingBox().max[2];
      expect(Math.abs(height - lowestFaceAt(setting, x, y))).toBeLessThan(1e-9);
      expect(leanOf(plane)).toBeGreaterThan(0);
    }
  });
});
