import svgBuilder, { type SVGBuilderInstance } from 'svg-builder';
import type { Point2 } from '../kernel/vector.ts';
import type { Drawing, Mark, Step, Stroke, TextMark } from './drawing.ts';
import { outlineOf, setCharacters } from './face.ts';
import { textWidth } from './text.ts';

/** A plain decimal: no exponent, no minus zero; a figure that is no number is this program's own fault. */
export function plain(value: number, decimals: number): string {
  if (!Number.isFinite(value)) throw new Error('a figure of the guide is not a number');
  const text = value
    .toFixed(decimals)
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
  return text === '-0' ? '0' : text;
}

const mm = (value: number): string => plain(value, 4);

/** svg-builder escapes nothing. */
function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;').replace(/'/g, '&#39;');
}

function stroked(stroke: Stroke): Record<string, string> {
  const dash = stroke.dash === undefined ? {} : { 'stroke-dasharray': stroke.dash.map(mm).join(' ') };
  return { fill: 'none', stroke: stroke.grey, 'stroke-width': mm(stroke.width), ...dash };
}

function stepText(step: Step): string {
  if (step.kind === 'close') return 'Z';
  if (step.kind === 'curve') return `Q ${mm(step.by.x)} ${mm(step.by.y)} ${mm(step.to.x)} ${mm(step.to.y)}`;
  const to = `${mm(step.to.x)} ${mm(step.to.y)}`;
  if (step.kind === 'arc') return `A ${mm(step.rx)} ${mm(step.ry)} 0 ${step.wide ? 1 : 0} ${step.clockwise ? 1 : 0} ${to}`;
  return `${step.kind === 'move' ? 'M' : 'L'} ${to}`;
}

// The library's types sit where TypeScript takes them for CommonJS, so they say `default.create`; what is loaded is the ES module.
const { create } = svgBuilder as unknown as { readonly create: () => SVGBuilderInstance };

/** svg-builder refuses `data-*` by name, so these go into the tag it has just written. */
function withData(svg: SVGBuilderInstance, data: Record<string, string>): void {
  const last = svg.elements.pop() ?? '';
  const more = Object.entries(data).map(([name, value]) => ` data-${name}="${value}"`);
  svg.elements.push(last.replace(/^(<\w+)/, `$1${more.join('')}`));
}

function addMark(svg: SVGBuilderInstance, mark: Mark, shapes: Shapes): void {
  if (mark.kind === 'line') {
    const id = mark.id === undefined ? {} : { id: mark.id };
    const ends = { x1: mm(mark.from.x), y1: mm(mark.from.y), x2: mm(mark.to.x), y2: mm(mark.to.y) };
    svg.line({ ...id, class: mark.role, ...ends, ...stroked(mark.stroke) });
    if (mark.depth !== undefined) withData(svg, { level: plain(mark.depth, 6) });
    return;
  }
  if (mark.kind === 'path') {
    const id = mark.id === undefined ? {} : { id: mark.id };
    svg.path({ ...id, d: mark.steps.map(stepText).join(' '), ...stroked(mark.stroke) });
    return;
  }
  if (mark.kind === 'station') {
    svg.circle({ class: 'station', cx: mm(mark.at.x), cy: mm(mark.at.y), r: mm(mark.radius), fill: '#000' });
    withData(svg, { x: plain(mark.x, 4), y: plain(mark.y, 4), depth: plain(mark.depth, 9) });
    return;
  }
  addText(svg, mark, shapes);
}

/** Whoever opens the sheet sees the same letters: they are drawn, and the text itself stays for readers and searches. */
function addText(svg: SVGBuilderInstance, mark: TextMark, shapes: Shapes): void {
  const place = { x: mm(mark.at.x), y: mm(mark.at.y), 'text-anchor': mark.anchor };
  const weight = mark.bold ? { 'font-weight': 'bold' } : {};
  svg.text({ ...place, 'font-family': 'sans-serif', 'font-size': mm(mark.size), ...weight, fill: 'none' }, escaped(mark.text));
  const letters = setCharacters(mark, textWidth(mark.text, mark.size, mark.bold)).flatMap(({ character, at }) => {
    const id = shapes.idOf(character, mark.bold, mark.size);
    return id === undefined ? [] : [`<use href="#${id}" x="${plain(at.x, 3)}" y="${plain(at.y, 3)}"/>`];
  });
  svg.elements.push(`<g class="letters" aria-hidden="true" fill="#000">${letters.join('')}</g>`);
}

/** Letters drawn so far, by weight, size and character: sheets of one guide share most of them. */
export type LetterPaths = Map<string, string>;

interface Shapes {
  /** Nothing for a character without an outline, such as a space. */
  readonly idOf: (character: string, bold: boolean, size: number) => string | undefined;
  readonly definitions: () => string;
}

/** Each letter of each size is drawn once and used from there: pages stay small, and no page needs a transform. */
function newShapes(drawn: LetterPaths): Shapes {
  const ids = new Map<string, string | undefined>();
  const paths: string[] = [];
  return {
    idOf: (character, bold, size) => {
      const key = `${bold ? 'b' : 'r'}${size} ${character}`;
      if (ids.has(key)) return ids.get(key);
      const path = drawn.get(key) ?? outlineOf(character, bold, size).map(letterStep).join('');
      drawn.set(key, path);
      const id = path === '' ? undefined : `letter-${paths.length + 1}`;
      if (id !== undefined) paths.push(`<path id="${id}" d="${path}"/>`);
      ids.set(key, id);
      return id;
    },
    definitions: () => `<defs>${paths.join('')}</defs>`,
  };
}

/** Three decimals: a thousandth of a millimetre is far finer than any printer's dot. */
function letterStep(step: Step): string {
  const point = (p: Point2): string => `${plain(p.x, 3)} ${plain(p.y, 3)}`;
  if (step.kind === 'close') return 'Z';
  if (step.kind === 'curve') return `Q${point(step.by)} ${point(step.to)}`;
  return `${step.kind === 'move' ? 'M' : 'L'}${point(step.to)}`;
}

/** One sheet as SVG text whose user unit is the millimetre (SVG 2, equivalent transform: scale = width / viewBox width; read). */
export function drawingSvg(drawing: Drawing, name: string, drawn: LetterPaths = new Map()): string {
  // Never the library's shared `newInstance()`: it would carry one sheet over into the next.
  const svg = create();
  svg
    .width(`${mm(drawing.width)}mm`)
    .height(`${mm(drawing.height)}mm`)
    .viewBox(`0 0 ${mm(drawing.width)} ${mm(drawing.height)}`);
  svg.title({}, escaped(name));
  svg.path({ d: `M 0 0 H ${mm(drawing.width)} V ${mm(drawing.height)} H 0 Z`, fill: '#fff', stroke: 'none' });
  const shapes = newShapes(drawn);
  const before = svg.elements.length;
  for (const mark of drawing.marks) addMark(svg, mark, shapes);
  svg.elements.splice(before, 0, shapes.definitions());
  svg.elements = svg.elements.map((element) => `\n${element}`);
  return `${svg.render().replace(/<\/svg>$/, '\n</svg>')}\n`;
}
