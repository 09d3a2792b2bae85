import { describe, expect, it } from 'vitest';
import { withRimCutter } from '../../src/job/shop.ts';
import type { Result } from '../../src/kernel/findings.ts';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { type Left, leftBy } from '../../src/program/left.ts';
import { type Plan, pathsOf } from '../../src/program/passes.ts';
import { readyTask } from '../../src/program/ready.ts';
import { groundAlong, type RimWork, rimPassAt } from '../../src/program/rimPasses.ts';
import { planOf, writeFloorProgram } from '../../src/program/write.ts';
import { planRim, writeRimProgram } from '../../src/program/writeRim.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';

function good<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.findings));
  return result.value;
}

const OUTLINE = pocket({ length: 40, width: 30, cornerRadius: 0 });
const at = (x: number, y: number): Point2 => ({ x, y });

describe('what passes leave, against the same mesh walked point by point', () => {
  const task = good(readyTask(taskOf({ gx: -0.011, gy: 0.004, outline: pocket({ length: 20, width: 14, cornerRadius: 0 }) })));
  const random = uniformDraws(7);
  const place = (): Point3 => ({ x: -4 + 23 * random(), y: -7 + 14 * random(), z: -0.4 * random() });
  const least = (from: Point3, to: Point3, p: Point2): number => {
    const [dx, dy, dz] = [to.x - from.x, to.y - from.y, to.z - from.z];
    const [fx, fy] = [from.x - p.x, from.y - p.y];
    const [a, b, c] = [dx * dx + dy * dy, fx * dx + fy * dy, fx * fx + fy * fy - 9];
    if (a < 1e-12) return c <= 0 ? Math.min(from.z, to.z) : Number.POSITIVE_INFINITY;
    if (b * b < a * c) return Number.POSITIVE_INFINITY;
    const root = Math.sqrt(b * b - a * c);
    const [t0, t1] = [Math.max(0, (-b - root) / a), Math.min(1, (-b + root) / a)];
    return t0 > t1 ? Number.POSITIVE_INFINITY : from.z + Math.min(t0 * dz, t1 * dz);
  };

  it('where nothing was cut the wood as found stands, a plane of its own where the body leans', () => {
    const base = taskOf({ gx: -0.011, shop: shopOf({ cutter: { length: 32 } }) });
    const leaning = good(readyTask({ ...base, mounted: mountedOf(base, { x: 0.012, y: 0.007, height: 0.6 }) }));
    const { highest } = leftBy(leaning, []);
    const slope = Math.hypot(leaning.found.gx, leaning.found.gy);
    const between = Math.max(slope, Math.hypot(leaning.plane.gx, leaning.plane.gy)) * 0.25 * Math.SQRT1_2;
    for (const p of [at(5, -9), at(20, 3), at(33, 12)]) {
      // The floor as found rises by 0.012 and 0.007 for each mm of it, so hardly more for each mm of the machine.
      const exact = 0.6 + 0.012 * p.x + 0.007 * p.y + 1.5 * slope;
      expect(highest(p, 1.5) - between).toBeGreaterThan(exact - 0.005);
      expect(highest(p, 1.5) - between).toBeLessThan(exact + 0.001);
    }
  });

  it('the highest wood under a disc, for moves at random', () => {
    for (let round = 0; round < 2; round++) {
      const passes = [0, 1].map(() => {
        const [start, ...stops] = Array.from({ length: 5 }, place) as [Point3, ...Point3[]];
        const last = stops.at(-1) as Point3;
        return { start, moves: [...stops, { ...last, z: last.z - 0.1 }].map((p) => ({ ...p, feed: 'cut' as const })) };
      });
      const left = leftBy(task, passes);
      const heights: (Point3 & { z: number })[] = [];
      for (let i = 0; i <= 80; i++)
        for (let j = 0; j <= 56; j++) {
          const p = at(i * 0.25, -7 + j * 0.25);
          let z = 0;
          for (const { start, moves } of passes) {
            let here: Point3 = start;
            for (const move of moves) {
              z = Math.min(z, least(here, move, p));
              here = move;
            }
          }
          heights.push({ ...p, z });
        }
      // Between its points the wood leans no more than the floors do, over half a mesh's diagonal.
      const between = Math.hypot(0.011, 0.004) * 0.25 * Math.SQRT1_2;
      for (let k = 0; k < 40; k++) {
        const [c, reach] = [at(-1 + 22 * random(), -8 + 16 * random()), 0.4 + 2 * random()];
        const under = heights.filter((p) => Math.hypot(p.x - c.x, p.y - c.y) <= reach).map(({ z }) => z);
        const highest = under.length === 0 ? Number.NEGATIVE_INFINITY : Math.max(...under) + between;
        expect(left.highest(c, reach)).toBeCloseTo(highest, 12);
      }
    }
  });
});

