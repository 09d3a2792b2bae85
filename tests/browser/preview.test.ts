import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import { openShop, type Shop, settled, toLine } from './browser.ts';
import { endsOf, JOB, made, pageFor, SHOP, TWO_CUTTERS, template, textOf } from './pages.ts';

let shop: Shop;
const all = made();
const PAGE = textOf(all, 'preview.html');
const PROGRAM = textOf(all, 'floor.nc');
const LINES = PROGRAM.trimEnd().split('\n');
/** A pocket that is pitched and rolled, left-handed. */
const ROLLED = JOB.replace('hand: right', 'hand: left')
  .replace('bass: 1.2 ± 0.05', 'bass: 1.9 ± 0.05')
  .replace('floor: pitch,', 'floor: pitch-and-roll,');
/** The same pocket clamped out of level, and the shop with its bodies turned. */
const TILTED = JOB.replace(
  '  clearBefore: 25\n',
  '  clearBefore: 25\n  mounted: {mouthBass: 0.4, mouthTreble: -0.5, rearBass: 1.9, rearTreble: 1.0}\n',
);
const turnedShop = (turn: number): string => SHOP.replace('turn: 0', `turn: ${turn}`);
const INCHES = template('six-string-25-5');
const NO_CUT = JOB.replace('target: {gap: 0', 'target: {gap: 1.5');
const AXE = readFileSync(join(ROOT, 'node_modules/axe-core/axe.min.js'), 'utf8');

/** A program whose one line goes far too deep, and that line. */
function gouged(): { readonly text: string; readonly line: number } {
  const at = LINES.findIndex((line) => /^G1 X\S+ Z-?0\.\d+$/.test(line));
  if (at < 0) throw new Error('the sample program has no such line');
  const lines = [...LINES];
  lines[at] = (lines[at] ?? '').replace(/Z\S+/, 'Z-1.200');
  return { text: `${lines.join('\n')}\n`, line: at + 1 };
}

beforeAll(async () => {
  shop = await openShop();
});
afterAll(async () => {
  await shop.close();
});

/** The colour of a style's name and how many pixels of a canvas have it, near a place in CSS pixels or anywhere. */
async function pixels(page: Page, id: string, name: string, near?: { x: number; y: number; within: number }): Promise<number> {
  return page.evaluate(
    ([canvasId, property, around]) => {
      const canvas = document.getElementById(canvasId) as HTMLCanvasElement;
      const color = getComputedStyle(document.documentElement).getPropertyValue(property).trim();
      const wanted = [1, 3, 5].map((i) => Number.parseInt(color.slice(i, i + 2), 16));
      const ratio = canvas.width / canvas.clientWidth;
      const context = canvas.getContext('2d') as CanvasRenderingContext2D;
      const box =
        around === undefined
          ? [0, 0, canvas.width, canvas.height]
          : [
              Math.round((around.x - around.within) * ratio),
              Math.round((around.y - around.within) * ratio),
              Math.ceil(2 * around.within * ratio),
              Math.ceil(2 * around.within * ratio),
            ];
      const { data } = context.getImageData(...(box as [number, number, number, number]));
      let count = 0;
      for (let i = 0; i < data.length; i += 4)
        if (wanted.every((value, k) => Math.abs((data[i + k] ?? 0) - value) < 12)) count += 1;
      return count;
    },
    [id, name, near] as const,
  );
}

/** The cutter's middle on the plan, in CSS pixels, by the canvas's own scale. */
async function onPlan(page: Page, x: number, y: number, id = 'above'): Promise<{ x: number; y: number }> {
  return page.evaluate(
    ([bx, by, canvas]) => {
      const { k, x0, y0 } = (document.getElementById(canvas) as HTMLCanvasElement).dataset;
      return { x: Number(x0) + bx * Number(k), y: Number(y0) - by * Number(k) };
    },
    [x, y, id] as const,
  );
}

