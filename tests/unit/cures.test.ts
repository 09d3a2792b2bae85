import { describe, expect, it } from 'vitest';
import { valuesOf } from '../../src/kernel/measured.ts';
import { measuredOutline } from '../../src/kernel/outline.ts';
import { curesOf } from '../../src/solve/cures.ts';
import { gapAt } from '../../src/solve/gaps.ts';
import { saddleFor, settingOf } from '../../src/solve/setting.ts';
import { sidewaysOf } from '../../src/solve/sideways.ts';
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

  it('what each takes, by hand: a flat neck, one gap for all strings', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.2 } }));
    const [floor, taper, wedge, shim, sink, ...others] = curesOf(solution);
    if (floor === undefined || taper === undefined || wedge === undefined || shim === undefined || sink === undefined)
      throw new Error('a cure is missing');
    expect(others).toEqual([]);
    // Crowns 23.5 mm over the seat, 17.4 mm of pocket, the last fret at 419.2305 - 388 mm from the mouth, the hinge at 71.5 or 0.
    const last = 612 * (1 - 2 ** (-20 / 12)) - 388;
    const over = (x: number, hinge: number, p: number): number => (x - hinge) * Math.sin(p) + 23.5 * Math.cos(p) - 17.4;
    const { pitch } = solution;
    for (const each of [floor, taper]) {
      expect(each.amount).toBeCloseTo(71.5 * Math.tan(pitch), 12);
      expect(each.pitch).toBe(pitch);
      expect(each.crownAtMouth).toBeCloseTo(over(0, 71.5, pitch), 11);
      expect(each.crownAtLastFret).toBeCloseTo(over(last, 71.5, pitch), 11);
      expect([each.showsFromSide, each.canBeUndone]).toEqual([false, false]);
    }
    // At the pocket's middle half of the cut is gone from under the heel; a tapered heel loses that wood itself.
    expect(floor.biteChange).toBeCloseTo(floor.amount / 2, 12);
    expect(taper.biteChange).toBe(0);
    expect(wedge.amount).toBeCloseTo(71.5 * Math.tan(wedge.pitch), 12);
    expect(wedge.biteChange).toBeCloseTo(-wedge.amount / 2, 12);
    expect(wedge.crownAtMouth).toBeCloseTo(over(0, 0, wedge.pitch), 11);
    expect(wedge.crownAtLastFret).toBeCloseTo(over(last, 0, wedge.pitch), 11);
    expect([wedge.showsFromSide, wedge.canBeUndone]).toEqual([true, true]);
    // Lifted by d the neck's line nut to saddle falls by d at the saddle alone: seen from the neck as a bridge sunk by d.
    expect(shim.amount).toBeCloseTo(sink.amount, 9);
    expect(shim.biteChange).toBeCloseTo(-shim.amount, 12);
    expect(shim.crownAtMouth).toBeCloseTo(6.1 + shim.amount, 12);
    expect(shim.crownAtLastFret).toBeCloseTo(6.1 + shim.amount, 12);
    expect([shim.showsFromSide, shim.canBeUndone]).toEqual([true, true]);
    expect([sink.biteChange, sink.pitch, sink.roll]).toEqual([0, 0, 0]);
    expect(sink.crownAtMouth).toBeCloseTo(6.1, 12);
    expect([sink.showsFromSide, sink.canBeUndone]).toEqual([true, false]);
  });

  it('the other way round a lower neck hides itself and cannot be undone, a packed bridge can', () => {
    const of = (name: string) => curesOf(solved(forwards)).find((each) => each.name === name);
    const [deeper, pack] = [of('deeper-pocket'), of('pack-bridge')];
    expect([deeper?.showsFromSide, deeper?.canBeUndone]).toEqual([false, false]);
    expect(deeper?.biteChange).toBe(deeper?.amount);
    expect(deeper?.crownAtMouth).toBeCloseTo(6.1 - (deeper?.amount ?? 0), 12);
    expect([pack?.showsFromSide, pack?.canBeUndone]).toEqual([true, true]);
    expect(pack?.amount).toBeCloseTo(deeper?.amount ?? 0, 9);
  });

  it('leaves out a shim that would have to be steeper than any floor, where the cut itself need not', () => {
    // Forward a cut turns about the mouth and a shim about the rear, which is nearer to the bridge: it has to be the steeper one.
    const found = [3, 6, 8, 9, 10].map((raised) => {
      const solution = solved(jobOf({ lastFretGap: { bass: 0.3, treble: 0.3 }, raised, travel: 3 }));
      const wedge = curesOf(solution).find(({ name }) => name === 'wedge-shim');
      if (wedge !== undefined) expect(Math.abs(wedge.pitch)).toBeGreaterThan(Math.abs(solution.pitch));
      return wedge !== undefined;
    });
    expect(found[0]).toBe(true);
    expect(found).toContain(false);
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

  it('crowns, lengths and gaps at every fret, by hand: a flat neck pitched back', () => {
    const solution = solved(jobOf({ lastFretGap: { bass: 1.2, treble: 1.0 } }));
    const { pitch: p } = solution;
    const { crowns, lengthChange, gaps, saddles } = settingOf(solution, 1.8);
    const place = (n: number): number => 612 * (1 - 2 ** (-n / 12));
    const last = place(20) - 388;
    expect(crowns.mouthBefore).toBeCloseTo(6.1, 12);
    expect(crowns.lastBefore).toBeCloseTo(6.1, 12);
    expect(crowns.mouthAfter).toBeCloseTo(-71.5 * Math.sin(p) + 23.5 * Math.cos(p) - 17.4, 11);
    expect(crowns.lastAfter).toBeCloseTo((last - 71.5) * Math.sin(p) + 23.5 * Math.cos(p) - 17.4, 11);
    // Of the outer strings: nut 24 mm over the seat; the seat as the gap over the last fret says, 152.5 mm behind the hinge.
    const sides = [
      ['bass', 1.2, 0],
      ['treble', 1.0, 5],
    ] as const;
    for (const [name, gap, i] of sides) {
      const seat = 24 + ((gap - 0.5) * 612) / place(20);
      const seen = (up: number) => ({
        x: 388 + 71.5 + 152.5 * Math.cos(p) + (seat + up) * Math.sin(p),
        z: -152.5 * Math.sin(p) + (seat + up) * Math.cos(p),
      });
      const over = (n: number, up: number): number => 0.5 + ((seen(up).z - 24) * place(n)) / seen(up).x;
      const aside = (53 - 36) / 2;
      const length = ({ x, z }: { x: number; z: number }): number => Math.hypot(x, z - 24, aside);
      expect(lengthChange[i]).toBeCloseTo(length(seen(0)) - length({ x: 612, z: seat }), 9);
      expect(gaps).toHaveLength(20);
      const { up } = saddles[name];
      expect(over(12, up)).toBeCloseTo(1.8, 9);
      gaps.forEach((each, k) => {
        expect(each.fret).toBe(k + 1);
        expect(each.lowest[name]).toBeCloseTo(over(k + 1, 0), 9);
        expect(each.highest[name]).toBeCloseTo(over(k + 1, 7), 9);
        expect(each.chosen[name]).toBeCloseTo(over(k + 1, up), 9);
      });
    }
  });

  it.each(['right', 'left'] as const)(
    'the heel at all walls after a pitch and a roll, turned by a matrix of the test: %s hand',
    (hand) => {
      const job = jobOf({
        hand,
        lastFretGap: { bass: 1.5, treble: 0.8 },
        widthAtMouth: 56,
        target: { floor: 'pitch-and-roll', skim: 0.3 },
      });
      const solution = solved(job);
      const { gx, gy, hinge } = solution.plane;
      // The least turn that takes (0, 0, 1) to n = (gx, gy, 1) / |n|: I + K + K² / (1 + n_z), K v = (e_z × n) × v.
      const size = Math.hypot(gx, gy, 1);
      const [a, b, c] = [gx / size, gy / size, 1 / size];
      const turned = (x: number, y: number, z: number): [number, number, number] => [
        x + a * z - (a * a * x + a * b * y) / (1 + c),
        y + b * z - (a * b * x + b * b * y) / (1 + c),
        z - a * x - b * y - ((a * a + b * b) * z) / (1 + c),
      ];
      const atTop = (x: number, y: number): [number, number] => {
        const [fx, fy, fz] = turned(x - hinge.x, y - hinge.y, 0);
        const k = (17.4 - (fz - 0.3)) / c;
        return [hinge.x + fx + k * a - x, hinge.y + fy + k * b - y];
      };
      const t = hand === 'right' ? 1 : -1;
      const { heel } = settingOf(solution, 1.8);
      const side = (sign: number): number => Math.max(sign * atTop(0, sign * 28)[1], sign * atTop(71.5, sign * 29.1)[1]);
      expect(heel.rearBass).toBeCloseTo(atTop(71.5, -t * 29.1)[0], 10);
      expect(heel.rearTreble).toBeCloseTo(atTop(71.5, t * 29.1)[0], 10);
      expect(heel.sideBass).toBeCloseTo(side(-t), 10);
      expect(heel.sideTreble).toBeCloseTo(side(t), 10);
      expect(heel.sideTreble).not.toBeCloseTo(heel.sideBass, 2);
    },
  );

  it('a saddle that stands just at an end of its travel is within it', () => {
    const solution = solved(backwards);
    const action = (up: number): number => gapAt(solution.instrument, solution.plane, 0, 12, up);
    expect(saddleFor(solution, 0, action(0.001)).within).toBe(true);
    expect(saddleFor(solution, 0, action(-0.001)).within).toBe(false);
    expect(saddleFor(solution, 0, action(6.999)).within).toBe(true);
    expect(saddleFor(solution, 0, action(7.001)).within).toBe(false);
  });
});

