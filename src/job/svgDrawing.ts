import { SaxesParser } from 'saxes';
import { SVGPathData } from 'svg-pathdata';
import { bad, type Finding, good, type Place, type Result } from '../kernel/findings.ts';
import { MOST_PATH_CHARACTERS } from '../kernel/tolerances.ts';
import { MM_PER_INCH } from '../kernel/units.ts';
import type { Point2 } from '../kernel/vector.ts';
import { type Matrix, matrixOf, NO_CHANGE, times } from './svgTransform.ts';

/** A text of SVG and the name to say in findings. */
export interface Drawing {
  readonly text: string;
  readonly file: string;
}

/** One drawn element that an id marks: its path on the page in mm (x to the right, y down), and where it stands in the file. */
export interface Shape {
  readonly element: string;
  /** Absolute commands of svg-pathdata, curves not yet flattened. */
  readonly path: SVGPathData;
  readonly place: Place;
}

export const MARKS = ['pocket', 'mouth', 'bass'] as const;
export type Mark = (typeof MARKS)[number];

const MM_PER: Readonly<Record<string, number>> = { mm: 1, cm: 10, in: MM_PER_INCH };
/** Elements whose content is not drawn where it stands. */
const NOT_DRAWN = new Set(['defs', 'symbol', 'clipPath', 'mask', 'marker', 'pattern', 'use', 'foreignObject']);
/** Of the scales of width and height: rounded sizes differ by less. */
const SAME_SCALE = 1e-4;
/** Characters of a drawing that a finding shows. */
const FOUND_MOST = 80;

export function outlineFault(code: string, message: string, place: Place, found: string, expected: string): Finding {
  const short = found.length > FOUND_MOST ? `${found.slice(0, FOUND_MOST - 3)}...` : found;
  return { code, severity: 'error', exit: 2, message, place, found: short, expected };
}

type Attributes = Readonly<Record<string, string>>;

/** mm for one unit of the drawing, from the root's width, height and viewBox (SVG 2, "equivalent transform of an SVG viewport": read). */
function rootMatrix(attributes: Attributes, place: Place): Result<Matrix> {
  const { width, height, viewBox } = attributes;
  const expected = 'width and height in mm, cm or in, and a viewBox';
  const sizes = [width, height].map((size) => /^\s*([0-9.]+)\s*(mm|cm|in)\s*$/.exec(size ?? ''));
  const box = (viewBox ?? '')
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const [across, down] = sizes;
  if (across === null || across === undefined || down === null || down === undefined)
    return bad([
      outlineFault(
        'outline-without-unit',
        'the drawing does not say how large it is',
        place,
        `width ${width ?? 'missing'}, height ${height ?? 'missing'}`,
        expected,
      ),
    ]);
  if (box.length !== 4 || !box.every(Number.isFinite) || !((box[2] as number) > 0 && (box[3] as number) > 0))
    return bad([
      outlineFault(
        'outline-without-unit',
        'the drawing does not say what one of its units is',
        place,
        `viewBox ${viewBox ?? 'missing'}`,
        expected,
      ),
    ]);
  const [x, y, w, h] = box as [number, number, number, number];
  const scales = [
    (Number(across[1]) * (MM_PER[across[2] ?? ''] as number)) / w,
    (Number(down[1]) * (MM_PER[down[2] ?? ''] as number)) / h,
  ] as const;
  if (!(scales[0] > 0) || !(Math.abs(scales[0] / scales[1] - 1) < SAME_SCALE))
    return bad([
      outlineFault(
        'outline-stretched',
        'the drawing is not as high as it is wide',
        place,
        `${scales[0]} mm across and ${scales[1]} mm down for one unit`,
        'one scale both ways',
      ),
    ]);
  return good([scales[0], 0, 0, scales[0], -x * scales[0], -y * scales[0]]);
}

/** The path data of an element, or undefined where its kind is none that is taken. */
function dataOf(element: string, a: Attributes): string | undefined {
  const n = (key: string): string => String(Number(a[key] ?? '0'));
  if (element === 'path') return a.d ?? '';
  if (element === 'line') return `M${n('x1')} ${n('y1')}L${n('x2')} ${n('y2')}`;
  if (element === 'polygon' || element === 'polyline') return `M${a.points ?? ''}${element === 'polygon' ? 'Z' : ''}`;
  if (element === 'circle' || element === 'ellipse') return `M${n('cx')} ${n('cy')}`;
  if (element === 'rect') return `M${n('x')} ${n('y')}h${n('width')}v${n('height')}h-${n('width')}Z`;
  return undefined;
}

