import { describe, expect, it } from 'vitest';
import type { Outline } from '../../src/kernel/outline.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { type Fault, mm } from '../../src/proof/faults.ts';
import { type Load, loadWarnings } from '../../src/proof/load.ts';
import { endRule, feedRule, rapidsRule } from '../../src/proof/motionRules.ts';
import { aboveTopRule, floorRule, reachNeeded, reachRule, wallsRule } from '../../src/proof/placeRules.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { type Setting, settingOf } from '../../src/proof/setting.ts';
import { spindleOffRule, spindleRule } from '../../src/proof/spindleRule.ts';
import type { Move, Step } from '../../src/proof/strictReader.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

type Place = readonly [number, number, number];
const point = ([x, y, z]: Place): Point3 => ({ x, y, z });

/** 72 x 58 mm, level, 0.5 mm deep: the cutter of 6 mm keeps 3.15 mm from the walls; clear at 25.4 mm, 25 mm free before the mouth. */
const LEVEL = { ...workOf(), plane: { hinge: { x: 72, y: 0 }, skim: 0.5, gx: 0, gy: 0 }, deepest: 0.5 };
const SETTING: Setting = settingOf(LEVEL, 6, { roundingStep: 0.001, lastLine: 99 });
const WALLS = wallsOf(LEVEL.outline, 31);

const moveOf = (line: number, from: Place, to: Place, more: Partial<Move> = {}): Move => ({
  kind: 'move',
  line,
  rapid: false,
  from: point(from),
  to: point(to),
  feed: 1200,
  axes: 'XYZ',
  ...more,
});

/** Moves from place to place, lines counted from 1. */
const path = (...places: Place[]): Move[] => places.slice(1).map((to, i) => moveOf(i + 1, places[i] as Place, to));
const said = (faults: readonly Fault[]): string[] => faults.map(({ rule, line, message }) => `${rule} ${line}: ${message}`);

describe('walls, word for word', () => {
  const walls = (...moves: Move[]) => wallsRule(moves, SETTING, WALLS);

  it('how near, or how far in, and the nearest of all', () => {
    const { faults, nearest } = walls(
      ...path([10, 0, 0], [10, 25.84, 0], [10, 25.9, 0], [10, 27, 0]),
      moveOf(4, [10, 0, 25], [69.5, 0, 25]),
    );
    expect(said(faults)).toEqual([
      'walls 2: passes 0.1 mm (0.00394 in) from a wall; 0.15 mm (0.00591 in) must be kept',
      'walls 3: cuts 1 mm (0.03937 in) into a wall; 0.15 mm (0.00591 in) must be kept',
      'walls 4: cuts 0.5 mm (0.01969 in) into a wall; 0.15 mm (0.00591 in) must be kept',
    ]);
    expect(nearest).toBeCloseTo(-1, 9);
  });

  it('how far before the mouth, from either end of a move', () => {
    const { faults } = walls(...path([-22, 0, 0], [-22.5, 0, 0], [-10, 0, 0], [-22, 0, 0]));
    expect(said(faults)).toEqual([
      'walls 1: reaches 25.5 mm (1.00394 in) before the mouth; 25 mm (0.98425 in) are free there',
      'walls 2: reaches 25.5 mm (1.00394 in) before the mouth; 25 mm (0.98425 in) are free there',
    ]);
  });

  it('nothing above the clear height, nothing that is not known', () => {
    expect(walls(...path([10, 0, 25.4], [10, 40, 25.4]))).toEqual({ faults: [], nearest: null });
    for (const axis of ['x', 'y', 'z'] as const)
      for (const end of ['from', 'to'] as const) {
        const move = moveOf(7, [10, 0, 0], [20, 0, 0]);
        const unknown = { ...move, [end]: { ...move[end], [axis]: Number.NaN } };
        expect(walls(unknown)).toEqual({
          faults: [{ rule: 'walls', line: 7, message: 'goes below the clear height at a place the program has not given' }],
          nearest: null,
        });
        expect(floorRule([unknown], SETTING)).toEqual({ faults: [], gouge: null });
      }
  });

  it("how far past the mouth's width where the walls open towards it", () => {
    const corners = [
      [0, -20],
      [40, -15],
      [40, 15],
      [0, 20],
    ].map(([x, y]): Point2 => ({ x: x as number, y: y as number }));
    const pieces = corners.map((from, i) => ({ kind: 'line' as const, from, to: corners[(i + 1) % 4] as Point2 }));
    const outline: Outline = { pieces, length: 40, mouthHalf: 20, rearHalf: 15 };
    const setting = settingOf({ ...LEVEL, outline }, 6, { roundingStep: 0.001, lastLine: 99 });
    const faults = (...places: Place[]) => said(wallsRule(path(...places), setting, wallsOf(outline, 31)).faults);
    expect(faults([-4, 0, 0], [-4, 17.2, 0])).toEqual([
      "walls 1: reaches 0.2 mm (0.00787 in) past the mouth's width before it; only that width is free there",
    ]);
    expect(faults([-4, -17.4, 0], [-4, 0, 0]).at(-1)).toMatch(/^walls 1: reaches 0\.4 mm \(0\.01575 in\) past/);
    expect(faults([-4, -17, 0], [-4, 17, 0])).toEqual([]);
  });
});

