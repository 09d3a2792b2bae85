import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

/** px. Pictures are compared tile by tile, so that a line that moved cannot hide among a million pixels that did not. */
const TILE = 96;
/** Colours nearer than this (of 1) are the same, as pixelmatch counts. */
const COLOUR = 0.15;
/**
 * Share of a tile's pixels that may differ: what another version of the browser makes of the edges of slanted lines stays below it, a line
 * that is moved by two pixels across a tile (about 2 / 96 on either side) does not.
 */
export const PART_OF_A_TILE = 0.012;

/** The tile in which two pictures differ most; pictures of other sizes differ altogether. */
export function compared(then: PNG, now: PNG): { readonly share: number; readonly where: string } {
  if (then.width !== now.width || then.height !== now.height)
    return { share: 1, where: `${then.width} x ${then.height} then, ${now.width} x ${now.height} now` };
  let worst = { share: 0, where: 'the same' };
  for (let y = 0; y < now.height; y += TILE)
    for (let x = 0; x < now.width; x += TILE) {
      const [w, h] = [Math.min(TILE, now.width - x), Math.min(TILE, now.height - y)];
      const [a, b] = [then, now].map((picture) => {
        const tile = new PNG({ width: w, height: h });
        PNG.bitblt(picture, tile, x, y, w, h, 0, 0);
        return tile.data;
      }) as [Buffer, Buffer];
      if (a.equals(b)) continue;
      const share = pixelmatch(a, b, undefined, w, h, { threshold: COLOUR }) / (TILE * TILE);
      if (share > worst.share) worst = { share, where: `${(share * 100).toFixed(1)} % of the tile at ${x}, ${y}` };
    }
  return worst;
}

/** Digits. What is written with fewer was rounded for people or machines, and must be the same. */
const UNROUNDED_FROM = 13;
/** Of a figure of about 1, and of larger ones in proportion: last bits, with what the solve and its derivatives make of them. */
const LAST_BITS = 1e-11;
const NUMBER = /-?\d+(?:\.\d+)?(?:e[-+]?\d+)?/g;

/** Whether two texts are the same but for the last bits of figures that stand in them unrounded. */
export function differsInLastBitsAtMost(one: string, other: string): boolean {
  if (one.replace(NUMBER, '#') !== other.replace(NUMBER, '#')) return false;
  const others = other.match(NUMBER) ?? [];
  return (one.match(NUMBER) ?? []).every((text, i) => {
    const against = others[i] ?? '';
    if (text === against) return true;
    const digits = Math.min(...[text, against].map((each) => each.replace(/e.*|[-.]/g, '').length));
    const [a, b] = [Number(text), Number(against)];
    return digits >= UNROUNDED_FROM && Math.abs(a - b) <= LAST_BITS * Math.max(1, Math.abs(a));
  });
}
