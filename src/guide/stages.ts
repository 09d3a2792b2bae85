import type { DeepEdge } from '../instrument/equations.ts';
import type { Sides } from '../instrument/neck.ts';
import { flatten } from '../kernel/outline.ts';
import { depthAt, type FloorPlane, leanOf } from '../kernel/plane.ts';
import { FLATTEN_WITHIN_MM, LEAST_STOP_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { Stop } from '../solve/stops.ts';
import { type Board, placeFirst } from './board.ts';
import type { LineMark, TextMark } from './drawing.ts';
import { insidePolygon } from './segments.ts';
import { bodyToPage, levelDirection, pageToBody, type SheetMap } from './sheetMap.ts';
import type { Shape } from './stations.ts';
import type { GuideTask } from './task.ts';
import { MAP_TEXT, stageName } from './words.ts';

/** A fit to come: the floor to have then (body frame, mm below the floor as found), and its depths at the ends of its deepest edge. */
export interface Stage {
  /** Counted from 1, fits already noted in the job first. */
  readonly fit: number;
  readonly edge: DeepEdge;
  readonly at: Sides;
  readonly floor: FloorPlane;
  /** mm. What is read there over the last fret, the saddles that far up from their lowest. */
  readonly read: Stop['read'];
}

/** mm. Half the space between the two lines of a stage: still two at arm's length. */
const HALF_APART = 0.5;
/** mm from the walls to a stage's name beside them, and from the name to its leader. */
const BESIDE = 4;
const LEAD = 0.9;

/** What is still to be taken off (mm): the floor wanted less the floor filed so far. */
export function leftToTake(task: GuideTask): FloorPlane {
  const { plane, filed } = task;
  if (filed === undefined) return plane;
  const { hinge } = plane;
  return { hinge, skim: plane.skim - depthAt(filed, hinge.x, hinge.y), gx: plane.gx - filed.gx, gy: plane.gy - filed.gy };
}

/**
 * How far the whole floor must stay above its last place for a stage (mm): with D the floor wanted and S the stage's, the most that D - S
 * comes to inside the outline. Wood taken off down to D less that is nowhere below S, and touches it.
 */
function shortOf(task: GuideTask, { floor }: Stage): number {
  const { plane, outline } = task;
  const over = flatten(outline, FLATTEN_WITHIN_MM).map(({ x, y }) => depthAt(plane, x, y) - depthAt(floor, x, y));
  return Math.max(0, ...over);
}

/** The fits before the last one: those where the work pauses short of the whole depth, with how far. */
export function pausesOf(task: GuideTask): { readonly stage: Stage; readonly short: number }[] {
  return task.stages.slice(0, -1).flatMap((stage) => {
    const short = shortOf(task, stage);
    return stage.at.bass + stage.at.treble > 0 && short > LEAST_STOP_MM ? [{ stage, short }] : [];
  });
}

/**
 * The lines at which the rounds of filing pause for a fit. Where the floor wanted, raised by a stage's shortness, comes out of the floor
 * as it is now, nothing has yet been taken off: up to there the slope is carried before the ridge is filed flat. Drawn as two lines close
 * together, so that they are no line of equal depth, wall or hinge. Returns the fits whose line is drawn.
 */
export function layStages(board: Board, task: GuideTask, map: SheetMap, shape: Shape): number[] {
  const left = leftToTake(task);
  const lean = leanOf(left);
  if (lean === 0) return [];
  const along = levelDirection(left, map);
  const across = { x: -along.y, y: along.x };
  return pausesOf(task).flatMap(({ stage, short }) => {
    const run = (short - left.skim) / lean ** 2;
    const through = bodyToPage(map, { x: left.hinge.x + run * left.gx, y: left.hinge.y + run * left.gy });
    const spans = insidePolygon(through, along, shape.polygon);
    const [first, last] = [spans[0]?.from, spans[spans.length - 1]?.to];
    if (first === undefined || last === undefined) return [];
    const label = placeFirst(board, labelsOf(stage, first, last, along, shape));
    if (label === undefined) return [];
    const end = Math.abs(label.at.x - first.x) < Math.abs(label.at.x - last.x) ? first : last;
    const leader = leaderTo(label, end);
    if (leader !== undefined) board.yielding.push(leader);
    for (const sign of [-1, 1])
      for (const { from, to } of spans) board.yielding.push(lineBeside(task, map, from, to, across, sign * HALF_APART));
    return [stage.fit];
  });
}

function labelsOf(stage: Stage, first: Point2, last: Point2, along: Point2, { bounds }: Shape): TextMark[] {
  const text = stageName(stage);
  const mark = (at: Point2, anchor: TextMark['anchor']): TextMark => ({
    kind: 'text',
    at: { x: at.x, y: at.y + 0.37 * MAP_TEXT },
    text,
    size: MAP_TEXT,
    anchor,
    bold: true,
  });
  const beyond = (end: Point2, sign: number, by: number): Point2 => ({
    x: end.x + sign * by * along.x,
    y: end.y + sign * by * along.y,
  });
  const within = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].map((share) =>
    mark({ x: first.x + share * (last.x - first.x), y: first.y + share * (last.y - first.y) }, 'middle'),
  );
  // `along` points right or, where it is upright, down.
  const ends =
    Math.abs(along.x) >= Math.abs(along.y)
      ? [2, 5, 8].flatMap((by) => [mark(beyond(first, -1, by), 'end'), mark(beyond(last, 1, by), 'start')])
      : [4, 6, 8].flatMap((by) => [mark(beyond(last, 1, by), 'middle'), mark(beyond(first, -1, by), 'middle')]);
  // A short line in a corner has its name where there is room along the wall beside it.
  const beside = [0, 4, -4, 8, -8, 12, -12, 16, -16, 20, -20].flatMap((dy) => [
    mark({ x: bounds.left - BESIDE, y: first.y + dy }, 'end'),
    mark({ x: bounds.right + BESIDE, y: last.y + dy }, 'start'),
  ]);
  return [...within, ...ends, ...beside];
}

/** From a name to the end of the line it names, where that is further than beside it. */
function leaderTo(label: TextMark, end: Point2): LineMark | undefined {
  const from = { x: label.at.x + (label.anchor === 'end' ? LEAD : -LEAD), y: label.at.y - 0.37 * label.size };
  if (label.anchor === 'middle' || Math.hypot(end.x - from.x, end.y - from.y) < 3) return undefined;
  return { kind: 'line', role: 'leader', from, to: end, stroke: { width: 0.15, grey: '#000' } };
}

function lineBeside(task: GuideTask, map: SheetMap, from: Point2, to: Point2, across: Point2, by: number): LineMark {
  const moved = (p: Point2): Point2 => ({ x: p.x + by * across.x, y: p.y + by * across.y });
  const [a, b] = [moved(from), moved(to)];
  const body = pageToBody(map, a);
  const left = leftToTake(task);
  return {
    kind: 'line',
    role: 'stage',
    depth: depthAt(left, body.x, body.y),
    from: a,
    to: b,
    stroke: { width: 0.25, grey: '#000' },
  };
}
