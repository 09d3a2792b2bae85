import { describe, expect, it } from 'vitest';
import type { Point3 } from '../../src/kernel/vector.ts';
import { allowedAxes, attainable } from '../../src/proof/attainable.ts';
import { finishAllowed, finishRule } from '../../src/proof/finish.ts';
import { type Earlier, floorAt, lowestFaceAt, type Setting, settingOf } from '../../src/proof/setting.ts';
import type { Move } from '../../src/proof/strictReader.ts';
import { depthInside, wallsOf } from '../../src/proof/walls.ts';
import { CASE, workOf } from './proofProgram.ts';

const SMALL = { ...CASE, length: 12, width: 9, widthAtMouth: 9, cornerRadius: 0 };
/** clearance.wall and 0.05 mm. */
const INSET = 0.2;

interface Floor {
  readonly gx: number;
  readonly gy: number;
}

function settingFor({ gx, gy }: Floor, diameter = 3): Setting {
  const hinge = { x: gx > 0 ? 0 : 12, y: gy > 0 ? -4.5 : 4.5 };
  const work = { ...workOf({ ...SMALL, diameter }), plane: { hinge, skim: 0.1, gx, gy }, deepest: 0.6 };
  return settingOf(work, diameter, { roundingStep: 0.001, lastLine: 77 });
}

/** The cutter put down to the floor at every place of a net over its axes that `where` names. */
function putDown(setting: Setting, where: (x: number, y: number) => boolean): Move[] {
  const { radius } = setting;
  const e = radius + 0.15;
  const moves: Move[] = [];
  const to = 12 - e;
  for (let i = 0; i <= 40; i++)
    for (let j = 0; j <= 16; j++) {
      const [x, y] = [-4 + ((to + 4) * i) / 40, (4.5 - e) * (j / 8 - 1)];
      if (!where(x, y)) continue;
      const z = lowestFaceAt(setting, x, y);
      const point = (height: number): Point3 => ({ x, y, z: height });
      moves.push({ kind: 'move', line: 1, rapid: false, from: point(0.1), to: point(z), feed: 300, axes: 'Z' });
    }
  return moves;
}

/** A plain second opinion, point by point of a net: what most stands over what is allowed, over the floor, and of it what no cutter reaches. */
function scan(setting: Setting, cuts: readonly { readonly moves: readonly Move[]; readonly radius: number }[], allowed: number) {
  const region = allowedAxes(setting, wallsOf(setting.outline, 31));
  const at = (x: number, y: number) => {
    let stands = 0;
    for (const { moves, radius } of cuts)
      for (const { to } of moves) if (to.z < stands && Math.hypot(to.x - x, to.y - y) <= radius) stands = to.z;
    const floor = floorAt(setting, x, y);
    const wanted = Math.max(floor, attainable(setting, region, x, y, setting.radius - 0.01));
    const reach = attainable(setting, region, x, y, setting.radius);
    return { excess: stands - wanted - allowed, over: stands - floor, rim: Math.min(stands, reach) - floor };
  };
  const most = { excess: Number.NEGATIVE_INFINITY, over: 0, rim: 0 };
  // From one end of what is asked to the other.
  for (let i = 0; i <= 59; i++)
    for (let j = 0; j <= 40; j++) {
      const here = at(0.2 * i, 0.215 * (j - 20));
      for (const key of ['excess', 'over', 'rim'] as const) most[key] = Math.max(most[key], here[key]);
    }
  return { at, most };
}

const BACK = { gx: -0.03, gy: 0 };
const FORWARD = { gx: 0.03, gy: 0 };
const ROLLED = { gx: -0.012, gy: 0.03 };
const OTHER = { gx: 0.015, gy: -0.03 };

