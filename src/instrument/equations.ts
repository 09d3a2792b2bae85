import { farthestPoint, measuredOutline, type Outline, type OutlinePiece } from '../kernel/outline.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import { bodyToNeck } from '../kernel/pose.ts';
import { findRoot } from '../kernel/roots.ts';
import { SOLVED_WITHIN_MM } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';
import { straightedgeAt } from './evidence.ts';
import { type Crowns, crownsOf, handSign, type JobValues, type Sides, seatedDepths, sidesOf } from './neck.ts';
import { readingOf, type StringPlan, stringPlans, yAlong } from './strings.ts';

/** What the evidence is about: heights of the outer strings' ends, neck frame as found, saddles at their lowest. */
export interface Ends {
  readonly nut: Sides;
  readonly seat: Sides;
}

/** One reading's equation: how far what the ends predict lies from what was read (mm). */
export interface Misfit {
  /** Path of the reading in the job file, such as `asFound.lastFretGap` or `fits.0`. */
  readonly of: string;
  readonly side: keyof Sides;
  readonly misfit: number;
}

/** The edge at which a fit's depth is measured: the deepest one. */
export type DeepEdge = 'mouth' | 'rear';

/** A drawn outline as long and wide as an input says: its ± reaches the solve as that of its length and width. */
function stretched(drawn: Outline, kx: number, ky: number): Outline {
  if (kx === 1 && ky === 1) return drawn;
  const point = (p: Point2): Point2 => ({ x: p.x * kx, y: p.y * ky });
  const pieces = drawn.pieces.flatMap((piece): OutlinePiece[] =>
    piece.kind === 'line' ? [{ kind: 'line', from: point(piece.from), to: point(piece.to) }] : [],
  );
  return { pieces, length: drawn.length * kx, mouthHalf: drawn.mouthHalf * ky, rearHalf: drawn.rearHalf * ky };
}

export function outlineOfValues(values: JobValues): Outline {
  const { length, width, widthAtMouth, cornerRadius, drawn } = values.pocket;
  if (drawn !== undefined) return stretched(drawn, length / drawn.length, width / (2 * drawn.rearHalf));
  return measuredOutline({ length, width, widthAtMouth: widthAtMouth ?? width, cornerRadius });
}

/** Slopes of a measured floor are looked for up to this (rise over run): far beyond any floor that would be made. */
const STEEPEST_FIT_SLOPE = 0.3;

/** The other way a measured floor may run by this much (rise over run): a depth read a little less than the skim says no more than that. */
const STEEPEST_BACK_SLOPE = 0.01;
/** mm. An edge that is this far from being down at the skim is not a misreading: the skim is not all off yet. */
const SKIM_NOT_OFF_MM = 0.1;

/**
 * The floor measured at a test fit: through the depths at the ends of its deepest edge, its least depth on the far side `skim`. Depths of
 * exactly 0 say that nothing was cut yet; where the edge is clearly not down at the skim, the floor runs level from it. Null where the
 * plane would be steeper than any floor.
 */
export function fitPlane(outline: Outline, hand: 1 | -1, edge: DeepEdge, depth: Sides, skim: number): FloorPlane | null {
  const x = edge === 'mouth' ? 0 : outline.length;
  const half = edge === 'mouth' ? outline.mouthHalf : outline.rearHalf;
  const middle = (depth.bass + depth.treble) / 2;
  const gy = (hand * (depth.treble - depth.bass)) / (2 * half);
  const far = edge === 'mouth' ? 1 : -1;
  const planeFor = (gx: number): FloorPlane => {
    // The hinge stays on the far side even where a reading a little under the skim makes the plane run the other way: so the plane moves
    // smoothly with the depths.
    const away = { x: far * Math.max(Math.abs(gx), Number.EPSILON), y: -gy };
    const hinge = gy === 0 ? { x: outline.length - x, y: 0 } : farthestPoint(outline, away);
    return { hinge, skim: middle + gx * (hinge.x - x) + gy * hinge.y, gx, gy };
  };
  if ((depth.bass === 0 && depth.treble === 0) || middle < skim - SKIM_NOT_OFF_MM) return planeFor(0);
  const over = (gx: number): number => planeFor(gx).skim - skim;
  if (Math.abs(over(0)) <= SOLVED_WITHIN_MM) return planeFor(0);
  const [lo, hi] = edge === 'mouth' ? [-STEEPEST_FIT_SLOPE, STEEPEST_BACK_SLOPE] : [-STEEPEST_BACK_SLOPE, STEEPEST_FIT_SLOPE];
  const root = findRoot(over, lo, hi, { within: SOLVED_WITHIN_MM / 4 });
  return root.ok ? planeFor(root.x) : null;
}

