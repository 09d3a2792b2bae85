import type { Outline, OutlinePiece } from '../kernel/outline.ts';
import { depthAt } from '../kernel/plane.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { Drawing } from './drawing.ts';
import { LINE, type Ribbon, ribbonSheets } from './ribbon.ts';
import { pausesOf } from './stages.ts';
import type { GuideTask } from './task.ts';
import { depthText, stageDepths, stageName } from './words.ts';

/** mm. How far over the finished floor the line on the walls stands: what a usual block or a step of a rule is. */
const BLOCK = { mm: 10, in: 9.525 } as const;
/** mm. A line that would stand higher than this part of the pocket's depth is drawn lower. */
const HIGHEST_SHARE = 0.7;
/** mm between chords of an arc, along it: the line's bend over one is far under a printed line's width. */
const CHORD = 1;
const FIGURE_STEP = 20;
/** mm of paper under the line at the mouth. */
const MOUTH_PAPER = 12;

/** A piece of the outline run against its own direction; `back` where the piece itself still has that direction. */
interface Wall {
  readonly piece: OutlinePiece;
  readonly back: boolean;
}

interface Unrolled {
  readonly length: number;
  readonly bends: readonly number[];
  readonly pointAt: (s: number) => Point2;
  /** Middles of the straight pieces, and where one piece ends and the next begins. */
  readonly straights: readonly { readonly middle: number; readonly piece: OutlinePiece }[];
  readonly corners: readonly number[];
}

function lengthOf(piece: OutlinePiece): number {
  if (piece.kind === 'arc') return piece.radius * piece.sweep;
  return Math.hypot(piece.to.x - piece.from.x, piece.to.y - piece.from.y);
}

function pointOn(piece: OutlinePiece, along: number): Point2 {
  if (piece.kind === 'arc') {
    const t = piece.start + along / piece.radius;
    return { x: piece.centre.x + piece.radius * Math.cos(t), y: piece.centre.y + piece.radius * Math.sin(t) };
  }
  const share = along / lengthOf(piece);
  return { x: piece.from.x + share * (piece.to.x - piece.from.x), y: piece.from.y + share * (piece.to.y - piece.from.y) };
}

function turned(piece: OutlinePiece): Wall {
  if (piece.kind === 'line') return { piece: { kind: 'line', from: piece.to, to: piece.from }, back: false };
  return { piece, back: true };
}

/**
 * The walls from the mouth corner of greatest y round to the other, laid out flat as someone in the pocket sees them from left to right; the
 * open mouth, the outline's last piece, is left out. (The outline runs the other way round.)
 */
export function unrolled(outline: Outline): Unrolled {
  const walls = outline.pieces.slice(0, -1).map(turned).reverse();
  const starts: number[] = [];
  let length = 0;
  for (const { piece } of walls) {
    starts.push(length);
    length += lengthOf(piece);
  }
  const startOf = (i: number): number => starts[i] as number;
  const bends = walls.flatMap(({ piece }, i) => {
    const count = piece.kind === 'line' ? 1 : Math.ceil(lengthOf(piece) / CHORD);
    return Array.from({ length: count }, (_, n) => startOf(i) + (lengthOf(piece) * n) / count);
  });
  const pointAt = (s: number): Point2 => {
    let i = starts.length - 1;
    while (i > 0 && startOf(i) > s) i--;
    const { piece, back } = walls[i] as Wall;
    return pointOn(piece, back ? lengthOf(piece) - (s - startOf(i)) : s - startOf(i));
  };
  const straights = walls.flatMap(({ piece }, i) =>
    piece.kind === 'line' ? [{ middle: startOf(i) + lengthOf(piece) / 2, piece }] : [],
  );
  return { length, bends: [...bends, length], pointAt, straights, corners: starts.slice(1) };
}

