import { describe, expect, it } from 'vitest';
import { curesOf } from '../../src/solve/cures.ts';
import { gapAt } from '../../src/solve/gaps.ts';
import { saddleFor, settingOf } from '../../src/solve/setting.ts';
import { jobOf } from '../support/jobs.ts';
import { solved } from '../support/solved.ts';

const backwards = jobOf({ lastFretGap: { bass: 1.2, treble: 1.0 }, radius: 280, target: { gap: 0.1 } });
const forwards = jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised: 3, travel: 5 });

describe('the other cures', () => {
  it('each brings the governing string to the target', () => {
    const cures = curesOf(solved(backwards));
    expect(cures.map(({ name }) => name)).toEqual(['pocket-floor', 'heel-taper', 'wedge-shim', 'flat-shim', 'sink-bridge']);
    for (const { lowest } of cures) expect(Math.abs(lowest - 0.1)).toBeLessThan(1e-9);
  });

  it('the other way round too, where the highest falls short', () => {
    const cures = curesOf(solved(forwards));
    expect(cures.map(({ name }) => name)).toEqual(['pocket-floor', 'heel-taper', 'wedge-shim', 'deeper-pocket', 'pack-bridge']);
    for (const { highest } of cures) expect(Math.abs(highest - 3)).toBeLessThan(1e-9);
  });

  it('by hand: sinking the bridge by d lowers the line over the last fret by d s_N / L', () => {
    // Flat neck, one gap for all strings: 612 mm, s_20 = 612 (1 - 2^(-20/12)) = 419.2305 mm; 1.2 mm there need 1.2 x 612/419.2305 mm.
    const cure = curesOf(solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 } }))).find(({ name }) => name === 'sink-bridge');
    const sN = 612 * (1 - 2 ** (-20 / 12));
    expect(cure?.amount).toBeCloseTo((1.2 * 612) / sN, 9);
  });

  it('a shim stands wholly above the old floor, a cut wholly below', () => {
    const cures = curesOf(solved(jobOf({ lastFretGap: { bass: 1.4, treble: 0.9 }, target: { floor: 'pitch-and-roll' } })));
    const shim = cures.find(({ name }) => name === 'wedge-shim');
    expect(shim?.amount).toBeGreaterThan(0);
    expect(shim?.crownAtLastFret).toBeGreaterThan(cures[0]?.crownAtLastFret ?? 0);
  });

  it('needs nothing where nothing is wrong', () => {
    expect(curesOf(solved(jobOf({ lastFretGap: { bass: 0.5, treble: 0.5 }, raised: 1, travel: 9 })))).toEqual([]);
  });
});

describe('the rest of the set', () => {
  it('the moved heel at the rear wall is as geometry.md says for a pure pitch', () => {
    const back = solved(backwards);
    expect(settingOf(back, 1.8).heel.rearBass).toBeCloseTo(-17.4 * Math.tan(back.pitch), 10);
    const forward = solved(forwards);
    const q = Math.abs(forward.pitch);
    expect(settingOf(forward, 1.8).heel.rearTreble).toBeCloseTo(71.5 * (1 / Math.cos(q) - 1) + 17.4 * Math.tan(q), 10);
  });

  it('a saddle set for an action gives it, and says where it is out of its travel', () => {
    const solution = solved(backwards);
    for (const i of [0, 3, 5]) {
      const { up, within } = saddleFor(solution, i, 1.9);
      expect(gapAt(solution.instrument, solution.plane, i, 12, up)).toBeCloseTo(1.9, 9);
      expect(within).toBe(true);
    }
    expect(saddleFor(solution, 0, 9).within).toBe(false);
  });
});