describe('sideways', () => {
  it.each([
    ['right', 1],
    ['left', -1],
  ] as const)('by hand: edges 3 and 4 mm on the %s hand', (hand, sign) => {
    const job = jobOf({ hand, lastFretGap: { bass: 1.2, treble: 1.2 }, edge: { bass: 3, treble: 4 } });
    const outline = measuredOutline({ length: 71.5, width: 58.2, widthAtMouth: 56, cornerRadius: 5 });
    const found = sidewaysOf(valuesOf(job), outline);
    // The strings' middle sits half a millimetre towards the bass; carried on to the bridge that is L / s_20 times as much.
    const d = (sign * -0.5 * 612) / (612 * (1 - 2 ** (-20 / 12)));
    const yaw = Math.atan(d / (612 - 388 - 35.75));
    expect(found?.yaw).toBeCloseTo(yaw, 12);
    expect(found?.nutShift).toBeCloseTo(-(388 + 35.75) * Math.sin(yaw), 11);
    const corner = (x: number, y: number): number => (Math.sin(yaw) * x + (Math.cos(yaw) - 1) * y) * Math.sign(y);
    expect(found?.walls.mouthBass).toBeCloseTo(corner(-35.75, -sign * 28), 11);
    expect(found?.walls.mouthTreble).toBeCloseTo(corner(-35.75, sign * 28), 11);
    expect(found?.walls.rearBass).toBeCloseTo(corner(35.75, -sign * 29.1), 11);
    expect(found?.walls.rearTreble).toBeCloseTo(corner(35.75, sign * 29.1), 11);
  });
});
