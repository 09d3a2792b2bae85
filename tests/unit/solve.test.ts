import { describe, expect, it } from 'vitest';
import { placeInstrument } from '../../src/instrument/evidence.ts';
import { valuesOf } from '../../src/kernel/measured.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { bodyToNeck, neckToBody } from '../../src/kernel/pose.ts';
import { toDegrees } from '../../src/kernel/units.ts';
import { reachOf } from '../../src/solve/gaps.ts';
import { settingOf } from '../../src/solve/setting.ts';
import { deepestOf, hingeNameOf, planeOf, solve, solveFloor, solveTilt } from '../../src/solve/solve.ts';
import { jobOf, type Plain } from '../support/jobs.ts';
import { plainPitch } from '../support/plainSolver.ts';
import { outlineOf, solved } from '../support/solved.ts';

const gaps = { bass: 1.2, treble: 1.0 };

describe('solve', () => {
  it('agrees with the plain solver on a flat and on a round neck', () => {
    for (const R of [null, 280]) {
      const c = {
        L: 612,
        N: 20,
        k: 6,
        nutSpread: 36,
        saddleSpread: 53,
        M: 388,
        seat: 23.5,
        nutGap: 0.5,
        R,
        relief: 0.15,
        P: 71.5,
        travel: 7,
        bass: 1.2,
        treble: 1.0,
      };
      const plain = plainPitch(c, 0);
      const job = jobOf({ lastFretGap: gaps, relief: 0.15, ...(R === null ? {} : { radius: R }) });
      const solution = solved(job);
      expect(solution.hingeName).toBe('rear');
      expect(solution.pitch).toBeCloseTo(plain.pitch, 11);
      expect(solution.deepest).toBeCloseTo(plain.deepest, 9);
      expect(solution.nutDrop).toBeCloseTo(plain.nutDrop, 9);
      expect(Math.abs(solution.afterCut.lowest)).toBeLessThan(1e-9);
    }
  });

  it('one case by hand: a slope of about half a degree (common practice, no source) for a millimetre at the last fret', () => {
    // Flat neck, L 612, s_20 = 612 (1 - 2^(-20/12)) = 419.23; pitching about the rear wall at s = 388 + 71.5 = 459.5 turns the line
    // nut-saddle: the seat, 612 - 459.5 = 152.5 mm behind the hinge, goes up by 152.5 p against the neck's crowns turned; seen from the
    // neck it falls by 152.5 p, so the gap over the last fret falls by 152.5 p 419.23/612 = 104.5 p. 1.2 mm needs p = 0.01149 = 0.658 degrees,
    // less a little: the seat also comes nearer to the nut by z sin p.
    const solution = solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 } }));
    expect(toDegrees(solution.pitch)).toBeGreaterThan(0.6);
    expect(toDegrees(solution.pitch)).toBeLessThan(0.72);
    expect(solution.gain).toBeLessThan(0);
    expect(-solution.gain).toBeCloseTo(1.2 / solution.deepest, 1);
  });

  it('pitches forward about the mouth where the highest falls short', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 }));
    expect(solution.hingeName).toBe('mouth');
    expect(solution.pitch).toBeLessThan(0);
    expect(solution.gain).toBeGreaterThan(0);
    expect(solution.nutDrop).toBeLessThan(0);
    expect(solution.deepest).toBeCloseTo(depthAt(solution.plane, 71.5, 0), 12);
  });

  it('needs no cut where both ends are reached, and then takes no skim either', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 0.5, treble: 0.5 }, raised: 1, travel: 9, target: { skim: 0.3 } }));
    expect(solution.hingeName).toBe('none');
    expect(solution.deepest).toBe(0);
  });

  it('a level floor gains by the first shaving what the slightest pitch back gains', () => {
    const level = solved(jobOf({ lastFretGap: { bass: 0.5, treble: 0.5 }, raised: 1, travel: 9 }));
    expect(level.deepest).toBe(0);
    const slight = solved(jobOf({ lastFretGap: { bass: 1e-4, treble: 1e-4 }, travel: 9 }));
    expect(slight.pitch).toBeGreaterThan(0);
    expect(slight.pitch).toBeLessThan(2e-6);
    // The seats differ by less than a millimetre, and with them the gain by some thousandths.
    expect(level.gain).toBeLessThan(-1);
    expect(Math.abs(level.gain / slight.gain - 1)).toBeLessThan(0.005);
  });

  it('takes the skim alone where that is enough', () => {
    // 3.9 mm of travel are 2.67 mm over the last fret: with 0.3 mm too little for 3. A neck 0.3 mm lower gains 0.2 mm there.
    const solution = solved(jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, travel: 3.9, target: { skim: 0.3, gap: 0.7 } }));
    expect([solution.pitch, solution.roll, solution.deepest, solution.hingeName]).toEqual([0, 0, 0.3, 'none']);
    expect(solution.plane).toEqual({ hinge: { x: 71.5, y: 0 }, skim: 0.3, gx: 0, gy: 0 });
    expect(solution.asFound.highest).toBeCloseTo(0.3 + 3.9 * (1 - 2 ** (-20 / 12)), 9);
    expect(solution.afterCut.highest).toBeGreaterThan(3);
    expect([solution.shortBy, solution.afterCut.lowest < 0.7]).toEqual([0, true]);
  });

  it('takes the skim first', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 }, target: { skim: 0.4 } }));
    expect(solution.plane.skim).toBe(0.4);
    expect(Math.abs(solution.afterCut.lowest)).toBeLessThan(1e-9);
    expect(depthAt(solution.plane, 71.5, 0)).toBeCloseTo(0.4, 12);
  });

  it('pitch and roll bring both outer strings to the target', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll' } }));
    const { low } = solution.afterCut;
    expect(Math.abs((low[0]?.gap ?? 1) - (low[5]?.gap ?? 0))).toBeLessThan(1e-9);
    expect(Math.abs(solution.afterCut.lowest)).toBeLessThan(1e-9);
    expect(solution.hingeName).toBe('corner');
    // The bass strings stand higher, so the treble side goes down: positive by definition.
    expect(solution.roll).toBeGreaterThan(0);
  });

  it.each([
    ['the bass higher', 1.4, 0.9, 1],
    ['the treble higher', 0.8, 1.5, -1],
    ['both alike', 1.2, 1.2, 0],
  ])('finds pitch and roll by bracketing where the first steps find no slope: %s', (_name, bass, treble, sign) => {
    const job = jobOf({ lastFretGap: { bass, treble }, target: { floor: 'pitch-and-roll' } });
    const { instrument, outline, pitch, roll } = solved(job);
    expect(Math.sign(Math.round(roll * 1e9))).toBe(sign);
    // A plane that does not follow the first ten-thousandth: at a level floor there is no slope to go by.
    const lag = 1e-4;
    const late = (angle: number): number => Math.sign(angle) * Math.max(0, Math.abs(angle) - lag);
    const outcome = solveTilt(instrument, (tilt) => planeOf(outline, 0, late(tilt.pitch), late(tilt.roll), 1));
    if (!outcome.ok) throw new Error(outcome.finding.message);
    expect(outcome.tilt.pitch).toBeCloseTo(pitch + lag, 10);
    expect(outcome.tilt.roll).toBeCloseTo(roll + sign * lag, sign === 0 ? 9 : 10);
  });

  it('the end of a tongue past the pocket comes down by its own distance from the hinge', () => {
    // 22 frets of 612 mm end 80.27 mm behind a mouth at 360 mm; the pocket ends at 71.5 mm.
    const end = 612 * (1 - 2 ** (-22 / 12)) - 360;
    const solution = solved(jobOf({ frets: 22, nutToMouth: 360, lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 }));
    const { pocket, neck } = solution.instrument.job;
    const under = neck.heelWood as number;
    expect(solution.pitch).toBeLessThan(0);
    const { tongue } = settingOf(solution, 1.8);
    expect(tongue?.before).toBeCloseTo(under - pocket.depth, 12);
    const p = -solution.pitch;
    expect(tongue?.after).toBeCloseTo(under * Math.cos(p) - end * Math.sin(p) - pocket.depth, 9);
    expect(settingOf(solved(jobOf({ lastFretGap: gaps })), 1.8).tongue).toBeNull();
  });

  it('a point goes to the body and back', () => {
    const { plane } = solved(jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll', skim: 0.2 } }));
    const p = { x: -388, y: 17, z: 24 };
    const q = bodyToNeck(plane, neckToBody(plane, p));
    expect(Math.hypot(q.x - p.x, q.y - p.y, q.z - p.z)).toBeLessThan(1e-11);
  });

  it('the floor cut is where the moved heel sits: its seat plane lies on the plane at every corner', () => {
    const { plane } = solved(jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll', skim: 0.2 } }));
    for (const [x, y] of [
      [0, 29],
      [71.5, -29],
      [30, 3],
    ] as const) {
      const moved = neckToBody(plane, { x, y, z: 0 });
      expect(moved.z).toBeCloseTo(-depthAt(plane, moved.x, moved.y), 11);
    }
  });
});

