import { leanOf } from '../kernel/plane.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Board, finished, labelsAtEnd, newBoard, placeFirst } from './board.ts';
import {
  CONTOUR_GAP,
  contourLevels,
  filingRounds,
  layContours,
  layRim,
  layStrips,
  ringAt,
  roundsBefore,
  stepOf,
} from './contours.ts';
import {
  type Box,
  boxAround,
  grown,
  type LineMark,
  type Mark,
  overlap,
  type PathMark,
  type TextMark,
  within,
} from './drawing.ts';
import { insideBox } from './segments.ts';
import { bodyToPage, boundsOf, levelDirection, mapAt, outlineOnPage, outlineSteps, type SheetMap } from './sheetMap.ts';
import { layStages, pausesOf } from './stages.ts';
import { LEAST_STATIONS, layFanned, layInside, layUnderTop, type Shape, shapeOf } from './stations.ts';
import { layNames, layTab, NAME_ROW, RING_END } from './tab.ts';
import type { GuideTask } from './task.ts';
import { depthText, type Held, MAP_TEXT } from './words.ts';

const RING_SIDE = { mm: 13.5, in: 16 } as const;

export interface MapLayout extends Held {
  readonly marks: readonly Mark[];
  readonly stations: number;
}

/** A screw hole: a ring with a cross. Drawn as a path: in the SVG a circle is always a station. */
function layScrews(board: Board, task: GuideTask, map: SheetMap): number {
  let hidden = 0;
  for (const screw of task.screws) {
    const at = bodyToPage(map, screw);
    const box = boxAround(at, 3);
    if (!within(box, board.area) || board.taken.some((other) => overlap(other, box))) {
      hidden++;
      continue;
    }
    board.taken.push(box);
    const stroke = { width: 0.25, grey: '#000' };
    const ring = ringAt(at, 2, stroke);
    const cross: LineMark[] = [
      { kind: 'line', role: 'screw', from: { x: at.x - 3, y: at.y }, to: { x: at.x + 3, y: at.y }, stroke },
      { kind: 'line', role: 'screw', from: { x: at.x, y: at.y - 3 }, to: { x: at.x, y: at.y + 3 }, stroke },
    ];
    board.marks.push(ring, ...cross);
  }
  return hidden;
}

function layHinge(board: Board, task: GuideTask, map: SheetMap, shape: Shape): void {
  const { plane } = task;
  if (leanOf(plane) === 0) return;
  const along = levelDirection(plane, map);
  const h = bodyToPage(map, plane.hinge);
  const far = (t: number): Point2 => ({ x: h.x + t * along.x, y: h.y + t * along.y });
  const span = insideBox({ from: far(-1000), to: far(1000) }, grown(shape.bounds, 4));
  if (span === undefined) return;
  const from = far(-1000 + 2000 * span[0]);
  const to = far(-1000 + 2000 * span[1]);
  board.yielding.push({
    kind: 'line',
    role: 'hinge',
    depth: plane.skim,
    from,
    to,
    stroke: { width: 0.5, grey: '#000', dash: [4, 1, 0.6, 1] },
  });
  const text = `hinge ${depthText(plane.skim, task.units)}`;
  const back = { x: -along.x, y: -along.y };
  const beside = (at: Point2, anchor: TextMark['anchor']): TextMark => ({
    kind: 'text',
    at,
    text,
    size: MAP_TEXT,
    anchor,
    bold: true,
  });
  placeFirst(board, [
    ...labelsAtEnd(to, along, text, MAP_TEXT, true),
    ...labelsAtEnd(from, back, text, MAP_TEXT, true),
    ...[1.5 + 0.76 * MAP_TEXT, -2.2].flatMap((dy) => [
      beside({ x: to.x, y: to.y + dy }, 'end'),
      beside({ x: from.x, y: from.y + dy }, 'start'),
    ]),
  ]);
}

function layOnce(
  task: GuideTask,
  map: SheetMap,
  area: Box,
  taken: readonly Box[],
  shape: Shape,
  mode: 'inside' | 'fanned',
  rows: number,
): MapLayout {
  const board = newBoard(area);
  board.taken.push(...taken);
  board.fixed.push(...shape.edges);
  layTab(board, task, map, shape.bounds);
  layNames(board, task, shape.bounds);
  const hiddenScrews = layScrews(board, task, map);
  layHinge(board, task, map, shape);
  const drawn = layStages(board, task, map, shape);
  layContours(board, task, map, shape, mode === 'inside' ? 'outside' : 'inside');
  const stations = (mode === 'inside' ? layInside : layFanned)(board, task, map, shape, rows);
  const strips = layStrips(board, task, map, shape);
  const hasRim = layRim(board, task, map);
  const underTop = layUnderTop(board, task, shape);
  const levels = contourLevels(task, map, CONTOUR_GAP);
  const rounds = filingRounds(task, levels);
  const pauses = pausesOf(task);
  const { top, bottom } = shape.bounds;
  board.yielding.push({
    kind: 'line',
    role: 'centreline',
    from: { x: map.origin.x, y: top - 5 },
    to: { x: map.origin.x, y: bottom + 5 },
    stroke: { width: 0.25, grey: '#000', dash: [6, 2] },
  });
  const outline: PathMark = {
    kind: 'path',
    id: 'floor-outline',
    steps: outlineSteps(map, task.outline),
    stroke: { width: 0.35, grey: '#000' },
  };
  return {
    marks: [outline, ...finished(board)],
    stations,
    hiddenScrews,
    strips,
    hasRim,
    paused: pauses.map(({ stage }) => ({ stage, isDrawn: drawn.includes(stage.fit) })),
    before: pauses[0] && roundsBefore(rounds.step, strips, pauses[0].short, task.units),
    underTop,
    contourStep: stepOf(levels),
    ...rounds,
  };
}

/** The map within `area`, off the boxes `taken`: figures inside the outline where they find room, else fanned out beside it. */
export function layMap(task: GuideTask, map: SheetMap, area: Box, taken: readonly Box[]): MapLayout {
  const shape = shapeOf(outlineOnPage(map, task.outline));
  const usual = Math.max(5, Math.round((shape.bounds.bottom - shape.bounds.top) / 12));
  let best: MapLayout | undefined;
  const attempts = [
    ...[0, 1, 2, 3, 4].map((more) => ({ mode: 'inside' as const, rows: usual + more })),
    ...[6, 7, 8, 10, 12].map((rows) => ({ mode: 'fanned' as const, rows })),
  ];
  for (const { mode, rows } of attempts) {
    const layout = layOnce(task, map, area, taken, shape, mode, rows);
    if (layout.stations >= LEAST_STATIONS) return layout;
    if (best === undefined || layout.stations > best.stations) best = layout;
  }
  return best as MapLayout;
}

/** How much room (mm) the map needs on the paper, labels and names included. */
export function mapNeeds(task: GuideTask): { readonly width: number; readonly height: number; readonly bounds: Box } {
  const bounds = boundsOf(outlineOnPage(mapAt(task.sheet, { x: 0, y: 0 }), task.outline));
  return {
    width: bounds.right - bounds.left + 2 * RING_SIDE[task.units],
    height: bounds.bottom - bounds.top + 2 * (RING_END + NAME_ROW),
    bounds,
  };
}
