import type { Unit } from '../kernel/units.ts';

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
  readonly program: {
    readonly units: Unit | undefined;
    readonly look: 'first' | 'every' | 'never';
    readonly turn: 0 | 90 | 180 | 270;
  };
  readonly sheet: { readonly paper: 'A4' | 'Letter' | 'A3'; readonly measuredX: number; readonly measuredY: number };
  readonly rails: { readonly length: number; readonly base: number };
  /** Keys whose default was used, with the value as text: the report prints them. */
  readonly assumed: readonly string[];
}
