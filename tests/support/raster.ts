import { Resvg } from '@resvg/resvg-js';

export interface Raster {
  readonly width: number;
  readonly height: number;
  /** Whether the pixel at column x, row y is darker than mid grey. */
  readonly dark: (x: number, y: number) => boolean;
  /** 0 is black, 255 white. */
  readonly tone: (x: number, y: number) => number;
}

function raster(width: number, height: number, tone: (x: number, y: number) => number): Raster {
  return { width, height, tone, dark: (x, y) => tone(x, y) < 128 };
}

/** Middle, in pixels, of what is dark from one pixel to another, edges counted as half pixels; no number where nothing is. */
export function darkMiddle(from: number, to: number, dark: (i: number) => boolean): number {
  let [sum, count] = [0, 0];
  for (let i = from; i <= to; i++) {
    if (!dark(i)) continue;
    sum += i + 0.5;
    count++;
  }
  return sum / count;
}

/** A picture as pdftoppm -gray writes it: P5, width, height, 255, then one byte a pixel. */
export function greymapOf(bytes: Uint8Array): Raster {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(Buffer.from(bytes.subarray(0, 64)).toString('latin1'));
  if (head === null) throw new Error('no greymap');
  const [width, height] = [Number(head[1]), Number(head[2])];
  return raster(width, height, (x, y) => bytes[head[0].length + y * width + x] ?? 255);
}

/** No font at all: a sheet must not need one. */
const FONTLESS = { loadSystemFonts: false } as const;

export function rasterOf(svg: string, dpi: number): Raster {
  const image = new Resvg(svg, { dpi, background: '#fff', font: FONTLESS }).render();
  const { width, height, pixels } = image;
  return raster(width, height, (x, y) => pixels[4 * (y * width + x)] ?? 255);
}

/** The same as a PNG file. */
export function pictureOf(svg: string, dpi: number): Uint8Array {
  return new Resvg(svg, { dpi, background: '#fff', font: FONTLESS }).render().asPng();
}

/** A PNG file, read by the same library as an image of its own size. */
export function rasterOfPng(png: Uint8Array): Raster {
  const head = new DataView(png.buffer, png.byteOffset, png.byteLength);
  // The header's width and height: bytes 16 to 23 (PNG specification, IHDR).
  const [width, height] = [head.getUint32(16), head.getUint32(20)];
  const href = `data:image/png;base64,${Buffer.from(png).toString('base64')}`;
  return rasterOf(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><image width="${width}" height="${height}" style="image-rendering:optimizeSpeed" href="${href}"/></svg>`,
    96,
  );
}

/** Pixels of the longest unbroken dark run along a row or a column. */
export function longestRun(length: number, dark: (i: number) => boolean): number {
  let best = 0;
  let run = 0;
  for (let i = 0; i < length; i++) {
    run = dark(i) ? run + 1 : 0;
    best = Math.max(best, run);
  }
  return best;
}

const FACE = 'node_modules/dejavu-fonts-ttf/ttf';

/**
 * A second witness for letters: a text as another program sets it with the font itself, black on white, 4 px to
 * the unit. Each character stands at its own pen place, so that nothing is kerned.
 */
export function setByFont(
  text: string,
  size: number,
  bold: boolean,
  width: number,
  height: number,
  pens: readonly number[],
): Raster {
  const escaped = text.replace(/&/g, '&amp;').replace(/</g, '&lt;');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${4 * width}" height="${4 * height}" viewBox="0 0 ${width} ${height}"><text x="${pens.join(' ')}" y="${height / 2}" font-family="DejaVu Sans" font-size="${size}"${bold ? ' font-weight="bold"' : ''} xml:space="preserve">${escaped}</text></svg>`;
  const font = {
    loadSystemFonts: false,
    fontFiles: [`${FACE}/DejaVuSans.ttf`, `${FACE}/DejaVuSans-Bold.ttf`],
    defaultFontFamily: 'DejaVu Sans',
  };
  const image = new Resvg(svg, { background: '#fff', font }).render();
  const pixels = image.pixels;
  return raster(image.width, image.height, (x, y) => pixels[4 * (y * image.width + x)] ?? 255);
}
