import { describe, expect, it } from 'vitest';
import { apartInZ, type RimCutter, withRimCutter } from '../../src/job/shop.ts';
import type { Point2, Point3 } from '../../src/kernel/vector.ts';
import { leftBy } from '../../src/program/left.ts';
import { readyTask } from '../../src/program/ready.ts';
import type { ProgramTask } from '../../src/program/task.ts';
import { writeFloorProgram } from '../../src/program/write.ts';
import { planRim, writeRimAirProgram, writeRimProgram } from '../../src/program/writeRim.ts';
import { type ProofWork, proveProgram, type Verdict } from '../../src/proof/prove.ts';
import { type DenseCase, denseJudge } from '../support/denseJudge.ts';
import { CASES, pocket, shopOf, taskOf } from './programTasks.ts';

function rimOf(diameter: number, parts: Partial<RimCutter> = {}): RimCutter {
  return {
    diameter,
    length: 24,
    flutes: 2,
    speed: 16000,
    cut: 1200,
    plunge: 300,
    depth: 0.3,
    width: 0.4 * diameter,
    ...parts,
  };
}

interface Pair {
  readonly task: ProgramTask;
  readonly floor: string;
  readonly rim: string;
  readonly air: string;
  readonly work: ProofWork;
  readonly stays: readonly (readonly [where: string, before: number, after: number])[];
}

/** Both programs for a task whose first cutter is `large` wide; undefined where the second has nothing to do. */
function pairOf(task0: ProgramTask, large: number, rim: RimCutter): Pair | undefined {
  const cutter = { ...task0.shop.cutter, diameter: large };
  const shop = { ...task0.shop, cutter, pass: { ...task0.shop.pass, width: 0.4 * large }, rim };
  const task = { ...task0, clearBefore: 40, shop };
  const floor = writeFloorProgram(task);
  if (!floor.ok) throw new Error(JSON.stringify(floor.findings));
  const plan = planRim(task);
  if (!plan.ok) throw new Error(JSON.stringify(plan.findings));
  if (plan.value === undefined) return undefined;
  const program = writeRimProgram(plan.value);
  const { plane, outline, pocketDepth, clearBefore, deepest } = task;
  const before = { text: floor.value.text, shop, higher: apartInZ(shop) };
  const after = (where: string): number => program.stays.find((stay) => stay.where === where)?.height ?? 0;
  return {
    task,
    floor: floor.value.text,
    rim: program.text,
    air: writeRimAirProgram(plan.value).text,
    work: { plane, outline, pocketDepth, clearBefore, deepest, shop: withRimCutter(shop, rim), before },
    stays: plan.value.before.map(({ where, height }) => [where, height, after(where)] as const),
  };
}

const rulesOf = ({ faults }: Verdict): string[] => faults.map(({ rule, line, message }) => `${rule} ${line}: ${message}`);

describe('a second cutter', () => {
  const pairs = CASES.map(([name, task], i) =>
    i % 3 === 0 ? ([`${name}, 6 and 3 mm`, task, 6, rimOf(3)] as const) : ([`${name}, 12 and 4 mm`, task, 12, rimOf(4)] as const),
  );

  it.each(pairs)('is proved after the first: %s', (_, task, large, rim) => {
    const pair = pairOf(task, large, rim);
    if (pair === undefined) throw new Error('there is wood for it');
    const verdict = proveProgram(pair.rim, pair.work, 'rim');
    expect(rulesOf(verdict)).toEqual([]);
    expect(rulesOf(proveProgram(pair.air, pair.work, 'air'))).toEqual([]);
    // Judged as a floor program of its own it cuts too deep or leaves the middle standing: it is one only after the first.
    expect(proveProgram(pair.rim, pair.work, 'floor').proved).toBe(false);
    // What stays is no more than the list says, the strip along the walls apart.
    const listed = Math.max(0, ...pair.stays.filter(([where]) => where.startsWith('rim')).map(([, , height]) => height));
    expect(verdict.figures.unreachable ?? 1).toBeLessThanOrEqual(listed + pair.task.shop.leave + 0.011);
    for (const [where, before, after] of pair.stays) expect(after, where).toBeLessThanOrEqual(before);
  });
});

it('a second cutter has nothing to do on a level floor whose corners are rounder than the first', () => {
  expect(pairOf(taskOf({ gx: 0, skim: 0.7 }), 6, rimOf(3))).toBeUndefined();
  expect(pairOf(taskOf({ gx: 0, skim: 0.7 }), 12, rimOf(3))).toBeDefined();
});