function shapeOf(element: string, attributes: Attributes, matrix: Matrix, place: Place): Result<Shape> {
  const data = dataOf(element, attributes);
  const id = attributes.id ?? '';
  if (data === undefined)
    return bad([
      outlineFault(
        'outline-mark-form',
        `'${id}' is no shape that can be read`,
        place,
        `<${element}>`,
        'a path, line, polygon, polyline, rect or circle',
      ),
    ]);
  if (data.length > MOST_PATH_CHARACTERS)
    return bad([
      outlineFault(
        'outline-too-fine',
        `the path of '${id}' is far longer than any pocket's`,
        place,
        `${data.length} characters`,
        `at most ${MOST_PATH_CHARACTERS}`,
      ),
    ]);
  try {
    const path = new SVGPathData(data)
      .toAbs()
      .normalizeHVZ(false)
      .normalizeST()
      .qtToC()
      .matrix(...matrix);
    if (path.commands.length === 0) throw new SyntaxError('it is empty');
    return good({ element, path, place });
  } catch (error) {
    const why = error instanceof Error ? error.message : 'unknown';
    return bad([
      outlineFault(
        'outline-path-unreadable',
        `the path of '${id}' cannot be read: ${why}`,
        place,
        data.slice(0, 40),
        'path data of SVG',
      ),
    ]);
  }
}

/**
 * The three marked shapes of a drawing, on the page in mm, or everything that is wrong with them. The text is read by a strict XML reader;
 * entities of its own, transforms of other kinds than SVG 1.1's and content that is not drawn are refused.
 */
export function readDrawing({ text, file }: Drawing): Result<ReadonlyMap<Mark, Shape>> {
  const findings: Finding[] = [];
  const shapes = new Map<Mark, Shape>();
  const parser = new SaxesParser({});
  const here = (): Place => ({ file, line: parser.line, column: Math.max(1, parser.column) });
  const stack: { readonly matrix: Matrix; readonly drawn: boolean }[] = [];
  parser.on('error', ({ message }) => {
    if (!findings.some(({ code }) => code === 'outline-not-svg'))
      findings.push(
        outlineFault(
          'outline-not-svg',
          'the drawing is not well-formed XML',
          here(),
          message.replace(/^\d+:\d+:\s*/, '').slice(0, 80),
          'an SVG file',
        ),
      );
  });
  // Where the tag began: the parser stands behind its name, which a line end may have closed.
  let began: Place = { file, line: 1, column: 1 };
  parser.on('opentagstart', ({ name }) => {
    const { line, column } = parser;
    began = column > name.length ? { file, line, column: column - name.length - 1 } : { file, line: line - 1, column: 1 };
  });
  parser.on('opentag', (tag) => {
    const element = tag.name.split(':').at(-1) ?? '';
    const attributes = tag.attributes as Attributes;
    const place = began;
    const outer = stack.at(-1);
    if (outer === undefined) {
      if (element !== 'svg')
        findings.push(outlineFault('outline-not-svg', 'the file is no SVG drawing', place, `<${element}>`, '<svg>'));
      const root = element === 'svg' ? rootMatrix(attributes, place) : bad<Matrix>([]);
      if (!root.ok) findings.push(...root.findings);
      stack.push({ matrix: root.ok ? root.value : NO_CHANGE, drawn: true });
      return;
    }
    const own = matrixOf(attributes.transform ?? '');
    const styled = /transform/.test(attributes.style ?? '');
    const drawn = outer.drawn && !NOT_DRAWN.has(element) && element !== 'svg';
    stack.push({ matrix: times(outer.matrix, own ?? NO_CHANGE), drawn });
    const mark = MARKS.find((each) => each === attributes.id);
    if ((own === undefined || styled) && (mark !== undefined || element === 'g'))
      findings.push(
        outlineFault(
          'outline-transform',
          'this transform cannot be read',
          place,
          attributes.transform ?? attributes.style ?? '',
          'translate, scale, rotate, skewX, skewY or matrix in the attribute',
        ),
      );
    if (mark === undefined) return;
    if (!drawn)
      findings.push(
        outlineFault(
          'outline-mark-form',
          `'${mark}' is not drawn where it stands`,
          place,
          `<${element}>`,
          'a shape outside defs, symbols and the like',
        ),
      );
    if (shapes.has(mark))
      findings.push(outlineFault('outline-id-twice', `the id '${mark}' stands twice`, place, mark, 'each id once'));
    const shape = shapeOf(element, attributes, times(outer.matrix, own ?? NO_CHANGE), place);
    if (shape.ok) shapes.set(mark, shape.value);
    else findings.push(...shape.findings);
  });
  parser.on('closetag', () => {
    stack.pop();
  });
  parser.write(text).close();
  if (findings.length === 0)
    for (const mark of MARKS)
      if (!shapes.has(mark))
        findings.push(
          outlineFault(
            'outline-id-missing',
            `nothing in the drawing has the id '${mark}'`,
            { file, line: 1, column: 1 },
            [...shapes.keys()].join(', ') || 'no marks',
            'ids pocket (closed path), mouth (line along its open edge) and bass (a mark on the bass side)',
          ),
        );
  return findings.length > 0 ? bad(findings) : good(shapes);
}

/** The middle of the box round some points: where a mark that is but a place stands. */
export function middleOf(points: readonly Point2[]): Point2 {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return { x: (Math.min(...xs) + Math.max(...xs)) / 2, y: (Math.min(...ys) + Math.max(...ys)) / 2 };
}
