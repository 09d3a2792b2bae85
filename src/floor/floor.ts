import { handSign } from '../instrument/neck.ts';
import { bothUnits } from '../kernel/dimension.ts';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { areaAndMoments } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { neckToBody } from '../kernel/pose.ts';
import type { Solution } from '../solve/solve.ts';

export const NAMED_POINTS = ['mouthBass', 'mouthCentre', 'mouthTreble', 'rearBass', 'rearCentre', 'rearTreble'] as const;

export type NamedDepths = { readonly [K in (typeof NAMED_POINTS)[number]]: number };

/**
 * Screw hole: its place in the pocket, wood gripped in the neck before and after (`holdBefore`, `hold`), heel wood left over the tip
 * (`tip`), and how far the neck's hole stands off the body's at the tip once the neck has moved (`offset`).
 */
export interface ScrewBite {
  readonly x: number;
  readonly y: number;
  readonly holdBefore: number;
  readonly hold: number;
  readonly tip: number | undefined;
  readonly offset: number;
}

export interface Floor {
  readonly plane: FloorPlane;
  readonly depths: NamedDepths;
  readonly deepest: number;
  readonly volume: number;
  readonly thinnest: number;
  readonly screws: readonly ScrewBite[];
}

/** Wood (mm³) between the floor as found and the plane, inside the outline: the plane's depth at the centroid times the area. */
export function volumeOf(solution: Solution): number {
  const { area, mx, my } = areaAndMoments(solution.outline);
  return area * depthAt(solution.plane, mx / area, my / area);
}

export function namedDepths(solution: Solution): NamedDepths {
  const { plane, outline } = solution;
  const treble = handSign(solution.instrument.job);
  const at = (x: number, y: number): number => depthAt(plane, x, y);
  const { length, mouthHalf, rearHalf } = outline;
  return {
    mouthBass: at(0, -treble * mouthHalf),
    mouthCentre: at(0, 0),
    mouthTreble: at(0, treble * mouthHalf),
    rearBass: at(length, -treble * rearHalf),
    rearCentre: at(length, 0),
    rearTreble: at(length, treble * rearHalf),
  };
}

function screwBites(solution: Solution): ScrewBite[] {
  const { job } = solution.instrument;
  const { screw, pocket, neck } = job;
  if (screw === undefined) return [];
  return pocket.screws.map(({ x, y }) => {
    const through = pocket.body - pocket.depth - depthAt(solution.plane, x, y);
    const hold = screw.length - screw.plate - through;
    const holdBefore = screw.length - screw.plate - (pocket.body - pocket.depth);
    const moved = neckToBody(solution.plane, { x, y, z: Math.max(0, hold) });
    const offset = Math.hypot(moved.x - x, moved.y - y);
    return { x, y, holdBefore, hold, tip: neck.heelWood === undefined ? undefined : neck.heelWood - hold, offset };
  });
}

/** The floor as a thing to make: depths a person can measure, and what wood and screw bite are left. */
export function floorOf(solution: Solution): Result<Floor> {
  const { job } = solution.instrument;
  const thinnest = job.pocket.body - job.pocket.depth - solution.deepest;
  const floor: Floor = {
    plane: solution.plane,
    depths: namedDepths(solution),
    deepest: solution.deepest,
    volume: volumeOf(solution),
    thinnest,
    screws: screwBites(solution),
  };
  if (thinnest < job.pocket.leastFloor && solution.deepest > 0) {
    return bad([
      {
        code: 'floor-too-thin',
        severity: 'error',
        exit: 3,
        message: `only ${bothUnits(thinnest)} of wood would be left under the pocket's deepest edge`,
        found: `${bothUnits(thinnest)}`,
        expected: `at least ${bothUnits(job.pocket.leastFloor)} (pocket.leastFloor)`,
        remedy: `${bothUnits(job.pocket.leastFloor - thinnest)} are missing: taper the heel or raise the bridge instead`,
      },
    ]);
  }
  const warnings: Finding[] = [];
  const warn = (code: string, message: string): void => {
    warnings.push({ code, severity: 'warning', exit: null, message });
  };
  if (job.screw === undefined) return good(floor, warnings);
  for (const bite of floor.screws) {
    const where = `the screw at x ${bothUnits(bite.x)}, y ${bothUnits(bite.y)}`;
    if (bite.hold < job.screw.leastHold)
      warn(
        'screw-too-short',
        `${where} holds only ${bothUnits(bite.hold)} of the neck, wanted ${bothUnits(job.screw.leastHold)}`,
      );
    if (bite.tip !== undefined && bite.tip <= 0)
      warn('screw-too-long', `${where} would come ${bothUnits(-bite.tip)} through the heel's wood: use a shorter one`);
  }
  return good(floor, warnings);
}
