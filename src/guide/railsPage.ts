import type { Drawing } from './drawing.ts';
import { type Rail, type Rails, railsOf } from './rails.ts';
import { type Ribbon, ribbonSheets } from './ribbon.ts';
import { pausesOf } from './stages.ts';
import type { GuideTask } from './task.ts';
import { depthText, stageDepths, stageName } from './words.ts';

const HEIGHT_STEP = { mm: 20, in: 25.4 } as const;
/** mm from a rail's ends that the router's base may be kept off: room for a clamp. */
const CLAMP = 25;

function profile(task: GuideTask, rails: Rails, rail: Rail, face: 'inner' | 'outer'): Ribbon {
  const y = rail[face];
  const length = rail.toX - rail.fromX;
  const height = (s: number): number => rails.heightAt(rail.fromX + s, y);
  const step = HEIGHT_STEP[task.units];
  // Heights are given at round distances from the mouth edge, where the rail is laid by.
  const first = Math.ceil(rail.fromX / step);
  const figures = Array.from({ length: Math.floor(rail.toX / step) - first + 1 }, (_, i) => {
    const x = (first + i) * step;
    return { s: x - rail.fromX, text: depthText(rails.heightAt(x, y), task.units) };
  });
  const faces = face === 'inner' ? 'face to the pocket' : 'outer face';
  const across = [
    { s: -rail.fromX, text: 'mouth edge' },
    { s: task.outline.length - rail.fromX, text: 'rear wall' },
  ].filter(({ s }) => s > 0 && s < length);
  return {
    // Where the floor does not roll both rails are the same, and one profile serves twice.
    name: task.plane.gy === 0 ? 'Rail: make two alike' : `${rail.name === 'bass' ? 'Bass' : 'Treble'} rail, ${faces}`,
    length,
    bends: [0, length],
    low: () => 0,
    high: height,
    lines: [],
    figures,
    across: length > 4 * CLAMP ? [...across, { s: CLAMP / 2, text: 'clamp' }, { s: length - CLAMP / 2, text: 'clamp' }] : across,
    inside: [],
  };
}

function said(task: GuideTask, rails: Rails): string[] {
  const { units } = task;
  const length = (mm: number): string => `${depthText(mm, units)} ${units}`;
  const inner = Math.abs(rails.rails[0].inner);
  const pauses = pausesOf(task)
    .map(
      ({ stage, short }) =>
        ` At ${length(rails.setting - short * rails.upright)} stop for ${stageName(stage)}: file the floor flat from where the cut ends to the hinge (${stageDepths(task, stage)}), and fit.`,
    )
    .join('');
  const words = [
    `Two rails on the body, ${length(inner)} from the pocket's centreline to the face of each, their "mouth edge" marks on the mouth edge. The router rides on both: its base then moves parallel to the floor to cut. The marks must agree, or the depth does not.`,
    `Let the cutter stand ${length(rails.setting)} out of the base, square to it, for the whole depth. Come down to that in steps.${pauses} Figures: the rail's height, in ${units === 'mm' ? 'mm' : 'inches'}. Clamp at the ends, or fix with tape, where the base does not come.`,
  ];
  if (task.rails.base < rails.leastBase)
    words.push(
      `CAUTION: a base of ${length(task.rails.base)} falls off the far rail: fit one of at least ${length(rails.leastBase)} to the router.`,
    );
  if (task.rails.length < rails.leastLength)
    words.push(
      `CAUTION: on rails of ${length(task.rails.length)} the base runs over their ends. Make them at least ${length(rails.leastLength)} long (rails.length in the shop file).`,
    );
  const reach = task.cutter?.length;
  if (reach !== undefined && reach < rails.setting)
    words.push(
      `CAUTION: the cutter can stand out only ${length(reach)} (cutter.length in the shop file): too short for these rails.`,
    );
  return words;
}

/** The rails' profiles at true size; both faces of each where the floor rolls and they differ. */
export function railsSheets(task: GuideTask): readonly Drawing[] | undefined {
  const rails = railsOf(task);
  const faces = task.plane.gy === 0 ? (['inner'] as const) : (['inner', 'outer'] as const);
  const shown = task.plane.gy === 0 ? rails.rails.slice(0, 1) : rails.rails;
  const ribbons = shown.flatMap((rail) => faces.map((face) => profile(task, rails, rail, face)));
  return ribbonSheets(task, 'Rails for a hand router, true to size', said(task, rails), ribbons)?.sheets;
}
