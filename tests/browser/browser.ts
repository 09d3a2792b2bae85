import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome'];

function browserPath(): string {
  for (const folder of (process.env.PATH ?? '').split(delimiter))
    for (const name of NAMES) if (existsSync(join(folder, name))) return join(folder, name);
  throw new Error(`no browser on the PATH (${NAMES.join(', ')}): apt-get install chromium`);
}

export interface Opened {
  readonly page: Page;
  /** Whatever the page said, asked for or broke on, its own file left out. */
  readonly trouble: readonly string[];
  readonly close: () => Promise<void>;
}

export interface Look {
  readonly width?: number;
  readonly height?: number;
  readonly scheme?: 'light' | 'dark';
  readonly touch?: boolean;
  /** A script that runs before the page's own. */
  readonly before?: string;
  /** For a test that has to add a style or a font of its own. */
  readonly withoutPolicy?: boolean;
}

export interface Shop {
  /** Opens a page's text by double click, as it were: from a file, with nothing beside it. */
  readonly open: (text: string, look?: Look) => Promise<Opened>;
  readonly close: () => Promise<void>;
}

export async function openShop(): Promise<Shop> {
  // The sandbox needs what containers do not have; these pages are our own.
  const browser: Browser = await chromium.launch({ executablePath: browserPath(), args: ['--no-sandbox'] });
  const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-pages-'));
  let count = 0;
  return {
    async open(text, look = {}) {
      count += 1;
      const file = join(folder, `page-${count}.html`);
      writeFileSync(file, text);
      const url = pathToFileURL(file).href;
      const context = await browser.newContext({
        viewport: { width: look.width ?? 1280, height: look.height ?? 900 },
        colorScheme: look.scheme ?? 'light',
        hasTouch: look.touch ?? false,
        bypassCSP: look.withoutPolicy ?? false,
      });
      if (look.before !== undefined) await context.addInitScript(look.before);
      const page = await context.newPage();
      const trouble: string[] = [];
      page.on('console', (message) => trouble.push(`${message.type()}: ${message.text()}`));
      page.on('pageerror', (error) => trouble.push(`error: ${error.message}`));
      page.on('dialog', (dialog) => {
        trouble.push(`dialog: ${dialog.message()}`);
        void dialog.dismiss();
      });
      page.on('request', (request) => {
        if (request.url() !== url) trouble.push(`request: ${request.url()}`);
      });
      await page.goto(url);
      return { page, trouble, close: () => context.close() };
    },
    async close() {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Until the drawing has caught up with the moment asked for. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => {
    const states = document.querySelectorAll<HTMLElement>('.readout');
    return [...states].every(({ dataset }) => dataset.behind === 'false');
  });
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

/** `end` is what the ids of another program's sheet end in. */
export async function toLine(page: Page, line: number, end = ''): Promise<void> {
  await page.fill(`#line${end}`, String(line));
  await settled(page);
}