describe('floor, reach and top, word for word', () => {
  it('how far below the floor, at either end, and the deepest of all', () => {
    const { faults, gouge } = floorRule(
      path([10, 0, -0.5], [20, 0, -0.501], [20, 0, -0.52], [30, 0, -0.51], [30, 0, 25.4], [30, 0, 30]),
      SETTING,
    );
    expect(said(faults)).toEqual([
      'floor 2: the cutter goes 0.02 mm (0.00079 in) below the floor',
      'floor 3: the cutter goes 0.02 mm (0.00079 in) below the floor',
      'floor 4: the cutter goes 0.01 mm (0.00039 in) below the floor',
    ]);
    expect(gouge).toBeCloseTo(0.02, 12);
    expect(floorRule(path([0, 0, 30], [9, 0, 30]), SETTING).gouge).toBeNull();
    expect(floorRule(path([0, 0, 30], [9, 0, -0.3]), SETTING).gouge).toBeCloseTo(-0.2, 12);
  });

  it('how long the cutter has to be, at the first line that goes deepest', () => {
    expect(reachNeeded(17.4, 0.5)).toBe(18.9);
    const moves = path([0, 0, 30], [0, 0, -0.2], [9, 0, -0.4], [9, 0, -0.3], [12, 0, -0.4]);
    expect(reachRule(moves, SETTING, 18.9)).toEqual([]);
    expect(said(reachRule(moves, SETTING, 18.5))).toEqual([
      'reach 2: the cutter needs 18.9 mm (0.74409 in) below its collet nut; it has 18.5 mm (0.72835 in)',
    ]);
    expect(said(reachRule([], SETTING, undefined))).toEqual([
      'reach 99: the cutter needs 18.9 mm (0.74409 in) below its collet nut; the shop file does not say how long it is',
    ]);
  });

  it('in the air how low it comes', () => {
    expect(said(aboveTopRule(path([0, 0, 30], [9, 0, 17.4], [9, 0, 17.3999], [9, 0, -1]), SETTING))).toEqual([
      "floor 2: z 17.3999 mm (0.685035 in) is below the body's top, 17.4 mm (0.685039 in)",
      "floor 3: z -1 mm (-0.03937 in) is below the body's top, 17.4 mm (0.68504 in)",
    ]);
  });
});