describe('the page', () => {
  it.each([
    ['with its program', PAGE, ['answer', 'strings', 'floor', 'route', 'verdict']],
    ['without a shop file', textOf(made(JOB, null), 'preview.html'), ['answer', 'strings', 'floor']],
    ['where no cut is needed', textOf(made(NO_CUT), 'preview.html'), ['answer', 'strings']],
    ['pitched and rolled, left-handed', textOf(made(ROLLED), 'preview.html'), ['answer', 'strings', 'floor', 'route', 'verdict']],
  ] as const)('%s opens from its file with nothing said and nothing fetched', async (_, text, sheets) => {
    const { page, trouble, close } = await shop.open(text);
    await settled(page);
    await page.waitForTimeout(200);
    expect(trouble).toEqual([]);
    expect(await page.locator('.sheet').evaluateAll((found) => found.map(({ id }) => id))).toEqual(sheets);
    expect(await page.locator('#strings-drawing line').count()).toBeGreaterThan(20);
    await close();
  });

  it('obeys its own policy: another script or style does nothing', async () => {
    const hurt = PAGE.replace('</body>', '<script>window.hit = 1</script><img src="x" onerror="window.hit = 2"></body>');
    const { page, trouble, close } = await shop.open(hurt);
    expect(await page.evaluate(() => 'hit' in window)).toBe(false);
    expect(trouble.filter((line) => line.includes('Content Security Policy')).length).toBeGreaterThan(1);
    await close();
  });

  it('keeps hostile titles, notes and comments inert', async () => {
    const evil = '</title></script><!--<script>window.hit=1</script><img src=x onerror=window.hit=1>';
    const job = JOB.replace(/^title: .*$/m, `title: ${JSON.stringify(`${evil}\u202e`)}`).concat(
      `fits:\n  - {depth: 0.3, lastFretGap: 0.7, note: ${JSON.stringify(evil)}}\n`,
    );
    const program = PROGRAM.replace('(pocketpitch: neck pocket floor)', `(${evil})\n(\u202egnp.\u2028exe \u0000)`);
    const { page, trouble, close } = await shop.open(pageFor(program, job, evil));
    await toLine(page, 1);
    expect(trouble).toEqual([]);
    expect(await page.evaluate(() => 'hit' in window)).toBe(false);
    expect(await page.locator('h1').textContent()).toBe(`${evil}\u25a1`);
    expect(await page.locator('#lines').textContent()).toContain(evil);
    expect(await page.locator('#lines').textContent()).toContain('\u25a1gnp.\u25a1exe \u25a1');
    expect(await page.locator('#answer').textContent()).toContain(evil);
    expect(await page.locator('img, iframe, object, embed, link').count()).toBe(0);
    expect(await page.locator('script').count()).toBe(2);
    await close();
  });
});

describe('the strings', () => {
  it('are called as they were found once wood is off', async () => {
    const labels = async (text: string): Promise<string> => {
      const { page, close } = await shop.open(text);
      await settled(page);
      const said = await page.evaluate(() =>
        ['strings-drawing', 'strings-key', 'fret-gaps'].map((id) => document.getElementById(id)?.textContent).join(),
      );
      await close();
      return said;
    };
    const fresh = await labels(PAGE);
    expect(fresh.match(/now, (?:lowest|highest)/g)?.length).toBeGreaterThanOrEqual(4);
    expect(fresh).not.toContain('as found');
    const filed = `${JOB}fits:\n  - {depth: 0.5, lastFretGap: {bass: 1.16, treble: 0.97}, raised: 1}\n`;
    const after = await labels(textOf(made(filed), 'preview.html'));
    expect(after.match(/as found, (?:lowest|highest)/g)?.length).toBeGreaterThanOrEqual(4);
    expect(after).not.toContain('now,');
  });
});

