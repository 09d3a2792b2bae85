import { leanOf } from '../kernel/plane.ts';
import { fromMm, toDegrees, type Unit } from '../kernel/units.ts';
import type { GuideTask } from './task.ts';

/** mm, the em of the figures on the map: digits then stand about 2.9 mm tall, readable at arm's length. */
export const MAP_TEXT = 4;

function noMinusZero(text: string): string {
  return /^-0\.?0*$/.test(text) ? text.slice(1) : text;
}

export function depthText(mm: number, units: Unit): string {
  return noMinusZero(fromMm(mm, units).toFixed(units === 'mm' ? 2 : 3));
}

function both(mm: number, units: Unit): string {
  const other: Unit = units === 'mm' ? 'in' : 'mm';
  return `${depthText(mm, units)} ${units} (${depthText(mm, other)} ${other})`;
}

export const DEEPEST_AT = {
  rear: 'at the mouth',
  mouth: 'at the rear wall',
  side: 'along one side',
  corner: 'at one corner',
  none: 'all over',
} as const;

const NOTHING_AT = {
  rear: 'at the rear wall',
  mouth: 'at the mouth',
  side: 'along the other side',
  corner: 'at the hinge',
  none: '',
} as const;

/** What to take off, where, and which way the neck turns. */
export function sentences(task: GuideTask): string[] {
  const { units, plane, hingeName } = task;
  const u = task.deepestUncertainty;
  const give = u === undefined ? '' : `, known to ±${depthText(u, units)} ${units}`;
  if (hingeName === 'none') return [`Take ${both(task.deepest, units)} off evenly, all over the floor${give}.`];
  const end =
    plane.skim > 0
      ? `to ${depthText(plane.skim, units)} ${units} ${NOTHING_AT[hingeName]}`
      : `to nothing ${NOTHING_AT[hingeName]}`;
  const turns: string[] = [];
  const degrees = (angle: number): string => Math.abs(toDegrees(angle)).toFixed(2);
  if (task.pitch !== 0) turns.push(`pitch ${degrees(task.pitch)} degrees, the nut goes ${task.pitch > 0 ? 'down' : 'up'}`);
  if (task.roll !== 0)
    turns.push(`roll ${degrees(task.roll)} degrees, the ${task.roll > 0 ? 'treble' : 'bass'} side goes deeper`);
  return [
    `Deepest ${DEEPEST_AT[hingeName]}: ${both(task.deepest, units)}${give}, running out ${end}.`,
    `Slope: ${turns.join('; ')}.`,
  ];
}

/** What the map turned out to hold. */
export interface Held {
  readonly hiddenScrews: number;
  readonly strips: number;
  readonly hasRim: boolean;
  /** mm. What each round of filing takes off, and what is taken off all over before. */
  readonly step: number;
  readonly even: number;
}

/** mm at the far end of the pocket, and what that is in depth, for a print that is 1 % off (the sheet laid by the mouth's middle). */
function onePercentOff(task: GuideTask): { readonly place: number; readonly depth: number } {
  const { length, mouthHalf, rearHalf } = task.outline;
  const place = 0.01 * Math.hypot(length, Math.max(mouthHalf, rearHalf));
  return { place, depth: place * leanOf(task.plane) };
}

/** How to read the sheet and what to mind, most needed first. */
export function notes(task: GuideTask, { hiddenScrews, strips, hasRim, step, even }: Held): string[] {
  const { units } = task;
  const left = task.bodyThickness - task.pocketDepth - task.deepest;
  const lines = leanOf(task.plane) === 0 ? '' : ' Thin lines join equal depths.';
  const order =
    strips === 0
      ? ''
      : ` Bold numbers: the order of filing. ${even > 0 ? `First ${depthText(even, units)} off all over. ` : ''}Take ${depthText(step, units)} off strip 1, then off 1 and 2 together, then off 1 to 3 and so on; then file the steps flat: that is never too deep.`;
  const rim =
    hasRim && task.cutter !== undefined
      ? ` Dotted: what a router's ${depthText(task.cutter.diameter, units)} ${units} cutter would leave along the walls${
          task.cutter.rim === undefined
            ? ', for the chisel'
            : `; dotted finer and nearer the walls, what the ${depthText(task.cutter.rim, units)} ${units} rim cutter would leave of it for the chisel`
        }.`
      : '';
  const off = onePercentOff(task);
  const screws = task.screws.length === 0 ? '' : ' Crossed rings: screw holes.';
  const hidden = hiddenScrews === 0 ? '' : ` (${hiddenScrews} more lie off this map.)`;
  return [
    `Print at 100 % (actual size), never "fit to page". Both bars must measure 100 mm. If they do not, measure them on a print made with 100 and 100 in the shop file, and write those lengths there as sheet.measuredX and sheet.measuredY. One per cent off moves a dot by up to ${depthText(off.place, units)} ${units}, which is ${fromMm(off.depth, units).toFixed(units === 'mm' ? 3 : 4)} ${units} in depth.`,
    `Seen from above. Dots: the depth to reach below the floor as found, in ${units === 'mm' ? 'mm' : 'inches'}.${lines}${order} Dashed: centreline.${screws}${hidden}${rim}`,
    'Lay the outline on the pocket by its walls, never by the edge of the paper.',
    `Wood taken off is not put back: stop early, fit the neck, measure, go on. At the deepest place ${both(left, units)} of wood will be left under the pocket.`,
    'Only for the neck, strings and setting that were measured. Read SAFETY.md before you cut.',
  ];
}
