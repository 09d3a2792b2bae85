import { inflateSync } from 'node:zlib';

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
    return inflateSync(Buffer.from(raw, 'latin1')).toString('latin1');
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
  /** Boxes of every filled shape. */
  readonly fills: readonly { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number }[];
  /** Where each text begins, and its em. */
  readonly texts: readonly { readonly x: number; readonly y: number; readonly size: number }[];
}

/** Runs a page's content; every point comes out in mm from the page's upper left corner. */
export function seenOn({ content, height }: PdfRead['pages'][number]): Seen {
  let matrix: Matrix = [1, 0, 0, 1, 0, 0];
  let stack: (number | string)[] = [];
  let points: (readonly [number, number])[] = [];
  const lines: (readonly [number, number, number, number])[] = [];
  const fills: Seen['fills'][number][] = [];
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
    else if (token === 'm') points = [place(matrix, n[0] as number, n[1] as number)];
    else if (token === 'l') points.push(place(matrix, n[0] as number, n[1] as number));
    else if (token === 'c') points.push(place(matrix, n[4] as number, n[5] as number));
    else if (token === 'Tm') {
      const m = times(n.slice(-6) as unknown as Matrix, matrix);
      const [x, y] = place(m, 0, 0);
      texts.push({ x, y, size: mm(Math.hypot(m[0], m[1])) });
    } else if (token === 'S' && points.length === 2) {
      const [a, b] = points as [readonly [number, number], readonly [number, number]];
      lines.push([a[0], a[1], b[0], b[1]]);
    } else if (token === 'f') {
      const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
      fills.push({ left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) });
    }
    if (!token.startsWith('/') && !token.startsWith('<') && !token.startsWith('[')) stack = [];
  }
  return { lines, fills, texts };
}
