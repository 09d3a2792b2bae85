import type { Unit } from '../kernel/units.ts';

/** The second cutter and how it is run: mm, mm/min, rev/min. */
export interface RimCutter {
  readonly diameter: number;
  readonly length: number;
  readonly flutes: number;
  readonly speed: number;
  readonly cut: number;
  readonly plunge: number;
  readonly depth: number;
  readonly width: number;
}

/** A checked shop file: millimetres, minutes for feeds (mm/min), seconds for `warmUp`. */
export interface Shop {
  readonly units: Unit;
  /** Without a diameter and a length no program is made. */
  readonly cutter: { readonly diameter: number | undefined; readonly length: number | undefined; readonly flutes: number };
  readonly spindle: { readonly speed: number; readonly warmUp: number };
  readonly feed: { readonly cut: number; readonly plunge: number };
  readonly pass: { readonly depth: number; readonly width: number };
  readonly clearance: { readonly above: number; readonly wall: number; readonly beyondMouth: number };
  readonly zeroing: number;
  readonly leave: number;
  /** A smaller cutter that takes, in a program of its own, what the first one cannot reach; absent: one cutter does it all. */
  readonly rim?: RimCutter | undefined;
  readonly program: {
    readonly units: Unit | undefined;
    readonly look: 'first' | 'every' | 'never';
    readonly turn: 0 | 90 | 180 | 270;
  };
  readonly sheet: { readonly paper: 'A4' | 'Letter' | 'A3'; readonly measuredX: number; readonly measuredY: number };
  readonly rails: { readonly length: number; readonly base: number };
  /** The file names no cutter, no rim cutter and no key of `program`: it is there for the paper, and no program is wanted by it. */
  readonly isForPaper?: boolean | undefined;
  /** Keys whose default was used, with the value as text: the report prints them. */
  readonly assumed: readonly string[];
}

/** The shop once the second cutter is in the collet; all else is as it was. */
export function withRimCutter(shop: Shop, rim: RimCutter): Shop {
  const { diameter, length, flutes, speed, cut, plunge, depth, width } = rim;
  return {
    ...shop,
    cutter: { diameter, length, flutes },
    spindle: { ...shop.spindle, speed },
    feed: { cut, plunge },
    pass: { depth, width },
    rim: undefined,
  };
}

/**
 * mm. How much higher than the first program left it the wood may stand for the second cutter: each of the two had its Z0 set by itself,
 * one `zeroing` too high and the other too low at worst.
 */
export function apartInZ(shop: Shop): number {
  return 2 * shop.zeroing;
}