describe("the cutter's way", () => {
  it('stands, at each line that is typed, where that line ends: by its figures and by its pixels', async () => {
    const { page, close } = await shop.open(PAGE);
    const ends = endsOf(PROGRAM);
    let looked = 0;
    for (let line = 1; line <= LINES.length; line += 23) {
      await toLine(page, line);
      const state = await page.locator('#state').evaluate((list) => ({ ...(list as HTMLElement).dataset }));
      expect(state.line).toBe(String(line));
      expect(await page.locator('#lines [aria-current]').textContent()).toContain(LINES[line - 1] ?? '?');
      const end = ends[line];
      if (end === undefined || Number.isNaN(end.x)) {
        expect(state.x).toBe('');
        continue;
      }
      expect([Number(state.x), Number(state.y), Number(state.z)]).toEqual([end.x, end.y, end.z]);
      const at = await onPlan(page, end.x, end.y);
      // The dot in the cutter's middle is 7 pixels wide.
      expect(await pixels(page, 'above', '--mark', { ...at, within: 2 }), `line ${line}`).toBeGreaterThan(12);
      looked += 1;
    }
    expect(looked).toBeGreaterThan(12);
    await close();
  });

  it.each([
    [90, JOB],
    [270, TILTED],
  ] as const)(
    'of a body turned by %i stands there too: the figures are the words, the drawing is turned back',
    async (turn, job) => {
      const files = made(job, turnedShop(turn));
      const program = textOf(files, 'floor.nc');
      const { page, trouble, close } = await shop.open(textOf(files, 'preview.html'));
      await settled(page);
      expect(trouble).toEqual([]);
      const ends = endsOf(program);
      let looked = 0;
      for (let line = 40; line < ends.length; line += 61) {
        await toLine(page, line);
        const state = await page.locator('#state').evaluate((list) => ({ ...(list as HTMLElement).dataset }));
        const end = ends[line];
        if (end === undefined || Number.isNaN(end.x)) continue;
        expect([Number(state.x), Number(state.y), Number(state.z)]).toEqual([end.x, end.y, end.z]);
        expect(await page.locator('#state').textContent()).toContain(`X${end.x.toFixed(2).replace(/^-(0\.00)$/, '$1')} mm`);
        const [x, y] = turn === 90 ? [end.y, -end.x] : [-end.y, end.x];
        const at = await onPlan(page, x, y);
        expect(await pixels(page, 'above', '--mark', { ...at, within: 2 }), `line ${line}`).toBeGreaterThan(12);
        looked += 1;
      }
      expect(looked).toBeGreaterThan(4);
      await toLine(page, ends.length - 1);
      // Nothing is cut too deep, and no more than the strip along the walls stays.
      expect(await pixels(page, 'above', '--fault')).toBe(0);
      expect(await page.locator('.stamp.no').count()).toBe(0);
      expect(await page.locator('#route').textContent()).toContain(`turned by ${turn} degrees`);
      await close();
    },
  );

  it('of another for a turned and tilted body has its fault marked where it stands', async () => {
    const program = textOf(made(TILTED, turnedShop(90)), 'floor.nc');
    const lines = program.trimEnd().split('\n');
    const at = lines.findIndex((line, i) => i > lines.length / 2 && /^G1 Y\S+ Z\S+$/.test(line));
    lines[at] = (lines[at] ?? '').replace(/Z\S+/, 'Z-1.900');
    const { page, trouble, close } = await shop.open(pageFor(`${lines.join('\n')}\n`, TILTED, 'theirs.nc', turnedShop(90)));
    await settled(page);
    expect(trouble).toEqual([]);
    expect(at).toBeGreaterThan(0);
    expect(await page.locator(`#faults button[data-line="${at + 1}"]`).count()).toBeGreaterThan(0);
    await toLine(page, at + 1);
    expect(await page.locator('#lines [aria-current] .why').first().textContent()).toContain('floor');
    expect(await pixels(page, 'above', '--fault')).toBeGreaterThan(200);
    await close();
  });

  it('goes on by steps and back, by time, and by running to its end', async () => {
    const { page, close } = await shop.open(PAGE);
    const line = async (): Promise<number> => Number(await page.locator('#state').getAttribute('data-line'));
    await toLine(page, 100);
    await page.click('#on');
    await settled(page);
    expect(await line()).toBe(101);
    await page.click('#back');
    await page.click('#back');
    await settled(page);
    expect(await line()).toBe(99);
    const whole = Number(await page.locator('#time').getAttribute('max'));
    await page.locator('#time').evaluate((field, seconds) => {
      (field as HTMLInputElement).value = String(seconds);
      field.dispatchEvent(new Event('input', { bubbles: true }));
    }, whole * 0.999);
    await settled(page);
    expect(await line()).toBeGreaterThan(LINES.length - 8);
    await page.focus('#lines-through');
    await page.keyboard.press('Home');
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await settled(page);
    expect(await line()).toBe(3);
    await page.selectOption('#pace', '60');
    await page.click('#run');
    await page.waitForFunction(() => document.getElementById('run')?.textContent === 'Run');
    await settled(page);
    expect(await line()).toBe(LINES.length);
    expect(await page.locator('#state').textContent()).toContain('time left0:00');
    await close();
  });

  it('shows the wood as it stands: bare at the start, darker where it has been cut, as new when gone back', async () => {
    const { page, close } = await shop.open(PAGE);
    const mouth = async (): Promise<number> => {
      // Aside of the zero with its arrows.
      const at = await onPlan(page, 4, 14);
      return page.evaluate(({ x, y }) => {
        const canvas = document.getElementById('above') as HTMLCanvasElement;
        const ratio = canvas.width / canvas.clientWidth;
        const { data } = (canvas.getContext('2d') as CanvasRenderingContext2D).getImageData(
          Math.round(x * ratio) - 6,
          Math.round(y * ratio) - 30,
          12,
          60,
        );
        return Math.max(...data.filter((_, i) => i % 4 === 1));
      }, at);
    };
    await toLine(page, 0);
    const bare = await mouth();
    await toLine(page, LINES.length);
    const cut = await mouth();
    expect(bare - cut).toBeGreaterThan(60);
    await toLine(page, 0);
    expect(await mouth()).toBe(bare);
    await close();
  });

  it('marks the faults of another program on the drawing, in the strip and in a list that leads to them', async () => {
    const { text, line } = gouged();
    const { page, trouble, close } = await shop.open(pageFor(text));
    await settled(page);
    expect(trouble).toEqual([]);
    expect(await page.locator('.stamp.no').count()).toBe(2);
    // The first fault is what is seen first.
    expect(await page.locator('#state').getAttribute('data-line')).toBe(String(line));
    expect(await page.locator('#lines [aria-current]').textContent()).toContain('✕');
    expect((await page.locator('#lines [aria-current] .why').allTextContents()).join()).toMatch(
      /floor: .*bite: |bite: .*floor: /,
    );
    const end = endsOf(text)[line];
    const at = await onPlan(page, end?.x ?? 0, end?.y ?? 0);
    await toLine(page, 0);
    expect(await pixels(page, 'above', '--fault', { ...at, within: 10 })).toBeGreaterThan(30);
    await page.locator(`#faults button[data-line="${line}"]`).first().click();
    await settled(page);
    expect(await page.locator('#state').getAttribute('data-line')).toBe(String(line));
    // What was cut too deep is chequered once it is cut.
    expect(await pixels(page, 'above', '--fault')).toBeGreaterThan(200);
    await close();
    const sound = await shop.open(PAGE);
    await toLine(sound.page, LINES.length);
    expect(await pixels(sound.page, 'above', '--fault')).toBe(0);
    expect(await sound.page.locator('.stamp.no').count()).toBe(0);
    await sound.close();
  });

  it('shows a program that cannot be read as far as it can be, and says that it is not proved', async () => {
    const lines = [...LINES];
    lines[120] = 'G2 X10 Y10 I5 J0';
    const { page, trouble, close } = await shop.open(pageFor(`${lines.join('\n')}\n`));
    await settled(page);
    expect(trouble).toEqual([]);
    expect(await page.locator('#lines .why').first().textContent()).toContain('words');
    expect(await page.locator('#verdict').textContent()).toContain('not judged');
    await close();
  });

  it('keeps a program of 200 000 moves in hand', async () => {
    const moves = Array.from(
      { length: 200_000 },
      (_, i) => `G1 X${(10 + (i % 500) / 10).toFixed(3)} Y${((i % 977) / 20 - 24).toFixed(3)} Z30.000`,
    );
    const text = [
      'G21',
      'G17',
      'G90',
      'G94',
      'G0 Z30.000',
      'G0 X0.000 Y0.000',
      'G1 Z30.000 F1200',
      ...moves,
      'M5',
      'M2',
      '',
    ].join('\n');
    const { page, trouble, close } = await shop.open(pageFor(text));
    await settled(page);
    await toLine(page, 150_000);
    expect(Number(await page.locator('#state').getAttribute('data-x'))).toBeCloseTo(
      Number(/X(\S+)/.exec(moves[150_000 - 8] ?? '')?.[1]),
      4,
    );
    // A print waits for nothing: what is not drawn at once would be missing on the paper.
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    const printed = await page.locator('#state').evaluate((list) => ({ ...(list as HTMLElement).dataset }));
    expect(printed).toMatchObject({ line: String(text.trimEnd().split('\n').length), behind: 'false' });
    expect(trouble).toEqual([]);
    await close();
  });
});

