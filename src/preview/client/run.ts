import { type Read, readStrictly } from '../../proof/strictReader.ts';
import { overBody } from '../lie.ts';
import { unpackText } from '../packed.ts';
import type { ProgramScene, Scene } from '../scene.ts';
import { type Timeline, timelineOf } from '../timeline.ts';

/** A program as the proof's own reader reads its text, read once for the whole page. */
export interface Run {
  readonly program: ProgramScene;
  readonly read: Read;
  readonly timeline: Timeline;
}

export function runOf({ program }: Scene): Run | undefined {
  if (program === null) return undefined;
  const read = readStrictly(unpackText(program.text));
  return { program, read, timeline: timelineOf(read, program.cutFeed, (said) => overBody(program.lie, said)) };
}

/** The scene as the spindle sees it, for what is drawn of a program. */
export function sceneUnder(scene: Scene): Scene {
  return { ...scene, ...scene.program?.seen };
}
