import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type ConsoleMessage, chromium, type Dialog, type Page, type Request } from 'playwright-core';

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

/** A tab that one test after the other may have. */
interface Tab {
  readonly page: Page;
  readonly kind: string;
  isTaken: boolean;
}

export async function openShop(): Promise<Shop> {
  // The sandbox needs what containers do not have; these pages are our own.
  const browser: Browser = await chromium.launch({ executablePath: browserPath(), args: ['--no-sandbox'] });
  const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-pages-'));
  // From the same place as the pages, so that it reaches what they keep.
  const blank = join(folder, 'blank.html');
  writeFileSync(blank, '<!doctype html><title>blank</title>');
  // A tab of its own, with its process, costs more than a page takes to load, and knows nothing yet of the script that every page has.
  const tabs: Tab[] = [];
  let count = 0;
  const tabFor = async (look: Look): Promise<Tab> => {
    const { touch: hasTouch = false, withoutPolicy: bypassCSP = false, before } = look;
    const kind = JSON.stringify([hasTouch, bypassCSP]);
    const free = before === undefined ? tabs.find((tab) => tab.kind === kind && !tab.isTaken) : undefined;
    if (free !== undefined) {
      free.isTaken = true;
      return free;
    }
    const context = await browser.newContext({ hasTouch, bypassCSP });
    if (before !== undefined) await context.addInitScript(before);
    const tab: Tab = { page: await context.newPage(), kind, isTaken: true };
    // A script that runs before the page's own cannot be taken back.
    if (before === undefined) tabs.push(tab);
    return tab;
  };
  /** As good as new: no other page, nothing kept, nothing pointed at. */
  const giveBack = async (tab: Tab): Promise<void> => {
    const { page } = tab;
    for (const other of page.context().pages()) if (other !== page) await other.close();
    // What the page keeps when it goes is kept by then.
    await page.goto(pathToFileURL(blank).href);
    await page.evaluate(() => {
      localStorage.clear();
      sessionStorage.clear();
    });
    await page.emulateMedia({ media: null, colorScheme: null });
    await page.mouse.move(0, 0);
    tab.isTaken = false;
  };
  return {
    async open(text, look = {}) {
      count += 1;
      const file = join(folder, `page-${count}.html`);
      writeFileSync(file, text);
      const url = pathToFileURL(file).href;
      const tab = await tabFor(look);
      const { page } = tab;
      await page.setViewportSize({ width: look.width ?? 1280, height: look.height ?? 900 });
      await page.emulateMedia({ colorScheme: look.scheme ?? 'light' });
      const trouble: string[] = [];
      const onConsole = (message: ConsoleMessage): unknown => trouble.push(`${message.type()}: ${message.text()}`);
      const onError = (error: Error): unknown => trouble.push(`error: ${error.message}`);
      const onDialog = (dialog: Dialog): void => {
        trouble.push(`dialog: ${dialog.message()}`);
        void dialog.dismiss();
      };
      const onRequest = (request: Request): void => {
        if (request.url() !== url) trouble.push(`request: ${request.url()}`);
      };
      page.on('console', onConsole).on('pageerror', onError).on('dialog', onDialog).on('request', onRequest);
      await page.goto(url);
      const close = async (): Promise<void> => {
        page.off('console', onConsole).off('pageerror', onError).off('dialog', onDialog).off('request', onRequest);
        await (look.before === undefined ? giveBack(tab) : page.context().close());
      };
      return { page, trouble, close };
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
