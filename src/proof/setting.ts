import type { Shop } from '../job/shop.ts';
import type { Outline } from '../kernel/outline.ts';
import { depthAt, type FloorPlane, leanOf } from '../kernel/plane.ts';
import { CUSP_MOST_MM } from '../kernel/tolerances.ts';
import { asClamped, type BodyWork } from './frame.ts';
import type { Move } from './strictReader.ts';

/** mm. Below this two lengths in the proof are the same: decimals of a text against binary arithmetic, nothing more. */
export const ARITHMETIC_MM = 1e-6;

/** What every rule is judged against, all in mm and the frame of `asClamped`: the body frame where the body lies level. */
export interface Setting {
  readonly plane: FloorPlane;
  /** The floor as found: the wood there is before the first move. */
  readonly wood: FloorPlane;
  readonly outline: Outline;
  /** Cutter radius R. */
  readonly radius: number;
  /** g, how steeply the floor leans. */
  readonly lean: number;
  /** z of the body's top. */
  readonly top: number;
  /** z at or above which everything is clear. */
  readonly clear: number;
  readonly clearBefore: number;
  readonly deepest: number;
  /** One rounding step of the program's numbers. */
  readonly step: number;
  readonly shop: Shop;
  readonly lastLine: number;
}

/** What another program cut before this one, with its own cutter and its own zero. */
export interface Earlier {
  readonly setting: Setting;
  /** Over the body, as the second program's own. */
  readonly moves: readonly Move[];
  /** mm. How much higher the wood may stand than those moves say, since the cutter of each program had its Z0 set by itself. */
  readonly higher: number;
}

/** mm. Greatest |y| of an outline: no arc of it bulges further than the straight pieces beside it. */
export function halfAcross({ pieces }: Outline): number {
  return Math.max(...pieces.flatMap((piece) => (piece.kind === 'line' ? [Math.abs(piece.from.y), Math.abs(piece.to.y)] : [])));
}

/** z of the floor to cut, carried on in every direction. */
export function floorAt(setting: Setting, x: number, y: number): number {
  return -depthAt(setting.plane, x, y);
}

/** z of the floor as found, carried on in every direction. */
export function woodAt(setting: Setting, x: number, y: number): number {
  return -depthAt(setting.wood, x, y);
}

/** Lowest z of a flat cutter's face with its axis at (x, y): its uphill rim touches first, R g above the floor at the axis. */
export function lowestFaceAt(setting: Setting, x: number, y: number): number {
  return floorAt(setting, x, y) + setting.radius * setting.lean;
}

/**
 * The cusp lanes of the shop's width leave on this floor, at most CUSP_MOST_MM:
 * g (R - sqrt(R² - w² / (4 cos² a))), a the angle between the slope and the lanes along x (program.md: derived).
 */
export function cuspOf(setting: Setting): number {
  const { lean, radius, shop, plane } = setting;
  if (lean === 0) return 0;
  const cosine = Math.abs(plane.gx) / lean;
  const under = radius ** 2 - shop.pass.width ** 2 / (4 * cosine ** 2);
  return under > 0 ? Math.min(CUSP_MOST_MM, lean * (radius - Math.sqrt(under))) : CUSP_MOST_MM;
}

export function settingOf(
  work: BodyWork,
  diameter: number,
  text: { readonly roundingStep: number; readonly lastLine: number },
): Setting {
  const { plane, wood, outline, pocketDepth, clearBefore, deepest, shop } = asClamped(work);
  return {
    plane,
    wood,
    outline,
    radius: diameter / 2,
    lean: leanOf(plane),
    top: pocketDepth,
    clear: pocketDepth + shop.clearance.above,
    clearBefore,
    deepest,
    step: text.roundingStep,
    shop,
    lastLine: text.lastLine,
  };
}
