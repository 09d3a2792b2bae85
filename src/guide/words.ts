import { leanOf } from '../kernel/plane.ts';
import { FEW_STROKES_MM } from '../kernel/tolerances.ts';
import { fromMm, toDegrees, type Unit } from '../kernel/units.ts';
import type { Before } from './contours.ts';
import type { Stage } from './stages.ts';
import type { GuideTask } from './task.ts';

/** mm, the em of the figures on the map: digits then stand about 2.9 mm tall, readable at arm's length. */
export const MAP_TEXT = 4;

function noMinusZero(text: string): string {
  return /^-0\.?0*$/.test(text) ? text.slice(1) : text;
}

export function depthText(mm: number, units: Unit): string {
  return noMinusZero(fromMm(mm, units).toFixed(units === 'mm' ? 2 : 3));
}

/** Depths that a print's error makes: a digit more than a depth to file to. */
export function fineText(mm: number, units: Unit): string {
  return noMinusZero(fromMm(mm, units).toFixed(units === 'mm' ? 3 : 4));
}

export function both(mm: number, units: Unit): string {
  const other: Unit = units === 'mm' ? 'in' : 'mm';
  return `${depthText(mm, units)} ${units} (${depthText(mm, other)} ${other})`;
}

const sideOf = (task: GuideTask, y: number): string => (y > 0 === (task.hand === 'right') ? 'treble' : 'bass');

/** Where the floor is deepest, in words. */
export function deepestAt(task: GuideTask): string {
  const { plane, hingeName } = task;
  if (hingeName === 'none') return 'all over';
  if (hingeName === 'rear') return 'at the mouth';
  if (hingeName === 'mouth') return 'at the rear wall';
  const side = sideOf(task, plane.gy);
  return hingeName === 'side' ? `along the ${side} side` : `at the ${plane.gx > 0 ? 'rear' : 'mouth'}, ${side} side`;
}

const NOTHING_AT = {
  rear: 'at the rear wall',
  mouth: 'at the mouth',
  side: 'along the other side',
  corner: 'at the hinge',
  none: '',
} as const;

/** Once wood is off, nobody can measure from the floor as found: what is left of it, from the floor as it was filed, and where to stop next. */
function filedSentence(task: GuideTask): string[] {
  const { reached, units, stages } = task;
  const [next] = stages;
  if (reached === undefined || next === undefined) return [];
  const where = next.edge === 'mouth' ? 'at the mouth' : 'at the rear wall';
  const { depth, left, placed, more } = reached;
  const said = (mm: number): string => `${depthText(mm, units)} ${units}`;
  const apart = placed === undefined ? '' : ` (all readings together put it at ${said(placed)} now)`;
  const off =
    more !== undefined && more < FEW_STROKES_MM ? 'after a few strokes of the file' : `once some ${said(more ?? 0)} more is off`;
  const stop = more === undefined ? stageDepths(task, next) : `${off}, whatever depth you read`;
  return [
    `Filed already, at the last fit: ${said(depth)} ${where}${apart}. Left to take off there: ${both(left, units)}. Stop next for ${stageName(next)}, ${stop}.`,
  ];
}

/** What to take off, where, and which way the neck turns. */
export function sentences(task: GuideTask): string[] {
  const { units, plane, hingeName } = task;
  const u = task.deepestUncertainty;
  const give = u === undefined ? '' : `, known to ±${depthText(u, units)} ${units}`;
  const filed = filedSentence(task);
  if (hingeName === 'none') return [`Take ${both(task.deepest, units)} off evenly, all over the floor${give}.`, ...filed];
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
    `Deepest ${deepestAt(task)}: ${both(task.deepest, units)}${give}, running out ${end}.`,
    `Slope: ${turns.join('; ')}.`,
    ...filed,
  ];
}

/** What the map turned out to hold. */
export interface Held {
  readonly hiddenScrews: number;
  readonly strips: number;
  readonly hasRim: boolean;
  /** Fits before the last one, and whether each has its line on the floor: while a skim comes off there is none. */
  readonly paused: readonly { readonly stage: Stage; readonly isDrawn: boolean }[];
  /** The rounds before the first of those fits; undefined where none pauses. */
  readonly before: Before | undefined;
  /** How many stations have a second figure, below the body's top. */
  readonly underTop: number;
  /** mm between two lines of equal depth; 0 where none are drawn. */
  readonly contourStep: number;
  /** mm. What each round of filing takes off, and what is taken off all over before. */
  readonly step: number;
  readonly even: number;
}

export function stageName({ fit }: Pick<Stage, 'fit'>): string {
  return `FIT ${fit}`;
}

/**
 * A stage's depths as they are measured: one figure, or one at each end of the deepest edge; where depths as read are not to be gone by, with
 * what comes off more until the next one.
 */
export function stageDepths(task: GuideTask, stage: Stage): string {
  const { units, reached, stages } = task;
  const { at, edge } = stage;
  const where = edge === 'mouth' ? 'at the mouth' : 'at the rear wall';
  const [bass, treble] = [depthText(at.bass, units), depthText(at.treble, units)];
  const more = stage.fit === stages[0]?.fit ? reached?.more : undefined;
  const than = more === undefined ? '' : ` (${depthText(more, units)} ${units} more than now)`;
  return `${bass === treble ? `${bass} ${units}` : `${bass} bass, ${treble} treble`} ${where}${than}`;
}

