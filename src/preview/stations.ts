import type { Drawing } from '../guide/drawing.ts';
import type { Station } from './task.ts';

/** The stations of the printed guide's map itself, so that the page and the paper cannot differ; mm, body frame. */
export function stationsOf(map: Drawing): Station[] {
  return map.marks.flatMap((mark) => (mark.kind === 'station' ? [{ x: mark.x, y: mark.y, depth: mark.depth }] : []));
}
