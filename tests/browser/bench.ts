import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { elementId } from '../../src/page/fields.ts';

/** What somebody writes into the fields of an empty sheet, in the page's own order: an invented job in millimetres. */
export const READINGS: readonly (readonly [string, string, string?])[] = [
  ['scale.length', '612'],
  ['scale.frets', '20'],
  ['strings.count', '6'],
  ['strings.spreadAtNut', '36'],
  ['strings.spreadAtSaddle', '53'],
  ['neck.nutToMouth', '388', '0.5'],
  ['neck.seatToCrown', '23.5', '0.1'],
  ['neck.nutGap', '0.5', '0.05'],
  ['pocket.length', '71.5', '0.1'],
  ['pocket.width', '2-19/64 in'],
  ['pocket.depth', '17.4'],
  ['pocket.body', '41'],
  ['bridge.travel', '7'],
];

export const input = (id: string): string => `#${elementId('job', id)}`;

/** Until everything has been worked out: the strip says a ±, or what is to be done, and says that this is all. */
export async function rested(page: Page): Promise<void> {
  await page.waitForSelector('#tally-said[aria-busy="false"]');
  expect(await page.locator('#tally-said').textContent()).not.toContain('…');
}

export async function begin(page: Page, starter: string): Promise<void> {
  await page.selectOption('#starter', starter);
  await page.click('#begin');
  await rested(page);
}

export async function setText(page: Page, doc: 'job' | 'shop', text: string): Promise<void> {
  await page.evaluate((id) => document.getElementById(id)?.setAttribute('open', ''), `${doc}-text-box`);
  await page.fill(`#${doc}-text`, text);
  await page.locator('h1').click();
  await rested(page);
}

export function jobText(page: Page): Promise<string> {
  return page.inputValue('#job-text');
}

/** The bytes that a button hands over, and under which name. */
export async function downloaded(
  page: Page,
  press: () => Promise<void>,
): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const [download] = await Promise.all([page.waitForEvent('download'), press()]);
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
}

/** Every file in the list of what was made, by its name. */
export async function allMade(page: Page, press: (button: string) => Promise<void>): Promise<Map<string, Buffer>> {
  await page.waitForSelector('#made .made');
  const names = await page
    .locator('#made [data-file]')
    .evaluateAll((found) => found.map((button) => (button as HTMLElement).dataset.file ?? ''));
  const all = new Map<string, Buffer>();
  for (const file of names) {
    const begun = performance.now();
    const { name, bytes } = await downloaded(page, () => press(`#made [data-file="${file}"]`));
    all.set(name, bytes);
    // Chromium takes a page that hands over more than ten files in a second for one that nobody works at.
    await page.waitForTimeout(Math.max(0, 120 - (performance.now() - begun)));
  }
  return all;
}
