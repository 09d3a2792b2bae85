import type { Point2 } from '../kernel/vector.ts';
import type { Drawing, Mark, Step, Stroke, TextMark } from './drawing.ts';
import { setCharacters } from './face.ts';
import { type Lettering, newLettering } from './pdfLetters.ts';
import { plain } from './svg.ts';
import { textWidth } from './text.ts';

/** A PDF object that is written once it is ended. */
export interface PdfRef {
  readonly write: (chunk: string) => void;
  readonly end: (chunk?: string) => void;
}

/** What the guide needs of a PDF document. The shell brings one (pdfkit): nothing here opens a file or reads a clock. */
export interface PdfPaper {
  readonly addPage: (options: { readonly size: readonly [number, number]; readonly margin: number }) => unknown;
  readonly addContent: (text: string) => unknown;
  readonly ref: (data: Readonly<Record<string, unknown>>) => PdfRef;
  /** Fonts of the page that is open, by the name the content calls them by. */
  readonly page: { readonly fonts: Record<string, PdfRef> };
}

/** Points in a millimetre: PDF user space is 1/72 in (ISO 32000-1, quoted). */
const POINTS = 72 / 25.4;

const mm = (value: number): string => plain(value, 4);
const pair = (p: Point2): string => `${mm(p.x)} ${mm(p.y)}`;

/** `#rgb` with three equal digits: all that the guide prints with. */
function greyLevel(grey: string): string {
  return plain(Number.parseInt(grey.slice(1, 2), 16) / 15, 3);
}

function stroked(stroke: Stroke): string {
  return `${mm(stroke.width)} w [${(stroke.dash ?? []).map(mm).join(' ')}] 0 d ${greyLevel(stroke.grey)} G`;
}

/** A quadratic curve as the cubic that it is: each control point lies two thirds of the way to the quadratic's own. */
function cubic(from: Point2, by: Point2, to: Point2): string {
  const third = (end: Point2): Point2 => ({ x: end.x + (2 / 3) * (by.x - end.x), y: end.y + (2 / 3) * (by.y - end.y) });
  return `${pair(third(from))} ${pair(third(to))} ${pair(to)} c`;
}

/**
 * An arc given by its ends (SVG 2, "elliptical arc implementation notes", F.6.5, with no turn of the axes; memory) as cubics over at
 * most an eighth of the circle each: they keep to the arc within 4e-6 of its radius.
 */
function arc(from: Point2, step: Extract<Step, { kind: 'arc' }>): string {
  const { rx, ry, to } = step;
  const a = { x: from.x / rx, y: from.y / ry };
  const b = { x: to.x / rx, y: to.y / ry };
  const half = { x: (b.x - a.x) / 2, y: (b.y - a.y) / 2 };
  const chord = Math.hypot(half.x, half.y);
  const rise = Math.sqrt(Math.max(0, 1 - chord ** 2)) / chord;
  const side = step.wide === step.clockwise ? -1 : 1;
  const c = { x: (a.x + b.x) / 2 - side * rise * half.y, y: (a.y + b.y) / 2 + side * rise * half.x };
  const start = Math.atan2(a.y - c.y, a.x - c.x);
  let sweep = Math.atan2(b.y - c.y, b.x - c.x) - start;
  // On the page y runs down, so that a growing angle runs clockwise.
  if (step.clockwise && sweep <= 0) sweep += 2 * Math.PI;
  if (!step.clockwise && sweep >= 0) sweep -= 2 * Math.PI;
  const count = Math.ceil(Math.abs(sweep) / (Math.PI / 4));
  const reach = (4 / 3) * Math.tan(sweep / count / 4);
  const at = (t: number, along: number): Point2 => ({
    x: rx * (c.x + Math.cos(t) - along * Math.sin(t)),
    y: ry * (c.y + Math.sin(t) + along * Math.cos(t)),
  });
  return Array.from({ length: count }, (_, i) => {
    const t = start + (sweep * i) / count;
    const u = start + (sweep * (i + 1)) / count;
    return `${pair(at(t, reach))} ${pair(at(u, -reach))} ${pair(at(u, 0))} c`;
  }).join('\n');
}

function path(steps: readonly Step[]): string {
  let pen: Point2 = { x: 0, y: 0 };
  return steps
    .map((step) => {
      if (step.kind === 'close') return 'h';
      const from = pen;
      pen = step.to;
      if (step.kind === 'curve') return cubic(from, step.by, step.to);
      if (step.kind === 'arc') return arc(from, step);
      return `${pair(step.to)} ${step.kind === 'move' ? 'm' : 'l'}`;
    })
    .join('\n');
}

function ring(at: Point2, radius: number): string {
  const left = { x: at.x - radius, y: at.y };
  const half = (to: Point2): Step => ({ kind: 'arc', rx: radius, ry: radius, wide: false, clockwise: true, to });
  return path([{ kind: 'move', to: left }, half({ x: at.x + radius, y: at.y }), half(left), { kind: 'close' }]);
}

function letters(mark: TextMark, lettering: Lettering): string {
  const set = setCharacters(mark, textWidth(mark.text, mark.size, mark.bold));
  const first = set[0];
  if (first === undefined) return '';
  const shown = lettering.shown(
    set.map(({ character }) => character),
    mark.bold,
  );
  // The page's y runs down, so letters are turned up again.
  return `BT ${mm(mark.size)} 0 0 ${mm(-mark.size)} ${pair(first.at)} Tm ${shown} ET`;
}

function content(mark: Mark, lettering: Lettering): string {
  if (mark.kind === 'line') return `${stroked(mark.stroke)} ${pair(mark.from)} m ${pair(mark.to)} l S`;
  if (mark.kind === 'path') return `${stroked(mark.stroke)}\n${path(mark.steps)} S`;
  if (mark.kind === 'station') return `${ring(mark.at, mark.radius)} f`;
  return letters(mark, lettering);
}

/** The sheets as pages of a PDF document, from the same marks as the SVG; the document is not ended. */
export function drawPdf(paper: PdfPaper, drawings: readonly Drawing[]): void {
  // An object of its own at the head of the file, by which the command knows its own work again.
  paper.ref({ Made: 'pocketpitch#20guide' }).end();
  const lettering = newLettering(paper);
  for (const { width, height, marks } of drawings) {
    paper.addPage({ size: [width * POINTS, height * POINTS], margin: 0 });
    // pdfkit has turned y down already; from here on the unit is the millimetre.
    paper.addContent(`${POINTS.toFixed(10)} 0 0 ${POINTS.toFixed(10)} 0 0 cm 0 g`);
    for (const mark of marks) paper.addContent(content(mark, lettering));
    Object.assign(paper.page.fonts, lettering.fonts());
  }
  lettering.end();
}
