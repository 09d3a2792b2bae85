import type { Outline, OutlinePiece } from '../kernel/outline.ts';
import { depthAt } from '../kernel/plane.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { Drawing } from './drawing.ts';
import { CUT, LINE, type Ribbon, ribbonSheets } from './ribbon.ts';
import { pausesOf } from './stages.ts';
import type { GuideTask } from './task.ts';
import { both, depthText, stageDepths, stageName } from './words.ts';

/** mm. How far over the finished floor the line on the walls stands: what a usual block or a step of a rule is. */
const BLOCK = { mm: 10, in: 9.525 } as const;
/** mm. A line that would stand higher than this part of the pocket's depth is drawn lower. */
const HIGHEST_SHARE = 0.7;
/** mm between chords of an arc, along it: the line's bend over one is far under a printed line's width. */
const CHORD = 1;
const FIGURE_STEP = 20;
/** mm of paper under the line at the mouth. */
const MOUTH_PAPER = 12;
/** mm. A mouth that is nowhere deeper than this is not filed. */
const LEAST_FILED = 0.005;

/** mm. A straight shorter than this is named by its neighbours, or is a chord of a curve. */
const LEAST_NAMED = 10;
/** rad, 12 degrees. Chords of a drawn curve turn by less than this down to a radius of about 1 mm. */
const LEAST_BEND_RAD = 0.21;

/** A piece of the outline run against its own direction; `back` where the piece itself still has that direction. */
interface Wall {
  readonly piece: OutlinePiece;
  readonly back: boolean;
}

interface Unrolled {
  readonly length: number;
  readonly bends: readonly number[];
  readonly pointAt: (s: number) => Point2;
  /** Middles of the straight pieces long enough for a name, and where the strip is bent. */
  readonly straights: readonly { readonly middle: number; readonly piece: OutlinePiece }[];
  readonly corners: readonly number[];
  /** How many pieces the walls have. */
  readonly pieces: number;
}

function lengthOf(piece: OutlinePiece): number {
  if (piece.kind === 'arc') return piece.radius * piece.sweep;
  return Math.hypot(piece.to.x - piece.from.x, piece.to.y - piece.from.y);
}

/** rad between the ways of two straight pieces. */
function turnOf(a: OutlinePiece, b: OutlinePiece): number {
  const way = ({ from, to }: { readonly from: Point2; readonly to: Point2 }): number => Math.atan2(to.y - from.y, to.x - from.x);
  if (a.kind !== 'line' || b.kind !== 'line') return Math.PI;
  const turn = Math.abs(way(b) - way(a));
  return Math.min(turn, 2 * Math.PI - turn);
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
    piece.kind === 'line' && lengthOf(piece) >= LEAST_NAMED ? [{ middle: startOf(i) + lengthOf(piece) / 2, piece }] : [],
  );
  // Where a drawn wall curves, its chords turn a little each: the paper is pressed round it and has no bend.
  const corners = walls.slice(1).flatMap(({ piece }, i) => {
    const before = walls[i]?.piece;
    const isBend =
      before === undefined || before.kind === 'arc' || piece.kind === 'arc' || turnOf(before, piece) >= LEAST_BEND_RAD;
    return isBend ? [startOf(i + 1)] : [];
  });
  return { length, bends: [...bends, length], pointAt, straights, corners, pieces: walls.length };
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

/** mm. The tongue that goes round the mouth corner on to the body's face, and the width of the step where the mouth's part ends. */
export const TONGUE = 12;
const STEP_END = 1e-3;

/**
 * The strip in one piece. Laid flat, s from the tongue's free end: the walls' part stands over height 0 from s = TONGUE on; the mouth's part hangs
 * under it, from the tongue to the mouth's width, parted from it by a slit at height 0. Folded back at s = TONGUE the tongue lies on the
 * body's face beside the mouth, and the mouth's part, in one plane with it, under the floor's edge: left on the strip is left there, the side of +y.
 */