describe('a second cutter, judged by a slow judge that shares no code with the proof', () => {
  it.each([
    ['pitched back', taskOf({ gx: -0.011, outline: pocket({ cornerRadius: 0 }) })],
    ['pitched forward', taskOf({ gx: 0.014, outline: pocket({ cornerRadius: 0 }) })],
    ['rolled', taskOf({ gx: -0.006, gy: 0.009, outline: pocket({ cornerRadius: 0 }) })],
    ['inch', taskOf({ gx: 0.012, outline: pocket({ cornerRadius: 0 }), shop: shopOf({ program: { units: 'in' } }) })],
  ] as const)('keeps every rule: %s', (_, task) => {
    const pair = pairOf(task, 10, rimOf(4));
    if (pair === undefined) throw new Error('there is wood for it');
    const { plane } = task;
    const shop = pair.work.shop;
    const given: DenseCase = {
      length: task.outline.length,
      width: 2 * task.outline.mouthHalf,
      pocketDepth: task.pocketDepth,
      clearBefore: 40,
      d0: plane.skim - plane.gx * plane.hinge.x - plane.gy * plane.hinge.y,
      dx: plane.gx,
      dy: plane.gy,
      radius: 2,
      cutterLength: 24,
      speed: 16000,
      warmUp: 4,
      cut: 1200,
      plunge: 300,
      passDepth: 0.3,
      mayStay: 0.02 + shop.leave,
      above: 8,
      wall: 0.15,
    };
    expect(denseJudge(pair.rim, given, { text: pair.floor, radius: 5, higher: 0.1 })).toEqual([]);
    // The judge sees wood that the first cutter left: without the second it stands.
    expect(denseJudge(pair.rim.replace(/^G1 X.*\n/gm, ''), given, { text: pair.floor, radius: 5, higher: 0.1 })).not.toEqual([]);
  });
});

it('what a first cutter leaves, by hand: falling, rising, slantwise and straight down', () => {
  const ready = readyTask(taskOf({ gx: 0, skim: 0.7 }));
  if (!ready.ok) throw new Error(JSON.stringify(ready.findings));
  // The mesh begins at y = -18.85, so one of its lines is y = -0.1; the cutter's radius is 3.
  const after = (a: readonly [number, number, number], b: readonly [number, number, number], at: Point2): number => {
    const [start, end] = [a, b].map(([x, y, z]) => ({ x, y, z })) as [Point3, Point3];
    return leftBy(ready.value, [{ start, moves: [{ ...end, feed: 'cut' }] }]).highest(at, 0.01);
  };
  const half = Math.sqrt(9 - 0.1 ** 2);
  expect(after([0, 0, 0], [10, 0, -1], { x: 5, y: -0.1 })).toBeCloseTo(-(5 + half) / 10, 9);
  expect(after([10, 0, -1], [0, 0, 0], { x: 5, y: -0.1 })).toBeCloseTo(-(5 + half) / 10, 9);
  expect(after([0, 0, 0], [10, 0, -1], { x: 8, y: -0.1 })).toBeCloseTo(-1, 9);
  // From (0, -5.1) to (10, 4.9) the way goes right over the place: 3 mm further on it is lowest there.
  expect(after([0, -5.1, 0], [10, 4.9, -1], { x: 5, y: -0.1 })).toBeCloseTo(-0.5 - (3 * Math.SQRT1_2) / 10, 9);
  expect(after([5, 0, 0], [5, 0, -0.4], { x: 7, y: -0.1 })).toBeCloseTo(-0.4, 9);
  expect(after([5, 0, 0], [5, 0, -0.4], { x: 8, y: -0.1 })).toBe(0);
  // What no move came near stands as found, out to every wall; before the mouth there is nothing.
  const untouched = leftBy(ready.value, []);
  for (const at of [0, 41.3].flatMap((x) => [-18.85, 18.85].map((y) => ({ x, y })))) expect(untouched.highest(at, 0.3)).toBe(0);
  expect(untouched.highest({ x: -1, y: 0 }, 0.99)).toBe(Number.NEGATIVE_INFINITY);
});

