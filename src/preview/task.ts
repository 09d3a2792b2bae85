import type { Floor } from '../floor/floor.ts';
import type { Hand, Job } from '../job/job.ts';
import type { Shop } from '../job/shop.ts';
import type { Unit } from '../kernel/units.ts';
import type { Point3 } from '../kernel/vector.ts';
import type { Stay } from '../program/task.ts';
import type { ProofKind, Verdict } from '../proof/prove.ts';
import type { Setting } from '../solve/setting.ts';
import type { Solution } from '../solve/solve.ts';
import type { Stop } from '../solve/stops.ts';

/** A place where the depth is to be measured; mm, body frame, depth below the floor as found. */
export interface Station {
  readonly x: number;
  readonly y: number;
  readonly depth: number;
}

/** A router program as its text, whoever wrote it, with the verdict on that very text. */
export interface PreviewProgram {
  /** A few words to call it by. */
  readonly name: string;
  readonly text: string;
  readonly kind: ProofKind;
  readonly verdict: Verdict;
  readonly shop: Shop;
  /** Heights of the floor as clamped, where the body lies out of level. */
  readonly mounted?: Job['pocket']['mounted'];
  /** Of a second cutter's: mm that the wood may stand higher than the program before left it, since each sets its zero by itself. */
  readonly higher?: number;
  /** What is said of it beside the verdict, as that its header calls it another kind. */
  readonly said?: readonly string[];
}

/** All the page is made from: mm and radians. Every text in it may be hostile and is escaped where it is written. */
export interface PreviewTask {
  readonly title: string;
  readonly fingerprint: string;
  readonly units: Unit;
  readonly hand: Hand;
  /** One sentence: what to take off and what it does. */
  readonly lead: string;
  /** What is to be minded, most urgent first; the standing caution is the last. */
  readonly cautions: readonly string[];
  /** Notes of the test fits, oldest first. */
  readonly fitNotes: readonly string[];
  readonly solution: Solution;
  readonly floor: Floor;
  /** Wood came off at a fit: how things stood on the floor as found is then no longer how they stand. */
  readonly isFiled: boolean;
  readonly setting: Setting;
  /** Gap over the 12th fret (mm) that the setting's saddles stand for. */
  readonly action: number;
  readonly deepestUncertainty: number;
  readonly stops: readonly Stop[];
  /** The guide's own stations, or none. */
  readonly stations: readonly Station[];
  /** What stays for the chisel, and what the first of two cutters leaves for the second. */
  readonly stays: readonly Stay[];
  readonly staysForRim: readonly Stay[];
  /** In the order in which they are run: each begins with the wood as the ones before left it. */
  readonly programs: readonly PreviewProgram[];
  /** Why there is none, where there is none. */
  readonly noProgram: string;
}

/** A point of a side view in the neck frame: s from the nut's face, height over the floor as found. */
export type SidePoint = Pick<Point3, 'x' | 'z'>;
