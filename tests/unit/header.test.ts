import { describe, expect, it } from 'vitest';
import type { Result } from '../../src/kernel/findings.ts';
import { headerSaid } from '../../src/program/headerSaid.ts';
import { comments } from '../../src/program/text.ts';
import { type Program, writeAirProgram, writeFloorProgram, writeTraceProgram } from '../../src/program/write.ts';
import { planRim, writeRimAirProgram, writeRimProgram } from '../../src/program/writeRim.ts';
import { mountedOf } from '../support/bodyCut.ts';
import { pocket, shopOf, taskOf } from './programTasks.ts';

function made(result: Result<Program>): Program {
  if (!result.ok) throw new Error(JSON.stringify(result.findings));
  return result.value;
}

/** The comments before the first code line, with those that one sentence needs put together again. */
function headerOf({ text }: Program): string[] {
  const lines = text.split('\n');
  return lines
    .slice(
      0,
      lines.findIndex((line) => !line.startsWith('(')),
    )
    .map((line) => line.slice(1, -1));
}

/** 40 mm long, 28 mm wide at the mouth and 30 at the rear: each side wall goes out by 1 mm over 40. */
const OUTLINE = pocket({ length: 40, width: 30, widthAtMouth: 28, cornerRadius: 4 });
const LAST = [
  'start only from the top, not from a line in the middle',
  'written only after it was proved against the job and the shop file',
];
const CARE = ['eyes and lungs covered, body clamped on what it cannot slide from', 'try it in the air and in scrap first'];
const RIM = { diameter: 3, length: 24, flutes: 2, speed: 16000, cut: 1200, plunge: 300, depth: 0.3, width: 1.2 };

