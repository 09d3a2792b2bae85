import { Resvg } from '@resvg/resvg-js';

export interface Raster {
  readonly width: number;
  readonly height: number;
  /** Whether the pixel at column x, row y is darker than mid grey. */
  readonly dark: (x: number, y: number) => boolean;
}

const FONT = { loadSystemFonts: true, defaultFontFamily: 'DejaVu Sans', sansSerifFamily: 'DejaVu Sans' } as const;

export function rasterOf(svg: string, dpi: number): Raster {
  const image = new Resvg(svg, { dpi, background: '#fff', font: FONT }).render();
  const { width, height, pixels } = image;
  return { width, height, dark: (x, y) => (pixels[4 * (y * width + x)] ?? 255) < 128 };
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

/** Size of a text as it is really printed by the face at hand, or nothing where no face is installed. */
export function printedBox(
  text: string,
  size: number,
  bold: boolean,
): { readonly width: number; readonly height: number } | undefined {
  const weight = bold ? ' font-weight="bold"' : '';
  const escaped = text.replace(/&/g, '&amp;').replace(/</g, '&lt;');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="4000" height="400"><text x="50" y="200" font-family="sans-serif" font-size="${size}"${weight}>${escaped}</text></svg>`;
  const box = new Resvg(svg, { font: FONT }).getBBox();
  return box === undefined ? undefined : { width: box.width, height: box.height };
}
