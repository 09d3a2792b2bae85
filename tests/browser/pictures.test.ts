import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import { openShop, type Shop, settled, toLine } from './browser.ts';
import { compared, PART_OF_A_TILE } from './compare.ts';
import { made, textOf } from './pages.ts';

// Pictures of the whole preview at three widths, kept in tests/golden/pictures. `RENEW_GOLDENS=1 npx vitest run tests/browser/pictures`
// writes them anew; then look at each of them.

const FOLDER = join(ROOT, 'tests/golden/pictures');
const FONT = readFileSync(join(ROOT, 'node_modules/dejavu-fonts-ttf/ttf/DejaVuSans.ttf')).toString('base64');
const NEW = '.new';
const isInCi = process.env.CI !== undefined && process.env.CI !== '';
const isRenewing = process.env.RENEW_GOLDENS !== undefined && process.env.RENEW_GOLDENS !== '' && !isInCi;
/** Bytes of a picture at most: they stay with the project for good. */
const MOST_BYTES = 150_000;
/** The program's line at which the pictures are taken: in the middle of the second level. */
const LINE = 200;

const LOOKS = [
  { name: 'phone', width: 390, height: 844, scheme: 'light' },
  { name: 'bench', width: 1280, height: 900, scheme: 'dark' },
  { name: 'wall', width: 1920, height: 1080, scheme: 'light' },
] as const;

let shop: Shop;
const PAGE = textOf(made(), 'preview.html');

beforeAll(async () => {
  shop = await openShop();
});
afterAll(async () => {
  await shop.close();
});

interface Drawing {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Taken {
  readonly picture: PNG;
  readonly drawings: readonly Drawing[];
}
const taken = new Map<string, Taken>();

/**
 * Machines differ in their fonts and in how they draw letters and fields: the page's words are set in the guide's own face, so that its
 * lines break alike everywhere, and neither letters nor fields are seen in the picture, only the room they take.
 */
async function pictureOf(look: (typeof LOOKS)[number]): Promise<Taken> {
  const { page, close } = await shop.open(PAGE, { ...look, withoutPolicy: true });
  await page.addStyleTag({
    content: `@font-face { font-family: Same; src: url(data:font/ttf;base64,${FONT}); }
      *, .lines, .lines .why { font-family: Same !important; color: transparent !important; caret-color: transparent !important; }
      .draw text { visibility: hidden; } .controls, .faults button { opacity: 0; }
      .key { color: transparent !important; } .key svg { color: var(--ink) !important; }`,
  });
  await page.evaluate(() => document.fonts.load('16px Same'));
  await toLine(page, LINE);
  await page.evaluate(() => (document.activeElement as HTMLElement).blur());
  await page.waitForFunction(() => (document.getElementById('floor-left')?.textContent ?? '') !== '');
  await settled(page);
  const picture = PNG.sync.read(await page.screenshot({ fullPage: true, animations: 'disabled' }));
  const drawings = await page.locator('.draw, canvas').evaluateAll((found) =>
    found.map((element) => {
      const box = element.getBoundingClientRect();
      const [x, y] = [Math.ceil(box.x + scrollX), Math.ceil(box.y + scrollY)];
      return { id: element.id, x, y, width: Math.floor(box.width) - 1, height: Math.floor(box.height) - 1 };
    }),
  );
  await close();
  return { picture, drawings };
}

/** As small as can be: eight shades a colour, finer ones are all the same to the comparison. */
function keptAs(picture: PNG): Buffer {
  const kept = new PNG({ width: picture.width, height: picture.height });
  picture.data.forEach((value, i) => {
    kept.data[i] = Math.round(value / 36) * 36;
  });
  return PNG.sync.write(kept, { deflateLevel: 9, deflateStrategy: 0, filterType: 0, colorType: 2 });
}

describe.each(LOOKS)('the page on a $name screen', (look) => {
  const path = join(FOLDER, `preview-${look.name}.png`);

  it('looks as it did when somebody last looked at it', async () => {
    const { picture, drawings } = await pictureOf(look);
    taken.set(look.name, { picture, drawings });
    if (isRenewing) {
      mkdirSync(FOLDER, { recursive: true });
      writeFileSync(path, keptAs(picture));
    }
    expect(existsSync(path), `${path} is missing`).toBe(true);
    const kept = readFileSync(path);
    expect(kept.length).toBeLessThan(MOST_BYTES);
    const worst = compared(PNG.sync.read(kept), picture);
    if (worst.share > PART_OF_A_TILE) writeFileSync(path + NEW, keptAs(picture));
    else rmSync(path + NEW, { force: true });
    expect(worst.share, `${look.name}: ${worst.where}; the new picture is ${path}${NEW}`).toBeLessThanOrEqual(PART_OF_A_TILE);
  });
});

describe('the comparison', () => {
  it('sees each drawing that is moved by two pixels', () => {
    const { picture, drawings } = taken.get('phone') as Taken;
    expect(drawings.length).toBe(4);
    expect(compared(picture, picture).share).toBe(0);
    for (const { id, x, y, width, height } of drawings) {
      const moved = new PNG({ width: picture.width, height: picture.height });
      picture.data.copy(moved.data);
      PNG.bitblt(picture, moved, x, y, width - 2, height, x + 2, y);
      expect(compared(picture, moved).share, id).toBeGreaterThan(PART_OF_A_TILE);
    }
  });
});