describe('rapids, feeds and the end, word for word', () => {
  const rapid = (line: number, from: Place, to: Place, axes = 'XYZ') => moveOf(line, from, to, { rapid: true, axes });

  it('a rapid at the lower of its two heights', () => {
    const { faults, lowest } = rapidsRule(
      [
        rapid(1, [Number.NaN, Number.NaN, Number.NaN], [Number.NaN, Number.NaN, 30], 'Z'),
        rapid(2, [0, 0, 30], [9, 0, 25.4]),
        rapid(3, [9, 0, 25.4], [9, 0, 20]),
        rapid(4, [9, 0, 20], [9, 0, 40]),
        rapid(5, [9, 0, Number.NaN], [9, 0, 21]),
        rapid(6, [9, 0, 30], [9, 0, Number.NaN]),
        moveOf(7, [9, 0, -3], [9, 0, -3]),
      ],
      SETTING,
    );
    expect(said(faults)).toEqual([
      'rapids 3: a rapid at z 20 mm (0.7874 in), below the clear height 25.4 mm (1 in)',
      'rapids 4: a rapid at z 20 mm (0.7874 in), below the clear height 25.4 mm (1 in)',
      'rapids 5: a rapid at z 21 mm (0.82677 in), below the clear height 25.4 mm (1 in)',
      'rapids 6: a rapid while the height of the cutter is not known',
    ]);
    expect(lowest).toBe(20);
    expect(rapidsRule([], SETTING)).toEqual({ faults: [], lowest: null });
    expect(said(rapidsRule([rapid(4, [0, 0, 30], [9, 0, 30], 'X')], SETTING).faults)).toEqual([
      'rapids 4: the first motion is not Z alone: the cutter may still be low',
    ]);
  });

  it('feeds as they are and as they may be', () => {
    const feeds = (from: Place, to: Place, feed: number | undefined): string[] =>
      said(feedRule([moveOf(8, from, to, { feed })], SETTING));
    expect(feeds([0, 0, 1], [9, 0, 1], undefined)).toEqual(['feed 8: G1 before any F']);
    expect(feeds([0, 0, 1], [9, 0, 1], 0)).toEqual(['feed 8: the feed is zero']);
    expect(feeds([0, 0, 1], [0, 0, 0], 400)).toEqual([
      'feed 8: falls at 400 mm/min (15.75 in/min); the plunge feed is 300 mm/min (11.81 in/min)',
    ]);
    expect(feeds([0, 0, 1], [9, 0, 1], 1300.126)).toEqual([
      'feed 8: cuts at 1300.13 mm/min (51.19 in/min); between a quarter and all of 1200 mm/min (47.24 in/min) is taken',
    ]);
    expect(feeds([0, 0, 1], [9, 0, 1], 250)[0]).toMatch(/^feed 8: cuts at 250 mm\/min \(9\.84 in\/min\)/);
    // Slow plunges are as they should be, a rise is none.
    expect(feeds([0, 0, 1], [0, 0, 0], 5)).toEqual([]);
    expect(feeds([0, 0, 0], [0, 0, 1], 250)[0]).toMatch(/^feed 8: cuts at 250/);
    expect(feeds([0, 0, 0], [0, 0, 30], 1200)).toEqual([]);
    // One that falls by no more than a rounding step, but steeply: it may go as slowly as a plunge.
    expect(feeds([0, 0, 0.0009], [0.001, 0, 0], 250)).toEqual([]);
    expect(said(feedRule([moveOf(8, [0, 0, 1], [0, 0, 0], { feed: 9999, rapid: true })], SETTING))).toEqual([]);
  });

  it('the end: what is missing, and where', () => {
    const step = (kind: 'on' | 'off' | 'stop' | 'finish' | 'after', line: number): Step => ({ kind, line });
    const up = moveOf(5, [9, 0, 0], [9, 0, 25.4]);
    const down = moveOf(4, [9, 0, 25.4], [9, 0, 0]);
    const ends = (...steps: Step[]): string[] => said(endRule(steps, SETTING));
    const sound = [down, up, step('off', 6), step('finish', 7)];
    expect(ends(...sound)).toEqual([]);
    expect(ends(step('off', 6), step('finish', 7))).toEqual([]);
    expect(ends(down, up, step('off', 6))).toEqual(['end 99: the program does not end with M2']);
    expect(ends(...sound, step('after', 8), step('after', 9))).toEqual(['end 8: something stands after the end of the program']);
    expect(ends(down, step('off', 6), step('finish', 7))).toEqual([
      'end 7: the program ends at z 0 mm (0 in), below the clear height 25.4 mm (1 in)',
    ]);
    expect(ends(down, moveOf(5, [9, 0, 0], [9, 0, Number.NaN]), step('off', 6), step('finish', 7))[0]).toMatch(
      /^end 7: .*ends at z NaN/,
    );
    expect(ends(down, up, step('finish', 7))).toEqual(['end 7: no M5 before the end']);
    expect(ends(down, step('off', 4), up, step('finish', 7))).toEqual(['end 7: no M5 before the end']);
    expect(ends(down, up, step('off', 6), step('on', 6), step('finish', 7))).toEqual(['end 7: no M5 before the end']);
    expect(ends(down, up, step('on', 5), step('off', 6), step('stop', 6), step('finish', 7))).toEqual([]);
  });
});

