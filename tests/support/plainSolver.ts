/**
 * A second, deliberately plain solver for the tests: one rotation matrix by angle for a pure pitch, plain bisection, flat loops.
 * It shares no code with src; geometry.md is its only source. Flat crowns or one radius, lastFretGap evidence, pitch only.
 */
export interface PlainCase {
  readonly L: number;
  readonly N: number;
  readonly k: number;
  readonly nutSpread: number;
  readonly saddleSpread: number;
  readonly M: number;
  readonly seat: number;
  readonly nutGap: number;
  readonly R: number | null;
  readonly relief: number;
  readonly P: number;
  readonly travel: number;
  readonly bass: number;
  readonly treble: number;
}

export function plainPitch(c: PlainCase, target: number): { pitch: number; deepest: number; nutDrop: number } {
  const s = (n: number) => c.L - c.L / 2 ** (n / 12);
  const sag = (y: number) => (c.R === null ? 0 : c.R - Math.sqrt(c.R ** 2 - y ** 2));
  const hollow = (x: number) => {
    const a = s(1);
    const b = s(c.N);
    return x > a && x < b ? (4 * c.relief * (x - a) * (b - x)) / (b - a) ** 2 : 0;
  };
  const crown = (x: number, y: number) => c.seat - sag(y) - hollow(x);
  const strings: { yn: number; ys: number; zn: number; zs: number }[] = [];
  for (let i = 0; i < c.k; i++) {
    const t = i / (c.k - 1);
    const yn = (t - 0.5) * c.nutSpread;
    const ys = (t - 0.5) * c.saddleSpread;
    strings.push({ yn, ys, zn: c.seat - sag(yn) + c.nutGap, zs: 0 });
  }
  const outer = (i: number, g: number) => {
    const q = strings[i] as { yn: number; ys: number; zn: number };
    const y = q.yn + ((q.ys - q.yn) * s(c.N)) / c.L;
    return q.zn + ((crown(s(c.N), y) + g - q.zn) * c.L) / s(c.N);
  };
  const zb = outer(0, c.bass);
  const zt = outer(c.k - 1, c.treble);
  strings.forEach((q, i) => {
    q.zs = zb + ((zt - zb) * i) / (c.k - 1);
  });
  const lowest = (pitch: number): number => {
    const hx = pitch >= 0 ? c.P : 0;
    let worst = -1e9;
    for (const q of strings) {
      // Seat seen from the neck: turn the body by the pitch the other way about the hinge.
      const dx = c.L - c.M - hx;
      const X = hx + dx * Math.cos(pitch) + q.zs * Math.sin(pitch);
      const Z = -dx * Math.sin(pitch) + q.zs * Math.cos(pitch);
      let least = 1e9;
      for (let n = 12; n <= c.N; n++) {
        const t = s(n) / (X + c.M);
        least = Math.min(least, q.zn + (Z - q.zn) * t - crown(s(n), q.yn + (q.ys - q.yn) * t));
      }
      worst = Math.max(worst, least);
    }
    return worst;
  };
  let lo = 0;
  let hi = 0.06;
  for (let i = 0; i < 200; i++) {
    const mid = (lo + hi) / 2;
    if (lowest(mid) > target) lo = mid;
    else hi = mid;
  }
  const pitch = (lo + hi) / 2;
  const nutDrop = c.seat - ((-c.M - c.P) * Math.sin(pitch) + c.seat * Math.cos(pitch));
  return { pitch, deepest: c.P * Math.tan(pitch), nutDrop };
}
