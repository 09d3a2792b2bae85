import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import type { Point3 } from '../kernel/vector.ts';
import type { Read } from '../proof/strictReader.ts';

// The cutter's way as the proof's own reader reads it from the text, laid out in arrays so that 200 000 moves stay light.

export const RAPID = 0;
export const CUT = 1;
/** Not a move: a dwell, a stop, the spindle. */
export const STILL = 2;

export interface Timeline {
  /** Steps; every array below has one entry a step. */
  readonly count: number;
  readonly kind: Uint8Array;
  readonly line: Int32Array;
  /** Where the step ends; NaN where the text has not said. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  /** Seconds from the start at which the step ends. */
  readonly end: Float64Array;
  /** mm/min; NaN for rapids and where no F was given. */
  readonly feed: Float32Array;
  readonly spindle: Uint8Array;
  readonly seconds: number;
  readonly lines: number;
}

/**
 * A program's steps in time. `over` takes a place in the program's words (mm) to where it is drawn, along straight lines; without it they are
 * the same. Rapids are counted at the cutting feed, as in the proof: nobody told how fast the machine's are. Stops
 * are not counted.
 */
export function timelineOf(read: Read, cutFeed: number, over: (said: Point3) => Point3 = (said) => said): Timeline {
  const { steps } = read;
  const count = steps.length;
  const kind = new Uint8Array(count);
  const line = new Int32Array(count);
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const z = new Float64Array(count);
  const end = new Float64Array(count);
  const feed = new Float32Array(count);
  const spindle = new Uint8Array(count);
  let now = 0;
  let turning = 0;
  let at: Point3 = { x: Number.NaN, y: Number.NaN, z: Number.NaN };
  steps.forEach((step, i) => {
    kind[i] = STILL;
    feed[i] = Number.NaN;
    if (step.kind === 'move') {
      kind[i] = step.rapid ? RAPID : CUT;
      at = over(step.to);
      const way = Math.hypot(step.to.x - step.from.x, step.to.y - step.from.y, step.to.z - step.from.z);
      const rate = step.rapid ? cutFeed : step.feed;
      if (!step.rapid && step.feed !== undefined) feed[i] = step.feed;
      if (Number.isFinite(way) && rate !== undefined && rate > 0) now += (way / rate) * 60;
    } else if (step.kind === 'dwell') now += step.seconds;
    else if (step.kind === 'on') turning = 1;
    else if (step.kind === 'off' || step.kind === 'finish') turning = 0;
    line[i] = step.line;
    x[i] = at.x;
    y[i] = at.y;
    z[i] = at.z;
    end[i] = now;
    spindle[i] = turning;
  });
  return { count, kind, line, x, y, z, end, feed, spindle, seconds: now, lines: read.lines.length };
}

/** A moment of the run: `done` steps are over; of the next one `part` (0 to 1) is. */
export interface Moment {
  readonly done: number;
  readonly part: number;
}

/** The least i with values[i] > value. */
function firstAbove(values: ArrayLike<number>, count: number, value: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((values[middle] as number) > value) high = middle;
    else low = middle + 1;
  }
  return low;
}

export function momentAtTime(timeline: Timeline, seconds: number): Moment {
  const done = firstAbove(timeline.end, timeline.count, seconds);
  if (done >= timeline.count) return { done: timeline.count, part: 0 };
  const from = done === 0 ? 0 : (timeline.end[done - 1] as number);
  const long = (timeline.end[done] as number) - from;
  return { done, part: long > 0 ? Math.max(0, (seconds - from) / long) : 0 };
}

/** The moment at which line `line` of the text is over. */
export function momentAtLine(timeline: Timeline, line: number): Moment {
  return { done: firstAbove(timeline.line, timeline.count, line), part: 0 };
}

export function secondsAt(timeline: Timeline, { done, part }: Moment): number {
  const from = done === 0 ? 0 : (timeline.end[done - 1] as number);
  return done >= timeline.count ? timeline.seconds : from + part * ((timeline.end[done] as number) - from);
}

/** Where the cutter's tip is; NaN where the program has not said yet. */
export function placeAt(timeline: Timeline, { done, part }: Moment): Point3 {
  const at = (i: number): Point3 =>
    i < 0
      ? { x: Number.NaN, y: Number.NaN, z: Number.NaN }
      : { x: timeline.x[i] as number, y: timeline.y[i] as number, z: timeline.z[i] as number };
  const from = at(done - 1);
  if (part <= 0 || done >= timeline.count) return from;
  const to = at(done);
  const mix = (a: number, b: number): number => (Number.isNaN(a) ? a : a + part * (b - a));
  return { x: mix(from.x, to.x), y: mix(from.y, to.y), z: mix(from.z, to.z) };
}

/** Steps from `first` up to but not including `after`, in which the cutter works at one level. */
export interface Level {
  readonly first: number;
  readonly after: number;
  /** mm: how deep the face goes below the floor as found. */
  readonly deepest: number;
}

/** mm. Dives whose height over the planned floor is alike within this belong to one level. */
const ALIKE_MM = 0.04;

/**
 * The levels of a program, whoever wrote it: a dive is what lies between two visits above the body's top; dives that follow each
 * other at the same height over the floor to come make one level. Only cutting moves below the top count.
 */
export function levelsOf(timeline: Timeline, plane: FloorPlane, top: number): Level[] {
  const levels: { first: number; after: number; deepest: number; height: number }[] = [];
  let dive: { first: number; after: number; deepest: number; height: number } | undefined;
  const close = (): void => {
    if (dive === undefined) return;
    const last = levels.at(-1);
    if (last !== undefined && Math.abs(last.height - dive.height) < ALIKE_MM) {
      last.after = dive.after;
      last.deepest = Math.max(last.deepest, dive.deepest);
    } else levels.push(dive);
    dive = undefined;
  };
  for (let i = 0; i < timeline.count; i++) {
    if (timeline.kind[i] === STILL) continue;
    const z = timeline.z[i] as number;
    if (!(z < top)) {
      if (dive !== undefined) dive.after = i + 1;
      close();
      continue;
    }
    const height = z + depthAt(plane, timeline.x[i] as number, timeline.y[i] as number);
    dive ??= { first: i, after: i + 1, deepest: -z, height };
    dive.after = i + 1;
    dive.deepest = Math.max(dive.deepest, -z);
    dive.height = Math.min(dive.height, height);
  }
  close();
  return levels.map(({ first, after, deepest }) => ({ first, after, deepest }));
}

/** The level a moment belongs to: the one under way, else the next to come, else the last. */
export function levelAt(levels: readonly Level[], done: number): number {
  const next = levels.findIndex(({ after }) => done < after);
  return next < 0 ? levels.length - 1 : next;
}
