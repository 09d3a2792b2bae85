export interface RootOptions {
  /** Stop once |f| is at most this. */
  readonly within: number;
  readonly most?: number;
}

export type RootFault = 'not-bracketed' | 'no-interval' | 'not-finite';

export type Root =
  | { readonly ok: true; readonly x: number; readonly f: number }
  | { readonly ok: false; readonly why: RootFault };

/**
 * A root of f between lo and hi, whose values there must differ in sign. Brent's method (R. P. Brent, "Algorithms for
 * Minimization without Derivatives", 1973, ch. 4): inverse quadratic or secant steps, bisection where those would leave the bracket.
 */
export function findRoot(f: (x: number) => number, lo: number, hi: number, options: RootOptions): Root {
  if (!(lo < hi)) return { ok: false, why: 'no-interval' };
  let a = lo;
  let b = hi;
  let fa = f(a);
  let fb = f(b);
  if (!Number.isFinite(fa) || !Number.isFinite(fb)) return { ok: false, why: 'not-finite' };
  if (fa === 0) return { ok: true, x: a, f: fa };
  if (fb === 0) return { ok: true, x: b, f: fb };
  if (fa > 0 === fb > 0) return { ok: false, why: 'not-bracketed' };
  let c = a;
  let fc = fa;
  let step = b - a;
  let last = step;
  for (let round = 0; round < (options.most ?? 200); round++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      last = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const least = 2 * Number.EPSILON * Math.abs(b) + Number.MIN_VALUE;
    const half = (c - b) / 2;
    if (Math.abs(fb) <= options.within || Math.abs(half) <= least) return { ok: true, x: b, f: fb };
    if (Math.abs(last) >= least && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const u = fa / fc;
        const r = fb / fc;
        p = s * (2 * half * u * (u - r) - (b - a) * (r - 1));
        q = (u - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      p = Math.abs(p);
      if (2 * p < Math.min(3 * half * q - Math.abs(least * q), Math.abs(last * q))) {
        last = step;
        step = p / q;
      } else {
        step = half;
        last = half;
      }
    } else {
      step = half;
      last = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > least ? step : Math.sign(half) * least;
    fb = f(b);
    if (!Number.isFinite(fb)) return { ok: false, why: 'not-finite' };
  }
  return { ok: true, x: b, f: fb };
}