export function stripRibbon(task: GuideTask): Ribbon {
  const { plane, outline, units } = task;
  const flat = unrolled(outline);
  const block = blockOf(task);
  const half = outline.mouthHalf;
  const depthAlong = (s: number): number => {
    const { x, y } = flat.pointAt(s - TONGUE);
    return depthAt(plane, x, y);
  };
  const mouthDepth = (s: number): number => depthAt(plane, 0, half - (s - TONGUE));
  const [first, second] = task.hand === 'right' ? ['treble', 'bass'] : ['bass', 'treble'];
  const mouthEnd = TONGUE + 2 * half;
  const deepest = Math.max(mouthDepth(TONGUE), mouthDepth(mouthEnd), 0);
  const paper = deepest + MOUTH_PAPER;
  const length = TONGUE + flat.length;
  const bends = [0, mouthEnd, mouthEnd + STEP_END, ...flat.bends.map((s) => s + TONGUE)].sort((a, b) => a - b);
  const wallPlaces = [
    ...Array.from({ length: Math.floor(flat.length / FIGURE_STEP) + 1 }, (_, i) => i * FIGURE_STEP),
    flat.length,
  ];
  const mouthPlaces = [0, half, 2 * half].map((s) => s + TONGUE);
  return {
    name: 'Depth lines, one piece',
    length,
    bends,
    low: (s) => (s <= mouthEnd ? -paper : 0),
    high: () => Math.max(task.pocketDepth, block + 1),
    lines: [
      { id: 'slit', height: () => 0, stroke: CUT, from: TONGUE, to: mouthEnd },
      { id: 'wall-line', height: (s) => block - depthAlong(s), stroke: LINE, from: TONGUE },
      { id: 'mouth-line', height: (s) => -mouthDepth(s), stroke: LINE, from: TONGUE, to: mouthEnd },
    ],
    figures: [
      ...mouthPlaces.map((s) => ({ s, text: depthText(mouthDepth(s), units), height: Math.min(-mouthDepth(s), -STEP_END) })),
      ...wallPlaces.map((s) => ({
        s: s + TONGUE,
        text: depthText(depthAlong(s + TONGUE), units),
        height: block - depthAlong(s + TONGUE),
      })),
    ],
    across: [
      { s: TONGUE, text: 'fold back', foot: 0 },
      ...flat.corners.map((s) => ({ s: s + TONGUE, text: 'bend', foot: 0 })),
      { s: length, text: 'mouth' },
    ],
    inside: [
      ...flat.straights.map(({ middle, piece }) => ({
        s: middle + TONGUE,
        text: wallName(task, piece),
        span: lengthOf(piece) / 2,
        foot: 0,
      })),
      {
        s: mouthEnd - half,
        text: deepest < LEAST_FILED ? 'mouth: nothing to file here' : `${first} | mouth: file to the line | ${second}`,
        short: `${first} | mouth | ${second}`,
        span: half,
      },
    ],
  };
}

export function stripSheets(task: GuideTask): readonly Drawing[] | undefined {
  const block = blockOf(task);
  const size = task.units === 'mm' ? `${block.toFixed(0)} mm` : `${Number((block / 25.4).toFixed(4))} in`;
  const flat = unrolled(task.outline);
  const isFiled = task.filed !== undefined;
  const under = both(task.pocketDepth, task.units);
  // The strip is as tall as the pocket was deep, so its upper edge finds the place that its foot has lost.
  const placed = isFiled
    ? "its upper edge level with the body's top: the floor as found, on which its foot would stand, is filed away. So placed it is as true as pocket.depth was measured"
    : 'its foot on the floor as found';
  const words = [
    `One piece: cut it out along the thick lines, the slit too. Figures: depth to ${isFiled ? 'reach there below the floor as found' : 'take off there'}, in ${task.units === 'mm' ? 'mm' : 'inches'}.`,
    `Walls: bend at the broken lines${flat.corners.length < flat.pieces - 1 ? ', press it round the curves between them,' : ''} and tape it to the walls, ${placed}. The thin line is ${size} over the finished floor everywhere: file until a block ${size} high, standing on the floor, no longer reaches over the line.`,
    `Mouth: fold the tongue back round the corner on to the body's outer face; the lower part then lies under the floor's edge, the slit level with the floor as found${isFiled ? `, ${under} below the body's top` : ''}. File until the wood's edge meets the thin line. Where the body has no face beside the mouth, cut at the fold and tape the lower part by itself${isFiled ? ', its slit so far below the top' : ''}.`,
    ...pausesOf(task).map(
      ({ stage }) => `${stageName(stage)}: stop above the line, where the floor is down to ${stageDepths(task, stage)}.`,
    ),
  ];
  return ribbonSheets(task, 'Depth lines, true to size', words, [stripRibbon(task)])?.sheets;
}
