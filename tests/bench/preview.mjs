import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

// How the preview loads and runs with 2 000 and 200 000 moves, as ratios to an empty page on the same machine. Needs a build
// (npm run build) and Debian's chromium: node tests/bench/preview.mjs

const ENTRY = 'dist/pocketpitch.js';
const JOB = 'samples/reedling.yaml';
const SHOP = 'samples/marshlight-shop.yaml';
const ROUNDS = 5;

const executablePath = (process.env.PATH ?? '')
  .split(delimiter)
  .map((folder) => join(folder, 'chromium'))
  .find((path) => existsSync(path));
if (executablePath === undefined || !existsSync(ENTRY)) throw new Error('needs chromium on the PATH and a build');
const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-bench-'));

/** Lanes of short moves over the whole floor, level by level: as dense as a program from a drawing tool. */
function program(count) {
  const lines = ['G21', 'G17', 'G90', 'G94', 'G0 Z30.000', 'G0 X-7.000 Y0.000', 'M3 S16000', 'G1 Z0.000 F1200'];
  for (let i = 0; i < count; i++) {
    const lane = Math.floor(i / 400);
    const along = i % 400;
    const x = -7 + (75 * (lane % 2 === 0 ? along : 399 - along)) / 399;
    const y = -25 + ((lane * 0.5) % 50);
    lines.push(`G1 X${x.toFixed(3)} Y${y.toFixed(3)} Z${(-0.4 * (i / count)).toFixed(3)}`);
  }
  return `${[...lines, 'G1 Z30.000', 'M5', 'M2'].join('\n')}\n`;
}

function pageOf(count) {
  const nc = join(folder, `${count}.nc`);
  const out = join(folder, `${count}.html`);
  writeFileSync(nc, program(count));
  execFileSync(process.execPath, [ENTRY, 'preview', JOB, '--shop', SHOP, '--program', nc, '--out', out], { stdio: 'ignore' });
  return out;
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** Milliseconds to the load event and until the program is drawn, and between frames while the program runs at 60 times its pace from its middle. */
async function measure(browser, file, runs) {
  const page = await browser.newPage();
  const loads = [];
  const drawn = [];
  for (let i = 0; i < ROUNDS; i++) {
    await page.goto(pathToFileURL(file).href);
    loads.push(await page.evaluate('performance.getEntriesByType("navigation")[0].loadEventEnd'));
    if (!runs) continue;
    await page.waitForFunction(() => document.getElementById('state').dataset.behind === 'false', undefined, {
      polling: 20,
      timeout: 120_000,
    });
    drawn.push(await page.evaluate('performance.now()'));
  }
  if (runs) {
    await page.evaluate(`{
      const time = document.getElementById('time');
      time.value = String(Number(time.max) / 2);
      time.dispatchEvent(new Event('input'));
    }`);
    await page.waitForFunction(() => document.getElementById('state').dataset.behind === 'false', undefined, {
      timeout: 120_000,
    });
    await page.selectOption('#pace', '60');
    await page.click('#run');
  }
  const frame = await page.evaluate(`new Promise((done) => {
    const stamps = [];
    const next = (stamp) => {
      stamps.push(stamp);
      if (stamps.length === 120) done((stamps.at(-1) - stamps[0]) / 119);
      else requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
  })`);
  await page.close();
  return { load: median(loads), drawn: median(drawn), frame };
}

const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
try {
  const empty = join(folder, 'empty.html');
  writeFileSync(empty, '<!doctype html><title>empty</title>');
  const base = await measure(browser, empty, false);
  for (const count of [2_000, 200_000]) {
    const file = pageOf(count);
    const { load, drawn, frame } = await measure(browser, file, true);
    const kilobytes = Math.round(readFileSync(file).length / 1000);
    console.log(
      `${String(count).padStart(7)} moves, ${kilobytes} kB: load ${(load / base.load).toFixed(1)} times, drawn ${(drawn / base.load).toFixed(1)} times, a frame ${(frame / base.frame).toFixed(2)} times an empty page's`,
    );
  }
} finally {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}
