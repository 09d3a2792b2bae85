import { SVGPathData } from 'svg-pathdata';
import { MOST_OUTLINE_CORNERS } from '../kernel/tolerances.ts';
import type { Point2 } from '../kernel/vector.ts';

/** mm. Chords stay this near to their curve; half of what an outline may be off (FLATTEN_WITHIN_MM): the rest is for simplifying. */
const CHORD_WITHIN_MM = 0.0025;
/** A curve that needs more chords than this is no pocket's wall. */
const MOST_CHORDS = 2000;

export interface FlatPath {
  readonly points: Point2[];
  /** A closing command ends it. */
  readonly closed: boolean;
}

function between(a: Point2, b: Point2, t: number): Point2 {
  return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
}

/**
 * A cubic from p0: a chord over a part h of its parameter is off by at most h^2 / 8 times the greatest second derivative,
 * 6 max(|p0 - 2 p1 + p2|, |p1 - 2 p2 + p3|).
 */
function cubic(p0: Point2, p1: Point2, p2: Point2, p3: Point2): Point2[] {
  const bend = (a: Point2, b: Point2, c: Point2): number => Math.hypot(a.x - 2 * b.x + c.x, a.y - 2 * b.y + c.y);
  const most = 6 * Math.max(bend(p0, p1, p2), bend(p1, p2, p3));
  const count = Math.max(1, Math.min(MOST_CHORDS, Math.ceil(Math.sqrt(most / (8 * CHORD_WITHIN_MM)))));
  return Array.from({ length: count }, (_, i) => {
    const t = (i + 1) / count;
    const [a, b, c] = [between(p0, p1, t), between(p1, p2, t), between(p2, p3, t)];
    return i === count - 1 ? p3 : between(between(a, b, t), between(b, c, t), t);
  });
}

/**
 * Subpaths of absolute commands (mm) as corner points, curves as chords within CHORD_WITHIN_MM. Arcs of ellipses go by their own angle.
 * What comes after MOST_OUTLINE_CORNERS is left out: such a path is refused whatever follows.
 */
export function flattenPath(path: SVGPathData): FlatPath[] {
  const out: { points: Point2[]; closed: boolean }[] = [];
  let here: Point2 = { x: 0, y: 0 };
  for (const command of new SVGPathData(path.commands).annotateArcs().commands) {
    const last = out.at(-1);
    if (last !== undefined && last.points.length > MOST_OUTLINE_CORNERS) break;
    if (command.type === SVGPathData.MOVE_TO) {
      here = { x: command.x, y: command.y };
      out.push({ points: [here], closed: false });
      continue;
    }
    if (last === undefined) continue;
    if (command.type === SVGPathData.CLOSE_PATH) {
      last.closed = true;
      here = last.points[0] as Point2;
      continue;
    }
    // After a closing command the next one starts a path of its own at the same place.
    const into = last.closed ? { points: [here], closed: false } : last;
    if (into !== last) out.push(into);
    if (command.type === SVGPathData.LINE_TO) into.points.push({ x: command.x, y: command.y });
    else if (command.type === SVGPathData.CURVE_TO) {
      const [p1, p2] = [
        { x: command.x1, y: command.y1 },
        { x: command.x2, y: command.y2 },
      ];
      into.points.push(...cubic(here, p1, p2, { x: command.x, y: command.y }));
    } else if (command.type === SVGPathData.ARC) {
      const { cX = here.x, cY = here.y, phi1 = 0, phi2 = 0, rX, rY, xRot } = command;
      const sweep = ((phi2 - phi1) * Math.PI) / 180;
      const step = Math.sqrt((8 * CHORD_WITHIN_MM) / Math.max(rX, rY, CHORD_WITHIN_MM));
      const count = Math.max(1, Math.min(MOST_CHORDS, Math.ceil(Math.abs(sweep) / step)));
      const [cos, sin] = [Math.cos((xRot * Math.PI) / 180), Math.sin((xRot * Math.PI) / 180)];
      for (let i = 1; i < count; i++) {
        const t = (phi1 * Math.PI) / 180 + (sweep * i) / count;
        const [u, v] = [rX * Math.cos(t), rY * Math.sin(t)];
        into.points.push({ x: cX + u * cos - v * sin, y: cY + u * sin + v * cos });
      }
      into.points.push({ x: command.x, y: command.y });
    }
    here = into.points.at(-1) as Point2;
  }
  return out;
}
