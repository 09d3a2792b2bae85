import { apartInZ, withRimCutter } from '../job/shop.ts';
import { bothUnits } from '../kernel/dimension.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { leftBy } from './left.ts';
import { pathsOf } from './passes.ts';
import { readyTask } from './ready.ts';
import { toRegion } from './region.ts';
import { groundAlong, type RimWork, rimPassAt, THREAD_MM } from './rimPasses.ts';
import { cuspOf, levelsOf, mostTaken } from './surface.ts';
import type { ProgramTask, Stay } from './task.ts';
import { airProgram, cutProgram, type Planned, type Program, planned, plannedOf, planOf } from './write.ts';

/** Of the cusp allowed, what the second cutter's lanes may leave: the first one's ridges stay beside it. */
const LANES = 0.4;
/** mm. A level that may take less than this never gets anywhere. */
const LEAST_TAKEN_MM = 0.05;

/** A finding about the second cutter names the keys of that one. */
function ofRim(finding: Finding): Finding {
  const renamed = (text: string): string =>
    text.replace(/\bcutter\.(diameter|length)\b/g, 'rim.$1').replace(/\bpass\.(depth|width)\b/g, 'rim.$1');
  return {
    ...finding,
    message: `rim cutter: ${renamed(finding.message)}`,
    ...(finding.found === undefined ? {} : { found: renamed(finding.found) }),
    ...(finding.expected === undefined ? {} : { expected: renamed(finding.expected) }),
    remedy: `${renamed(finding.remedy ?? 'another cutter')}; or leave rim out of the shop file`,
  };
}

/** What the first cutter leaves beside what stays after both. */
export interface RimPlan {
  readonly planned: Planned;
  readonly before: readonly Stay[];
}

function shallow(depth: number, higher: number): Finding {
  return {
    code: 'rim-depth-small',
    severity: 'error',
    exit: 3,
    message: 'rim cutter: its passes are too shallow for what two zeros may differ by',
    found: `${bothUnits(depth)} (rim.depth), twice zeroing ${bothUnits(higher)}`,
    expected: `more than ${bothUnits(higher + LEAST_TAKEN_MM)}, and ${bothUnits(0.02)} for the proof`,
    remedy: 'set the zero more closely (zeroing), allow more rim.depth, or leave rim out of the shop file',
  };
}

/**
 * The second cutter's passes: its own lanes and ways along the walls, level by level as the first one's, each run only where the first one
 * left wood. Undefined where that is nowhere. The task's shop file must name the second cutter.
 */
export function planRim(task: ProgramTask): Result<RimPlan | undefined> {
  const { shop } = task;
  if (shop.rim === undefined) throw new Error('no second cutter is known');
  const first = planned(task);
  if (!first.ok) return first;
  const higher = apartInZ(shop);
  const ready = readyTask({ ...task, shop: withRimCutter(shop, shop.rim) }, higher);
  if (!ready.ok) return bad(ready.findings.map(ofRim));
  if (mostTaken(ready.value) < LEAST_TAKEN_MM) return bad([shallow(shop.rim.depth, higher)]);
  const plan = planOf(ready.value, { cusp: LANES, offWalls: 2 * THREAD_MM });
  if (!plan.ok) return bad(plan.findings.map(ofRim));
  const { plan: firstPlan, passes: firstPasses } = first.value;
  const { gx, gy } = firstPlan.task.plane;
  const work: RimWork = {
    plan: plan.value,
    left: leftBy(firstPlan.task, firstPasses),
    intoFresh: (c) => toRegion(firstPlan.region, c) - (firstPlan.task.radius - plan.value.task.radius),
    ridges: cuspOf(firstPlan.task.radius, gx, gy, firstPlan.laneWidth) + 2 * plan.value.grid.step,
    higher,
  };
  const { entryX, ways } = plan.value.forLanes;
  // Every way begins before the mouth: only there is it sure that the cutter comes down beside all wood.
  const grounds = pathsOf(plan.value).map((path) => {
    const [start] = path;
    const inside = start !== undefined && start.x > entryX + 1e-6;
    return groundAlong(work, inside ? [...ways({ x: entryX, y: 0 }, start), ...path.slice(1)] : path);
  });
  const found = levelsOf(ready.value).flatMap((level) => rimPassAt(work, level, grounds) ?? []);
  if (!found.some(({ worth }) => worth)) return good(undefined);
  const made = plannedOf(
    plan.value,
    found.map(({ pass }) => pass),
  );
  if (!made.ok) return bad(made.findings.map(ofRim));
  return good({ planned: made.value, before: first.value.facts.stays });
}

export function writeRimProgram(rim: RimPlan): Program {
  return cutProgram(rim.planned, 'rim');
}

/** The same moves above the body's top, the spindle off throughout. */
export function writeRimAirProgram(rim: RimPlan): Program {
  return airProgram(rim.planned, 'rim-air');
}
