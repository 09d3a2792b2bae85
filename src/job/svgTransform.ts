/** x' = a x + c y + e, y' = b x + d y + f, written (a, b, c, d, e, f) as SVG does. */
export type Matrix = readonly [number, number, number, number, number, number];

export const NO_CHANGE: Matrix = [1, 0, 0, 1, 0, 0];

/** The matrix that first does `inner`, then `outer`. */
export function times(outer: Matrix, inner: Matrix): Matrix {
  const [a, b, c, d, e, f] = outer;
  const [A, B, C, D, E, F] = inner;
  return [a * A + c * B, b * A + d * B, a * C + c * D, b * C + d * D, a * E + c * F + e, b * E + d * F + f];
}

function one(name: string, n: readonly number[]): Matrix | undefined {
  const [p = 0, q, r] = n;
  const angle = (p * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  if (name === 'matrix' && n.length === 6) return n as unknown as Matrix;
  if (name === 'translate' && (n.length === 1 || n.length === 2)) return [1, 0, 0, 1, p, q ?? 0];
  if (name === 'scale' && (n.length === 1 || n.length === 2)) return [p, 0, 0, q ?? p, 0, 0];
  if (name === 'rotate' && n.length === 1) return [cos, sin, -sin, cos, 0, 0];
  if (name === 'rotate' && n.length === 3 && q !== undefined && r !== undefined)
    return times([1, 0, 0, 1, q, r], times([cos, sin, -sin, cos, 0, 0], [1, 0, 0, 1, -q, -r]));
  if (name === 'skewX' && n.length === 1) return [1, 0, Math.tan(angle), 1, 0, 0];
  if (name === 'skewY' && n.length === 1) return [1, Math.tan(angle), 0, 1, 0, 0];
  return undefined;
}

/** The transform list of an attribute (SVG 1.1, 7.6), applied right to left; undefined where it is none. */
export function matrixOf(text: string): Matrix | undefined {
  let rest = text.trim();
  let matrix = NO_CHANGE;
  while (rest !== '') {
    const match = /^([A-Za-z]+)\s*\(([^()]*)\)[\s,]*/.exec(rest);
    if (match === null) return undefined;
    const numbers = (match[2] ?? '')
      .trim()
      .split(/[\s,]+/)
      .map(Number);
    const next = numbers.every(Number.isFinite) ? one(match[1] ?? '', numbers) : undefined;
    if (next === undefined) return undefined;
    matrix = times(matrix, next);
    rest = rest.slice(match[0].length);
  }
  return matrix;
}
