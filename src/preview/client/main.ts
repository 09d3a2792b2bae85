import { endingOf } from '../ending.ts';
import type { Scene } from '../scene.ts';
import { latticeOf } from '../wood.ts';
import { byId, has, readScene } from './dom.ts';
import { type FloorDrawing, floorDrawing } from './floorDrawing.ts';
import { routeSheet } from './routeSheet.ts';
import { type Run, runOf, sceneUnder, woodDuring } from './run.ts';
import { stringsDrawing } from './stringsDrawing.ts';
import { leftOver } from './woodPicture.ts';

/** Points of wood looked at before the page gets its turn again. */
const POINTS_A_TURN = 400_000;

/** Runs every program once, a little at a time, and hatches on the floor's drawing what they leave. */
function hatchLeftOver(scene: Scene, floor: FloorDrawing, runs: readonly Run[]): void {
  const last = runs.at(-1);
  if (last === undefined) return;
  // Seen along the spindle: against the floor's own sheet that is off by less than its lines are wide.
  const { outline, plane, pocketDepth } = sceneUnder(scene, last.program);
  const lattice = latticeOf(outline, pocketDepth, 0);
  const wood = woodDuring(runs, lattice, pocketDepth);
  if (wood === undefined) return;
  const who = runs.length > 1 ? 'programs leave' : 'program leaves';
  const goOn = (): void => {
    if (!wood.goTo(last.timeline.count, POINTS_A_TURN)) {
      setTimeout(goOn, 0);
      return;
    }
    const isCut = wood.heights.some((z, i) => z < (lattice.start[i] ?? 0) - 1e-6);
    if (!isCut) return;
    const left = leftOver(lattice, wood.heights, plane);
    floor.setLeft(left);
    byId('floor-left', HTMLParagraphElement).textContent =
      left.length === 0
        ? `The ${who} nothing that a file would find.`
        : `Hatched: where the ${who} wood above the floor, for the chisel.`;
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
const readPrograms = (): void => {
  const runs = scene.programs.map(runOf);
  runs.forEach(({ program }, at) => {
    drawings.push(routeSheet(sceneUnder(scene, program), runs.slice(0, at + 1), endingOf(at)).draw);
  });
  if (floor !== undefined) hatchLeftOver(scene, floor, runs);
};
// A long program is read once the rest of the page can be seen.
if (scene.programs.every(({ text }) => typeof text === 'string')) readPrograms();
else {
  scene.programs.forEach((_, at) => {
    byId(`route-scale${endingOf(at)}`, HTMLParagraphElement).textContent = 'The program is being read.';
  });
  requestAnimationFrame(() => setTimeout(readPrograms, 0));
}
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => draw(false));
addEventListener('beforeprint', () => draw(true));
addEventListener('afterprint', () => draw(false));