describe('a second cutter’s level, by hand', () => {
  // A 3 mm cutter over a floor pitched back; the first one left wood, 0.1 mm deep, only behind x = 20.
  const shop = shopOf({ cutter: { diameter: 3 }, pass: { width: 1.2 } });
  const plan: Plan = good(planOf(good(readyTask(taskOf({ gx: -0.01, outline: OUTLINE, shop })))));
  const left: Left = { highest: (c) => (c.x > 20.01 ? -0.1 : -0.9) };
  const work = (into: number, ridges = 0.002): RimWork => ({ plan, left, intoFresh: () => into, ridges, higher: 0.1 });
  const face = (x: number): number => -0.01 * (40 - Math.max(x, -1.5)) + 0.015;

  it('looks at the ground at most half a millimetre apart, and knows nothing before the mouth', () => {
    const ground = groundAlong(work(-1), [at(-5.5, 2), at(30.1, 2), at(30.1, 3)]);
    expect(ground).toHaveLength(1 + 72 + 2);
    expect(ground.filter(({ corner }) => corner).map(({ x, y }) => [x, y])).toEqual([
      [-5.5, 2],
      [30.1, 2],
      [30.1, 3],
    ]);
    expect(ground.at(72)?.way).toBeCloseTo(35.6, 9);
    expect(ground.at(-1)?.way).toBeCloseTo(36.6, 9);
    expect(ground[1]?.x).toBeCloseTo(-5.5 + 35.6 / 72, 9);
    for (const { x, stands, free, worth } of ground) {
      if (x <= -1.5) expect([stands, free, worth]).toEqual([-Infinity, -Infinity, -Infinity]);
      else {
        const seen = x > 20.01 ? -0.1 : -0.9;
        expect([stands, worth]).toEqual([seen, seen]);
        // Ridges the mesh may have missed and both zeros, but never higher than the wood as found.
        expect(free).toBeCloseTo(Math.min(0, seen + 0.115), 12);
      }
    }
    // On a slanted way every level goes through the same places.
    expect(groundAlong(work(-1), [at(0, 0), at(3, 1)]).every(({ corner }) => corner)).toBe(true);
  });

  it('wood the first never touched is as found, however thin; a thread of it is worth nothing', () => {
    const of = (into: number) => groundAlong(work(into), [at(10, 0)])[0];
    expect(of(-0.02)).toMatchObject({ stands: -0.9, worth: -0.9 });
    expect(of(0.005)).toMatchObject({ stands: 0, free: 0, worth: -0.9 });
    expect(of(0.02)).toMatchObject({ stands: 0, free: 0, worth: 0 });
  });

  it('comes down where nothing stands, ramps to the level no steeper than 1 in 22, and goes on to the end', () => {
    const path = [at(-5.5, 2), at(36, 2)];
    const made = rimPassAt(work(-1), { raise: 0 }, [groundAlong(work(-1), path)]);
    if (made === undefined) throw new Error('there is wood');
    expect(made.worth).toBe(true);
    const { start, moves } = made.pass;
    expect([start.x, start.y]).toEqual([-5.5, 2]);
    const cut = moves.filter(({ z }) => z < 0);
    // All but the way up and over goes along the path.
    for (const { y } of moves) expect(y).toBe(2);
    const down = cut[0];
    const first = cut.find(({ x, z }) => z < face(x) + 0.0015);
    if (down === undefined || first === undefined) throw new Error('it cuts');
    expect(down.feed).toBe('plunge');
    // Just before x = 20.01 the wood begins; free above -0.9 + 0.115 the cutter may be at once where the level is.
    expect(first.x).toBeGreaterThan(19);
    expect(first.x).toBeLessThan(20.01);
    expect(down.z).toBeCloseTo(face(down.x), 2);
    // On from there to where the level comes up through the wood: -0.1 at x = 28.5.
    const last = cut.at(-1);
    expect(last?.x).toBeGreaterThan(28.3);
    expect(last?.x).toBeLessThan(29.2);
    expect(moves.at(-1)?.z).toBeCloseTo(0.3, 9);
    // A straight way is one move: down, to where the wood begins, and to where it ends.
    expect(cut.length).toBeLessThanOrEqual(3);
  });

  it('where something stands before it the way down is long enough for the ramp', () => {
    // Between 16.6 and 20 mm the wood stands a little below the level, but both zeros may put it above.
    const highest = (c: Point2): number => (c.x > 20.01 ? -0.1 : c.x > 16.6 ? -0.225 : -0.9);
    const stepped: RimWork = { ...work(-1), left: { highest } };
    const made = rimPassAt(stepped, { raise: 0 }, [groundAlong(stepped, [at(-5.5, 2), at(36, 2)])]);
    if (made === undefined) throw new Error('there is wood');
    const cut = made.pass.moves.filter(({ z }) => z < 0);
    const slopes = cut.slice(1).map((p, i) => {
      const from = cut[i] as Point3;
      return (from.z - p.z) / Math.hypot(p.x - from.x, p.y - from.y);
    });
    expect(Math.max(...slopes)).toBeLessThanOrEqual(1 / 20);
    const [down] = cut;
    if (down === undefined) throw new Error('it cuts');
    // It comes down to where nothing can stand, 0.115 mm over that wood, and so far before that 1 in 22 is enough.
    expect(down.z).toBeCloseTo(-0.11, 3);
    const bottom = cut.find(({ x, z }) => z < face(x) + 0.0015);
    expect((bottom?.x ?? 0) - down.x).toBeGreaterThanOrEqual(22 * (down.z - (bottom?.z ?? 0)) - 0.1);
    expect((bottom?.x ?? 0) - down.x).toBeLessThan(22 * (down.z - (bottom?.z ?? 0)) + 0.6);
    for (const { x, z } of cut) expect(z).toBeGreaterThanOrEqual(face(x) - 1e-9);
  });

  it('cuts nearer to one another than 8 mm are run as one, others with the cutter lifted between', () => {
    const runs = (second: number): number => {
      const highest = (c: Point2): number => ((c.x > 8 && c.x < 10) || (c.x > second && c.x < second + 2) ? -0.1 : -0.9);
      const parted: RimWork = { ...work(-1), left: { highest } };
      // Places stand half a millimetre apart: the first cut's last is at 9.5, and the one after it belongs to its run.
      const made = rimPassAt(parted, { raise: 0 }, [groundAlong(parted, [at(-6, 2), at(36, 2)])]);
      const moves = made?.pass.moves ?? [];
      // It comes down where a run begins, and goes before the mouth once at most.
      if (made === undefined) throw new Error('there is wood');
      expect(made.pass.start.x).toBeCloseTo(-5.5, 9);
      expect(moves.every(({ x }) => x > 0)).toBe(true);
      // A lift from the wood, and the last one.
      return moves.filter(({ z }, i) => z > 0.25 && (moves[i - 1]?.z ?? 1) < 0).length;
    };
    expect(runs(17.2)).toBe(1);
    expect(runs(18.2)).toBe(2);
    expect(runs(25)).toBe(2);
  });

  it('ridges stay, and a level over all there is no pass', () => {
    const path = [at(-5.5, 2), at(36, 2)];
    const thin: RimWork = { ...work(-1), left: { highest: (c) => face(c.x) + 0.0019 } };
    expect(rimPassAt(thin, { raise: 0 }, [groundAlong(thin, path)])).toBeUndefined();
    const more: RimWork = { ...work(-1), left: { highest: (c) => face(c.x) + 0.0021 } };
    expect(rimPassAt(more, { raise: 0 }, [groundAlong(more, path)])?.worth).toBe(true);
    expect(rimPassAt(work(-1), { raise: 0.5 }, [groundAlong(work(-1), path)])).toBeUndefined();
    // Threads are cut, but are no reason for a program.
    const thread = work(0.005);
    expect(
      rimPassAt({ ...thread, left: { highest: () => -0.9 } }, { raise: 0 }, [
        groundAlong({ ...thread, left: { highest: () => -0.9 } }, path),
      ])?.worth,
    ).toBe(false);
  });
});