describe('the header of a program, every line, its figures worked out by hand', () => {
  it('for a floor that is filed already, from a drawing, with a first stop', () => {
    const firstStop = { isNext: true, deepest: 0.31, cutsTo: 0.4, whole: false, leave: '0.09 mm' };
    const standing = { isFiled: true, depthBound: 0.2, isFromDrawing: true, isContradicted: true, firstStop };
    const task = taskOf({ gx: -0.01, outline: OUTLINE, standing });
    // Beside a wall that faces 1 in 40 towards the mouth, where it is deepest: R g (1 + 1/40) high, that much wider than R.
    expect(headerOf(made(writeFloorProgram(task)))).toEqual([
      'pocketpitch: neck pocket floor',
      'from the drawing alone: to plan, not to cut, fit the neck first',
      'the readings contradict each other: measure again before you cut',
      'in one run this cuts to 0.400 mm',
      'the plan stops next at 0.310 mm to fit the neck',
      'with leave: 0.09 mm, written so in the shop file, it cuts to there',
      'job 0123456789ab',
      'all numbers in mm, X from the mouth towards the bridge, Z up',
      'cutter: flat, diameter 6.00 mm, stick-out 26.00 mm',
      'zero in G54, with whatever length offset is active then:',
      'Z: touch the body top beside the pocket and set Z 17.400 there',
      'the floor is filed: never set Z on it, all would come out too deep',
      'this Z is as true as the pocket depth was measured: 0.20 mm',
      'Y0 halfway between the side walls',
      'X: touch the rear wall with the cutter and set X 37.000 there',
      'floor deepest at the mouth: 0.400 mm on the centreline',
      'deepest cut 0.400 mm, least Z -0.400, clear Z 25.400',
      'box of the cutter: X -10.000 to 39.850,',
      'Y -14.748 to 14.748',
      'free space before the mouth: 25.00 mm, over Y -15.00 to 15.00',
      'levels 2, about 2 minutes',
      'stays for the chisel, height and width:',
      '- strip along the walls: 0.400 and 0.15 mm',
      '- rim at the bass wall: 0.031 and 3.22 mm',
      '- rim at the treble wall: 0.031 and 3.22 mm',
      ...CARE,
      ...LAST,
    ]);
  });

  it('a first stop for which no other shop file would do says so much and no more', () => {
    const firstStop = { isNext: false, deepest: 0.31, cutsTo: 0.4, whole: false };
    const standing = { isFiled: false, depthBound: 0.2, isFromDrawing: false, firstStop };
    const task = taskOf({ gx: -0.01, outline: OUTLINE, standing });
    expect(headerOf(made(writeFloorProgram(task))).slice(0, 4)).toEqual([
      'pocketpitch: neck pocket floor',
      'in one run this cuts to 0.400 mm',
      'the plan stops first at 0.310 mm to fit the neck',
      'job 0123456789ab',
    ]);
    const { firstStop: _none, ...bare } = standing;
    expect(headerOf(made(writeFloorProgram({ ...task, standing: bare })))[1]).toBe('job 0123456789ab');
  });

  it('in inches, left-handed, turned by 90 degrees, rolled, with wood left for the file', () => {
    const standing = {
      isFiled: false,
      depthBound: 0.2,
      isFromDrawing: false,
      firstStop: { isNext: false, deepest: 0, cutsTo: 0.5, whole: true },
      toFile: { deepest: 0.4, where: 'at the rear wall', fit: 'FIT 2' },
    };
    const shop = shopOf({ leave: 0.05, program: { units: 'in', turn: 90 } });
    const task = taskOf({ gx: 0.01, gy: 0.004, hand: 'left', outline: OUTLINE, standing, shop });
    const header = headerOf(made(writeFloorProgram(task)));
    expect(header.slice(0, 18)).toEqual([
      'pocketpitch: neck pocket floor',
      'in one run this cuts to the whole depth: 0.0197 inch = 0.50 mm on',
      'the centreline',
      'the plan cuts nothing yet: do first what it says, see the report',
      'job 0123456789ab',
      'all numbers in inch, Y from the mouth towards the bridge, Z up',
      'body turned 90 degrees anticlockwise seen from above',
      'cutter: flat, diameter 0.236 inch, stick-out 1.024 inch',
      'zero in G54, with whatever length offset is active then:',
      'Z0 on the floor as found, bare wood, near the mouth on the treble',
      'side',
      'X0 halfway between the side walls',
      'Y: touch the rear wall with the cutter and set Y 1.4566 there',
      'floor deepest at the rear, the bass side: 0.0181 inch = 0.46 mm on',
      'the centreline',
      // 0.01 x 40 + 0.004 x 30 mm, less 0.05 mm; the lowest Z is asked for by another test.
      'deepest cut 0.0185 inch, 0.0020 left on the floor',
      expect.stringMatching(/^least Z -0\.\d{4}, clear Z 1\.0000$/),
      'box of the cutter: X -0.5806 to 0.5806,',
    ]);
    expect(header.slice(18)).toEqual([
      'Y -0.3937 to 1.5689',
      'free space before the mouth: 0.984 inch, over X -0.591 to 0.591',
      'levels 2, about 2 minutes',
      'stays for the chisel, height and width:',
      '- strip along the walls: 0.0198 and 0.006 inch',
      '- rim at the treble wall: 0.0008 and 0.077 inch',
      '- rim at the rear wall: 0.0025 and 0.234 inch',
      '- rim at the bass wall: 0.0017 and 0.165 inch',
      'stays for the file: 0.0020 inch on the whole floor',
      'file that floor flat to 0.0157 inch = 0.40 mm at the rear wall, the',
      'double line FIT 2 of the guide, and fit the neck',
      ...CARE,
      ...LAST,
    ]);
  });

  it('of a walk round the pocket, turned by 180 degrees: no levels, nothing that stays, nothing that hurts', () => {
    const standing = {
      isFiled: false,
      depthBound: 0.2,
      isFromDrawing: true,
      firstStop: { isNext: false, deepest: 0.3, cutsTo: 0.5, whole: true },
    };
    const task = taskOf({ gx: -0.01, gy: 0.004, outline: OUTLINE, standing, shop: shopOf({ program: { turn: 180 } }) });
    expect(headerOf(made(writeTraceProgram(task)))).toEqual([
      'pocketpitch: walk round the pocket at clear height, spindle off',
      'from the drawing alone: to plan, not to cut, fit the neck first',
      'job 0123456789ab',
      'all numbers in mm, minus X from the mouth towards the bridge, Z up',
      'body turned 180 degrees anticlockwise seen from above',
      'cutter: flat, diameter 6.00 mm, stick-out 26.00 mm',
      'zero in G54, with whatever length offset is active then:',
      'Z0 on the floor as found, bare wood, near the rear wall on the bass',
      'side',
      'Y0 halfway between the side walls',
      'X: touch the rear wall with the cutter and set X -37.000 there',
      'floor deepest at the mouth, the treble side: 0.460 mm on the',
      'centreline',
      'nothing is cut: every move at Z 25.400',
      'box of the cutter: X -39.850 to 10.000,',
      'Y -14.748 to 14.748',
      'free space before the mouth: 25.00 mm, over Y -15.00 to 15.00',
      ...LAST,
    ]);
  });

  it('of a run in the air over a level floor, turned by 270 degrees', () => {
    const task = taskOf({ gx: 0, skim: 0.5, outline: OUTLINE, shop: shopOf({ program: { turn: 270 } }) });
    expect(headerOf(made(writeAirProgram(task)))).toEqual([
      'pocketpitch: neck pocket floor, dry run in the air, spindle off',
      'job 0123456789ab',
      'all numbers in mm, minus Y from the mouth towards the bridge, Z up',
      'body turned 270 degrees anticlockwise seen from above',
      'cutter: flat, diameter 6.00 mm, stick-out 26.00 mm',
      'zero in G54, with whatever length offset is active then:',
      'Z0 on the floor as found, bare wood, anywhere',
      'X0 halfway between the side walls',
      'Y: touch the rear wall with the cutter and set Y -37.000 there',
      'floor equally deep everywhere',
      // The lowest move is lifted to 2 mm over the body's top.
      'nothing is cut: the floor program 19.900 mm higher',
      'least Z 19.400, clear Z 25.400',
      'box of the cutter: X -14.748 to 14.748,',
      'Y -39.850 to 10.000',
      'free space before the mouth: 25.00 mm, over X -15.00 to 15.00',
      expect.stringMatching(/^levels 2, about \d minutes$/),
      ...LAST,
    ]);
  });

  it('of a floor that is rolled alone, to either side', () => {
    const said = (gy: number, hand: 'right' | 'left'): string =>
      headerOf(made(writeFloorProgram(taskOf({ gx: 0, gy, hand, outline: OUTLINE })))).find((line) =>
        line.startsWith('floor '),
      ) ?? '';
    expect(said(0.01, 'right')).toBe('floor deepest at the treble side: 0.150 mm on the centreline');
    expect(said(0.01, 'left')).toBe('floor deepest at the bass side: 0.150 mm on the centreline');
    expect(said(-0.01, 'right')).toBe('floor deepest at the bass side: 0.150 mm on the centreline');
  });

  it('of a body out of level whose floor is filed: the top at its corners, the walls where an upright cutter touches them', () => {
    const base = taskOf({ gx: -0.01, outline: OUTLINE, shop: shopOf({ cutter: { length: 32 }, program: { turn: 90 } }) });
    const standing = { isFiled: true, depthBound: 0.2, isFromDrawing: false };
    const mounted = mountedOf(base, { x: 0.005, y: 0.004, height: 0.2 });
    const header = headerOf(made(writeFloorProgram({ ...base, mounted, standing })));
    // The top stands 17.4 cos(0.0064) over the floor: 0.2 + 0.005 x + 0.004 y + 17.3996, rounded down.
    const start = header.indexOf('zero in G54, with whatever length offset is active then:');
    expect(header.slice(start + 1, start + 9)).toEqual([
      'Z0 as it was when pocket.mounted was measured: body top beside the',
      'mouth bass 17.543, mouth treble 17.655,',
      'rear bass 17.739, rear treble 17.859',
      'the floor is filed: never set Z on it, all would come out too deep',
      'this Z is as true as the pocket depth was measured: 0.20 mm',
      'touch the walls with the tip near the floor, they lean:',
      // Half of 17.4 x 0.004 towards -y, which is +X here; 17.4 x 0.005 and the radius before 40 mm.
      'X: halfway between the side walls set X 0.035',
      'Y: touch the rear wall with the cutter and set Y 36.912 there',
    ]);
    expect(header).toContain('body clamped out of level: all numbers are the machine as it stands');
    const asFound = headerOf(made(writeFloorProgram({ ...base, mounted })));
    expect(asFound).toContain('Z0 as it was when pocket.mounted was measured: floor as found at');
    expect(asFound).toContain('mouth bass 0.144, mouth treble 0.256,');
    expect(asFound).toContain('rear bass 0.340, rear treble 0.460');
    const left = headerOf(
      made(
        writeFloorProgram({
          ...base,
          hand: 'left',
          mounted: mountedOf({ ...base, hand: 'left' }, { x: 0.005, y: 0.004, height: 0.2 }),
          standing,
        }),
      ),
    );
    expect(left).toContain('mouth bass 17.655, mouth treble 17.543,');
    expect(left).toContain('rear bass 17.859, rear treble 17.739');
  });

  it('of a drawn pocket: where an axis on the centreline touches the bowed rear wall', () => {
    const corners = [
      [0, -12],
      [20, -12],
      [30, -12],
      [36, -6],
      [38, 0],
      [36, 6],
      [30, 12],
      [0, 12],
    ].map(([x, y]) => ({ x: x as number, y: y as number }));
    const pieces = corners.map((from, i) => ({
      kind: 'line' as const,
      from,
      to: corners[(i + 1) % 8] as { x: number; y: number },
    }));
    const outline = { pieces, length: 38, mouthHalf: 12, rearHalf: 12 };
    const header = headerOf(made(writeFloorProgram(taskOf({ gx: -0.01, outline }))));
    expect(header).toContain('Y0 halfway between the side walls at the mouth');
    // Walls that meet at (38, 0) at 1 in 3: 3 mm off both an axis is 3 sqrt(10)/3 before their corner: 34.838.
    expect(header).toContain('X: touch the rear wall on the centreline, set X 34.837 there');
  });

  it('of both programs of two cutters: who takes what stays, and how the second is set', () => {
    const base = taskOf({ gx: 0.014, outline: pocket({ length: 40, width: 30, cornerRadius: 0 }) });
    const task = { ...base, shop: { ...base.shop, rim: RIM } };
    const plan = planRim(task);
    if (!plan.ok || plan.value === undefined) throw new Error('there is wood for it');
    const first = headerOf(made(writeFloorProgram(task)));
    const at = first.indexOf('stays for the rim cutter or the chisel, height and width:');
    expect(first.slice(at + 1)).toEqual([
      '- strip along the walls: 0.560 and 0.15 mm',
      '- rim at the bass wall: 0.042 and 3.15 mm',
      '- rim at the rear wall: 0.084 and 6.15 mm',
      '- rim at the treble wall: 0.042 and 3.15 mm',
      '- rear bass corner: 0.560 and 1.45 mm',
      '- rear treble corner: 0.560 and 1.45 mm',
      'a program for the rim cutter may follow: before this one is started',
      'touch the body top beside the pocket and note the Z there',
      ...CARE,
      ...LAST,
    ]);
    const zero = [
      'cutter: flat, diameter 3.00 mm, stick-out 24.00 mm',
      'run it only after the floor program of this job has run to its end',
      'change the cutter with the spindle cut off at its own plug or switch',
      'and the machine left on: X0 and Y0 stay, no homing, then in G54:',
      'Z: touch the body top where it was touched for the floor program',
      'and set there the Z that was noted then, never the cut floor',
      'both zeros count: the floor may lie up to 0.10 mm higher or lower',
      'than the rim',
      'where one plug feeds machine and spindle: set X and Y anew as well,',
      'on the walls touched before, the tip above the strip along them:',
      'Y0 halfway between the side walls',
      // The rear wall less this cutter's own radius.
      'X: touch the rear wall with the cutter and set X 38.500 there',
    ];
    const proved = [LAST[0], 'proved from its text and from the floor program as it was written', LAST[1]];
    const second = headerOf(writeRimProgram(plan.value));
    expect(second.slice(0, 2)).toEqual([
      'pocketpitch: neck pocket rim, second cutter, after the floor program',
      'job 0123456789ab',
    ]);
    expect(second.slice(3, 3 + zero.length)).toEqual(zero);
    expect(second).toContainEqual(expect.stringMatching(/^levels \d, each only where wood was left, about \d minutes$/));
    const stays = second.indexOf('stays for the chisel, height and width:');
    expect(second.slice(stays + 1)).toEqual([
      '- strip along the walls: 0.560 and 0.15 mm',
      '- rim at the bass wall: 0.021 and 1.65 mm',
      '- rim at the rear wall: 0.042 and 3.15 mm',
      '- rim at the treble wall: 0.021 and 1.65 mm',
      '- rear bass corner: 0.560 and 0.83 mm',
      '- rear treble corner: 0.560 and 0.83 mm',
      ...CARE,
      ...proved,
    ]);
    const air = headerOf(writeRimAirProgram(plan.value));
    expect(air.slice(4, 4 + zero.length)).toEqual(zero);
    expect(air.join(' ')).toMatch(/nothing is cut: the rim program [\d.]+ mm higher least Z 19\.4\d\d, clear Z/);
    expect(air.slice(-3)).toEqual(proved);
    expect(air.some((line) => line.startsWith('stays') || line === CARE[0])).toBe(false);
  });
});

