import { depthAt } from '../../src/kernel/plane.ts';
import type { ProgramTask } from '../../src/program/task.ts';

type V = readonly [number, number, number];

/** How a test clamps its body: rise of the floor per mm along x and y, and its height over Z0 at the origin. */
export interface Tilt {
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

export function mountedOf({ outline, hand }: ProgramTask, { x, y, height }: Tilt) {
  const treble = hand === 'left' ? -1 : 1;
  const at = (px: number, py: number): number => height + x * px + y * py;
  const { length: P, mouthHalf: m, rearHalf: r } = outline;
  return {
    mouthBass: at(0, -treble * m),
    mouthTreble: at(0, treble * m),
    rearBass: at(P, -treble * r),
    rearTreble: at(P, treble * r),
  };
}

const dot = (a: V, b: V): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Places of the program's moves in the table's frame, mm; a plain reader for the tests alone. */
function placesOf(text: string): V[] {
  const unit = /^G20$/m.test(text) ? 25.4 : 1;
  let here: V = [Number.NaN, Number.NaN, Number.NaN];
  return text.split('\n').flatMap((line) => {
    if (!/^G[01] /.test(line)) return [];
    const word = (letter: string, old: number): number => {
      const found = new RegExp(`${letter}(-?[0-9.]+)`).exec(line);
      return found === null ? old : Number(found[1]) * unit;
    };
    here = [word('X', here[0]), word('Y', here[1]), word('Z', here[2])];
    return [here];
  });
}

/**
 * The cut seen from the body, slowly: the cutter is a leaning disc with its shank there. Each move is walked in short steps, each step a
 * cylinder; under every point of a lattice on the floor it says how deep the body's own upright is cut. It shares no code with writer or proof.
 */
export function bodyCut(text: string, task: ProgramTask, tilt: Tilt) {
  const angle = (task.shop.program.turn * Math.PI) / 180;
  const [c, s] = [Math.round(Math.cos(angle)), Math.round(Math.sin(angle))];
  // The machine's upright and the body's axes in the machine: y in the plane X = 0, x square to it, each rising as told.
  const yAxis: V = [0, Math.sqrt(1 - tilt.y ** 2), tilt.y];
  const xy = (-tilt.x * tilt.y) / yAxis[1];
  const xAxis: V = [Math.sqrt(1 - tilt.x ** 2 - xy ** 2), xy, tilt.x];
  const zAxis: V = [
    xAxis[1] * yAxis[2] - xAxis[2] * yAxis[1],
    xAxis[2] * yAxis[0] - xAxis[0] * yAxis[2],
    xAxis[0] * yAxis[1] - xAxis[1] * yAxis[0],
  ];
  const toBody = ([X, Y, Z]: V): V => {
    const v: V = [c * X + s * Y, -s * X + c * Y, Z - tilt.height];
    return [dot(v, xAxis), dot(v, yAxis), dot(v, zAxis)];
  };
  const up: V = [xAxis[2], yAxis[2], zAxis[2]];
  const places = placesOf(text).map(toBody);
  const R = (task.shop.cutter.diameter ?? 0) / 2;
  const { outline, plane } = task;
  const margin = 2 * R + 0.6;
  const half = (x: number): number => outline.mouthHalf + ((outline.rearHalf - outline.mouthHalf) * x) / outline.length;
  const points: { x: number; y: number; z: number }[] = [];
  for (let x = 0.3; x < outline.length - margin; x += 1.7)
    for (let y = -half(x) + margin; y < half(x) - margin; y += 1.9) points.push({ x, y, z: 0 });
  let gouge = Number.NEGATIVE_INFINITY;
  let nearestWall = Number.POSITIVE_INFINITY;
  for (let i = 1; i < places.length; i++) {
    const [a, b] = [places[i - 1] as V, places[i] as V];
    if (Number.isNaN(a[0] + a[1]) || Math.min(a[2], b[2]) > 1) continue;
    const way = Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
    // The lowest point of the disc over the floor, at both ends: a leaning disc and a plane are as near as at their ends.
    for (const end of [a, b]) {
      for (let k = 0; k < 240; k++) {
        const t = (k * Math.PI) / 120;
        // Two directions square to the upright.
        const e: V = [up[2], 0, -up[0]];
        const size = Math.hypot(...e);
        const e1: V = [e[0] / size, 0, e[2] / size];
        const e2: V = [up[1] * e1[2] - up[2] * e1[1], up[2] * e1[0] - up[0] * e1[2], up[0] * e1[1] - up[1] * e1[0]];
        const rim = [0, 1, 2].map(
          (j) => (end[j] as number) + R * (Math.cos(t) * (e1[j] as number) + Math.sin(t) * (e2[j] as number)),
        );
        const [x, y, z] = rim as [number, number, number];
        gouge = Math.max(gouge, -depthAt(plane, x, y) - z);
      }
      // Side walls (straight, square to the floor) and rear wall, at the floor and at the body's top.
      if (end[2] > task.pocketDepth) continue;
      for (const height of [end[2], task.pocketDepth]) {
        const k = (height - end[2]) / up[2];
        const [x, y] = [end[0] + k * up[0], end[1] + k * up[1]];
        const slant = Math.hypot(outline.length, outline.rearHalf - outline.mouthHalf) / outline.length;
        nearestWall = Math.min(nearestWall, (half(x) - Math.abs(y)) / slant - R, outline.length - x - R);
      }
    }
    const count = Math.max(1, Math.ceil(way / 0.1));
    for (let n = 0; n <= count; n++) {
      const [x, y, z] = [0, 1, 2].map((j) => (a[j] as number) + ((b[j] as number) - (a[j] as number)) * (n / count)) as [
        number,
        number,
        number,
      ];
      for (const p of points) {
        if (Math.abs(p.x - x) > R + 0.3 || Math.abs(p.y - y) > R + 0.3) continue;
        // The point of the body's upright over p that lies in the disc's plane.
        const lies = z - (up[0] * (p.x - x) + up[1] * (p.y - y)) / up[2];
        if (lies < p.z && Math.hypot(p.x - x, p.y - y, lies - z) <= R) p.z = lies;
      }
    }
  }
  const left = Math.max(...points.map((p) => p.z + depthAt(plane, p.x, p.y)));
  const deepest = Math.min(...points.map((p) => p.z + depthAt(plane, p.x, p.y)));
  return { looked: points.length, gouge: Math.max(gouge, -deepest), left, nearestWall };
}