describe('where a whole part stands', () => {
  it.each([
    ['all of it, pitched back', BACK, () => false],
    ['all of it, pitched forward', FORWARD, () => false],
    ['all of it, rolled', ROLLED, () => false],
    ['the rear half, pitched back', BACK, (x: number) => x < 4],
    ['the front half, pitched forward', FORWARD, (x: number) => x > 7],
    ['the bass side, rolled', ROLLED, (_x: number, y: number) => y > 0],
    ['the treble side, rolled the other way', OTHER, (_x: number, y: number) => y < -0.5],
    ['a strip across', ROLLED, (x: number) => x < 2 || x > 8],
  ] as const)('%s: told at its highest place, with what stands there, and the figures are bounds', (_name, floor, where) => {
    const setting = settingFor(floor);
    const moves = putDown(setting, where);
    const allowed = finishAllowed(setting);
    const { at, most } = scan(setting, [{ moves, radius: 1.5 }], allowed);
    const found = finishRule(moves, setting, wallsOf(setting.outline, 31));
    expect(found.faults.map(({ rule, line }) => `${rule} ${line}`)).toEqual(['finish 77']);
    const said =
      /^at x (-?[\d.]+) mm \(\S+ in\), y (-?[\d.]+) mm \(\S+ in\) wood stays (-?[\d.]+) mm \(\S+ in\) higher than the ([\d.]+) mm \(\S+ in\) over the floor/.exec(
        found.faults[0]?.message ?? '',
      );
    const [x, y, higher, limit] = (said ?? []).slice(1).map(Number) as [number, number, number, number];
    expect(limit).toBeCloseTo(allowed, 4);
    expect(x).toBeGreaterThanOrEqual(0);
    expect(depthInside(wallsOf(setting.outline, 31), { x, y })).toBeGreaterThan(INSET - 0.008);
    // Looked for in squares of half a millimetre, told with two decimals.
    const slope = Math.abs(floor.gx) + Math.abs(floor.gy);
    expect(higher).toBeGreaterThan(most.excess - 0.25 * slope - 0.0005);
    expect(higher).toBeLessThanOrEqual(most.excess + 0.2 * slope);
    // The place as it is told may lie beside an edge of the wood.
    const beside = [-0.005, 0, 0.005].flatMap((dx) => [-0.005, 0, 0.005].map((dy) => at(x + dx, y + dy).excess));
    expect(Math.min(...beside.map((excess) => Math.abs(excess - higher)))).toBeLessThan(0.0005);
    expect(found.leftover).toBeGreaterThanOrEqual(most.over - 1e-9);
    expect(found.leftover).toBeLessThan(most.over + 0.011 + 0.5 * slope);
    expect(found.unreachable).toBeGreaterThanOrEqual(most.rim - 1e-9);
    expect(found.unreachable).toBeLessThanOrEqual(found.leftover);
  });

  it('of two parts the higher one is told, whichever comes first', () => {
    for (const floor of [BACK, FORWARD]) {
      const setting = settingFor(floor);
      const moves = putDown(setting, (x) => x > 2.5 && x < 6.5);
      const { most } = scan(setting, [{ moves, radius: 1.5 }], finishAllowed(setting));
      const { faults } = finishRule(moves, setting, wallsOf(setting.outline, 31));
      const [, x, higher] =
        /^at x (-?[\d.]+) mm \(\S+ in\), y \S+ mm \(\S+ in\) wood stays ([\d.]+)/.exec(faults[0]?.message ?? '') ?? [];
      if (floor === BACK) expect(Number(x)).toBeLessThan(0.6);
      else expect(Number(x)).toBeGreaterThan(8);
      expect(Math.abs(Number(higher) - most.excess)).toBeLessThan(0.01);
    }
  });

  it.each([
    ['long and narrow', 14, 7, { gx: -0.03, gy: 0 }, [0, 0]],
    ['long and narrow, the other end', 14, 7, { gx: 0.03, gy: 0 }, [12, 0]],
    ['short and wide', 7, 14, { gx: 0, gy: 0.03 }, [0, 5]],
    ['short and wide, the other side', 7, 14, { gx: 0, gy: -0.03 }, [0, -5]],
  ] as const)('all of a pocket is looked at, whatever its shape: %s', (_name, length, width, { gx, gy }, [x, y]) => {
    const hinge = { x: gx > 0 ? 0 : length, y: gy > 0 ? -width / 2 : width / 2 };
    const given = { ...SMALL, length, width, widthAtMouth: width, diameter: 3 };
    const work = { ...workOf(given), plane: { hinge, skim: 0.1, gx, gy }, deepest: 0.6 };
    const setting = settingOf(work, 3, { roundingStep: 0.001, lastLine: 77 });
    const found = finishRule([], setting, wallsOf(setting.outline, 31));
    const [, tx, ty, higher] =
      /^at x (-?[\d.]+) mm \(\S+ in\), y (-?[\d.]+) mm \(\S+ in\) wood stays ([\d.]+)/.exec(found.faults[0]?.message ?? '') ?? [];
    if (x > 0) expect(Number(tx)).toBeGreaterThan(x - 0.7);
    else if (gx < 0) expect(Number(tx)).toBeLessThan(0.7);
    if (y !== 0) expect(Number(ty) * Math.sign(y)).toBeGreaterThan(Math.abs(y) - 0.7);
    // Where the axis can still come lower beside the place, all of the wood is to go: 0.1 and 0.03 for each mm, 1.65 mm before a wall.
    const deep = 0.1 + 0.03 * (gx < 0 ? length : (gx > 0 ? length : width) - 1.65 - 1.5);
    expect(Number(higher)).toBeGreaterThan(deep - finishAllowed(setting) - 0.02);
    expect(Number(higher)).toBeLessThan(deep - finishAllowed(setting) + 0.02);
  });

  it('nothing is told where all is down, and the figures are what stays', () => {
    for (const floor of [BACK, FORWARD, ROLLED, OTHER]) {
      const setting = settingFor(floor);
      const moves = putDown(setting, () => true);
      const { most } = scan(setting, [{ moves, radius: 1.5 }], finishAllowed(setting));
      const found = finishRule(moves, setting, wallsOf(setting.outline, 31));
      // The net leaves a little between its places: within what is allowed.
      expect(found.faults).toEqual([]);
      expect(found.leftover).toBeGreaterThanOrEqual(most.over - 1e-9);
      expect(found.leftover).toBeLessThan(most.over + 0.012);
      expect(found.unreachable).toBeGreaterThanOrEqual(most.rim - 1e-9);
      expect(found.unreachable).toBeLessThan(most.rim + 0.012);
    }
  });

  it('what an earlier, larger cutter took is gone', () => {
    const [first, second] = [settingFor(FORWARD, 5), settingFor(FORWARD)];
    const walls = wallsOf(second.outline, 31);
    const before: Earlier = { setting: first, moves: putDown(first, () => true), higher: 0.1 };
    // The second cutter goes along the walls alone: the first one stopped 2.65 mm before the rear and left R g beside the others.
    const moves = putDown(second, (x, y) => x > 7.5 || Math.abs(y) > 2.4);
    expect(finishRule(moves, second, walls, before).faults).toEqual([]);
    expect(finishRule(moves, second, walls).faults).toHaveLength(1);
    expect(finishRule([], second, walls, before).faults).toHaveLength(1);
    const { most } = scan(
      second,
      [
        { moves, radius: 1.5 },
        { moves: before.moves, radius: 2.5 },
      ],
      finishAllowed(second, before),
    );
    expect(finishRule(moves, second, walls, before).leftover).toBeLessThan(most.over + 0.012);
    expect(finishRule(moves, second, walls, before).leftover).toBeGreaterThanOrEqual(most.over - 1e-9);
  });
});
