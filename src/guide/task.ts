import type { Hand } from '../job/job.ts';
import type { Shop } from '../job/shop.ts';
import type { Outline } from '../kernel/outline.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import type { Unit } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import type { HingeName } from '../solve/solve.ts';
import type { Stage } from './stages.ts';

/** All the guide is drawn from: mm and radians. */
export interface GuideTask {
  readonly title: string;
  readonly fingerprint: string;
  readonly units: Unit;
  readonly hand: Hand;
  readonly plane: FloorPlane;
  readonly outline: Outline;
  readonly pocketDepth: number;
  readonly bodyThickness: number;
  readonly deepest: number;
  readonly deepestUncertainty: number | undefined;
  readonly pitch: number;
  readonly roll: number;
  /** No gap or straightedge was read, and no fit: the sheets say so. */
  readonly drawingAlone: boolean;
  readonly hingeName: HingeName;
  readonly screws: readonly Point2[];
  readonly sheet: Shop['sheet'];
  /** The fits to come, first one first; the last is at the whole depth. */
  readonly stages: readonly Stage[];
  /** The floor as it was filed at the last fit; undefined before the first. */
  readonly filed: FloorPlane | undefined;
  /**
   * mm at the middle of the deepest edge: how deep it was read to be there, and what is left to take off. Where depths as read are not to be
   * gone by: where all readings put it (if clearly elsewhere), and what comes off until the next stop.
   */
  readonly reached?:
    | {
        readonly depth: number;
        readonly left: number;
        readonly placed: number | undefined;
        readonly more: number | undefined;
      }
    | undefined;
  /** mm. The gap at the lowest setting that counts as done. */
  readonly within: number;
  /** mm. The highest string's gap wanted at the lowest setting, and the lowest string's wanted at the highest. */
  readonly gap: number;
  readonly highest: number;
  /** Absent where the shop file does not say it. `wall` is the distance a router would keep from the walls. */
  readonly cutter:
    | {
        readonly diameter: number;
        readonly length: number | undefined;
        readonly wall: number;
        /** Diameter of the second cutter, where there is one. */
        readonly rim?: number | undefined;
      }
    | undefined;
  readonly rails: Shop['rails'];
}
