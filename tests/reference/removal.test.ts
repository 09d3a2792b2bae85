import Module, { type Manifold as Solid } from 'manifold-3d';
import { describe, expect, it } from 'vitest';
import { withRimCutter } from '../../src/job/shop.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
import { depthAt, leanOf } from '../../src/kernel/plane.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { planRim, writeRimProgram } from '../../src/program/writeRim.ts';
import { movesOf } from '../../src/proof/motionRules.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { lowestFaceAt, settingOf } from '../../src/proof/setting.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { shopOf, taskOf } from '../unit/programTasks.ts';
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
function woodAfter(given: Case, text: string, grow: number, from?: Solid): Solid {
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
  const block = from ?? Manifold.cube([length, width, TOP]).translate([0, -width / 2, -TOP]);
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

describe('what a second cutter takes of what the first left, against manifold-3d', () => {
  const task = taskOf({
    gx: 0.012,
    gy: 0.003,
    skim: 0.1,
    outline: measuredOutline({ ...SMALL, length: 30, width: 20 }),
    clearBefore: 40,
    shop: shopOf({ cutter: { diameter: 8 }, pass: { depth: 0.4, width: 3 } }),
  });
  const rim = { diameter: 4, length: 26, flutes: 2, speed: 16000, cut: 1200, plunge: 300, depth: 0.4, width: 1.6 };
  const shop = { ...task.shop, rim };
  const floor = writeFloorProgram(task);
  const plan = planRim({ ...task, shop });
  if (!floor.ok || !plan.ok || plan.value === undefined) throw new Error('both are written');
  const second = writeRimProgram(plan.value).text;
  const body = {
    plane: task.plane,
    outline: task.outline,
    pocketDepth: task.pocketDepth,
    clearBefore: 40,
    deepest: task.deepest,
  };
  const work = { ...body, shop: withRimCutter(shop, rim), before: { text: floor.value.text, shop, higher: 0 } };
  const verdict = proveProgram(second, work, 'rim');
  const first: Case = { ...SMALL, diameter: 8 };
  const small: Case = { ...SMALL, diameter: 4 };
  const outer = 1 / Math.cos(Math.PI / SEGMENTS);

  it('the volume', () => {
    expect(verdict.faults).toEqual([]);
    const firstRead = readStrictly(floor.value.text);
    const read = readStrictly(second);
    const setting = settingOf(work, 4, read);
    const earlier = { setting: settingOf({ ...body, shop }, 8, firstRead), moves: movesOf(firstRead.steps), higher: 0 };
    const { volume } = removalRules(movesOf(read.steps), setting, wallsOf(task.outline, 50), earlier);
    // Least is taken where the first took most and the second least.
    const [a, b] = [woodAfter(first, floor.value.text, outer), woodAfter(first, floor.value.text, 1)];
    const least = a.volume() - woodAfter(small, second, 1, a).volume();
    const most = b.volume() - woodAfter(small, second, outer, b).volume();
    // Half a cell of the lattice along the walls, at the depth of the corners and of the rim.
    const slack = 0.125 * 8 * task.deepest + 0.125 * 80 * 0.05;
    expect(volume).toBeGreaterThan(least - slack);
    expect(volume).toBeLessThan(most + slack);
    expect(volume).toBeGreaterThan(2 * slack);
  });

  it('`leftover` from both sides', () => {
    const inset = shop.clearance.wall + 0.05;
    const leftover = verdict.figures.leftover as number;
    // `above` measures from the floor of its own case.
    const over = (wood: Solid, by: number): number => {
      const half = SMALL.width / 2 - inset;
      const far = SMALL.length - inset;
      const corners: [number, number][] = [
        [0, -half],
        [far, -half],
        [far, half],
        [0, half],
      ];
      return wood
        .intersect(
          Manifold.hull([
            ...corners.map(([x, y]): Corner => [x, y, by - depthAt(task.plane, x, y)]),
            ...corners.map(([x, y]): Corner => [x, y, 9]),
          ]),
        )
        .volume();
    };
    const most = woodAfter(small, second, 1, woodAfter(first, floor.value.text, 1));
    const least = woodAfter(small, second, outer, woodAfter(first, floor.value.text, outer));
    expect(over(least, leftover + 1e-5)).toBeLessThan(1e-6);
    expect(over(most, leftover - 0.0101)).toBeGreaterThan(0);
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
