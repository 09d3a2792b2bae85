import { existsSync } from 'node:fs';
import { delimiter, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

// What a change of a value costs on the bench page until the drawings have moved, in the page's own processor time, as a ratio to a frame of
// the same page in which nothing changes. Needs a build (npm run build) and Debian's chromium: node tests/bench/page.mjs

const PAGE = 'dist/bench-page.html';
const CHANGES = 40;
const STARTERS = ['six-string-25-5', 'bass-four-34', 'left-handed', 'seven-string-27'];

const executablePath = (process.env.PATH ?? '')
  .split(delimiter)
  .map((folder) => join(folder, 'chromium'))
  .find((path) => existsSync(path));
if (executablePath === undefined || !existsSync(PAGE)) throw new Error('needs chromium on the PATH and a build');

const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
await page.goto(pathToFileURL(resolve(PAGE)).href);
const session = await page.context().newCDPSession(page);
await session.send('Performance.enable');
const threadTime = async () =>
  (await session.send('Performance.getMetrics')).metrics.find(({ name }) => name === 'ThreadTime')?.value ?? 0;

/** Milliseconds of processor time a frame, with a key pressed in each or none. */
async function frames(isTyping) {
  const before = await threadTime();
  await page.evaluate(
    async ([count, types]) => {
      const field = document.getElementById('job-pocket-body');
      const { value } = field;
      for (let i = 0; i < count; i++) {
        if (types) {
          field.value = `${value}${value.includes('.') ? '' : '.0'}${'1'.repeat(1 + (i % 3))}`;
          field.dispatchEvent(new Event('input', { bubbles: true }));
        }
        await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
      }
    },
    [CHANGES, isTyping],
  );
  return ((await threadTime()) - before) * (1000 / CHANGES);
}

for (const starter of STARTERS) {
  await page.selectOption('#starter', starter);
  await page.click('#begin');
  await page.waitForTimeout(500);
  await frames(true);
  const [idle, typing] = [await frames(false), await frames(true)];
  process.stdout.write(
    `${starter.padEnd(16)} ${typing.toFixed(1)} ms a change, ${(typing / Math.max(idle, 0.1)).toFixed(0)} idle frames\n`,
  );
}
await browser.close();
