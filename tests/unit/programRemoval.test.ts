import { describe, expect, test } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import { depthAt, leanOf } from '../../src/kernel/plane.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { CASES } from './programTasks.ts';

/** mm between the points of wood looked at. */
const LATTICE = 0.5;

interface Seen {
  readonly g: number;
  readonly from: { x: number; y: number; z: number };
  readonly to: { x: number; y: number; z: number };
  readonly feed: number;
}

/** A plain reader of our own text, for the tests only: millimetres whatever the program's unit. */
function movesOf(text: string): Seen[] {
  const inch = /^G20$/m.test(text) ? 25.4 : 1;
  let here = { x: Number.NaN, y: Number.NaN, z: Number.NaN };
  let feed = 0;
  const out: Seen[] = [];
  for (const line of text.split('\n')) {
    if (!/^G[01] /.test(line)) continue;
    const word = (letter: string): number | undefined => {
      const found = line.match(new RegExp(`${letter}(-?[0-9.]+)`));
      return found === null ? undefined : Number(found[1]) * inch;
    };
    feed = word('F') ?? feed;
    const to = { x: word('X') ?? here.x, y: word('Y') ?? here.y, z: word('Z') ?? here.z };
    out.push({ g: line.startsWith('G0') ? 0 : 1, from: here, to, feed });
    here = to;
  }
  return out;
}

/** Distance from p to the nearest wall, negative outside; side walls carried on straight before the mouth. Convex outlines. */
function clearOf(outline: Outline, p: Point2): number {
  return Math.min(
    ...outline.pieces.map((piece) => {
      if (piece.kind === 'arc') {
        const turned = Math.atan2(p.y - piece.centre.y, p.x - piece.centre.x);
        const inSector = turned >= piece.start && turned <= piece.start + piece.sweep;
        return inSector ? piece.radius - Math.hypot(p.x - piece.centre.x, p.y - piece.centre.y) : Number.POSITIVE_INFINITY;
      }
      const { from, to } = piece;
      if (from.x === 0 && to.x === 0) return Number.POSITIVE_INFINITY;
      const size = Math.hypot(to.x - from.x, to.y - from.y);
      return ((to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x)) / size;
    }),
  );
}

/** Height of the face where the disc round a move first or best covers p: the least z of axes on the move within R of p. */
function leastOver(move: Seen, p: Point2, radius: number): number {
  const dx = move.to.x - move.from.x;
  const dy = move.to.y - move.from.y;
  const fx = move.from.x - p.x;
  const fy = move.from.y - p.y;
  const a = dx * dx + dy * dy;
  const c = fx * fx + fy * fy - radius * radius;
  const z = (t: number): number => move.from.z + t * (move.to.z - move.from.z);
  if (a < 1e-18) return c <= 0 ? Math.min(move.from.z, move.to.z) : Number.POSITIVE_INFINITY;
  const b = fx * dx + fy * dy;
  const root = b * b - a * c;
  if (root < 0) return Number.POSITIVE_INFINITY;
  const t0 = Math.max(0, (-b - Math.sqrt(root)) / a);
  const t1 = Math.min(1, (-b + Math.sqrt(root)) / a);
  return t0 > t1 ? Number.POSITIVE_INFINITY : Math.min(z(t0), z(t1));
}

interface Milled {
  readonly bite: number;
  readonly steepBite: number;
  readonly leftover: number;
  readonly looked: number;
}

