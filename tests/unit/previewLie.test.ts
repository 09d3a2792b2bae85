import { describe, expect, it } from 'vitest';
import type { Shop } from '../../src/job/shop.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { asSaid, LEVEL, overBody } from '../../src/preview/lie.ts';
import { timelineOf } from '../../src/preview/timeline.ts';
import { latticeOf, woodOf } from '../../src/preview/wood.ts';
import { onTable } from '../../src/program/table.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { asSeen } from '../../src/proof/frame.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, taskOf } from './programTasks.ts';

const TURNS: readonly Shop['program']['turn'][] = [0, 90, 180, 270];
const TILT = { x: 0.018, y: -0.011, height: 0.7 };
const PLAIN = taskOf({ gx: -0.01, gy: 0.004, outline: pocket({ width: 36, widthAtMouth: 38 }) });
const MOUNTED = { ...PLAIN, mounted: mountedOf(PLAIN, TILT) };
const SEEN = asSeen(MOUNTED);

describe('a body that lies otherwise than it is drawn', () => {
  it.each(TURNS)('turned by %i is turned back, and a place drawn gives the words again', (turn) => {
    const lie = { turn, wood: SEEN.wood };
    for (const p of [
      { x: 12.5, y: -7.25, z: -0.4 },
      { x: -9, y: 21, z: 25 },
    ]) {
      const said = { ...onTable(turn, p), z: p.z };
      const drawn = overBody({ ...LEVEL, turn }, said);
      expect([drawn.x, drawn.y, drawn.z]).toEqual([p.x, p.y, p.z]);
      const back = asSaid(lie, overBody(lie, said));
      for (const axis of ['x', 'y', 'z'] as const) expect(back[axis]).toBeCloseTo(said[axis], 10);
    }
  });

  it('keeps what the program has said before it has said the rest', () => {
    const lie = { turn: 90 as const, wood: SEEN.wood };
    const said = asSaid(lie, overBody(lie, { x: Number.NaN, y: Number.NaN, z: 25.4 }));
    expect([said.x, said.y]).toEqual([Number.NaN, Number.NaN]);
    expect(said.z).toBeCloseTo(25.4, 12);
  });

  it('stands at the four heights that were measured', () => {
    const { mouthBass, rearTreble } = MOUNTED.mounted;
    const [mouth, rear] = [SEEN.outline.pieces[0], SEEN.outline.pieces.at(-2)];
    if (mouth?.kind !== 'line' || rear?.kind !== 'line') throw new Error('the seen outline has straight pieces');
    expect(-depthAt(SEEN.wood, mouth.from.x, mouth.from.y)).toBeCloseTo(mouthBass, 3);
    // Under the named rear corner, which is rounded: the plane alone knows it.
    const tilted = Math.cos(Math.asin(Math.hypot(TILT.x, TILT.y)));
    expect(-depthAt(SEEN.wood, PLAIN.outline.length, PLAIN.outline.rearHalf)).toBeCloseTo(rearTreble, 1);
    expect(SEEN.pocketDepth).toBeCloseTo(PLAIN.pocketDepth / tilted, 6);
    // Lengths seen from above are shorter by the cosine of the slope, no more.
    expect(SEEN.outline.length / PLAIN.outline.length).toBeGreaterThan(tilted - 1e-3);
    expect(SEEN.outline.length).toBeLessThan(PLAIN.outline.length);
  });

  it.each(TURNS)('turned by %i and out of level: the wood at the end is the floor, by what the proof allows', (turn) => {
    const task = { ...MOUNTED, shop: { ...MOUNTED.shop, program: { ...MOUNTED.shop.program, turn } } };
    const program = writeFloorProgram(task);
    if (!program.ok) throw new Error(JSON.stringify(program.findings));
    const { text } = program.value;
    const verdict = proveProgram(text, { ...task, clearBefore: task.clearBefore ?? 0 }, 'floor');
    expect(verdict.faults).toEqual([]);
    const lie = { turn, wood: SEEN.wood };
    const read = readStrictly(text);
    const timeline = timelineOf(read, task.shop.feed.cut, (said) => overBody(lie, said));
    expect(timeline.seconds / 60).toBeCloseTo(verdict.figures.minutes ?? Number.NaN, 9);
    const lattice = latticeOf(SEEN.outline, SEEN.pocketDepth, 4);
    const offBy = (found = SEEN.wood): { low: number; high: number; looked: number; top: number } => {
      const wood = woodOf(lattice, timeline, 3, SEEN.pocketDepth, found);
      expect(wood.goTo(timeline.count, Number.POSITIVE_INFINITY)).toBe(true);
      const off = { low: Number.POSITIVE_INFINITY, high: Number.NEGATIVE_INFINITY, looked: 0, top: Number.POSITIVE_INFINITY };
      wood.heights.forEach((z, at) => {
        const x = lattice.x0 + (at % lattice.nx) * lattice.step;
        const y = lattice.y0 + Math.floor(at / lattice.nx) * lattice.step;
        if (lattice.floor[at] === 0) {
          off.top = Math.min(off.top, z);
          return;
        }
        // Heights over the floor as found: what is to be cut there is what lies between the two planes.
        const wanted = depthAt(SEEN.wood, x, y) - depthAt(SEEN.plane, x, y);
        off.low = Math.min(off.low, z - wanted);
        // Beside the walls, and in the rounded corners, their own strip stays.
        if (x > PLAIN.outline.length - 6 || Math.abs(y) > PLAIN.outline.rearHalf - 1.5) return;
        off.high = Math.max(off.high, z - wanted);
        off.looked += 1;
      });
      return off;
    };
    const off = offBy();
    expect(off.looked).toBeGreaterThan(5_000);
    expect(off.low).toBeGreaterThan(-(verdict.figures.gouge ?? 0) - 1e-5);
    expect(off.high).toBeLessThan((verdict.figures.leftover ?? 0) + 1e-5);
    expect(off.top).toBeCloseTo(SEEN.pocketDepth, 5);
    // A face that leaned with the floor would cut otherwise: the difference is one that this test sees.
    expect(Math.abs(offBy(LEVEL.wood).low - off.low)).toBeGreaterThan(0.015);
  });
});
