import { describe, expect, test } from 'vitest';
import type { Shop } from '../../src/job/shop.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from '../../src/program/write.ts';
import { type ProofWork, proveProgram } from '../../src/proof/prove.ts';
import { bodyCut, mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';

const TURNS = [0, 90, 180, 270] as const;

function workOf(task: ProgramTask): ProofWork {
  return { ...task, clearBefore: task.clearBefore ?? 0 };
}

function made(result: ReturnType<typeof writeFloorProgram>): Program {
  if (!result.ok) throw new Error(JSON.stringify(result.findings));
  return result.value;
}

const turned = (task: ProgramTask, turn: Shop['program']['turn']): ProgramTask => ({
  ...task,
  shop: { ...task.shop, program: { ...task.shop.program, turn } },
});

function xyOf(text: string): [number, number][] {
  let [x, y] = [0, 0];
  return text.split('\n').flatMap((line) => {
    const [nx, ny] = [/^G[01].* ?X(-?[0-9.]+)/.exec(line), /^G[01].* ?Y(-?[0-9.]+)/.exec(line)];
    if (nx === null && ny === null) return [];
    x = nx === null ? x : Number(nx[1]);
    y = ny === null ? y : Number(ny[1]);
    return [[x, y] as [number, number]];
  });
}

describe('a body turned on the table', () => {
  const level = taskOf({ gx: -0.01, gy: 0.004, outline: pocket({ width: 36, widthAtMouth: 38 }) });
  const straight = xyOf(made(writeFloorProgram(level)).text);

  test.each(TURNS)('turned by %i: the same places, turned anticlockwise; proved as floor, air and trace', (turn) => {
    const task = turned(level, turn);
    const program = made(writeFloorProgram(task));
    const angle = (turn * Math.PI) / 180;
    const wanted = straight.map(([x, y]) => [
      x * Math.cos(angle) - y * Math.sin(angle),
      x * Math.sin(angle) + y * Math.cos(angle),
    ]);
    // A line names only what changes, so places are compared as sets of the corners they go through.
    const names = (places: readonly (readonly number[])[]): Set<string> =>
      new Set(places.map(([x, y]) => `${((x ?? 0) + 0).toFixed(3)} ${((y ?? 0) + 0).toFixed(3)}`.replace(/-0\.000/g, '0.000')));
    expect(names(xyOf(program.text)).size).toBeGreaterThan(50);
    expect(names(xyOf(program.text))).toEqual(names(wanted));
    expect(proveProgram(program.text, workOf(task), 'floor').faults).toEqual([]);
    expect(proveProgram(made(writeAirProgram(task)).text, workOf(task), 'air').faults).toEqual([]);
    expect(proveProgram(made(writeTraceProgram(task)).text, workOf(task), 'trace').faults).toEqual([]);
  });

  test.each([
    [0, 'X: touch the rear wall with the cutter and set X 38.300 there', 'Y0 halfway between the side walls', 'X from the mouth'],
    [
      90,
      'Y: touch the rear wall with the cutter and set Y 38.300 there',
      'X0 halfway between the side walls',
      'Y from the mouth',
    ],
    [180, 'X: touch the rear wall with the cutter and set X -38.300 there', 'Y0 halfway', 'minus X from the mouth'],
    [270, 'Y: touch the rear wall with the cutter and set Y -38.300 there', 'X0 halfway', 'minus Y from the mouth'],
  ] as const)('the header of %i says how the zero is set', (turn, rear, sides, way) => {
    const { text } = made(writeFloorProgram(turned(level, turn)));
    for (const words of [rear, sides, way]) expect(text).toContain(words);
    expect(text.includes('body turned')).toBe(turn !== 0);
  });

  test('a program for one turn is refused for every other', () => {
    for (const turn of TURNS) {
      const { text } = made(writeFloorProgram(turned(level, turn)));
      for (const other of TURNS)
        if (other !== turn) expect(proveProgram(text, workOf(turned(level, other)), 'floor').proved).toBe(false);
    }
  });
});

describe('a body clamped out of level', () => {
  /** Invented: rise to the rear and to +y per mm, height over Z0, floor, hand. */
  const CLAMPED = [
    ['a shim under the rear', { x: 0.004, y: 0, height: 0 }, { gx: -0.011 }],
    ['clamped so that the new floor is level', { x: -0.011, y: 0, height: 1.2 }, { gx: -0.011 }],
    ['low at one side', { x: 0.001, y: -0.006, height: -3.1 }, { gx: 0.012, hand: 'left' as const }],
    ['both ways, a roll to cut', { x: -0.008, y: 0.011, height: 0.35 }, { gx: -0.01, gy: 0.006 }],
    ['wider than long', { x: 0.003, y: -0.004, height: 0 }, { outline: pocket({ length: 28, width: 54, cornerRadius: 0 }) }],
    ['near the limit', { x: 0.024, y: 0.024, height: 0 }, { gx: -0.009, outline: pocket({ width: 35, widthAtMouth: 38 }) }],
  ] as const;

  test.each(CLAMPED)('%s: proved, and the floor cut is the floor asked for in the body frame', (name, tilt, parts) => {
    const shop = shopOf({ cutter: { length: 32 }, pass: { width: 2 } });
    const base = taskOf({ ...parts, shop });
    const turn = TURNS[name.length % 4] ?? 0;
    const task = turned({ ...base, mounted: mountedOf(base, tilt) }, turn);
    const program = made(writeFloorProgram(task));
    expect(proveProgram(program.text, workOf(task), 'floor').faults).toEqual([]);
    expect(proveProgram(made(writeAirProgram(task)).text, workOf(task), 'air').faults).toEqual([]);
    expect(proveProgram(made(writeTraceProgram(task)).text, workOf(task), 'trace').faults).toEqual([]);
    const seen = bodyCut(program.text, task, tilt);
    expect(seen.looked).toBeGreaterThan(150);
    // Below the floor asked for by no more than arithmetic; above it, away from the walls, by the cusp and its slack at most.
    expect(seen.gouge).toBeLessThanOrEqual(0.0005);
    expect(seen.left).toBeLessThanOrEqual(0.0225);
    expect(seen.nearestWall).toBeGreaterThanOrEqual(shop.clearance.wall - 1e-3);
    expect(seen.nearestWall).toBeLessThanOrEqual(shop.clearance.wall + 0.02);
  });

  test('the numbers follow the mounting: judged level, tilted otherwise, lifted or of the other hand the program is refused', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const tilt = { x: 0.003, y: 0.002, height: 0.4 };
    const task = { ...base, mounted: mountedOf(base, tilt) };
    const { text } = made(writeFloorProgram(task));
    expect(proveProgram(text, workOf(task), 'floor').proved).toBe(true);
    const others = [
      { ...tilt, height: 0.38 },
      { ...tilt, height: 0.42 },
      { ...tilt, x: 0.0024 },
      { ...tilt, y: 0.0012 },
    ].map((other) => ({ ...task, mounted: mountedOf(base, other) }));
    for (const other of [...others, { ...task, mounted: undefined }, { ...task, hand: 'left' as const }])
      expect(proveProgram(text, workOf(other), 'floor').proved).toBe(false);
  });

  test('damaged programs are refused', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const task = turned({ ...base, mounted: mountedOf(base, { x: 0.005, y: -0.003, height: 0.2 }) }, 90);
    const lines = made(writeFloorProgram(task)).text.split('\n');
    const cuts = lines.flatMap((line, i) => (/^G1 .*Z-/.test(line) ? [i] : []));
    expect(cuts.length).toBeGreaterThan(20);
    const edit = (at: number, to: (line: string) => string): string =>
      lines.map((line, i) => (i === at ? to(line) : line)).join('\n');
    const at = (part: number): number => cuts[Math.floor(part * cuts.length)] ?? 0;
    const number = (letter: string, by: number) => (line: string) =>
      line.replace(new RegExp(`${letter}(-?[0-9.]+)`), (_, value: string) => `${letter}${(Number(value) + by).toFixed(3)}`);
    for (const part of [0.1, 0.4, 0.7, 0.95])
      expect(proveProgram(edit(at(part), number('Z', -0.25)), workOf(task), 'floor').proved).toBe(false);
    expect(proveProgram(lines.map(number('Z', -0.003)).join('\n'), workOf(task), 'floor').proved).toBe(false);
    expect(proveProgram(lines.map(number('Z', 0.03)).join('\n'), workOf(task), 'floor').proved).toBe(false);
    expect(proveProgram(lines.map(number('X', 0.02)).join('\n'), workOf(task), 'floor').proved).toBe(false);
    const half = lines.length >> 1;
    expect(proveProgram([...lines.slice(0, half), 'M5', 'M2', ''].join('\n'), workOf(task), 'floor').proved).toBe(false);
  });

  test('the header gives the heights, where the walls are touched, and what stays', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const { text, stays } = made(writeFloorProgram({ ...base, mounted: mountedOf(base, { x: 0.005, y: 0.004, height: 0.2 }) }));
    expect(text).toContain('(mouth bass 0.125, mouth treble 0.275,)');
    expect(text).toContain('(body clamped out of level: all numbers are the machine as it stands)');
    // The top leans to the mouth by 17.4 x 0.005 and to -y by 17.4 x 0.004: half of that is where the touches' middle lies.
    expect(text).toMatch(/halfway between the side walls set Y -0\.035/);
    // The rear wall's top leans 17.4 x 0.005 to the mouth over its foot at 41.3: the cutter touches it 3 mm before that.
    expect(text).toMatch(/set X 38\.212 there/);
    expect(stays.find((stay) => stay.where === 'strip along the walls')?.width).toBeGreaterThan(0.15 + 17 * 0.004);
    expect(depthAt(base.plane, 0, 0)).toBeCloseTo(base.deepest, 9);
  });
});