describe('the floor’s name and its deepest place', () => {
  it('by hand', () => {
    const outline = measuredOutline({ length: 40, width: 30, widthAtMouth: 28, cornerRadius: 0 });
    const named = (pitch: number, roll: number, isCut = true) => hingeNameOf(planeOf(outline, 0.2, pitch, roll, 1), isCut);
    expect([named(0.01, 0), named(-0.01, 0), named(0, 0.01), named(0.01, 0.01), named(0, 0)]).toEqual([
      'rear',
      'mouth',
      'side',
      'corner',
      'none',
    ]);
    expect(named(0.01, 0, false)).toBe('none');
    const back = planeOf(outline, 0.2, 0.01, 0, 1);
    expect(back).toEqual({ hinge: { x: 40, y: 0 }, skim: 0.2, gx: -Math.tan(0.01), gy: 0 });
    expect(planeOf(outline, 0, -0.01, 0, 1).hinge).toEqual({ x: 0, y: 0 });
    expect(planeOf(outline, 0, 0.01, 0.02, -1)).toEqual({
      hinge: { x: 40, y: 15 },
      skim: 0,
      gx: -Math.tan(0.01),
      gy: -Math.tan(0.02),
    });
    expect(planeOf(outline, 0.3, 0, 0, 1)).toEqual({ hinge: { x: 40, y: 0 }, skim: 0.3, gx: 0, gy: 0 });
    expect(deepestOf(outline, back)).toBeCloseTo(0.2 + 40 * Math.tan(0.01), 12);
    expect(deepestOf(outline, planeOf(outline, 0.3, 0, 0, 1))).toBe(0.3);
    // Rolled and pitched back: from the rear corner of the high side to the mouth's other corner.
    expect(deepestOf(outline, planeOf(outline, 0, 0.01, 0.02, 1))).toBeCloseTo(40 * Math.tan(0.01) + 29 * Math.tan(0.02), 12);
  });
});

