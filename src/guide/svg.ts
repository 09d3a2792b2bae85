import svgBuilder, { type SVGBuilderInstance } from 'svg-builder';
import type { Drawing, Mark, Step, Stroke } from './drawing.ts';

/** A plain decimal: no exponent, no minus zero; a figure that is no number is this program's own fault. */
function plain(value: number, decimals: number): string {
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

function addMark(svg: SVGBuilderInstance, mark: Mark): void {
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
  const weight = mark.bold ? { 'font-weight': 'bold' } : {};
  const place = { x: mm(mark.at.x), y: mm(mark.at.y), 'text-anchor': mark.anchor };
  svg.text({ ...place, 'font-family': 'sans-serif', 'font-size': mm(mark.size), ...weight, fill: '#000' }, escaped(mark.text));
}

/** One sheet as SVG text whose user unit is the millimetre (SVG 2, equivalent transform: scale = width / viewBox width; read). */
export function drawingSvg(drawing: Drawing, name: string): string {
  // Never the library's shared `newInstance()`: it would carry one sheet over into the next.
  const svg = create();
  svg
    .width(`${mm(drawing.width)}mm`)
    .height(`${mm(drawing.height)}mm`)
    .viewBox(`0 0 ${mm(drawing.width)} ${mm(drawing.height)}`);
  svg.title({}, escaped(name));
  svg.path({ d: `M 0 0 H ${mm(drawing.width)} V ${mm(drawing.height)} H 0 Z`, fill: '#fff', stroke: 'none' });
  for (const mark of drawing.marks) addMark(svg, mark);
  svg.elements = svg.elements.map((element) => `\n${element}`);
  return `${svg.render().replace(/<\/svg>$/, '\n</svg>')}\n`;
}