function wallName(task: GuideTask, piece: OutlinePiece): string {
  if (piece.kind !== 'line') return '';
  // Outwards: to the left of the way these pieces run here.
  const out = { x: piece.from.y - piece.to.y, y: piece.to.x - piece.from.x };
  if (out.x > Math.abs(out.y)) return 'rear wall';
  return out.y > 0 === (task.hand === 'right') ? 'treble wall' : 'bass wall';
}

/** mm over the finished floor at which the line on the walls is drawn. */
export function blockOf(task: GuideTask): number {
  const usual = BLOCK[task.units];
  const most = HIGHEST_SHARE * task.pocketDepth;
  if (usual <= most) return usual;
  const step = task.units === 'mm' ? 1 : 25.4 / 16;
  return Math.max(step, Math.floor(most / step) * step);
}

export function stripRibbons(task: GuideTask): Ribbon[] {
  const { plane, outline, units } = task;
  const flat = unrolled(outline);
  const block = blockOf(task);
  const depthAlong = (s: number): number => {
    const { x, y } = flat.pointAt(s);
    return depthAt(plane, x, y);
  };
  const places = [...Array.from({ length: Math.floor(flat.length / FIGURE_STEP) + 1 }, (_, i) => i * FIGURE_STEP), flat.length];
  const walls: Ribbon = {
    name: 'Walls: stands on the floor as found, against the walls',
    length: flat.length,
    bends: flat.bends,
    low: () => 0,
    high: () => Math.max(task.pocketDepth, block + 1),
    lines: [{ id: 'wall-line', height: (s) => block - depthAlong(s), stroke: LINE }],
    figures: places.map((s) => ({ s, text: depthText(depthAlong(s), units) })),
    across: [...flat.corners.map((s) => ({ s, text: 'bend' })), { s: 0, text: 'mouth' }, { s: flat.length, text: 'mouth' }],
    inside: flat.straights.map(({ middle, piece }) => ({ s: middle, text: wallName(task, piece), span: lengthOf(piece) / 2 })),
  };
  const half = outline.mouthHalf;
  // Seen from the nut: the side of +y is on the left.
  const [first, second] = task.hand === 'right' ? ['treble', 'bass'] : ['bass', 'treble'];
  const mouthDepth = (s: number): number => depthAt(plane, 0, half - s);
  const deepest = Math.max(mouthDepth(0), mouthDepth(2 * half), 0);
  const paper = deepest + MOUTH_PAPER;
  const mouth: Ribbon = {
    name: 'Mouth: upper edge level with the floor as found',
    length: 2 * half,
    bends: [0, 2 * half],
    low: () => 0,
    high: () => paper,
    lines: [{ id: 'mouth-line', height: (s) => paper - mouthDepth(s), stroke: LINE }],
    figures: [0, half, 2 * half].map((s) => ({ s, text: depthText(mouthDepth(s), units) })),
    across: [
      { s: 0, text: first as string },
      { s: 2 * half, text: second as string },
    ],
    inside: [{ s: half, text: 'file to the line' }],
  };
  return [mouth, walls];
}

export function stripSheets(task: GuideTask): readonly Drawing[] | undefined {
  const block = blockOf(task);
  const size = task.units === 'mm' ? `${block.toFixed(0)} mm` : `${Number((block / 25.4).toFixed(4))} in`;
  const words = [
    `Cut both out along the thick lines. Figures: depth to take off there, in ${task.units === 'mm' ? 'mm' : 'inches'}.`,
    "Mouth piece: tape it to the body's outer face, where the neck goes in, and file until the edge of the wood meets the thin line.",
    ...pausesOf(task).map(
      ({ stage }) => `${stageName(stage)}: stop above the line, where the floor is down to ${stageDepths(task, stage)}.`,
    ),
    `Wall piece: bend it at the broken lines and tape it to the walls from mouth to mouth. Its thin line is ${size} over the finished floor everywhere: file until a block ${size} high, standing on the floor, no longer reaches over the line.`,
  ];
  return ribbonSheets(task, 'Depth lines, true to size', words, stripRibbons(task))?.sheets;
}
