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