describe('the spindle, word for word', () => {
  const on: Step[] = [
    { kind: 'speed', line: 1, speed: 16000 },
    { kind: 'on', line: 1 },
  ];
  const dwell = (line: number, seconds: number): Step => ({ kind: 'dwell', line, seconds });
  const stop = (line: number): Step => ({ kind: 'stop', line });
  const off = (line: number): Step => ({ kind: 'off', line });
  const down = (line: number): Move => moveOf(line, [0, 0, 25.4], [0, 0, 3]);
  const up = (line: number): Move => moveOf(line, [0, 0, 3], [0, 0, 25.4]);
  const told = (...steps: Step[]): string[] => said(spindleRule(steps, SETTING));

  it('what it takes to go down', () => {
    expect(told(...on, dwell(2, 4), stop(3), down(4), up(5), off(6), { kind: 'finish', line: 7 })).toEqual([]);
    expect(told(down(4), down(5))).toEqual(['spindle 4: goes below the clear height with the spindle off']);
    expect(told(...on, stop(3), down(4), down(5))).toEqual([
      'spindle 4: goes below the clear height without G4 of at least 4 s after M3',
    ]);
    expect(told(...on, dwell(2, 3.9), stop(3), down(4))[0]).toMatch(/without G4 of at least 4 s/);
    expect(told(...on, dwell(2, 4), down(4), down(5))).toEqual([
      'spindle 4: goes below the clear height without a stop (M0) after the warm-up',
    ]);
    // The order counts, and everything anew after M5; told once each time.
    expect(told(...on, stop(2), dwell(3, 4), down(4))[0]).toMatch(/without a stop/);
    expect(told(dwell(1, 9), ...on, stop(3), down(4))[0]).toMatch(/without G4/);
    expect(told(...on, dwell(2, 4), stop(3), down(4), up(5), off(6), down(7), up(8), ...on, down(9))).toEqual([
      'spindle 7: goes below the clear height with the spindle off',
      'spindle 9: goes below the clear height without G4 of at least 4 s after M3',
    ]);
    // M3 again while it turns changes nothing.
    expect(told(...on, dwell(2, 4), stop(3), { kind: 'on', line: 3 }, down(4))).toEqual([]);
    // Whoever stops once more, for however long, need not be looked at twice.
    expect(told(...on, dwell(2, 4), stop(3), dwell(3, 9), down(4))).toEqual([]);
    // A second warm-up and stop are as good as the first.
    expect(told(...on, dwell(2, 4), stop(3), dwell(3, 1), stop(3), down(4))).toEqual([]);
  });

  it('speed', () => {
    expect(told({ kind: 'on', line: 3 })).toEqual(['spindle 3: M3 without a speed']);
    expect(told({ kind: 'speed', line: 2, speed: 14000 })).toEqual([
      "spindle 2: S14000 is not within a tenth of the shop's 16000 rev/min",
    ]);
    for (const speed of [14400, 17600]) expect(told({ kind: 'speed', line: 2, speed })).toEqual([]);
    for (const speed of [14399, 17601]) expect(told({ kind: 'speed', line: 2, speed })).toHaveLength(1);
  });

  it('what is only done at the clear height, by its word', () => {
    const low = [...on, dwell(2, 4), stop(3), down(4)];
    expect(told(...low, dwell(5, 1), stop(6), { kind: 'speed', line: 7, speed: 16000 }, { kind: 'on', line: 8 }, off(9))).toEqual(
      [
        'spindle 5: G4 at z 3 mm (0.11811 in): only at or above the clear height 25.4 mm (1 in)',
        'spindle 6: M0 at z 3 mm (0.11811 in): only at or above the clear height 25.4 mm (1 in)',
        'spindle 7: S at z 3 mm (0.11811 in): only at or above the clear height 25.4 mm (1 in)',
        'spindle 8: M3 at z 3 mm (0.11811 in): only at or above the clear height 25.4 mm (1 in)',
        'spindle 9: M5 at z 3 mm (0.11811 in): only at or above the clear height 25.4 mm (1 in)',
      ],
    );
    // A move that does not say how high it ends leaves the height as it was.
    expect(told(...low, moveOf(5, [0, 0, 3], [9, 0, Number.NaN]), off(6))).toHaveLength(1);
    expect(told(...low, up(5), { kind: 'finish', line: 6 })).toEqual(['spindle 6: the spindle still turns at the end']);
  });

  it('in the air nothing of it', () => {
    expect(said(spindleOffRule([...on, dwell(2, 1), stop(3), off(4)]))).toEqual([
      'spindle 1: S in a program that runs with the spindle off throughout',
      'spindle 1: M3 in a program that runs with the spindle off throughout',
      'spindle 2: G4 in a program that runs with the spindle off throughout',
    ]);
  });
});