describe('two cutters', () => {
  const files = made(JOB, TWO_CUTTERS);
  const [floor, rim] = ['floor.nc', 'rim.nc'].map((name) => textOf(files, name)) as [string, string];
  const count = rim.trimEnd().split('\n').length;

  it('have a sheet and a verdict each; the second begins with what the first leaves, and takes it', async () => {
    const { page, trouble, close } = await shop.open(textOf(files, 'preview.html'));
    await settled(page);
    expect(trouble).toEqual([]);
    expect(await page.locator('.sheet').evaluateAll((found) => found.map(({ id }) => id))).toEqual([
      'answer',
      'strings',
      'floor',
      'route',
      'verdict',
      'route-2',
      'verdict-2',
    ]);
    expect(await page.locator('#answer .stamp').allTextContents()).toEqual(['PROVED', 'PROVED']);
    expect(await page.locator('#verdict-2 tbody .rule').first().textContent()).toBe('before');
    const ends = endsOf(rim);
    let looked = 0;
    for (let line = 20; line < count; line += 31) {
      await toLine(page, line, '-2');
      const state = await page.locator('#state-2').evaluate((list) => ({ ...(list as HTMLElement).dataset }));
      const end = ends[line];
      if (end === undefined || Number.isNaN(end.x)) continue;
      expect([Number(state.x), Number(state.y), Number(state.z)]).toEqual([end.x, end.y, end.z]);
      const at = await onPlan(page, end.x, end.y, 'above-2');
      expect(await pixels(page, 'above-2', '--mark', { ...at, within: 2 }), `line ${line}`).toBeGreaterThan(12);
      looked += 1;
    }
    expect(looked).toBeGreaterThan(2);
    // The first one's sheet stays where it was.
    expect(await page.locator('#state').getAttribute('data-line')).toBe('0');
    // Beside the wall, where the first one leaves a rim: hatched before, clean after; the body's top in neither case.
    const hatched = async (line: number): Promise<number> => {
      await toLine(page, line, '-2');
      return pixels(page, 'above-2', '--ink', { ...(await onPlan(page, 30, 26.6, 'above-2')), within: 6 });
    };
    const first = await hatched(0);
    expect(first).toBeGreaterThan(20);
    // With one level shown the ways of the others are not in the picture.
    await page.selectOption('#level-2', '0');
    expect(await hatched(count)).toBeLessThan(0.2 * first);
    expect(await pixels(page, 'above-2', '--fault')).toBe(0);
    await close();
  });

  it('of another: each judged, the second by the text before it, its faults on its own sheet', async () => {
    const lines = rim.trimEnd().split('\n');
    const at = lines.findIndex((line, i) => i > count / 2 && /^G1 X\S+ Z-0\./.test(line));
    expect(at).toBeGreaterThan(0);
    lines[at] = (lines[at] ?? '').replace(/Z\S+/, 'Z-1.200');
    const { page, trouble, close } = await shop.open(pageFor(`${lines.join('\n')}\n`, JOB, 'theirs.nc', TWO_CUTTERS, floor));
    await settled(page);
    expect(trouble).toEqual([]);
    expect(await page.locator('#verdict .stamp').textContent()).toBe('PROVED');
    expect(await page.locator('#verdict-2 .stamp').textContent()).toBe('NOT PROVED');
    expect(await page.locator('#faults').count()).toBe(0);
    expect(await page.locator('#state-2').getAttribute('data-line')).toBe(String(at + 1));
    await toLine(page, 0, '-2');
    await page
      .locator(`#faults-2 button[data-line="${at + 1}"]`)
      .first()
      .click();
    await settled(page);
    expect(await page.locator('#state-2').getAttribute('data-line')).toBe(String(at + 1));
    expect(await page.locator('#lines-2 [aria-current] .why').first().textContent()).toContain('floor');
    expect(await pixels(page, 'above-2', '--fault')).toBeGreaterThan(50);
    expect(await pixels(page, 'above', '--fault')).toBe(0);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('#faults-2 button').first().isVisible()).toBe(true);
    // A first program that is not proved says nothing about the wood that the second begins with.
    const unsound = await shop.open(pageFor(rim, JOB, 'theirs.nc', TWO_CUTTERS, gouged().text));
    expect(await unsound.page.locator('#verdict-2 tr', { hasText: 'before' }).first().textContent()).toContain('broken');
    expect(await unsound.page.locator('#verdict-2 tr', { hasText: 'walls' }).textContent()).toContain('not judged');
    await unsound.close();
    await close();
  });
});

