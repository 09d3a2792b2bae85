import { mountingOf, mountingRefusals } from '../instrument/mounting.ts';
import { apart, bothUnits } from '../kernel/dimension.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import { MM_PER_INCH } from '../kernel/units.ts';
import { type Clamped, clampedOf } from './clamped.ts';
import { inwardCorner, THINNEST_MM } from './region.ts';
import type { ProgramTask, ReadyTask } from './task.ts';

/** mm. The collet nut stays at least this far above the body's top (program.md, `reach`). */
const REACH_SPARE_MM = 1;
/** mm. Differences that come from arithmetic only. */
const SAME_MM = 1e-9;

interface Unfit {
  readonly found?: string;
  readonly expected?: string;
  readonly remedy: string;
}

function unfit(code: string, message: string, more: Unfit): Finding {
  return { code, severity: 'error', exit: 3, message, ...more };
}

const mm = bothUnits;
/** What was found and its limit, in hundredths unless they would read the same. */
const pair = (found: number, limit: number): readonly [string, string] =>
  mm(found) === mm(limit) ? apart(found, limit) : [mm(found), mm(limit)];
/** What is missing to a limit: never nothing. */
const lack = (value: number): string => (mm(value) === mm(0) ? apart(value, 0)[0] : mm(value));

function missing(task: ProgramTask): Finding[] {
  const { shop } = task;
  const out: Finding[] = [];
  const lacks = (code: string, key: string, what: string): void => {
    out.push(unfit(code, `${key} is missing, and no program is made without it`, { remedy: `give ${what}` }));
  };
  if (shop.cutter.diameter === undefined)
    lacks('cutter-diameter-missing', 'cutter.diameter', 'the measured diameter of a flat cutter');
  if (shop.cutter.length === undefined)
    lacks('cutter-length-missing', 'cutter.length', "the cutter's stick-out, tip to collet nut");
  if (shop.program.units === undefined) lacks('program-units-missing', 'program.units', 'mm or in, as the machine is set');
  if (task.clearBefore === undefined)
    lacks(
      'clear-before-missing',
      'pocket.clearBefore',
      'the free space in front of the mouth, across its width and down to the deepest cut: no horn, tongue, clamp or bench',
    );
  return out;
}

function trebleOf(task: ProgramTask): 1 | -1 {
  return task.hand === 'right' ? 1 : -1;
}

function unfitBodies(task: ProgramTask): Finding[] {
  const out: Finding[] = [];
  if (task.mounted !== undefined) out.push(...mountingRefusals(mountingOf(task.mounted, task.outline, trebleOf(task))));
  const corner = task.mounted === undefined ? undefined : inwardCorner(task.outline);
  if (corner !== undefined)
    out.push(
      unfit('outline-unsupported', 'a leaning pocket with a corner that points inwards is not programmed for yet', {
        found: `such a corner at x ${mm(corner.x)}, y ${mm(corner.y)} from the middle of the mouth edge`,
        expected: 'walls that nowhere turn into the pocket, or a body that lies level',
        remedy: 'shim the body level and leave pocket.mounted out',
      }),
    );
  return out;
}

function tooShort(length: number, reach: number): Finding {
  const [found, least] = pair(length, reach);
  return unfit('cutter-too-short', "the collet nut would come too near the body's top", {
    found: `${found} (cutter.length)`,
    expected: `at least ${least} (pocket depth, deepest cut and ${mm(REACH_SPARE_MM)})`,
    remedy: `${lack(reach - length)} are missing: let the cutter stick out further, or take a longer one`,
  });
}

function measures(task: ProgramTask): Finding[] {
  const { shop, widthBound } = task;
  const out: Finding[] = [];
  const { diameter, length } = shop.cutter;
  const before = diameter === undefined ? undefined : diameter + shop.clearance.beyondMouth;
  if (before !== undefined && task.clearBefore !== undefined && before > task.clearBefore + SAME_MM) {
    const [found, least] = pair(task.clearBefore, before);
    out.push(
      unfit('clear-before-short', 'the cutter has no room to go down in front of the mouth', {
        found: `${found} (pocket.clearBefore)`,
        expected: `at least ${least} (cutter.diameter + clearance.beyondMouth)`,
        remedy: `${lack(before - task.clearBefore)} are missing: a thinner cutter, or less clearance.beyondMouth`,
      }),
    );
  }
  const wall = widthBound / 2 + shop.zeroing;
  if (shop.clearance.wall < wall - SAME_MM)
    out.push(
      unfit('wall-clearance-small', "the cutter could touch a wall within what the pocket's width and the zero are known to", {
        found: `${mm(shop.clearance.wall)} (clearance.wall)`,
        expected: `at least ${mm(wall, 3)}: half the +/- of pocket.width, ${mm(widthBound / 2, 3)}, and zeroing, ${mm(shop.zeroing, 3)}`,
        remedy: `${mm(wall - shop.clearance.wall, 3)} are missing: ${
          widthBound / 2 > shop.zeroing ? 'measure pocket.width more closely' : 'set the zero more closely (zeroing)'
        }, or allow more clearance.wall`,
      }),
    );
  const reach = task.pocketDepth + task.deepest + REACH_SPARE_MM;
  if (length !== undefined && length < reach - SAME_MM) out.push(tooShort(length, reach));
  if (task.deepest <= shop.leave + SAME_MM) {
    const [found, least] = pair(task.deepest, shop.leave);
    out.push(
      unfit('nothing-to-cut', 'there is no wood for the cutter to take', {
        found: `deepest ${found}`,
        expected: `more than ${least} (leave)`,
        remedy: 'take this much off by hand, or leave less',
      }),
    );
  }
  return out;
}