describe('what the proof of a second cutter refuses', () => {
  const task = taskOf({ gx: 0.014, outline: pocket({ cornerRadius: 3 }) });
  const pair = pairOf(task, 12, rimOf(4)) as Pair;
  const lines = pair.rim.split('\n');
  const judged = (text: string, before = pair.floor, shop = pair.work.before?.shop): string[] =>
    rulesOf(proveProgram(text, { ...pair.work, before: { text: before, shop: shop ?? pair.work.shop, higher: 0.1 } }, 'rim')).map(
      (said) => said.replace(/:.*/, ''),
    );
  const first = (found: string[]): string | undefined => found[0];

  it('takes the pair as it is', () => {
    expect(judged(pair.rim)).toEqual([]);
  });

  it('asks which program goes before', () => {
    const { before: _, ...alone } = pair.work;
    expect(rulesOf(proveProgram(pair.rim, alone, 'rim'))).toEqual([
      'before 1: nobody said which program was run before this one',
    ]);
  });

  it('takes no first program that is not proved itself, whatever it leaves', () => {
    const floor = pair.floor.split('\n');
    expect(judged(pair.rim, floor.filter((line) => line !== 'M5').join('\n'))).toEqual(['before 1']);
    const deeper = floor.map((line) => line.replace(/Z-0\.(\d)/, 'Z-1.$1')).join('\n');
    expect(judged(pair.rim, deeper)).toEqual(['before 1']);
    // A program for another cutter is no floor program for this one.
    const shop = pair.work.before?.shop as ProofWork['shop'];
    expect(judged(pair.rim, pair.floor, { ...shop, cutter: { ...shop.cutter, diameter: 13 } })).toEqual(['before 1']);
    expect(judged(pair.rim, pair.floor, { ...shop, cutter: { ...shop.cutter, diameter: 4 } })).toEqual(['before 1']);
  });

  it('asks for a larger cutter first: the same size is none, a hundredth more is one', () => {
    const firstOf = (diameter: number): string | undefined => {
      const shop = shopOf({ cutter: { diameter }, pass: { width: 1.6 } });
      const floor = writeFloorProgram({ ...task, clearBefore: 40, shop });
      if (!floor.ok) throw new Error(JSON.stringify(floor.findings));
      const before = { text: floor.value.text, shop, higher: 0.1 };
      return rulesOf(proveProgram(pair.rim, { ...pair.work, before }, 'rim')).find((said) => said.startsWith('before'));
    };
    expect(firstOf(4)).toMatch(/no larger than this one's$/);
    expect(firstOf(4.01)).toBeUndefined();
  });

  it('goes by the wood that the first text leaves, not by what its writer meant', () => {
    // The first program without its last level leaves wood that the second would have to take at once.
    const levels = pair.floor.split(/(?=^G0 X)/m);
    expect(levels.length).toBeGreaterThan(3);
    const sound = proveProgram(pair.floor, { ...pair.work, shop: pair.work.before?.shop ?? pair.work.shop }, 'floor');
    expect(sound.proved).toBe(true);
    expect(judged(pair.rim, levels.toSpliced(-1, 1, 'G0 Z25.4\nM5\nM2\n').join(''))).toEqual(['before 1']);
  });

  it('counts both zeros: the same moves take more where the wood may stand higher', () => {
    const bite = (higher: number): number => {
      const before = { ...(pair.work.before as NonNullable<ProofWork['before']>), higher };
      return proveProgram(pair.rim, { ...pair.work, before }, 'rim').figures.largestBite ?? 0;
    };
    expect(bite(0.1)).toBeGreaterThan(bite(0) + 0.05);
    const refused = proveProgram(pair.rim, { ...pair.work, before: { ...pair.work.before, higher: 0.3 } } as ProofWork, 'rim');
    expect(refused.faults.map(({ rule }) => rule)).toContain('bite');
  });

  it('refuses a run left out, a plunge into what the first left, a gouge and a wall', () => {
    const cut = lines.findIndex((line) => /^G1 X.*Z-/.test(line));
    const last = lines.findLastIndex((line) => /^G1 X-?[\d.]+ Z-/.test(line));
    expect(first(judged(lines.toSpliced(last - 1, 3).join('\n')))).toBe(`finish ${lines.length - 4}`);
    expect(judged(lines.with(cut, (lines[cut] as string).replace(/Z-/, 'Z-1')).join('\n'))).toContain(`floor ${cut + 1}`);
    const far = lines.with(cut, (lines[cut] as string).replace(/X-?[\d.]+/, 'X45')).join('\n');
    expect(judged(far)).toContain(`walls ${cut + 1}`);
  });

  it('changes no cutter inside a program', () => {
    const at = lines.findIndex((line) => line.startsWith('G0 X'));
    for (const change of ['T2 M6', 'M6', 'T2'])
      expect(judged(lines.toSpliced(at, 0, change).join('\n'))).toEqual([`words ${at + 1}`]);
  });
});

describe('the second program as a maker reads it', () => {
  const pair = pairOf(taskOf({ gx: 0.014 }), 12, rimOf(4)) as Pair;

  it('says to change the cutter, set Z anew where it was touched before, and what both zeros cost', () => {
    for (const said of [
      '(cutter: flat, diameter 4.00 mm, stick-out 24.00 mm)',
      '(run it only after the floor program of this job has run to its end)',
      '(change the cutter with the spindle cut off at its own plug or switch)',
      '(and the machine left on: X0 and Y0 stay, no homing, then in G54:)',
      '(Z: touch the body top where it was touched for the floor program)',
      '(both zeros count: the floor may lie up to 0.10 mm higher or lower)',
    ])
      expect(pair.rim).toContain(said);
    expect(pair.rim).not.toContain('Z0 on the floor as found');
    expect(pair.floor).toContain('(touch the body top beside the pocket and note the Z there)');
    for (const line of pair.rim.split('\n')) expect(line.length).toBeLessThanOrEqual(70);
  });

  it('says nothing of a second cutter where there is none', () => {
    const alone = writeFloorProgram(taskOf({ gx: 0.014 }));
    expect(alone.ok && alone.value.text).not.toMatch(/rim cutter/);
  });
});

describe('a second cutter that cannot do it', () => {
  const refused = (rim: RimCutter, parts: Partial<ProgramTask> = {}): { code: string; said: string }[] => {
    const task = taskOf({ gx: 0.014, ...parts });
    const plan = planRim({ ...task, shop: { ...task.shop, rim } });
    return plan.ok
      ? []
      : plan.findings.map(({ code, message, found, expected, remedy }) => ({
          code,
          said: [message, found, expected, remedy].join(' | '),
        }));
  };

  it('is refused by its own keys, with a remedy', () => {
    const [short] = refused(rimOf(3, { length: 15 }));
    expect(short?.code).toBe('cutter-too-short');
    expect(short?.said).toBe(
      "rim cutter: the collet nut would come too near the body's top | 15.00 mm (0.591 in) (rim.length) | at least 18.98 mm (0.747 in) (pocket depth, deepest cut and 1.00 mm (0.039 in)) | 3.98 mm (0.157 in) are missing: let the cutter stick out further, or take a longer one; or leave rim out of the shop file",
    );
    const [wide] = refused(rimOf(20), { clearBefore: 20 });
    expect(wide).toEqual({
      code: 'clear-before-short',
      said: 'rim cutter: the cutter has no room to go down in front of the mouth | 20.00 mm (0.787 in) (pocket.clearBefore) | at least 24.00 mm (0.945 in) (rim.diameter + clearance.beyondMouth) | 4.00 mm (0.157 in) are missing: a thinner cutter, or less clearance.beyondMouth; or leave rim out of the shop file',
    });
    const [fits] = refused(rimOf(38), { clearBefore: 60 });
    expect(fits).toEqual({
      code: 'cutter-too-wide',
      said: 'rim cutter: the cutter does not fit into the pocket | 38.00 mm (1.496 in) (rim.diameter) and 0.15 mm (0.006 in) (clearance.wall) on each side, in 37.70 mm (1.484 in) of width and 41.30 mm (1.626 in) of length | rim.diameter at most 37.38 mm (1.472 in) | 0.62 mm (0.024 in) are missing: a thinner cutter, or less clearance.wall; or leave rim out of the shop file',
    });
  });

  it('needs passes deeper than the two zeros may differ', () => {
    expect(refused(rimOf(3, { depth: 0.16 }))).toEqual([
      {
        code: 'rim-depth-small',
        said: 'rim cutter: its passes are too shallow for what two zeros may differ by | 0.16 mm (0.006 in) (rim.depth), twice zeroing 0.10 mm (0.004 in) | more than 0.15 mm (0.006 in), and 0.02 mm (0.001 in) for the proof | set the zero more closely (zeroing), allow more rim.depth, or leave rim out of the shop file',
      },
    ]);
    expect(refused(rimOf(3, { depth: 0.1699 })).map(({ code }) => code)).toEqual(['rim-depth-small']);
    expect(refused(rimOf(3, { depth: 0.1701 }))).toEqual([]);
  });
});