/** mm at the far end of the pocket, and what that is in depth, for a print that is 1 % off (the sheet laid by the mouth's middle). */
export function onePercentOff(task: Pick<GuideTask, 'outline' | 'plane'>): { readonly place: number; readonly depth: number } {
  const { length, mouthHalf, rearHalf } = task.outline;
  const place = 0.01 * Math.hypot(length, Math.max(mouthHalf, rearHalf));
  return { place, depth: place * leanOf(task.plane) };
}

/** The rounds of filing by the strips' numbers: all of them, or those before the first pause. */
function roundsText({ units }: GuideTask, { strips, step, even, before }: Held): string {
  const first = even > 0 ? `First ${depthText(even, units)} off all over. ` : '';
  const each = `${first}Take ${depthText(step, units)} off strip 1`;
  if (before === undefined) return `${each}, then off 1 and 2 together, then off 1 to 3 and so on towards the hinge`;
  const { full, last } = before;
  const end = Math.min(full + 1, strips);
  const only = `${depthText(last, units)} off ${end === 1 ? 'strip 1' : `strips 1 to ${end}`}`;
  if (full === 0) return last > 0 ? `${first}Take no more than ${only}` : `${first}A little at a time`;
  const more = full === 1 ? '' : full === 2 ? ', then off 1 and 2' : `, then off 1 and 2, and so on, up to 1 to ${full}`;
  return `${each}${more}${last > 0 ? `, then only ${only}` : ''}`;
}

/** The order of filing on this map, its pauses included. */
function orderOnMap(task: GuideTask, held: Held): string {
  const { strips, paused } = held;
  if (leanOf(task.plane) === 0) return 'Order of filing: the same off all over, a little at a time, flat both ways.';
  const carried =
    strips === 0 ? 'from the deep end towards the hinge, a little at a time' : `ringed numbers. ${roundsText(task, held)}`;
  const pauses = paused
    .map(
      ({ stage, isDrawn }) =>
        ` Then pause for ${stageName(stage)}: file the steps flat${isDrawn ? ', so that the slope runs out at its double line, then on' : ' from the deep end'} to the hinge, down to ${stageDepths(task, stage)}, and fit the neck.`,
    )
    .join('');
  const filed = task.filed === undefined ? '' : ' The floor as filed at the last fit is counted in.';
  const begin = task.drawingAlone ? 'Before any filing bolt the neck on as it is and fit. ' : '';
  return `${begin}Order of filing: ${carried}.${filed}${pauses} At the end file flat over the whole floor: that goes no deeper than the dots say.`;
}

/** How to read the sheet and what to mind, most needed first. */
export function notes(task: GuideTask, held: Held): string[] {
  const { units } = task;
  const left = task.bodyThickness - task.pocketDepth - task.deepest;
  const lines = held.contourStep === 0 ? '' : ` Thin lines join equal depths, ${both(held.contourStep, units)} apart.`;
  const small =
    held.underTop === 0
      ? ''
      : ` Small figures: the same below the body's top${task.filed === undefined ? '' : ', which can still be measured from'}.`;
  const rim =
    held.hasRim && task.cutter !== undefined
      ? ` Short dashes: what a router's ${depthText(task.cutter.diameter, units)} ${units} cutter would leave along the walls${
          task.cutter.rim === undefined
            ? ', for the chisel'
            : `; dotted and nearer the walls, what the ${depthText(task.cutter.rim, units)} ${units} rim cutter would leave of it for the chisel`
        }.`
      : '';
  const off = onePercentOff(task);
  const screws = task.screws.length === 0 ? '' : ' Crossed rings: screw holes.';
  const hidden = held.hiddenScrews === 0 ? '' : ` (${held.hiddenScrews} more lie off this map.)`;
  return [
    `Print at 100 % (actual size), never "fit to page". Both bars must measure 100 mm${units === 'mm' ? '' : ' (3 15/16 in)'}. If they do not, measure them on a print made with 100 and 100 in the shop file, and write those lengths there as sheet.measuredX and sheet.measuredY. One per cent off moves a dot by up to ${depthText(off.place, units)} ${units}, where the depth differs by ${fineText(off.depth, units)} ${units}.`,
    'Cut along the thick line, the tab at the mouth left on. Lay it in print up, by the walls, and fold the tab down over the mouth: it goes in one way only.',
    `Seen from above. Dots: the depth to reach below the floor as found, in ${units === 'mm' ? 'mm' : 'inches'}.${small}${lines} Long dashes: centreline.${screws}${hidden}${rim}`,
    orderOnMap(task, held),
    `Wood taken off is not put back: stop early, fit the neck, measure, go on. At the deepest place ${both(left, units)} of wood will be left under the pocket.`,
    `Only for the neck, strings and setting that were ${task.drawingAlone ? 'drawn' : 'measured'}. Read SAFETY.md before you cut.`,
  ];
}
