import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { benchPageText } from '../../benchPage.mjs';
import { ROOT } from '../support/command.ts';
import { begin, input, rested } from './bench.ts';
import { openShop, type Shop } from './browser.ts';

let shop: Shop;
let PAGE: string;
const AXE = readFileSync(join(ROOT, 'node_modules/axe-core/axe.min.js'), 'utf8');

beforeAll(async () => {
  PAGE = (await benchPageText('licences of the libraries')).page;
  shop = await openShop();
});
afterAll(async () => {
  await shop.close();
});

/** Everything that is folded away, unfolded, and everything made. */
async function unfolded(page: Page): Promise<void> {
  await page.click('#use-shop');
  await rested(page);
  await page.click('#make-now');
  await page.waitForSelector('#made .made');
  await page.evaluate(() => {
    for (const box of document.querySelectorAll('details')) box.open = true;
  });
  for (const [id, text] of [
    ['depth-bass', '0.3'],
    ['gap-bass', '0.9'],
    ['gap-treble', '0.8'],
  ])
    await page.fill(`#fit-${id}`, text ?? '');
  await page.click('#fit-add');
  await rested(page);
}

async function expectNothingSerious(page: Page): Promise<void> {
  await page.evaluate(AXE);
  const { found, passed } = await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[]; passes: unknown[] }> };
    };
    const { violations, passes } = await axe.run();
    return {
      found: violations.map(({ id, impact, nodes }) => `${impact} ${id}: ${nodes[0]?.html ?? ''}`),
      passed: passes.length,
    };
  });
  expect(passed).toBeGreaterThan(25);
  expect(found.filter((line) => /^(serious|critical)/.test(line))).toEqual([]);
}

describe('the bench page', () => {
  it('is one file under 2.5 MB whose policy lets nothing in and nothing be evaluated', async () => {
    expect(Buffer.byteLength(PAGE)).toBeLessThan(2_500_000);
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(PAGE)?.[1]?.replaceAll('&#39;', "'") ?? '';
    expect(policy).toMatch(
      /^default-src 'none'; script-src 'sha256-\S+'; style-src 'sha256-\S+'; base-uri 'none'; form-action 'none'$/,
    );
    expect(PAGE).not.toMatch(/<[a-z][^<>]* (?:on[a-z]+|style|src)="/);
    expect(PAGE.replace(/<script>[\s\S]*<\/script>/, '')).not.toMatch(/https?:\/\//);
    const hurt = PAGE.replace('</body>', '<script>window.hit = 1</script><p id="p" onclick="window.hit = 2">x</p></body>');
    const { page, trouble, close } = await shop.open(hurt);
    await page.click('#p');
    expect(await page.evaluate(() => 'hit' in window)).toBe(false);
    expect(trouble.filter((line) => line.includes('Content Security Policy')).length).toBeGreaterThan(1);
    await close();
  });

  it('keeps hostile titles and notes inert', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'six-string-24-75');
    const evil = '</script><img src=x onerror="window.hit=1"><b>';
    await page.fill(input('title'), evil);
    for (const [id, text] of [
      ['depth-bass', '0'],
      ['gap-bass', '1.2'],
      ['note', evil],
    ])
      await page.fill(`#fit-${id}`, text ?? '');
    await page.click('#fit-add');
    await rested(page);
    await begin(page, 'left-handed');
    await page.locator('#kept-box summary').click();
    expect(await page.locator('#kept').textContent()).toContain(evil);
    expect(await page.locator('img, b').count()).toBe(0);
    expect(await page.evaluate(() => 'hit' in window)).toBe(false);
    expect(trouble).toEqual([]);
    await close();
  });

  it.each([
    ['phone', 390, 844, 'dark'],
    ['tablet', 820, 1180, 'light'],
    ['desktop', 1440, 900, 'light'],
  ] as const)(
    'is laid out for a %s: nothing too wide, targets for a thumb, nothing serious by axe',
    async (_, width, height, scheme) => {
      const { page, trouble, close } = await shop.open(PAGE, { width, height, scheme });
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      await begin(page, 'six-string-24-75');
      await unfolded(page);
      await page.fill(input('scale.frets'), '2.5');
      await rested(page);
      await page.fill(input('scale.frets'), '21');
      await rested(page);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      const small = await page.evaluate(() =>
        [
          ...document.querySelectorAll<HTMLElement>('button, select, input, summary, textarea, nav a, .tally a, label.file'),
        ].flatMap((element) => {
          // A box to tick is as large as its label, a file as the button it lies in.
          const target = element.closest('label.apart, label.file') ?? element;
          const { width: wide, height: high } = target.getBoundingClientRect();
          return wide === 0 || (wide >= 44 && high >= 43.9)
            ? []
            : [`${element.id || element.className || element.textContent}: ${wide} by ${high}`];
        }),
      );
      expect(small).toEqual([]);
      const outside = await page.evaluate(() =>
        [...document.querySelectorAll('.bench .field, .bench .field input, .bench select, .bench p, .bench button')].flatMap(
          (element) => {
            const box = element.getBoundingClientRect();
            const frame = element.closest('.frame')?.getBoundingClientRect();
            return frame === undefined || box.width === 0 || (box.left >= frame.left - 1 && box.right <= frame.right + 1)
              ? []
              : [element.id || element.className];
          },
        ),
      );
      expect(outside).toEqual([]);
      // The tablet's sheets are the desktop's, one below the other.
      if (width !== 820) await expectNothingSerious(page);
      expect(trouble).toEqual([]);
      await close();
    },
  );

  it('names every field, and shows a ring round whatever has the keyboard', async () => {
    const { page, close } = await shop.open(PAGE);
    await begin(page, 'seven-string-27');
    await unfolded(page);
    const names = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLInputElement>('input, select, textarea')].map(
        (element) => element.getAttribute('aria-label') ?? element.labels?.[0]?.textContent?.trim() ?? '',
      ),
    );
    expect(names.length).toBeGreaterThan(90);
    expect(names.filter((name) => name === '')).toEqual([]);
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab');
      const ring = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        const shown = element.closest('label.file') ?? element;
        return element === document.body || getComputedStyle(shown).outlineStyle !== 'none';
      });
      expect(ring).toBe(true);
    }
    await close();
  });

  it('prints what was measured and what to do, on light paper and without its buttons', async () => {
    const { page, close } = await shop.open(PAGE, { scheme: 'dark' });
    await begin(page, 'six-string-24-75');
    await page.emulateMedia({ media: 'print' });
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    const seen = await page.evaluate(() =>
      ['measure', 'see', 'tally', 'begin', 'make'].map(
        (id) => (document.getElementById(id)?.getBoundingClientRect().height ?? 0) > 0,
      ),
    );
    expect(seen).toEqual([true, true, false, false, false]);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe('rgb(255, 255, 255)');
    expect((await page.pdf({ format: 'A4' })).subarray(0, 5).toString()).toBe('%PDF-');
    await close();
  });
});