it('a second cutter’s levels begin before the mouth on the first lane that has wood for it', () => {
  const rim = { diameter: 3, length: 24, flutes: 2, speed: 16000, cut: 1200, plunge: 300, depth: 0.3, width: 1.2 };
  const plan = good(planRim(taskOf({ gx: 0.014, outline: OUTLINE, shop: { ...shopOf(), rim } })));
  if (plan === undefined) throw new Error('there is wood for it');
  const { forLanes, laneWidth, region } = plan.planned.plan;
  const [lane] = pathsOf(plan.planned.plan);
  expect(laneWidth).toBeLessThanOrEqual(1.2);
  // Lanes keep 0.02 mm more off the walls than the ways along them.
  expect(forLanes.least.y - region.least.y).toBeCloseTo(0.02, 9);
  expect(plan.planned.passes.length).toBeGreaterThan(1);
  for (const { start, moves } of plan.planned.passes) {
    expect(start.x).toBeCloseTo(-5.5, 9);
    // The first cutter stopped before the rear wall on every lane.
    expect(start.y).toBeCloseTo(lane?.[0]?.y ?? Number.NaN, 3);
    expect(moves.length).toBeGreaterThan(10);
  }
});

it('a second cutter in a pocket with a bump goes round it and is proved', () => {
  const corners = [at(0, -12), at(10, -12), at(14, -6), at(18, -12), at(30, -12), at(30, 12), at(0, 12)];
  const pieces = corners.map((from, i) => ({ kind: 'line' as const, from, to: corners[(i + 1) % 7] as Point2 }));
  const outline = { pieces, length: 30, mouthHalf: 12, rearHalf: 12 };
  const rim = { diameter: 4, length: 26, flutes: 2, speed: 16000, cut: 1200, plunge: 300, depth: 0.4, width: 1.6 };
  const shop = { ...shopOf({ cutter: { diameter: 8 }, pass: { depth: 0.4, width: 3 } }), rim };
  const task = { ...taskOf({ gx: 0.012, outline, shop }), clearBefore: 40 };
  const floor = good(writeFloorProgram(task));
  const plan = good(planRim(task));
  if (plan === undefined) throw new Error('there is wood for it');
  const { plane, pocketDepth, clearBefore, deepest } = task;
  const before = { text: floor.text, shop, higher: 0.1 };
  const work = { plane, outline, pocketDepth, clearBefore, deepest, shop: withRimCutter(shop, rim), before };
  expect(proveProgram(writeRimProgram(plan).text, work, 'rim').faults).toEqual([]);
});