describe('everyone', () => {
  it('reaches and works everything with the keyboard alone', async () => {
    const { text } = gouged();
    const { page, close } = await shop.open(pageFor(text));
    const wanted = await page.evaluate(() =>
      [...document.querySelectorAll('a, button, input, select')].map((element, i) => {
        element.setAttribute('data-at', String(i));
        return String(i);
      }),
    );
    const reached = new Set<string>();
    for (let i = 0; i < wanted.length + 30; i++) {
      await page.keyboard.press('Tab');
      const seen = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        const outline = getComputedStyle(element);
        return { at: element.dataset.at ?? '', ring: outline.outlineStyle !== 'none' };
      });
      if (seen.at !== '') expect(seen.ring, `no ring around element ${seen.at}`).toBe(true);
      reached.add(seen.at);
    }
    expect(wanted.filter((at) => !reached.has(at))).toEqual([]);
    await page.focus('#fret');
    await page.keyboard.press('ArrowDown');
    expect(await page.locator('#fret-gaps').textContent()).toContain('fret 19');
    await page.focus('#tall');
    await page.keyboard.press('Home');
    expect(await page.locator('#strings-scale').textContent()).toContain('same scale');
    await page.focus('#cut-x');
    await page.keyboard.press('End');
    expect(await page.locator('#floor-at').textContent()).toContain('71.5 mm from the mouth');
    await page.focus('#line');
    await page.keyboard.press('Control+a');
    await page.keyboard.type('60');
    await page.keyboard.press('ArrowUp');
    await settled(page);
    expect(await page.locator('#state').getAttribute('data-line')).toBe('61');
    await page.focus('#run');
    await page.keyboard.press('Space');
    expect(await page.locator('#run').textContent()).toBe('Stop');
    await page.keyboard.press('Space');
    expect(await page.locator('#run').textContent()).toBe('Run');
    await close();
  });

  it.each([
    ['light', 1280],
    ['dark', 390],
  ] as const)('finds nothing serious by axe, %s at %d', async (scheme, width) => {
    const { text } = gouged();
    const { page, close } = await shop.open(pageFor(text, JOB, 'theirs.nc', TWO_CUTTERS, text), { scheme, width });
    await settled(page);
    await page.evaluate(AXE);
    const { found, passed } = await page.evaluate(async () => {
      const { axe } = window as unknown as {
        axe: {
          run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[]; passes: unknown[] }>;
        };
      };
      const { violations, passes } = await axe.run();
      return {
        found: violations.map(({ id, impact, nodes }) => `${impact} ${id}: ${nodes[0]?.html ?? ''}`),
        passed: passes.length,
      };
    });
    expect(passed).toBeGreaterThan(20);
    expect(found.filter((line) => /^(serious|critical)/.test(line))).toEqual([]);
    await close();
  });

  const JOBS = [
    ['the sample', PAGE],
    ['a rolled floor, left-handed', textOf(made(ROLLED), 'preview.html')],
    ['a job in inches', textOf(made(INCHES), 'preview.html')],
    ['a bass', textOf(made(template('bass-four-34')), 'preview.html')],
  ] as const;
  it.each(JOBS)(
    'reads %s on phone, bench and wall: nothing cut off, no lettering too small or on other lettering',
    async (_, text) => {
      const { page, close } = await shop.open(text);
      for (const width of [390, 1280, 2200]) {
        await page.setViewportSize({ width, height: width > 2000 ? 1300 : 844 });
        await settled(page);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
        const letters = await page.evaluate(() =>
          [...document.querySelectorAll('svg.draw text')].map((text) => {
            const box = text.getBoundingClientRect();
            const sheet = (text.closest('svg') as SVGSVGElement).getBoundingClientRect();
            const size =
              Number.parseFloat(getComputedStyle(text).fontSize) *
              (sheet.width / ((text.closest('svg') as SVGSVGElement).viewBox.baseVal.width || 1));
            return {
              words: text.textContent ?? '',
              size,
              left: box.left,
              right: box.right,
              top: box.top,
              bottom: box.bottom,
              sheet: { left: sheet.left, right: sheet.right, top: sheet.top, bottom: sheet.bottom },
            };
          }),
        );
        expect(letters.length).toBeGreaterThan(15);
        for (const letter of letters) {
          expect(letter.size, letter.words).toBeGreaterThanOrEqual(12);
          const { sheet } = letter;
          const inside =
            letter.left >= sheet.left - 1 &&
            letter.right <= sheet.right + 1 &&
            letter.top >= sheet.top - 1 &&
            letter.bottom <= sheet.bottom + 1;
          expect(inside, `'${letter.words}' leaves its drawing`).toBe(true);
        }
        const clashes = letters.flatMap((a, i) =>
          letters.slice(i + 1).flatMap((b) => {
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            // A line of lettering has a little air above and below its digits.
            return across > 1 && down > 5 ? [`'${a.words}' and '${b.words}'`] : [];
          }),
        );
        expect(clashes, `at ${width}`).toEqual([]);
      }
      await close();
    },
  );

  it('has a floor in its tests that is rolled', () => {
    expect(JSON.parse(textOf(made(ROLLED), 'report.json')).roll.angle).not.toBe(0);
  });

  it('prints its sheets in their order, each whole way and the finished floor on light paper', async () => {
    const files = made(JOB, TWO_CUTTERS);
    const { page, close } = await shop.open(textOf(files, 'preview.html'), { scheme: 'dark' });
    await settled(page);
    await page.emulateMedia({ media: 'print' });
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    for (const [id, name] of [
      ['#state', 'floor.nc'],
      ['#state-2', 'rim.nc'],
    ] as const)
      expect(await page.locator(id).getAttribute('data-line')).toBe(String(textOf(files, name).trimEnd().split('\n').length));
    expect(
      await page
        .locator('.controls')
        .evaluateAll((found) => found.every((element) => getComputedStyle(element).display === 'none')),
    ).toBe(true);
    const tops = await page.locator('.sheet').evaluateAll((found) => found.map((sheet) => sheet.getBoundingClientRect().top));
    expect([...tops].sort((a, b) => a - b)).toEqual(tops);
    const drawn = await page.locator('#above, #above-2').evaluateAll((found) =>
      (found as HTMLCanvasElement[]).map((canvas) => {
        const { data } = (canvas.getContext('2d') as CanvasRenderingContext2D).getImageData(0, 0, canvas.width, canvas.height);
        const at = 4 * (2 * canvas.width + 2);
        return { corner: [...data.slice(at, at + 4)], black: data.filter((value, i) => i % 4 === 0 && value < 40).length };
      }),
    );
    expect(drawn.length).toBe(2);
    for (const { corner, black } of drawn) {
      expect(corner).toEqual([255, 255, 255, 255]);
      expect(black).toBeGreaterThan(3000);
    }
    // Each sheet on one page of its own.
    const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
    expect(pdf.slice(0, 5)).toBe('%PDF-');
    expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(tops.length);
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    expect(await page.locator('#state').getAttribute('data-line')).toBe('0');
    await close();
  });
});
