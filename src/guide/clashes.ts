import type { Point2 } from '../kernel/vector.ts';
import { type Box, boxAround, type Drawing, overlap, type PathMark, type TextMark, textBox, within } from './drawing.ts';
import { crossesBox, type Segment } from './segments.ts';

function nameOf(mark: TextMark): string {
  return `'${mark.text.slice(0, 30)}' at ${mark.at.x.toFixed(1)}, ${mark.at.y.toFixed(1)}`;
}

/** mm. What a printer may leave blank. */
const RIM = 7;

/** The straight edges of a path. */
function edgesOf({ steps }: PathMark): Segment[] {
  const edges: Segment[] = [];
  let start: Point2 | undefined;
  let from: Point2 | undefined;
  for (const step of steps) {
    const to: Point2 | undefined = step.kind === 'close' ? start : step.to;
    if (step.kind === 'move') start = to;
    else if (step.kind !== 'arc' && step.kind !== 'curve' && from !== undefined && to !== undefined) edges.push({ from, to });
    from = to;
  }
  return edges;
}

/**
 * Everything on a sheet that stands on something else or runs off: texts on texts, on stations, on lines and straight edges; anything outside the rim.
 * It knows nothing of how the sheet was laid out.
 */
export function clashesOf(drawing: Drawing): string[] {
  const found: string[] = [];
  const sheet: Box = { left: RIM, top: RIM, right: drawing.width - RIM, bottom: drawing.height - RIM };
  const texts = drawing.marks.filter((mark) => mark.kind === 'text');
  for (const [i, mark] of texts.entries()) {
    const box = textBox(mark);
    if (!within(box, sheet)) found.push(`${nameOf(mark)} runs off the sheet`);
    for (const other of texts.slice(i + 1)) if (overlap(box, textBox(other))) found.push(`${nameOf(mark)} on ${nameOf(other)}`);
    for (const other of drawing.marks) {
      if (other.kind === 'station' && overlap(box, boxAround(other.at, other.radius))) found.push(`${nameOf(mark)} on a station`);
      if (other.kind === 'line' && crossesBox(other, box)) found.push(`${nameOf(mark)} on a ${other.role} line`);
      if (other.kind === 'path' && edgesOf(other).some((edge) => crossesBox(edge, box))) found.push(`${nameOf(mark)} on an edge`);
    }
  }
  const stations = drawing.marks.filter((mark) => mark.kind === 'station');
  for (const [i, one] of stations.entries())
    for (const other of stations.slice(i + 1))
      if (overlap(boxAround(one.at, one.radius), boxAround(other.at, other.radius))) found.push('a station on a station');
  for (const mark of drawing.marks) {
    const points =
      mark.kind === 'line'
        ? [mark.from, mark.to]
        : mark.kind === 'path'
          ? mark.steps.flatMap((s) => ('to' in s ? [s.to] : []))
          : [];
    for (const at of points) if (!within(boxAround(at, 0), sheet)) found.push(`a ${mark.kind} runs off the sheet`);
  }
  return found;
}