const LEVEL: FloorPlane = { hinge: { x: 0, y: 0 }, skim: 0, gx: 0, gy: 0 };

/** What of the task is another once the body lies on the machine. */
function asClamped(
  task: ProgramTask,
  clearBefore: number,
): Pick<ReadyTask, 'clamped' | 'found' | 'top' | 'lowest' | 'deepest' | 'plane' | 'outline' | 'clearBefore'> {
  const { plane, outline, pocketDepth, deepest } = task;
  if (task.mounted === undefined)
    return { clamped: undefined, found: LEVEL, top: pocketDepth, lowest: -deepest, deepest, plane, outline, clearBefore };
  const clamped: Clamped = clampedOf({ ...task, clearBefore }, mountingOf(task.mounted, outline, trebleOf(task)));
  return { ...clamped, clamped };
}

/** The task with nothing missing, or every reason why no program can be made. */
export function readyTask(task: ProgramTask, higher = 0): Result<ReadyTask> {
  const findings = [...missing(task), ...unfitBodies(task), ...measures(task)];
  const { shop, clearBefore } = task;
  const { diameter, length } = shop.cutter;
  const { units } = shop.program;
  if (findings.length > 0 || diameter === undefined || length === undefined || units === undefined || clearBefore === undefined)
    return bad(findings);
  const ready: ReadyTask = {
    ...task,
    ...asClamped(task, clearBefore),
    body: task,
    radius: diameter / 2,
    cutterLength: length,
    units,
    higher,
  };
  const spare = length - (ready.top - ready.lowest + REACH_SPARE_MM);
  return spare < -SAME_MM ? bad([tooShort(length, length - spare)]) : good(ready);
}

/** The free space is so short that rounding its end inwards would bring the cutter down on the mouth edge. */
export function noRoom(task: ReadyTask, short: number): Finding {
  return unfit(
    'clear-before-short',
    "the cutter has no room to go down in front of the mouth once the program's numbers are rounded",
    {
      found: `${mm(task.clearBefore, 4)} (pocket.clearBefore)`,
      expected: `at least ${mm(task.clearBefore + short, 4)}`,
      remedy: `${mm(short, 4)} are missing: a thinner cutter`,
    },
  );
}

/** The axis of the cutter has no way between the walls that a program's numbers could follow. */
export function tooWide(task: ReadyTask): Finding {
  const wall = task.shop.clearance.wall;
  const { mouthHalf, rearHalf, length } = task.outline;
  const narrowest = 2 * Math.min(mouthHalf, rearHalf);
  const between = narrowest - 2 * wall;
  // Its axis has to come past the mouth edge at the least.
  const widest = Math.min(between - THINNEST_MM, 2 * (length - wall));
  const short = 2 * task.radius - widest;
  const found = `${mm(2 * task.radius)} (cutter.diameter) and ${mm(wall)} (clearance.wall) on each side, in ${mm(narrowest)} of width and ${mm(length)} of length`;
  // A drawn pocket may be narrower elsewhere than at its ends.
  if (short <= SAME_MM)
    return unfit('cutter-too-wide', 'the cutter does not fit between the walls where they are nearest', {
      found,
      expected: "a way for the cutter from before the mouth to the pocket's rear",
      remedy: 'a thinner cutter, or less clearance.wall',
    });
  const fits = short <= THINNEST_MM && 2 * task.radius <= between;
  const decimals = short < 0.1 ? 4 : 2;
  return unfit(
    'cutter-too-wide',
    `the cutter ${fits ? 'only just fits into the pocket, and has no room there to move' : 'does not fit into the pocket'}`,
    {
      found,
      expected: `cutter.diameter at most ${mm(widest, decimals)}`,
      remedy: `${mm(short, decimals)} are missing: a thinner cutter, or less clearance.wall`,
    },
  );
}

/** A waist that the cutter does not pass: what lies behind it would stay as it is. */
export function tooNarrow(task: ReadyTask, apart: readonly number[]): Finding {
  const area = apart.reduce((sum, each) => sum + each, 0);
  return unfit('waist-too-narrow', 'the cutter does not pass a waist of the pocket', {
    found: `${mm(2 * task.radius)} (cutter.diameter) and ${mm(task.shop.clearance.wall)} (clearance.wall) on both sides`,
    expected: `a way to another ${area.toFixed(1)} mm² (${(area / MM_PER_INCH ** 2).toFixed(3)} in²) of the pocket in which it would find room`,
    remedy: 'a thinner cutter, or cut this floor by the guide',
  });
}

export function tooSteep(task: ReadyTask, slope: number): Finding {
  return unfit('too-steep-to-enter', 'the cutter would have to go down into wood too steeply', {
    found: `a fall of 1 in ${(1 / slope).toFixed(1)}`,
    expected: 'at most 1 in 20',
    remedy: `cut this floor (deepest ${mm(task.deepest)}) by the guide, or share the correction with the bridge`,
  });
}