function mill(task: ProgramTask, text: string): Milled {
  const radius = (task.shop.cutter.diameter ?? 0) / 2;
  const { outline, plane, shop } = task;
  const inset = radius + shop.clearance.wall;
  const g = leanOf(plane);
  const face = (c: Point2): number => -depthAt(plane, c.x, c.y) + radius * g;
  const wood: { p: Point2; z: number }[] = [];
  const half = Math.max(outline.mouthHalf, outline.rearHalf);
  for (let x = 0.01; x < outline.length; x += LATTICE)
    for (let y = -half + 0.01; y < half; y += LATTICE) if (clearOf(outline, { x, y }) > 0) wood.push({ p: { x, y }, z: 0 });
  let bite = 0;
  let steepBite = 0;
  for (const move of movesOf(text)) {
    const low = Math.min(move.from.z, move.to.z);
    if (!(low < 0)) continue;
    const across = Math.hypot(move.to.x - move.from.x, move.to.y - move.from.y);
    const steep = move.from.z - move.to.z > across / 20;
    const x0 = Math.min(move.from.x, move.to.x) - radius;
    const x1 = Math.max(move.from.x, move.to.x) + radius;
    const y0 = Math.min(move.from.y, move.to.y) - radius;
    const y1 = Math.max(move.from.y, move.to.y) + radius;
    for (const cell of wood) {
      const { p } = cell;
      if (p.x < x0 || p.x > x1 || p.y < y0 || p.y > y1 || cell.z <= low) continue;
      const z = leastOver(move, p, radius);
      if (z >= cell.z) continue;
      bite = Math.max(bite, cell.z - z);
      if (steep) steepBite = Math.max(steepBite, cell.z - z);
      cell.z = z;
    }
  }
  // A(p) by looking round p: axes within R of it that keep clear of the walls, in rings and directions.
  const u = g === 0 ? { x: 0, y: 0 } : { x: plane.gx / g, y: plane.gy / g };
  const reach = (p: Point2): number => {
    const ideal = { x: p.x + radius * u.x, y: p.y + radius * u.y };
    if (clearOf(outline, ideal) >= inset) return face(ideal);
    let best = Number.POSITIVE_INFINITY;
    for (let r = 0; r <= 12; r++)
      for (let k = 0; k < 72; k++) {
        const c = { x: p.x + ((radius * r) / 12) * Math.cos(k / 11.459), y: p.y + ((radius * r) / 12) * Math.sin(k / 11.459) };
        if (clearOf(outline, c) >= inset) best = Math.min(best, face(c));
      }
    return best;
  };
  let leftover = Number.NEGATIVE_INFINITY;
  let looked = 0;
  for (const { p, z } of wood) {
    if (clearOf(outline, p) < shop.clearance.wall + 0.05) continue;
    const floor = -depthAt(plane, p.x, p.y);
    const lowest = Math.max(floor, reach(p));
    if (!Number.isFinite(lowest)) continue;
    looked += 1;
    leftover = Math.max(leftover, z - Math.min(0, lowest));
  }
  return { bite, steepBite, leftover, looked };
}

describe.each(CASES)('wood taken: %s', (_name, task) => {
  const made = writeFloorProgram(task);
  const step = task.shop.program.units === 'in' ? 0.00254 : 0.001;

  test('is written', () => {
    expect(made.ok ? [] : made.findings).toEqual([]);
  });
  if (!made.ok) return;
  const { text } = made.value;
  const moves = movesOf(text);
  const radius = (task.shop.cutter.diameter ?? 0) / 2;
  const g = leanOf(task.plane);

  test('no end of a move goes below the floor, into a wall, or out of the free space', () => {
    expect(moves.length).toBeGreaterThan(20);
    for (const { to } of moves.slice(2)) {
      expect(to.z).toBeGreaterThanOrEqual(-depthAt(task.plane, to.x, to.y) + radius * g - 1e-9);
      expect(to.z).toBeGreaterThanOrEqual(-task.deepest - 1e-9);
      expect(clearOf(task.outline, to)).toBeGreaterThanOrEqual(radius + task.shop.clearance.wall - 1e-9);
      expect(to.x - radius).toBeGreaterThanOrEqual(-(task.clearBefore ?? 0) - 1e-9);
    }
  });

  test('steep falls go at the plunge feed, all else at the cutting feed, rapids only at clear height', () => {
    for (const { g: code, from, to, feed } of moves.slice(2)) {
      if (code === 0) {
        expect(Math.min(from.z, to.z)).toBeGreaterThanOrEqual(task.pocketDepth + task.shop.clearance.above - 1e-9);
        continue;
      }
      const steep = from.z - to.z > 0.1 * Math.hypot(to.x - from.x, to.y - from.y) + 1e-9;
      expect(feed).toBeLessThanOrEqual((steep ? task.shop.feed.plunge : task.shop.feed.cut) + 1e-9);
      expect(feed).toBeGreaterThan(steep ? 0 : task.shop.feed.cut / 4 - 1);
    }
  });

  test('no move takes too much, nothing plunges into wood, and nothing reachable stays', () => {
    const milled = mill(task, text);
    expect(milled.looked).toBeGreaterThan(1000);
    expect(milled.bite).toBeLessThanOrEqual(task.shop.pass.depth - 0.01);
    expect(milled.steepBite).toBeLessThanOrEqual(step);
    expect(milled.leftover).toBeLessThanOrEqual(made.value.cusp + task.shop.leave + 0.01 + step);
  });
});