describe('what a text says of itself', () => {
  const turned = shopOf({ program: { turn: 270 } });
  const task = taskOf({ gx: 0.014, outline: pocket({ length: 40, width: 30, cornerRadius: 0 }) });

  it('is read again: kind and turn', () => {
    const plan = planRim({ ...task, shop: { ...turned, rim: RIM } });
    if (!plan.ok || plan.value === undefined) throw new Error('there is wood for it');
    const texts = {
      floor: made(writeFloorProgram({ ...task, shop: turned })).text,
      air: made(writeAirProgram({ ...task, shop: turned })).text,
      trace: made(writeTraceProgram({ ...task, shop: turned })).text,
      rim: writeRimProgram(plan.value).text,
      'rim-air': writeRimAirProgram(plan.value).text,
    };
    for (const [kind, text] of Object.entries(texts)) {
      expect(headerSaid(text)).toEqual({ kind, turn: 270 });
      expect(headerSaid(text.replace(/\n/g, '\r\n'))).toEqual({ kind, turn: 270 });
    }
    expect(headerSaid(made(writeFloorProgram(task)).text)).toEqual({ kind: 'floor', turn: 0 });
    expect(headerSaid('(another program)\nG21\n')).toBeUndefined();
    // Only as a line's beginning.
    expect(headerSaid(`${texts.floor.replace('(body turned', '(the body turned')}`)).toEqual({ kind: 'floor', turn: 0 });
  });

  it('comments are cut between words so that no line is longer than 70 characters', () => {
    const words = `${'a'.repeat(30)} ${'b'.repeat(37)}`;
    expect(comments(words)).toEqual([`(${words})`]);
    expect(comments(`${words}b`)).toEqual([`(${'a'.repeat(30)})`, `(${'b'.repeat(38)})`]);
    expect(comments(' what? a (nested)  note! ')).toEqual(['(what a nested note)']);
  });
});

