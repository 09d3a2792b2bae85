import { describe, expect, it } from 'vitest';
import { uniformDraws } from '../../src/kernel/sampling.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { clip } from '../../src/program/halfPlane.ts';
import { areaOf, chordsAcross, isInside, ringHolds, ringHoldsWay, toRing, waysInside } from '../../src/program/ring.ts';
import { expectCorners } from '../support/corners.ts';

const at = (x: number, y: number): Point2 => ({ x, y });

const far = (a: Point2, b: Point2): number => Math.hypot(a.x - b.x, a.y - b.y);

/** Two prongs that point into the pocket from one side, one from the other. */
const COMB = [
  at(-5, -10),
  at(10, -10),
  at(12, 4),
  at(14, -10),
  at(24, -10),
  at(26, 2),
  at(28, -10),
  at(40, -10),
  at(40, 10),
  at(21, 10),
  at(20, -3),
  at(19, 10),
  at(-5, 10),
];

describe('plane geometry of a ring', () => {
  it('area and distance, by hand', () => {
    const square = [at(0, 0), at(4, 0), at(4, 3), at(0, 3)];
    expect(areaOf(square)).toBe(12);
    expect(areaOf(square.toReversed())).toBe(-12);
    expect(toRing(square, at(2, 1))).toBe(1);
    expect(toRing(square, at(7, 7))).toBe(5);
    expect(toRing(square, at(5, 2))).toBe(1);
    expect(isInside(square, at(3.9, 2.9))).toBe(true);
    for (const p of [at(4.1, 1), at(-0.1, 1), at(2, 3.1), at(2, -0.1)]) expect(isInside(square, p)).toBe(false);
    expect(ringHolds(square, at(4, 1.5))).toBe(true);
    expect(ringHolds(square, at(4 + 2e-5, 1.5))).toBe(false);
  });

  it('a straight way inside, along the ring, past a prong and through one', () => {
    expect(ringHoldsWay(COMB, at(0, -9), at(9, 5))).toBe(true);
    expect(ringHoldsWay(COMB, at(-5, 10), at(-5, -10))).toBe(true);
    expect(ringHoldsWay(COMB, at(0, 4), at(18, 4))).toBe(true);
    expect(ringHoldsWay(COMB, at(0, 3.99), at(18, 3.99))).toBe(false);
    expect(ringHoldsWay(COMB, at(0, 4.01), at(18, 4.01))).toBe(true);
    expect(ringHoldsWay(COMB, at(0, 0), at(41, 0))).toBe(false);
    expect(ringHoldsWay(COMB, at(41, 0), at(30, 0))).toBe(false);
    expect(ringHoldsWay(COMB, at(0, 0), at(0, 0))).toBe(true);
    // From one end of the ring's edge on: outside for its middle part alone.
    expect(ringHoldsWay(COMB, at(8, -10), at(16, -10))).toBe(false);
  });

  it('a way is inside or not as a walk along it says, from anywhere to anywhere and from corner to corner', () => {
    const random = uniformDraws(23);
    const place = (): Point2 => at(-6 + 47 * random(), -11 + 22 * random());
    const walked = (a: Point2, b: Point2): boolean => {
      for (let k = 0; k <= 500; k++) {
        const p = at(a.x + ((b.x - a.x) * k) / 500, a.y + ((b.y - a.y) * k) / 500);
        if (!isInside(COMB, p) && toRing(COMB, p) > 1e-6) return false;
      }
      return true;
    };
    const pairs = [
      ...Array.from({ length: 220 }, (): [Point2, Point2] => [place(), place()]),
      ...COMB.flatMap((a) => COMB.map((b): [Point2, Point2] => [a, b])),
      // Through corners: on from one, and from beside one to beyond it.
      ...COMB.map((a, i): [Point2, Point2] => {
        const b = COMB[(i + 1) % COMB.length] as Point2;
        return [a, at(2 * b.x - a.x, 2 * b.y - a.y)];
      }),
    ];
    let inside = 0;
    for (const [a, b] of pairs) {
      const holds = walked(a, b);
      if (holds) inside += 1;
      expect(ringHoldsWay(COMB, a, b), JSON.stringify([a, b])).toBe(holds);
    }
    expect(inside).toBeGreaterThan(60);
    expect(inside).toBeLessThan(pairs.length - 100);
  });

  it('shortest ways agree with trying every bend after every other', () => {
    const bends = [at(12, 4), at(26, 2), at(20, -3)];
    const find = waysInside(COMB);
    // The same elsewhere: nothing depends on where the origin lies.
    const away = (p: Point2): Point2 => at(p.x - 20, p.y + 1);
    const findAway = waysInside(COMB.map(away));
    const sizeOf = (way: readonly Point2[]): number => way.slice(1).reduce((sum, p, i) => sum + far(p, way[i] as Point2), 0);
    const sees = (a: Point2, b: Point2): boolean => {
      for (let k = 1; k < 200; k++) {
        const p = at(a.x + ((b.x - a.x) * k) / 200, a.y + ((b.y - a.y) * k) / 200);
        if (!isInside(COMB, p) && toRing(COMB, p) > 1e-6) return false;
      }
      return true;
    };
    const shortest = (a: Point2, b: Point2, left: readonly Point2[]): number => {
      let least = sees(a, b) ? far(a, b) : Number.POSITIVE_INFINITY;
      for (const bend of left)
        if (sees(a, bend))
          least = Math.min(
            least,
            far(a, bend) +
              shortest(
                bend,
                b,
                left.filter((p) => p !== bend),
              ),
          );
      return least;
    };
    const places = [at(-4, -9), at(0, 9), at(10, -9), at(14, -9), at(19, -5), at(22, 9), at(28, -9), at(39, -9), at(30, 9)];
    let bent = 0;
    for (const a of places)
      for (const b of places) {
        const way = find(a, b);
        expect([way[0], way.at(-1)]).toEqual([a, b]);
        if (way.length > 2) bent += 1;
        expect(sizeOf(way)).toBeCloseTo(shortest(a, b, bends), 9);
        expect(sizeOf(findAway(away(a), away(b)))).toBeCloseTo(sizeOf(way), 9);
      }
    expect(bent).toBeGreaterThan(30);
    // A place that rounding has put a little outside stands for the nearest on the ring.
    for (const [outside, on, to] of [
      [at(-5.001, -9), at(-5, -9), at(39, -9)],
      [at(0, 10.001), at(0, 10), at(39, 9)],
      [at(9, -10.001), at(9, -10), at(24, 9)],
      [at(40.001, 3), at(40, 3), at(15, -9)],
      [at(33, -10.001), at(33, -10), at(33.001, 9)],
      // Snapped to an end of its side, either would see past the prong beside it.
      [at(28.3, -10.001), at(28.3, -10), at(15, 9)],
      [at(23.7, -10.001), at(23.7, -10), at(34, 9)],
      [at(21.1, 10.001), at(21.1, 10), at(14.5, -9)],
    ] as const) {
      expect(find(outside, to).slice(1, -1)).toEqual(find(on, to).slice(1, -1));
      expect(find(to, outside).slice(1, -1)).toEqual(find(to, on).slice(1, -1));
      expect(find(outside, to)[0]).toBe(outside);
    }
    // Beside a prong, not at it: in the notch's own corner neither side of the ring hides the other.
    expect(find(at(-5.001, 4), at(18, 4.0001))).toHaveLength(2);
  });

  it('a line cuts it where it runs inside', () => {
    expect(chordsAcross(COMB, 0).map(({ from, to }) => [from, to])).toEqual([
      [-5, expect.closeTo(12 - 4 / 7, 9)],
      [expect.closeTo(12 + 4 / 7, 9), expect.closeTo(20 - 3 / 13, 9)],
      [expect.closeTo(20 + 3 / 13, 9), expect.closeTo(26 - 1 / 3, 9)],
      [expect.closeTo(26 + 1 / 3, 9), 40],
    ]);
  });

  it('a half plane cuts a polygon at the line, and keeps what lies on it', () => {
    const square = [at(0, 0), at(4, 0), at(4, 3), at(0, 3)];
    const rightOf = (x: number) => clip(square, { nx: -1, ny: 0, d: -x });
    expectCorners(rightOf(1), [at(1, 0), at(4, 0), at(4, 3), at(1, 3)]);
    expectCorners(rightOf(-1), square);
    expectCorners(rightOf(0), square);
    expect(rightOf(4)).toEqual([at(4, 0), at(4, 3)]);
    expect(rightOf(4.1)).toEqual([]);
    const slant = clip(square, { nx: Math.SQRT1_2, ny: Math.SQRT1_2, d: 5 * Math.SQRT1_2 });
    expectCorners(slant, [at(0, 0), at(4, 0), at(4, 1), at(2, 3), at(0, 3)]);
  });
});
