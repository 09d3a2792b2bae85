import { apart } from '../kernel/dimension.ts';
import { type Swath, swathOf } from './cover.ts';
import { type Fault, mm } from './faults.ts';
import { fallsSteeper } from './motionRules.ts';
import { ARITHMETIC_MM, type Earlier, halfAcross, type Setting, woodAt } from './setting.ts';
import { fallsAtAll, steepRun } from './steepRun.ts';
import type { Move } from './strictReader.ts';
import { depthInside, type Walls } from './walls.ts';

/**
 * mm. Points of the lattice are at most this far apart. Between them a bite can be larger by what the heights change over half a
 * diagonal, 0.18 mm: 0.0093 mm on the steepest floor allowed (3 degrees). A ridge thinner than the lattice may be missed whole.
 */
const LATTICE_MM = 0.25;
/** mm. The error of a bite, rounded up. */
export const BITE_WITHIN_MM = 0.01;
/** A fall steeper than this is an entry and may not take wood. */
const ENTRY_SLOPE = 1 / 20;
/**
 * A pass is told from the edge that a lane leaves for its neighbour, at most R g, and from clean-up: it takes more than a tenth and
 * than R g, at most half, of the allowed depth. Counted only this many radii from the walls, where lanes are straight.
 */
const PASS_LEAST = 0.1;
const PASS_MOST = 0.5;
const PASS_RADII = 2;
/** Points on a side of the blocks in which the lattice is laid out. */
const BLOCK = 8;

interface Lattice {
  readonly nx: number;
  readonly ny: number;
  readonly stepX: number;
  readonly stepY: number;
  readonly x0: number;
  readonly y0: number;
  readonly heights: Float64Array;
  /** z of the highest wood there is. */
  readonly highestWood: number;
  /** For each block of BLOCK x BLOCK points a height that none of them is above. */
  readonly highest: Float64Array;
  readonly blocksX: number;
  /** 1 where passes are counted. */
  readonly counted: Uint8Array;
}

/** Wood at the start: the floor as found inside the outline. Outside it are walls, which another rule keeps. */
function latticeOf(setting: Setting, walls: Walls): Lattice {
  const { outline } = setting;
  const half = halfAcross(outline);
  const nx = Math.max(1, Math.ceil(outline.length / LATTICE_MM));
  const ny = Math.max(1, Math.ceil((2 * half) / LATTICE_MM));
  const stepX = outline.length / nx;
  const stepY = (2 * half) / ny;
  const heights = new Float64Array(nx * ny);
  const counted = new Uint8Array(nx * ny);
  let highestWood = Number.NEGATIVE_INFINITY;
  // In a pocket too narrow for that, its middle has to do.
  const far = Math.min(PASS_RADII * setting.radius, 0.9 * outline.mouthHalf, 0.9 * outline.rearHalf, outline.length / 2);
  const step = Math.hypot(stepX, stepY);
  // Depth changes no faster than the place: a stretch in whose half diagonal neither limit lies is all of one kind; others are quartered, down to points.
  const lay = (i0: number, i1: number, j0: number, j1: number): void => {
    if (i0 === i1 || j0 === j1) return;
    const depth = depthInside(walls, { x: ((i0 + i1) / 2) * stepX, y: -half + ((j0 + j1) / 2) * stepY });
    const around = (Math.max(i1 - i0, j1 - j0) * step) / 2;
    const isAlike = Math.abs(depth) > around && Math.abs(depth - far) > around;
    if (!isAlike && (i1 - i0 > 1 || j1 - j0 > 1)) {
      const [i, j] = [(i0 + i1) >> 1, (j0 + j1) >> 1];
      lay(i0, i, j0, j);
      lay(i, i1, j0, j);
      lay(i0, i, j, j1);
      lay(i, i1, j, j1);
      return;
    }
    for (let j = j0; j < j1; j++)
      for (let i = i0; i < i1; i++) {
        const wood = depth >= 0 ? woodAt(setting, (i + 0.5) * stepX, -half + (j + 0.5) * stepY) : Number.NEGATIVE_INFINITY;
        highestWood = Math.max(highestWood, wood);
        heights[j * nx + i] = wood;
        counted[j * nx + i] = depth >= far ? 1 : 0;
      }
  };
  lay(0, nx, 0, ny);
  const blocksX = Math.ceil(nx / BLOCK);
  // Lowered as cuts are taken: to begin with nothing stands above the highest wood.
  const highest = new Float64Array(blocksX * Math.ceil(ny / BLOCK)).fill(highestWood);
  return { nx, ny, stepX, stepY, x0: stepX / 2, y0: -half + stepY / 2, heights, counted, highestWood, highest, blocksX };
}

