import type { Scene } from '../scene.ts';
import { latticeOf, woodOf } from '../wood.ts';
import { byId, has, readScene } from './dom.ts';
import { type FloorDrawing, floorDrawing } from './floorDrawing.ts';
import { routeSheet } from './routeSheet.ts';
import { type Run, runOf, sceneUnder } from './run.ts';
import { stringsDrawing } from './stringsDrawing.ts';
import { leftOver } from './woodPicture.ts';

/** Points of wood looked at before the page gets its turn again. */
const POINTS_A_TURN = 400_000;

/** Runs the whole program once, a little at a time, and hatches on the floor's drawing what it leaves. */
function hatchLeftOver(scene: Scene, floor: FloorDrawing, { program, timeline }: Run): void {
  if (program.radius === null) return;
  // Seen along the spindle: against the floor's own sheet that is off by less than its lines are wide.
  const { outline, plane, pocketDepth } = sceneUnder(scene);
  const lattice = latticeOf(outline, pocketDepth, 0);
  const wood = woodOf(lattice, timeline, program.radius, pocketDepth, program.lie.wood);
  const goOn = (): void => {
    if (!wood.goTo(timeline.count, POINTS_A_TURN)) {
      setTimeout(goOn, 0);
      return;
    }
    const isCut = wood.heights.some((z, i) => z < (lattice.start[i] ?? 0) - 1e-6);
    if (!isCut) return;
    const left = leftOver(lattice, wood.heights, plane);
    floor.setLeft(left);
    byId('floor-left', HTMLParagraphElement).textContent =
      left.length === 0
        ? 'The program leaves nothing that a file would find.'
        : 'Hatched: where the program leaves wood above the floor, for the chisel.';
  };
  setTimeout(goOn, 0);
}

const scene = readScene();
const drawings: ((printing: boolean) => void)[] = [stringsDrawing(scene)];
const floor = has('floor-drawing') ? floorDrawing(scene) : undefined;
if (floor !== undefined) drawings.push(floor.draw);
const draw = (printing: boolean): void => {
  for (const each of drawings) each(printing);
};
const readProgram = (): void => {
  const run = runOf(scene);
  if (run === undefined) return;
  drawings.push(routeSheet(sceneUnder(scene), run).draw);
  if (floor !== undefined) hatchLeftOver(scene, floor, run);
};
// A long program is read once the rest of the page can be seen.
if (scene.program === null || typeof scene.program.text === 'string') readProgram();
else {
  byId('route-scale', HTMLParagraphElement).textContent = 'The program is being read.';
  requestAnimationFrame(() => setTimeout(readProgram, 0));
}
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => draw(false));
addEventListener('beforeprint', () => draw(true));
addEventListener('afterprint', () => draw(false));