describe('bites, entries and loads, word for word', () => {
  it('how much at once, and after another program by how much the zeros may differ', () => {
    const cut = path([-7, 0, -0.4], [10, 0, -0.4]);
    expect(said(removalRules(cut, SETTING, WALLS).faults)).toEqual([
      'bite 1: takes 0.4 mm (0.01575 in) at once; 0.3 mm (0.01181 in) is the most',
    ]);
    const before = { setting: SETTING, moves: path([-7, 0, -0.2], [10, 0, -0.2]), higher: 0.15 };
    expect(said(removalRules(path([-7, 0, -0.4], [9, 0, -0.4]), SETTING, WALLS, before).faults)).toEqual([
      'bite 1: takes 0.35 mm (0.01378 in) at once (where the wood stands 0.15 mm (0.00591 in) higher by both zeros); 0.3 mm (0.01181 in) is the most',
    ]);
  });

  it('both zeros count into the bite, just inside and just outside', () => {
    // The wood stands at -0.2 and up to 0.15 higher; 0.3 mm and a rounding step may be taken.
    const before = { setting: SETTING, moves: path([-7, 0, -0.2], [10, 0, -0.2]), higher: 0.15 };
    const bites = (z: number): number => removalRules(path([-7, 0, z], [9, 0, z]), SETTING, WALLS, before).faults.length;
    expect(bites(-0.35099)).toBe(0);
    expect(bites(-0.35101)).toBe(1);
  });

  it('what is taken while falling, at once and in short moves', () => {
    const entry = (...places: Place[]): string[] => said(removalRules(path(...places), SETTING, WALLS).faults);
    expect(entry([20, 0, 0], [20, 0, -0.2])).toEqual(['entry 1: takes 0.2 mm (0.00787 in) while falling steeper than 1 in 20']);
    // Each of them a rounding step: the second is one too many, and tells of both.
    expect(entry([20, 0, 0], [20, 0, -0.0009], [20, 0, -0.0018])).toEqual([
      'entry 2: takes the last of 0.0018 mm (0.00007 in) that short moves take while they fall steeper than 1 in 20',
    ]);
    // Between them a way long enough for both: what was taken before it is forgotten.
    expect(entry([20, 0, 0], [20, 0, -0.0009], [20.1, 0, -0.0009], [20.1, 0, -0.0018])).toEqual([]);
    expect(entry([20, 0, 0], [24, 0, -0.2])).toEqual([]);
    // What a level move between two tiny falls takes is no part of them: it comes to a row of points for the first time.
    expect(entry([20.1271, 0, 0.0005], [20.1271, 0, -0.0004], [20.1281, 0, -0.0004], [20.1281, 0, -0.0007])).toEqual([]);
    expect(entry([20.1271, 0, 0.0005], [20.1271, 0, -0.0004], [20.1281, 0, -0.0004], [20.1281, 0, -0.0011])).toHaveLength(1);
    // A fall through the air is no part of a way into wood that is less steep than one rounding step more.
    expect(entry([20, 0, 1], [20, 0, 0], [21, 0, -0.0505])).toEqual([]);
    expect(entry([20, 0, 1], [20, 0, 0], [21, 0, -0.0515])).toEqual([
      'entry 2: takes 0.0515 mm (0.00203 in) while falling steeper than 1 in 20',
    ]);
  });

  it('what a router hardly bears', () => {
    const load = (least: number, most: number): Load => ({
      speed: { least: 1, most: 1 },
      feed: { least: 1, most: 1 },
      chip: { least, most },
      surface: 1,
      removal: 1,
      volume: 1,
    });
    expect(loadWarnings(load(0.02, 0.2), 6.35, 3.175)).toEqual([]);
    const told = loadWarnings(load(0.0199, 0.3), 6.35, 3.2);
    expect(told.map(({ code, severity, exit }) => [code, severity, exit])).toEqual([
      ['chip-thin', 'warning', null],
      ['chip-thick', 'warning', null],
      ['bite-deep', 'warning', null],
    ]);
    // .009 in for a quarter-inch cutter.
    expect(told.map(({ message }) => message)).toEqual([
      'the cutter takes only 0.020 mm (0.0008 in) a tooth: below about 0.020 mm (0.0008 in) it rubs and burns the wood',
      'the cutter takes 0.300 mm (0.0118 in) a tooth: above 0.229 mm (0.0090 in), what a heavy machine begins with, it may chatter or break',
      'the cutter takes 3.20 mm (0.126 in) in depth at once, more than half its diameter: it may bend and chatter',
    ]);
    expect(told.map(({ remedy }) => remedy)).toEqual([
      'feed faster or turn slower',
      'feed more slowly or turn faster',
      'lower pass.depth',
    ]);
  });
});