/** Takes a cut off the lattice; the largest bite, and how often each point has been cut in earnest. Blocks it cannot lower are left out. */
function take(lattice: Lattice, move: Move, radius: number, counted: number, counts: Uint16Array): number {
  const { nx, ny, stepX, stepY, x0, y0, highest, blocksX } = lattice;
  const { from, to } = move;
  if (Math.min(from.z, to.z) >= lattice.highestWood) return 0;
  const cut = swathOf(move, radius);
  const i0 = Math.max(0, Math.ceil((Math.min(from.x, to.x) - radius - x0) / stepX));
  const i1 = Math.min(nx - 1, Math.floor((Math.max(from.x, to.x) + radius - x0) / stepX));
  const j0 = Math.max(0, Math.ceil((Math.min(from.y, to.y) - radius - y0) / stepY));
  const j1 = Math.min(ny - 1, Math.floor((Math.max(from.y, to.y) + radius - y0) / stepY));
  // Half the diagonal of a block, by which a cut may come near its middle and still touch it.
  const around = ((BLOCK - 1) / 2) * Math.sqrt(stepX * stepX + stepY * stepY);
  const near = radius + around;
  let bite = 0;
  for (let bj = Math.floor(j0 / BLOCK); bj * BLOCK <= j1; bj++)
    for (let bi = Math.floor(i0 / BLOCK); bi * BLOCK <= i1; bi++) {
      const block = bj * blocksX + bi;
      const px = x0 + (bi * BLOCK + (BLOCK - 1) / 2) * stepX - cut.x;
      const py = y0 + (bj * BLOCK + (BLOCK - 1) / 2) * stepY - cut.y;
      const across = px * cut.uy - py * cut.ux;
      const rest = near * near - across * across;
      if (rest < 0) continue;
      const along = px * cut.ux + py * cut.uy;
      const half = Math.sqrt(rest);
      const first = Math.max(along - half, 0);
      const last = Math.min(along + half, cut.length);
      // The lowest the cutter is while it touches the block at all: what is lower already stays as it is.
      if (first > last || cut.z + cut.slope * (cut.slope < 0 ? last : first) >= (highest[block] as number)) continue;
      const taken = takeBlock(lattice, cut, radius * radius, bi, bj, block, counted, counts);
      if (taken > bite) bite = taken;
    }
  return bite;
}

function takeBlock(
  { nx, ny, stepX, stepY, x0, y0, heights, highest }: Lattice,
  { x, y, z: startZ, ux, uy, length, slope }: Swath,
  square: number,
  bi: number,
  bj: number,
  block: number,
  counted: number,
  counts: Uint16Array,
): number {
  let bite = 0;
  let top = Number.NEGATIVE_INFINITY;
  for (let j = bj * BLOCK; j < Math.min(ny, (bj + 1) * BLOCK); j++) {
    const py = y0 + j * stepY - y;
    for (let i = bi * BLOCK; i < Math.min(nx, (bi + 1) * BLOCK); i++) {
      const index = j * nx + i;
      const stands = heights[index] as number;
      if (stands > top) top = stands;
      const px = x0 + i * stepX - x;
      const across = px * uy - py * ux;
      const rest = square - across * across;
      if (rest < 0) continue;
      // The axis is within R of the point from `first` to `last` along the way: z is linear, so lowest at one of the two.
      const along = px * ux + py * uy;
      const half = Math.sqrt(rest);
      const first = Math.max(along - half, 0);
      const last = Math.min(along + half, length);
      if (first > last) continue;
      const z = startZ + slope * (slope < 0 ? last : first);
      const taken = stands - z;
      if (taken <= 0) continue;
      heights[index] = z;
      if (taken > bite) bite = taken;
      if (taken > counted) counts[index] = (counts[index] as number) + 1;
    }
  }
  highest[block] = Math.min(highest[block] as number, top);
  return bite;
}

