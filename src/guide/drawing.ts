import type { Point2 } from '../kernel/vector.ts';
import { textReach, textWidth } from './text.ts';

/** Page coordinates everywhere in this file: mm, x to the right, y down, origin at the sheet's upper left corner. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface Stroke {
  readonly width: number;
  readonly grey: string;
  readonly dash?: readonly number[];
}

export interface LineMark {
  readonly kind: 'line';
  readonly id?: string;
  readonly role: 'bar' | 'tick' | 'centreline' | 'contour' | 'stage' | 'hinge' | 'leader' | 'screw' | 'rim';
  /** Contours and the hinge: the depth (mm) along the line; of a stage's two lines what is still to be taken off along each. */
  readonly depth?: number;
  readonly from: Point2;
  readonly to: Point2;
  readonly stroke: Stroke;
}

export type Step =
  | { readonly kind: 'move' | 'line'; readonly to: Point2 }
  /** A quadratic curve through the control point `by`. */
  | { readonly kind: 'curve'; readonly by: Point2; readonly to: Point2 }
  | {
      readonly kind: 'arc';
      readonly rx: number;
      readonly ry: number;
      readonly wide: boolean;
      readonly clockwise: boolean;
      readonly to: Point2;
    }
  | { readonly kind: 'close' };

export interface PathMark {
  readonly kind: 'path';
  readonly id?: string;
  readonly steps: readonly Step[];
  readonly stroke: Stroke;
}

/** A place where the depth is given; `x` and `y` are body frame, `depth` is below the floor as found, all in mm. */
export interface StationMark {
  readonly kind: 'station';
  readonly at: Point2;
  readonly radius: number;
  readonly x: number;
  readonly y: number;
  readonly depth: number;
}

export interface TextMark {
  readonly kind: 'text';
  readonly at: Point2;
  readonly text: string;
  readonly size: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly bold: boolean;
}

export type Mark = LineMark | PathMark | StationMark | TextMark;

/** One sheet as plain data: any writer (SVG, PDF) draws the same marks in the same order. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
}

/** The space a text takes: its width as drawn, its height at most. */
export function textBox(mark: TextMark): Box {
  const width = textWidth(mark.text, mark.size, mark.bold);
  const left = mark.at.x - { start: 0, middle: width / 2, end: width }[mark.anchor];
  const { up, down } = textReach(mark.text);
  return { left, top: mark.at.y - up * mark.size, right: left + width, bottom: mark.at.y + down * mark.size };
}

export function boxAround(at: Point2, radius: number): Box {
  return { left: at.x - radius, top: at.y - radius, right: at.x + radius, bottom: at.y + radius };
}

export function grown(box: Box, by: number): Box {
  return { left: box.left - by, top: box.top - by, right: box.right + by, bottom: box.bottom + by };
}

export function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

export function within(inner: Box, outer: Box): boolean {
  return inner.left >= outer.left && inner.right <= outer.right && inner.top >= outer.top && inner.bottom <= outer.bottom;
}