describe('how long a program takes', () => {
  it.each(['first', 'never'] as const)(
    'its moves at their feeds, each pass back to its start, and the warm-up twice: look %s',
    (look) => {
      const task = taskOf({ gx: -0.01, outline: OUTLINE, shop: shopOf({ program: { look } }) });
      const { text, minutes } = made(writeFloorProgram(task));
      const here = { X: 0, Y: 0, Z: 0, F: 0 };
      let start: { X: number; Y: number } | undefined;
      let sum = (2 * 4) / 60;
      const goHome = (): void => {
        if (start !== undefined) sum += Math.hypot(here.X - start.X, here.Y - start.Y) / 2000;
      };
      for (const line of text.split('\n')) {
        if (!/^G[01] /.test(line)) continue;
        if (line.startsWith('G0 X')) goHome();
        const from = { ...here };
        for (const [, letter, value] of line.matchAll(/([XYZF])(-?[0-9.]+)/g)) here[letter as 'X'] = Number(value);
        if (line.startsWith('G0 X')) start = { X: here.X, Y: here.Y };
        else if (line.startsWith('G1')) sum += Math.hypot(here.X - from.X, here.Y - from.Y, here.Z - from.Z) / here.F;
      }
      goHome();
      expect(minutes).toBeGreaterThan(1);
      expect(minutes).toBeCloseTo(sum, 3);
    },
  );
});
