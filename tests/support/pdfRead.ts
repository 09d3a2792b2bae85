import { expect } from 'vitest';

/** A little reader of PDF content, sharing nothing with the writer: what a page strokes and fills, and where text begins, in mm from its upper left. */
export interface PdfRead {
  /** mm. */
  readonly pages: readonly { readonly width: number; readonly height: number; readonly content: string }[];
}

type Matrix = readonly [number, number, number, number, number, number];

function times(m: Matrix, n: Matrix): Matrix {
  return [
    m[0] * n[0] + m[1] * n[2],
    m[0] * n[1] + m[1] * n[3],
    m[2] * n[0] + m[3] * n[2],
    m[2] * n[1] + m[3] * n[3],
    m[4] * n[0] + m[5] * n[2] + n[4],
    m[4] * n[1] + m[5] * n[3] + n[5],
  ];
}

export function readPdf(bytes: Uint8Array): PdfRead {
  const text = Buffer.from(bytes).toString('latin1');
  const object = (id: string): string => {
    const found = new RegExp(`(?:^|\\n)${id} 0 obj\\n([\\s\\S]*?)\\nendobj`).exec(text);
    if (found === null) throw new Error(`there is no object ${id}`);
    return found[1] as string;
  };
  const stream = (id: string): string => {
    const raw = /stream\n([\s\S]*)\nendstream/.exec(object(id))?.[1];
    if (raw === undefined) throw new Error(`object ${id} has no stream`);
    // Plain on purpose: what a compressor gives differs between machines.
    expect(object(id)).not.toContain('/Filter');
    return raw;
  };
  const kids = [...(/\/Kids \[([^\]]*)\]/.exec(text)?.[1] ?? '').matchAll(/(\d+) 0 R/g)].map(([, id]) => id as string);
  const pages = kids.map((id) => {
    const page = object(id);
    const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(page);
    const contents = /\/Contents (\d+) 0 R/.exec(page)?.[1] as string;
    const [width, height] = [Number(box?.[1]), Number(box?.[2])].map((points) => (points * 25.4) / 72) as [number, number];
    return { width, height, content: stream(contents) };
  });
  return { pages };
}

export interface Seen {
  /** Ends of every straight stroke. */
  readonly lines: readonly (readonly [number, number, number, number])[];
  /** Boxes of every stroked shape with a curve in it, curves taken at their ends and quarters. */
  readonly curved: readonly Seen['fills'][number][];
  /** Their points. */
  readonly curvePoints: readonly (readonly Place[])[];
  /** Boxes of every filled shape. */
  readonly fills: readonly { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number }[];
  /** Where each text begins, and its em. */
  readonly texts: readonly { readonly x: number; readonly y: number; readonly size: number }[];
}

type Place = readonly [number, number];

function bezier(t: number, a: Place, b: Place, c: Place, d: Place, axis: 0 | 1): number {
  const u = 1 - t;
  return u ** 3 * a[axis] + 3 * u * u * t * b[axis] + 3 * u * t * t * c[axis] + t ** 3 * d[axis];
}

function boxOf(points: readonly Place[]): Seen['fills'][number] {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

/** Runs a page's content; every point comes out in mm from the page's upper left corner. */
export function seenOn({ content, height }: PdfRead['pages'][number]): Seen {
  let matrix: Matrix = [1, 0, 0, 1, 0, 0];
  let stack: (number | string)[] = [];
  let points: (readonly [number, number])[] = [];
  const lines: (readonly [number, number, number, number])[] = [];
  const curved: Seen['fills'][number][] = [];
  const fills: Seen['fills'][number][] = [];
  const curvePoints: (readonly Place[])[] = [];
  let isCurved = false;
  const texts: Seen['texts'][number][] = [];
  const mm = (points_: number): number => (points_ * 25.4) / 72;
  const place = (m: Matrix, x: number, y: number): [number, number] => [
    mm(x * m[0] + y * m[2] + m[4]),
    height - mm(x * m[1] + y * m[3] + m[5]),
  ];
  const tokens = content.match(/\/\w+|<[0-9a-f]*>|\[[^\]]*\]|[^\s<>[\]/]+/g) ?? [];
  for (const token of tokens) {
    if (/^[-+]?[\d.]+$/.test(token)) {
      stack.push(Number(token));
      continue;
    }
    const n = stack.filter((each) => typeof each === 'number');
    if (token === 'cm') matrix = times(n.slice(-6) as unknown as Matrix, matrix);
    else if (token === 'm') {
      points = [place(matrix, n[0] as number, n[1] as number)];
      isCurved = false;
    } else if (token === 'l') points.push(place(matrix, n[0] as number, n[1] as number));
    else if (token === 'c') {
      const from = points[points.length - 1] as readonly [number, number];
      const [b, c, d] = [0, 2, 4].map((i) => place(matrix, n[i] as number, n[i + 1] as number)) as unknown as [
        Place,
        Place,
        Place,
      ];
      for (const t of [0.25, 0.5, 0.75, 1]) points.push([bezier(t, from, b, c, d, 0), bezier(t, from, b, c, d, 1)]);
      isCurved = true;
    } else if (token === 'Tm') {
      const m = times(n.slice(-6) as unknown as Matrix, matrix);
      const [x, y] = place(m, 0, 0);
      texts.push({ x, y, size: mm(Math.hypot(m[0], m[1])) });
    } else if (token === 'S' && points.length === 2) {
      const [a, b] = points as [readonly [number, number], readonly [number, number]];
      lines.push([a[0], a[1], b[0], b[1]]);
    } else if (token === 'S' && isCurved) {
      curved.push(boxOf(points));
      curvePoints.push(points);
    } else if (token === 'f') fills.push(boxOf(points));
    if (!token.startsWith('/') && !token.startsWith('<') && !token.startsWith('[')) stack = [];
  }
  return { lines, curved, curvePoints, fills, texts };
}
