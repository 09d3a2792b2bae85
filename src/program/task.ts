import type { Hand } from '../job/job.ts';
import type { Shop } from '../job/shop.ts';
import type { Outline } from '../kernel/outline.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import type { Unit } from '../kernel/units.ts';

/** All that a router program is made from; mm, body frame. */
export interface ProgramTask {
  readonly plane: FloorPlane;
  readonly outline: Outline;
  readonly pocketDepth: number;
  /** The ± of the pocket's width. */
  readonly widthBound: number;
  readonly clearBefore: number | undefined;
  readonly hand: Hand;
  readonly fingerprint: string;
  readonly shop: Shop;
  /** The greatest depth of the plane over the outline. */
  readonly deepest: number;
  /** True where the job gives `pocket.mounted`: a leaning body is not programmed for yet. */
  readonly mounted?: boolean | undefined;
}

/** The task once nothing is missing any more: what `readyTask` makes of a task and its shop file. */
export interface ReadyTask extends ProgramTask {
  readonly clearBefore: number;
  readonly radius: number;
  readonly cutterLength: number;
  readonly units: Unit;
}

/** Wood that the cutter cannot take: where, how high above the new floor at most, and how far from the wall it reaches; mm. */
export interface Stay {
  readonly where: string;
  readonly height: number;
  readonly width: number;
}
