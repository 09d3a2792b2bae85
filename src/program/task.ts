import type { Mounted } from '../instrument/mounting.ts';
import type { Hand } from '../job/job.ts';
import type { Shop } from '../job/shop.ts';
import type { Outline } from '../kernel/outline.ts';
import type { FloorPlane } from '../kernel/plane.ts';
import type { Unit } from '../kernel/units.ts';
import type { Clamped } from './clamped.ts';

/** The next stop of the plan, at the middle of the deepest edge (mm). */
export interface FirstStop {
  /** Whether a fit was noted before it. */
  readonly isNext: boolean;
  readonly deepest: number;
  /** How the depth that the program cuts to is called: the whole one, or what `leave` leaves of it. */
  readonly cutsTo: number;
  readonly whole: boolean;
  /** What `leave` has to be to cut to that stop and no deeper, as the shop file takes it; absent where no `leave` does that. */
  readonly leave?: string | undefined;
}

/** Down to where what `leave` keeps on the floor is filed: depth at the middle of the deepest edge (mm), and the guide's line for it if it has one. */
export interface ToFile {
  readonly deepest: number;
  readonly where: string;
  readonly fit: string | undefined;
}

/** What of the job whoever runs a program must know, and no move of it shows: said in the header. */
export interface Standing {
  /** Wood was taken off since the floor was as found: Z0 is no longer there to be touched. */
  readonly isFiled: boolean;
  /** The ± of the pocket's depth (mm): how truly the body's top stands for the floor as found. */
  readonly depthBound: number;
  /** No gap and no straightedge was read: the floor is a plan. */
  readonly isFromDrawing: boolean;
  /** Readings contradict each other, so the floor worked out from them is in doubt. */
  readonly isContradicted?: boolean | undefined;
  /** Where the plan stops before the depth that the program cuts to; absent where it does not. */
  readonly firstStop?: FirstStop | undefined;
  /** Absent where nothing is left for the file, or not enough of it. */
  readonly toFile?: ToFile | undefined;
}

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
  /** The floor's heights as clamped; absent: level, Z0 on the floor as found. */
  readonly mounted?: Mounted | undefined;
  /** Absent: an untouched floor, and nothing else to say. */
  readonly standing?: Standing | undefined;
}

/**
 * The task once nothing is missing any more: what `readyTask` makes of a task and its shop file. Plane, outline, depths and free
 * space are those of the body as clamped (`Clamped`), which is the body frame itself where it lies level; `body` keeps the task's own.
 */
export interface ReadyTask extends ProgramTask {
  readonly body: ProgramTask;
  readonly clamped: Clamped | undefined;
  /** The floor as found, as a depth below Z0. */
  readonly found: FloorPlane;
  /** z of the highest of the body's top about the pocket, and of the lowest of the floor to cut. */
  readonly top: number;
  readonly lowest: number;
  readonly clearBefore: number;
  readonly radius: number;
  readonly cutterLength: number;
  readonly units: Unit;
  /** mm. How much higher the wood may stand than the program before this one left it; 0 for a first program. */
  readonly higher: number;
}

/** Wood that the cutter cannot take: where, how high above the new floor at most, and how far from the wall it reaches; mm. */
export interface Stay {
  readonly where: string;
  readonly height: number;
  readonly width: number;
}