function lineHeight(plan: StringPlan, nut: number, seat: number, s: number): number {
  return nut + ((seat - nut) * s) / plan.sSaddle;
}

/** Gap over the last fret of an outer string once the neck sits on `plane` and the saddle stands `up` over its lowest. */
export function gapOnFloor(
  values: JobValues,
  crowns: Crowns,
  plan: StringPlan,
  nut: number,
  seat: number,
  plane: FloorPlane,
  up: number,
): number {
  const M = values.neck.nutToMouth;
  const end = bodyToNeck(plane, { x: plan.sSaddle - M, y: plan.ySaddle, z: seat + up });
  const s = crowns.places[crowns.frets] ?? 0;
  const t = s / (end.x + M);
  return nut + (end.z - nut) * t - crowns.crown(s, plan.yNut + (end.y - plan.yNut) * t);
}

/**
 * Every reading's equation at given inputs and ends: at the truth all are zero (geometry.md, "Three kinds of evidence", test fits). Not a
 * number for a fit whose depths no floor has.
 */
export function misfits(values: JobValues, ends: Ends, edge: DeepEdge): Misfit[] {
  const crowns = crownsOf(values);
  const plans = stringPlans(values);
  const outline = outlineOfValues(values);
  const hand = handSign(values);
  const s1 = crowns.places[1] ?? 0;
  const sN = crowns.places[crowns.frets] ?? 0;
  const raised = sidesOf(values.asFound.raised ?? 0);
  const planes = values.fits.map((fit) => fitPlane(outline, hand, edge, seatedDepths(fit), values.target.skim));
  const out: Misfit[] = [];
  for (const side of ['bass', 'treble'] as const) {
    const plan = (side === 'bass' ? plans[0] : plans[plans.length - 1]) as StringPlan;
    const nut = ends.nut[side];
    const seat = ends.seat[side];
    const up = seat + raised[side];
    const add = (of: string, misfit: number): void => void out.push({ of, side, misfit });
    const nutGap = readingOf(values.neck.nutGap);
    if (nutGap !== undefined) add('neck.nutGap', nut - (crowns.plane(0) - crowns.sag(0, plan.yNut) + nutGap[side]));
    const first = readingOf(values.asFound.firstFretGap);
    if (first !== undefined)
      add('asFound.firstFretGap', lineHeight(plan, nut, up, s1) - crowns.crown(s1, yAlong(plan, s1)) - first[side]);
    const last = readingOf(values.asFound.lastFretGap);
    if (last !== undefined)
      add('asFound.lastFretGap', lineHeight(plan, nut, up, sN) - crowns.crown(sN, yAlong(plan, sN)) - last[side]);
    const edgeReading = readingOf(values.asFound.straightedge);
    if (edgeReading !== undefined)
      add('asFound.straightedge', up - straightedgeAt(crowns, plan, plan.sSaddle) - edgeReading[side]);
    values.fits.forEach((fit, index) => {
      // A fit may have been gauged alone: that is no equation of one string (`solve/gauged.ts`).
      if (fit.lastFretGap === undefined) return;
      const plane = planes[index];
      const gap = sidesOf(fit.lastFretGap)[side];
      const fitUp = sidesOf(fit.raised ?? 0)[side];
      // An adjustment on its way may come to depths that no floor has: the equation stays, without a meaning.
      const isFloor = plane !== null && plane !== undefined;
      add(`fits.${index}`, isFloor ? gapOnFloor(values, crowns, plan, nut, seat, plane, fitUp) - gap : Number.NaN);
    });
  }
  return out;
}

/** Whether a fit's floor can exist at all: the plane within reach. */
export function fitHasFloor(values: JobValues, index: number, edge: DeepEdge): boolean {
  const fit = values.fits[index];
  if (fit === undefined) return false;
  return fitPlane(outlineOfValues(values), handSign(values), edge, seatedDepths(fit), values.target.skim) !== null;
}