describe('what cannot be solved, and what nearly cannot', () => {
  const outcome = (plain: Plain) => {
    const values = valuesOf(jobOf(plain));
    const result = solve(placeInstrument(values, 'lastFretGap'), outlineOf(jobOf(plain)));
    return result.ok
      ? result.value
      : result.findings.map(({ code, message, exit }) => [code, message.split(' would')[0], exit])[0];
  };

  it('a pitch of more than 3 degrees, whichever way, and a roll', () => {
    expect(outcome({ lastFretGap: { bass: 7, treble: 7 } })).toEqual(['tilt-too-steep', 'the pitch', 3]);
    expect(outcome({ lastFretGap: { bass: 0.2, treble: 0.2 }, raised: 12, travel: 2 })).toEqual([
      'tilt-too-steep',
      'the forward pitch',
      3,
    ]);
    expect(outcome({ lastFretGap: { bass: 4, treble: 0.6 }, target: { floor: 'pitch-and-roll' } })).toEqual([
      'tilt-too-steep',
      'the roll',
      3,
    ]);
    expect(outcome({ lastFretGap: { bass: 9, treble: 9 }, target: { floor: 'pitch-and-roll' } })).toEqual([
      'tilt-too-steep',
      'the pitch',
      3,
    ]);
  });

  it('a pitch forward goes no further than the lowest gap allows, and says by how much it falls short', () => {
    // 1 mm of travel can never bring 3 mm at the highest with the lowest on the frets.
    const found = outcome({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 1, travel: 1 });
    if (Array.isArray(found) || found === undefined) throw new Error('it can be solved');
    expect(found.hingeName).toBe('mouth');
    expect(found.afterCut.lowest).toBeCloseTo(0, 9);
    expect(found.afterCut.highest).toBeLessThan(1.5);
    expect(found.shortBy).toBeCloseTo(3 - found.afterCut.highest, 12);
    expect(found.wishShortBy).toBeCloseTo(6.35 - found.afterCut.highest, 12);
    const enough = outcome({ lastFretGap: { bass: 1.2, treble: 1.2 }, travel: 12 });
    if (Array.isArray(enough) || enough === undefined) throw new Error('it can be solved');
    expect([enough.shortBy, enough.wishShortBy]).toEqual([0, 0]);
  });

  it('a neighbour’s pitch to begin from, near or far or no use, changes nothing', () => {
    const plain: Plain = { lastFretGap: { bass: 1.2, treble: 1.1 }, radius: 280 };
    const { instrument, outline, pitch } = solved(jobOf(plain));
    for (const near of [undefined, pitch, 0.9 * pitch, 2 * pitch, 1e-6, -pitch, 0.0523, 0.0524]) {
      const floored = solveFloor(instrument, outline, near);
      if (!floored.ok) throw new Error('it can be solved');
      expect(floored.value.pitch).toBeCloseTo(pitch, 11);
      expect(floored.value.isCut).toBe(true);
    }
  });

  it('the quick ways are quick: a tilt both ways and one beside a neighbour’s are found in a few steps', () => {
    const countOf = (plain: Plain, near?: number): number => {
      const { instrument, outline } = solved(jobOf(plain));
      let count = 0;
      const found = solveTilt(
        instrument,
        ({ pitch, roll }) => {
          count += 1;
          return planeOf(outline, 0, pitch, roll, 1);
        },
        near,
      );
      expect(found.ok).toBe(true);
      return count;
    };
    // Each round of Newton's method looks at three floors; the level one is looked at before, the last one after.
    for (const [bass, treble, gap] of [
      [1.4, 0.9, 0],
      [0.8, 1.5, 0.1],
      [1.2, 1.2, 0],
    ] as const)
      expect(countOf({ lastFretGap: { bass, treble }, target: { floor: 'pitch-and-roll', gap } })).toBeLessThanOrEqual(2 + 5 * 3);
    for (const gap of [0, 0.1]) {
      const plain: Plain = { lastFretGap: { bass: 1.2, treble: 1.1 }, target: { gap } };
      const { pitch } = solved(jobOf(plain));
      for (const near of [pitch, 0.98 * pitch, 1.02 * pitch]) expect(countOf(plain, near)).toBeLessThanOrEqual(6);
      // Without a neighbour it takes more.
      expect(countOf(plain)).toBeGreaterThan(6);
    }
    // Beside the steepest tilt there is no room on the other side.
    const steep: Plain = { lastFretGap: { bass: 5.4, treble: 5.4 } };
    expect(solved(jobOf(steep)).pitch).toBeGreaterThan(0.051);
    expect(countOf(steep, 0.0523598)).toBeLessThanOrEqual(7);
  });

  it('a target over the frets is kept, whichever way the floor falls', () => {
    for (const gap of [0.1, 0.2]) {
      for (const floor of ['pitch', 'pitch-and-roll'] as const)
        expect(solved(jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { gap, floor } })).afterCut.lowest).toBeCloseTo(
          gap,
          9,
        );
      // Forward as far as the lowest allows: 1 mm of travel can never bring 3 mm at the highest.
      const forward = solved(jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 1, travel: 1, target: { gap } }));
      expect(forward.pitch).toBeLessThan(0);
      expect(forward.afterCut.lowest).toBeCloseTo(gap, 9);
      // Just at the target nothing is cut for it.
      const at = solved(jobOf({ lastFretGap: { bass: gap, treble: gap }, travel: 12, target: { gap } }));
      expect([at.deepest, at.pitch]).toEqual([0, 0]);
    }
  });

  it.each([
    ['pitched back', { lastFretGap: { bass: 1.2, treble: 1.2 } }],
    ['pitched forward', { lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 }],
  ] as const)('the gain is what the lowest gap changes by for each mm of the deepest place: %s', (_name, plain) => {
    const { instrument, outline, pitch, gain } = solved(jobOf(plain));
    const at = (p: number) => {
      const plane = planeOf(outline, 0, p, 0, 1);
      return { lowest: reachOf(instrument, plane).lowest, deepest: deepestOf(outline, plane) };
    };
    const [a, b] = [at(pitch - 1e-5), at(pitch + 1e-5)];
    expect(gain).toBeCloseTo((b.lowest - a.lowest) / (b.deepest - a.deepest), 4);
  });
});
