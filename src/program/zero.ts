import type { Mounted } from '../instrument/mounting.ts';
import { leanOf } from '../kernel/plane.ts';
import { fromMm } from '../kernel/units.ts';
import { type Grid, gridDown, gridText } from './grid.ts';
import type { Plan } from './passes.ts';
import { axisRegion, farthestAt, isDrawn } from './region.ts';
import { axesOf, onTable } from './table.ts';
import type { ReadyTask, Standing } from './task.ts';

export function unitName(grid: Grid): string {
  return grid.unit === 'mm' ? 'mm' : 'inch';
}

/** A depth for the header, which small differences matter to: the program's unit, and millimetres beside inches. */
export function depthText(grid: Grid, mm: number): string {
  const text = `${gridText(grid, mm)} ${unitName(grid)}`;
  return grid.unit === 'mm' ? text : `${text} = ${mm.toFixed(2)} mm`;
}

/** A length for the header as a bench reads it, in the program's unit. */
export function lengthText(grid: Grid, mm: number): string {
  return `${fromMm(mm, grid.unit).toFixed(grid.unit === 'mm' ? 2 : 3)} ${unitName(grid)}`;
}

function hingePlace({ body }: ReadyTask): string {
  const { plane, outline, hand } = body;
  if (leanOf(plane) === 0) return 'anywhere';
  const end = plane.hinge.x > outline.length / 2 ? 'near the rear wall' : 'near the mouth';
  if (plane.gy === 0) return end;
  return `${end} on the ${plane.gy > 0 === (hand === 'right') ? 'bass' : 'treble'} side`;
}

/** The floor is filed: where it was as found nobody can touch it any more, and the body's top stands for it. */
function filedLines({ depthBound }: Standing, grid: Grid): string[] {
  const bound = lengthText(grid, depthBound);
  return [
    'the floor is filed: never set Z on it, all would come out too deep',
    `this Z is as true as the pocket depth was measured: ${bound}`,
  ];
}

function levelZ(task: ReadyTask, grid: Grid): string[] {
  const { standing, pocketDepth } = task.body;
  if (standing?.isFiled !== true) return [`Z0 on the floor as found, bare wood, ${hingePlace(task)}`];
  // Rounded down: a top taken for lower leaves wood, one taken for higher takes it.
  const top = gridText(grid, gridDown(grid, pocketDepth));
  return [`Z: touch the body top beside the pocket and set Z ${top} there`, ...filedLines(standing, grid)];
}

/** The heights of a body out of level, by the names of the floor's corners: its floor as found, or the body's top over it once that floor is filed. */
function leaningZ(task: ReadyTask, mounted: Mounted, grid: Grid): string[] {
  const { standing, outline, pocketDepth, hand } = task.body;
  const isFiled = standing?.isFiled === true;
  const treble = hand === 'right' ? 1 : -1;
  const topAt = (x: number, y: number): number =>
    gridDown(grid, task.clamped?.toMachine({ x, y, z: pocketDepth }).z ?? pocketDepth);
  const { mouthHalf, rearHalf, length } = outline;
  const z = isFiled
    ? {
        mouthBass: topAt(0, -treble * mouthHalf),
        mouthTreble: topAt(0, treble * mouthHalf),
        rearBass: topAt(length, -treble * rearHalf),
        rearTreble: topAt(length, treble * rearHalf),
      }
    : mounted;
  return [
    isFiled
      ? 'Z0 as it was when pocket.mounted was measured: body top beside the'
      : 'Z0 as it was when pocket.mounted was measured: floor as found at',
    `mouth bass ${gridText(grid, z.mouthBass)}, mouth treble ${gridText(grid, z.mouthTreble)},`,
    `rear bass ${gridText(grid, z.rearBass)}, rear treble ${gridText(grid, z.rearTreble)}`,
    ...(isFiled ? filedLines(standing, grid) : []),
  ];
}

/**
 * How X and Y are set, for a body turned and clamped as it is. The rear wall is touched with the cutter down in the pocket: where the
 * wall leans over, its top edge is touched first, else its foot; the side walls likewise, which moves their middle off the floor's.
 */
function wallLines({ task, grid }: Plan): string[] {
  const { outline, pocketDepth } = task.body;
  const { along, across, sign } = axesOf(task.shop.program.turn);
  const at = (x: number, y: number, z: number) => task.clamped?.toMachine({ x, y, z }) ?? { x, y, z };
  const rear = Math.min(at(outline.length, 0, 0).x, at(outline.length, 0, pocketDepth).x);
  // A drawn wall may be bowed: where an axis on the centreline touches it.
  const drawn = isDrawn(outline);
  const bowed = drawn ? axisRegion(task.outline, task.radius, -task.radius, grid) : undefined;
  const rearStop = gridDown(grid, bowed === undefined ? rear - task.radius : farthestAt(bowed, 0));
  const touch = drawn ? 'on the centreline, set' : 'with the cutter and set';
  const sides = drawn ? 'the side walls at the mouth' : 'the side walls';
  const half = outline.mouthHalf;
  const [high, low] = [1, -1].map((way) => {
    const [foot, top] = [at(0, way * half, 0).y, at(0, way * half, pocketDepth).y];
    return way > 0 ? Math.min(foot, top) : Math.max(foot, top);
  }) as [number, number];
  const across0 = onTable(task.shop.program.turn, { x: 0, y: (high + low) / 2 });
  const middle = across === 'X' ? across0.x : across0.y;
  const halfway =
    task.mounted === undefined
      ? `${across}0 halfway between ${sides}`
      : `${across}: halfway between ${sides} set ${across} ${gridText(grid, middle)}`;
  return [halfway, `${along}: touch the rear wall ${touch} ${along} ${gridText(grid, sign * rearStop)} there`];
}

/** How the first cutter's zero is set. */
export function zeroLines(plan: Plan): string[] {
  const { task, grid } = plan;
  const { mounted } = task;
  return [
    'zero in G54, with whatever length offset is active then:',
    ...(mounted === undefined
      ? levelZ(task, grid)
      : [...leaningZ(task, mounted, grid), 'touch the walls with the tip near the floor, they lean:']),
    ...wallLines(plan),
  ];
}

/**
 * A second cutter is as long as it is: its Z0 is set anew, and the floor as found is no longer there to set it on. X0 and Y0 stay only while
 * the machine does, and a cutter is changed with the spindle cut off from its supply: where both hang on one plug, they are set anew.
 */
export function rimZeroLines(plan: Plan, at: (mm: number) => string): string[] {
  return [
    'run it only after the floor program of this job has run to its end',
    'change the cutter with the spindle cut off at its own plug or switch',
    'and the machine left on: X0 and Y0 stay, no homing, then in G54:',
    'Z: touch the body top where it was touched for the floor program',
    'and set there the Z that was noted then, never the cut floor',
    `both zeros count: the floor may lie up to ${at(plan.task.higher)} higher or lower than the rim`,
    'where one plug feeds machine and spindle: set X and Y anew as well,',
    'on the walls touched before, the tip above the strip along them:',
    ...wallLines(plan),
  ];
}
