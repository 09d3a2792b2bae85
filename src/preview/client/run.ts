import { type Read, readStrictly } from '../../proof/strictReader.ts';
import { overBody } from '../lie.ts';
import { unpackText } from '../packed.ts';
import type { ProgramScene, Scene } from '../scene.ts';
import { type Timeline, timelineOf } from '../timeline.ts';
import { type Lattice, type Wood, woodAfter, woodOf } from '../wood.ts';

/** A program as the proof's own reader reads its text, read once for the whole page. */
export interface Run {
  readonly program: ProgramScene;
  readonly read: Read;
  readonly timeline: Timeline;
}

export function runOf(program: ProgramScene): Run {
  const read = readStrictly(unpackText(program.text));
  return { program, read, timeline: timelineOf(read, program.cutFeed, (said) => overBody(program.lie, said)) };
}

/** What a program is drawn on. */
export interface SceneUnder extends Scene {
  readonly program: ProgramScene;
}

/** The scene as the spindle sees it. */
export function sceneUnder(scene: Scene, program: ProgramScene): SceneUnder {
  return { ...scene, ...program.seen, program };
}

/** The wood during the last of some runs, those before it over. Undefined where a cutter's width is not known. */
export function woodDuring(runs: readonly Run[], lattice: Lattice, top: number): Wood | undefined {
  let wood: Wood | undefined;
  let count = 0;
  for (const { program, timeline } of runs) {
    const { radius, lie } = program;
    if (radius === null) return undefined;
    const own = (on: Lattice): Wood => woodOf(on, timeline, radius, top, lie.wood);
    wood = wood === undefined ? own(lattice) : woodAfter(wood, count, own);
    count = timeline.count;
  }
  return wood;
}
