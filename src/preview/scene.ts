import type { Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import type { Unit } from '../kernel/units.ts';
import type { Point2, Point3 } from '../kernel/vector.ts';
import { asSeen } from '../proof/frame.ts';
import { gapAt, nutInNeck, seatInNeck } from '../solve/gaps.ts';
import { planeOf } from '../solve/solve.ts';
import type { Lie } from './lie.ts';
import { type Packed, packText } from './packed.ts';
import type { State } from './states.ts';
import type { PreviewProgram, PreviewTask, SidePoint, Station } from './task.ts';

/** One string from the side and the crowns below it, neck frame (x from the mouth edge); gaps in mm, index 0 is fret 1. */
export interface StringScene {
  readonly name: string;
  readonly nut: SidePoint;
  /** Where the string meets its saddle, seen from the neck as it sits before or after the cut. */
  readonly seats: Readonly<Record<State, SidePoint>>;
  readonly crowns: readonly SidePoint[];
  readonly gaps: Readonly<Record<State, readonly number[]>>;
}

export interface FaultScene {
  readonly rule: string;
  readonly line: number;
  readonly message: string;
}

export interface ProgramScene {
  readonly text: Packed;
  readonly faults: readonly FaultScene[];
  /** mm; null where the shop does not say. */
  readonly radius: number | null;
  /** mm/min, at which rapids are counted. */
  readonly cutFeed: number;
  readonly lie: Lie;
  /** The body as seen along the spindle: heights over the floor as found, mm; the scene's own where it lies level. */
  readonly seen: Pick<Scene, 'plane' | 'outline' | 'pocketDepth'> | null;
}

/** What the page's script draws: plain data that survives JSON. mm, mm/min and radians, body frame unless said otherwise. */
export interface Scene {
  readonly units: Unit;
  /** +1: +y is the treble side. */
  readonly hand: 1 | -1;
  readonly plane: FloorPlane;
  readonly outline: Outline;
  readonly deepest: number;
  /** Wood is off already: the states before the cut are of the floor as found. */
  readonly isFiled: boolean;
  readonly pocketDepth: number;
  readonly strings: readonly StringScene[];
  readonly stations: readonly Station[];
  readonly screws: readonly Point2[];
  /** In the order in which they are run, each in the wood that the ones before left; all lie alike. */
  readonly programs: readonly ProgramScene[];
}

/** 0.1 micrometre: finer than anything shown, and the page stays small. */
function short(value: number): number {
  return Math.round(value * 1e4) / 1e4 + 0;
}

function sidePoint({ x, z }: Point3): SidePoint {
  return { x: short(x), z: short(z) };
}

export function stringName(index: number, count: number): string {
  const side = index === 0 ? ', bass' : index === count - 1 ? ', treble' : '';
  return `String ${index + 1}${side}`;
}

function forEachState<T>(of: (state: State) => T): Record<State, T> {
  return {
    nowLowest: of('nowLowest'),
    nowHighest: of('nowHighest'),
    thenLowest: of('thenLowest'),
    thenHighest: of('thenHighest'),
  };
}

function stringScenes(task: PreviewTask): StringScene[] {
  const { instrument, plane, outline } = task.solution;
  const { crowns, plans, job } = instrument;
  const uncut = planeOf(outline, 0, 0, 0, task.hand === 'right' ? 1 : -1);
  const frets = Array.from({ length: crowns.frets }, (_, n) => n + 1);
  const M = job.neck.nutToMouth;
  const floorOf = (state: State): FloorPlane => (state.startsWith('now') ? uncut : plane);
  const upOf = (state: State): number => (state.endsWith('Lowest') ? 0 : job.bridge.travel);
  return plans.map((plan, i) => ({
    name: stringName(i, plans.length),
    nut: sidePoint(nutInNeck(instrument, i)),
    seats: forEachState((state) => sidePoint(seatInNeck(instrument, floorOf(state), i, upOf(state)))),
    crowns: frets.map((fret) => {
      const s = crowns.places[fret] ?? 0;
      const y = plan.yNut + ((plan.ySaddle - plan.yNut) * s) / plan.sSaddle;
      return sidePoint({ x: s - M, y, z: crowns.crown(s, y) });
    }),
    gaps: forEachState((state) => frets.map((fret) => short(gapAt(instrument, floorOf(state), i, fret, upOf(state))))),
  }));
}

/** The lie of the body under a program's spindle, and what of it is drawn otherwise than on the other sheets. */
function lieOf(task: PreviewTask, { mounted, shop }: PreviewProgram): Pick<ProgramScene, 'lie' | 'seen'> {
  const { solution, hand } = task;
  const { plane, wood, outline, pocketDepth } = asSeen({
    plane: solution.plane,
    outline: solution.outline,
    pocketDepth: solution.instrument.job.pocket.depth,
    hand,
    mounted,
  });
  const lie = { turn: shop.program.turn, wood };
  if (mounted === undefined) return { lie, seen: null };
  // Both planes about the hinge of the first: their difference is the depth below the floor as found.
  const below = {
    ...plane,
    skim: plane.skim - depthAt(wood, plane.hinge.x, plane.hinge.y),
    gx: plane.gx - wood.gx,
    gy: plane.gy - wood.gy,
  };
  return { lie, seen: { plane: below, outline, pocketDepth } };
}

function programScene(task: PreviewTask, program: PreviewProgram): ProgramScene {
  const { text, verdict, shop } = program;
  const { diameter } = shop.cutter;
  return {
    text: packText(text),
    faults: verdict.faults.map(({ rule, line, message }) => ({ rule, line, message })),
    radius: diameter === undefined ? null : diameter / 2,
    cutFeed: shop.feed.cut,
    ...lieOf(task, program),
  };
}

export function sceneOf(task: PreviewTask): Scene {
  const { solution, programs } = task;
  const { job } = solution.instrument;
  return {
    units: task.units,
    hand: task.hand === 'right' ? 1 : -1,
    plane: solution.plane,
    outline: solution.outline,
    deepest: task.floor.deepest,
    isFiled: task.isFiled,
    pocketDepth: job.pocket.depth,
    strings: stringScenes(task),
    stations: task.stations.map(({ x, y, depth }) => ({ x, y, depth: short(depth) })),
    screws: job.pocket.screws.map(({ x, y }) => ({ x, y })),
    programs: programs.map((program) => programScene(task, program)),
  };
}