/** What an earlier program left, standing as much higher as two zeros may differ, but nowhere higher than before it. */
function leave(lattice: Lattice, setting: Setting, { moves, setting: first, higher }: Earlier): void {
  const { heights, highest, nx, stepX, stepY, x0, y0 } = lattice;
  const none = new Uint16Array(heights.length);
  for (const move of moves) take(lattice, move, first.radius, Number.POSITIVE_INFINITY, none);
  heights.forEach((z, index) => {
    if (!Number.isFinite(z)) return;
    const stood = woodAt(setting, x0 + (index % nx) * stepX, y0 + Math.floor(index / nx) * stepY);
    heights[index] = Math.min(stood, z + higher);
  });
  highest.fill(lattice.highestWood);
}

/** Sum of the heights (mm) of all points that are wood. */
function standing({ heights }: Lattice): number {
  let sum = 0;
  for (const height of heights) if (Number.isFinite(height)) sum += height;
  return sum;
}

/**
 * `bite` and `entry`, move by move in the order of the program, on a lattice of points whose heights are exact. `volume` is the wood
 * taken (mm³), each point standing for its cell: along the rim of what is cut it is wrong by at most half a cell.
 */
export function removalRules(
  moves: readonly Move[],
  setting: Setting,
  walls: Walls,
  earlier?: Earlier,
): { readonly faults: Fault[]; readonly largestBite: number; readonly passes: number; readonly volume: number } {
  const lattice = latticeOf(setting, walls);
  if (earlier !== undefined) leave(lattice, setting, earlier);
  const stood = standing(lattice);
  const counts = new Uint16Array(lattice.heights.length);
  const { step, shop, radius } = setting;
  const faults: Fault[] = [];
  const depth = shop.pass.depth;
  const passBite = Math.min(PASS_MOST * depth, Math.max(PASS_LEAST * depth, 1.05 * radius * setting.lean));
  const zeros = earlier === undefined ? '' : ` (where the wood stands ${mm(earlier.higher)} higher by both zeros)`;
  const run = steepRun(ENTRY_SLOPE, step);
  let largestBite = 0;
  /** What the steep moves of the stretch have taken together: no point lost more. */
  let taken = 0;
  for (const move of moves) {
    const bite = take(lattice, move, radius, passBite, counts);
    if (bite > largestBite) largestBite = bite;
    if (bite > shop.pass.depth + step + ARITHMETIC_MM) {
      const [found, limit] = apart(bite, shop.pass.depth);
      faults.push({ rule: 'bite', line: move.line, message: `takes ${found} at once${zeros}; ${limit} is the most` });
    }
    if (run.idle()) taken = 0;
    const inRun = run.add(move, bite > 0);
    if (bite > 0 && fallsAtAll(move, ENTRY_SLOPE)) taken += bite;
    if (bite > step + ARITHMETIC_MM && fallsSteeper(move, ENTRY_SLOPE, step))
      faults.push({ rule: 'entry', line: move.line, message: `takes ${mm(bite)} while falling steeper than 1 in 20` });
    else if (inRun && taken > step + ARITHMETIC_MM)
      faults.push({
        rule: 'entry',
        line: move.line,
        message: `takes the last of ${mm(taken)} that short moves take while they fall steeper than 1 in 20`,
      });
  }
  let passes = 0;
  counts.forEach((count, index) => {
    if (lattice.counted[index] === 1 && count > passes) passes = count;
  });
  return { faults, largestBite, passes, volume: (stood - standing(lattice)) * lattice.stepX * lattice.stepY };
}