describe('what a verdict is told of as a whole', () => {
  const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0 };
  const work = workOf(SMALL);
  const text = textOf(plainProgram(SMALL));

  it('without the width of the cutter nothing is judged', () => {
    const { length, flutes } = work.shop.cutter;
    const bare = { ...work, shop: { ...work.shop, cutter: { length, flutes, diameter: undefined } } };
    const verdict = proveProgram(text, bare, 'floor');
    expect(said(verdict.faults)).toEqual(['walls 1: the shop file does not say how wide the cutter is']);
    expect(verdict).toMatchObject({ proved: false, warnings: [], figures: { gouge: null, passes: 0, minutes: null } });
    expect([verdict.limits, verdict.load]).toEqual([undefined, undefined]);
  });

  it.each([false, true])('what its figures were held against, in inches %s', (inch) => {
    const given = { ...SMALL, inch };
    const lines = plainProgram(given);
    const step = inch ? 0.00254 : 0.001;
    const { limits, figures, load } = proveProgram(textOf(lines), workOf(given), 'floor');
    const g = Math.tan((0.5 * Math.PI) / 180);
    expect(limits).toEqual({
      lines: lines.length,
      moves: lines.filter((line) => /^G[01] /.test(line)).length,
      step,
      clear: 25.4,
      top: 17.4,
      // The ridge between lanes 2.4 mm apart, 0.01 mm and a rounding step.
      finish: expect.closeTo(g * (3 - Math.sqrt(9 - 1.44)) + 0.01 + step, 9),
      reach: expect.closeTo(17.4 + 30 * g + 1, 9),
    });
    // The face stays R g over the floor at the mouth, carried on to where the cutter goes down, 7 mm before it.
    expect(Math.abs((figures.deepest as number) - 34 * g)).toBeLessThan(2 * step);
    expect(load?.speed).toEqual({ least: 16000, most: 16000 });
    const air = proveProgram(textOf(lines), workOf(given), 'air');
    expect(air.limits).toEqual(limits);
    expect(air.figures).toMatchObject({
      gouge: null,
      leftover: null,
      unreachable: null,
      wall: null,
      largestBite: null,
      passes: 0,
    });
    expect(air.figures.deepest).toBe(figures.deepest);
    expect(air.figures.minutes).toBe(figures.minutes);
    expect(air.load).toBeUndefined();
  });

  it('a move that never ends adds no minutes: it is refused for its feed', () => {
    const lines = plainProgram(SMALL);
    const first = lines.findIndex((line) => line.includes('F300'));
    const stopped = proveProgram(textOf(lines.with(first, (lines[first] as string).replace('F300', 'F0'))), work, 'floor');
    expect(stopped.faults.map(({ rule, line }) => `${rule} ${line}`)).toContain(`feed ${first + 1}`);
    expect(stopped.figures.minutes).toBeLessThan(proveProgram(text, work, 'floor').figures.minutes as number);
  });

  it('a program without a move has no depth, no lowest rapid and no minutes', () => {
    const { figures, faults } = proveProgram('G21\nM2\n', work, 'floor');
    expect(figures).toMatchObject({ deepest: null, lowestRapid: null, minutes: 0, gouge: null, wall: null, passes: 0 });
    expect(faults.map(({ rule }) => rule)).toEqual(['finish', 'end']);
    // A height alone is a depth below the floor as found where nobody knows the place.
    const { figures: high } = proveProgram('G21\nG17\nG90\nG94\nG0 Z30\nM2\n', work, 'floor');
    expect(high.deepest).toBe(-30);
  });

  it('before a second cutter: that nobody said, that it is not proved and why, that its cutter is no larger', () => {
    const rim = (before?: { text: string; diameter: number | undefined }) => {
      const shop = { ...work.shop, cutter: { ...work.shop.cutter, diameter: before?.diameter } };
      const given = before === undefined ? work : { ...work, before: { text: before.text, shop, higher: 0.1 } };
      const { faults } = proveProgram(text, given, 'rim');
      return said(faults.filter(({ rule }) => rule === 'before'));
    };
    expect(rim()).toEqual(['before 1: nobody said which program was run before this one']);
    expect(rim({ text, diameter: 6 })).toEqual([
      "before 1: the cutter of the program before this one is no larger than this one's",
    ]);
    expect(rim({ text, diameter: undefined })[0]).toBe(
      'before 1: the program before this one is not proved: walls, its line 1: the shop file does not say how wide the cutter is',
    );
    const [unsound] = rim({ text: text.replace('M5\n', ''), diameter: 6 });
    const lines = text.split('\n').length - 2;
    expect(unsound).toBe(
      `before 1: the program before this one is not proved: spindle, its line ${lines}: the spindle still turns at the end`,
    );
  });

  it('lengths with as many decimals as a workshop can use', () => {
    expect([mm(0.12344), mm(0.12346), mm(-2), mm(0.1 + 0.2)]).toEqual([
      '0.1234 mm (0.00486 in)',
      '0.1235 mm (0.00486 in)',
      '-2 mm (-0.07874 in)',
      '0.3 mm (0.01181 in)',
    ]);
  });
});
