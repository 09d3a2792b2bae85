import type { Scene } from '../scene.ts';

/** An element the page is sure to have. */
export function byId<T extends Element>(id: string, type: new () => T): T {
  const found = document.getElementById(id);
  if (!(found instanceof type)) throw new Error(`the page has no ${id}`);
  return found;
}

export function has(id: string): boolean {
  return document.getElementById(id) !== null;
}

export function readScene(): Scene {
  return JSON.parse(byId('scene', HTMLScriptElement).textContent ?? '') as Scene;
}

/** CSS pixels across a sheet of A4 or Letter paper within its frame: what is drawn this wide prints with lettering of about 3 mm. */
export const PAPER_WIDTH = 660;

type Attributes = Readonly<Record<string, string | number>>;

/** Adds an SVG element; numbers are written to a hundredth of a pixel. */
export function add(parent: SVGElement, tag: string, attributes: Attributes, text?: string): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', tag) as SVGElement;
  for (const [name, value] of Object.entries(attributes))
    element.setAttribute(name, typeof value === 'number' ? String(Math.round(value * 100) / 100) : value);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

/** An element with a text of its own: never parsed as markup. */
export function make<K extends keyof HTMLElementTagNameMap>(tag: K, text?: string): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  if (text !== undefined) element.textContent = text;
  return element;
}

/** px. The size of letters for which drawings are laid out; on a screen to be read from afar the page's own is larger. */
const LETTERS_PX = 16;

/** How many CSS pixels a pixel of a drawing takes: its letters and lines grow as the page's do. */
export function zoomNow(): number {
  return Math.max(1, Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / LETTERS_PX);
}

/** A pointer's place in a drawing's own pixels. */
export function placeIn(element: Element, event: PointerEvent): { readonly x: number; readonly y: number } {
  const box = element.getBoundingClientRect();
  const zoom = zoomNow();
  return { x: (event.clientX - box.left) / zoom, y: (event.clientY - box.top) / zoom };
}

/** Sized to its own width in pixels of the drawing, so that lettering keeps its size on every screen; scaled as a whole on paper. */
export function sheetOf(svg: SVGSVGElement, width: number, height: number): void {
  svg.setAttribute('viewBox', `0 0 ${Math.round(width)} ${Math.round(height)}`);
  svg.replaceChildren();
}

/** Calls back with the element's width in pixels of its drawing now and whenever it changes. */
export function onWidth(element: Element, draw: (width: number) => void): void {
  let last = 0;
  new ResizeObserver(() => {
    const width = element.clientWidth || element.getBoundingClientRect().width;
    if (width === 0 || width === last) return;
    last = width;
    draw(width / zoomNow());
  }).observe(element);
}

export function path(points: readonly { readonly x: number; readonly y: number }[], close: boolean): string {
  const steps = points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(2)} ${y.toFixed(2)}`).join('');
  return close ? `${steps}Z` : steps;
}

/** A sample of a line or a face beside its meaning. */
export function keyItem(list: HTMLUListElement, words: string, draw: (svg: SVGElement) => void): void {
  const item = make('li');
  const svg = add(document.createElementNS('http://www.w3.org/2000/svg', 'svg'), 'svg', {
    width: 34,
    height: 16,
    viewBox: '0 0 34 16',
    'aria-hidden': 'true',
  });
  draw(svg);
  item.append(svg, make('span', words));
  list.append(item);
}
