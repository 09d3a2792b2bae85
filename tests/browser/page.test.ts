import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { builtCommand, type Command, type Desk, desk, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';
import { allMade, begin, downloaded, input, jobText, READINGS, rested, setText } from './bench.ts';
import { openShop, type Shop } from './browser.ts';
import { differsInLastBitsAtMost } from './compare.ts';
import { template } from './pages.ts';

let command: Command;
let room: Desk;
let shop: Shop;
let PAGE: string;
const SHOP_TEXT = readFileSync(SAMPLE_SHOP, 'utf8');
const JOB_TEXT = readFileSync(SAMPLE_JOB, 'utf8');

beforeAll(async () => {
  room = desk();
  command = builtCommand();
  expect(command.run(['page', '--out', room.path('page.html')]).code).toBe(0);
  PAGE = room.text('page.html');
  shop = await openShop();
});
afterAll(async () => {
  await shop.close();
  room.remove();
});

/** What the command makes of the same texts under the same names. */
function commandsOwn(folder: string, job: Buffer | string, shopText?: string): Map<string, Buffer> {
  writeFileSync(room.path('my-job.yaml'), job);
  if (shopText !== undefined) writeFileSync(room.path('my-shop.yaml'), shopText);
  const made = command.run(
    ['make', 'my-job.yaml', ...(shopText === undefined ? [] : ['--shop', 'my-shop.yaml']), '--into', folder],
    { cwd: room.folder },
  );
  expect(made.code, made.err).toBe(0);
  const shims = ['--wedge', `${folder}/wedge-shim.stl`, '--flat', `${folder}/flat-shim.stl`];
  expect(command.run(['compare', 'my-job.yaml', ...shims], { cwd: room.folder }).code).toBe(0);
  // A record is of a folder: downloads one by one are none.
  const names = readdirSync(room.path(folder)).filter((name) => name !== 'record.json');
  return new Map(names.map((name) => [name, readFileSync(room.path(folder, name))]));
}

/** Files that hold figures unrounded: ECMAScript leaves the last bits of sines and tangents to each engine, and a browser's is newer than Node's. */
const UNROUNDED = ['report.json', 'preview.html'];

function expectSame(page: ReadonlyMap<string, Buffer>, own: ReadonlyMap<string, Buffer>): void {
  expect([...page.keys()].sort()).toEqual([...own.keys()].sort());
  for (const [name, bytes] of own) {
    const made = page.get(name);
    const isSame = UNROUNDED.includes(name) ? differsInLastBitsAtMost(String(made), String(bytes)) : made?.equals(bytes) === true;
    expect(isSame, `${name} is another file`).toBe(true);
  }
}

/** By the Tab key alone, as far as it takes. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let i = 0; i < 200; i++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) === true, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`the Tab key does not reach ${selector}`);
}

it('files are the same but for last bits only where their figures stand unrounded and nothing else differs', () => {
  const text = '{"depth": 0.8207598994607749, "pass": 0.82}';
  expect(differsInLastBitsAtMost(text, text.replace('7749', '7753'))).toBe(true);
  for (const [from, to] of [
    ['0.8207598994607749', '0.8207598995607749'],
    ['0.82}', '0.83}'],
    ['0.82}', '0.8200000000001}'],
    ['"pass"', '"path"'],
    [', "pass": 0.82', ''],
  ] as const)
    expect(differsInLastBitsAtMost(text, text.replace(from, to)), to).toBe(false);
});

describe('a whole job from an empty sheet', () => {
  // Hundreds of keys, each of which works the whole job out again: a busy machine takes its time.
  it('by keyboard alone: measured, seen, saved, made, and every file the command’s own', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await page.focus('h1 ~ nav a');
    for (const [id, value, spread] of READINGS) {
      await tabTo(page, input(id));
      await page.keyboard.type(value);
      if (spread !== undefined) {
        await page.keyboard.press('Tab');
        await page.keyboard.type(spread);
      }
    }
    await rested(page);
    expect(await page.locator('#tally-said').textContent()).toBe('One measurement is still needed: Gap over the last fret.');
    await tabTo(page, `${input('asFound.lastFretGap')}-a`);
    for (const text of ['1.2', '0.05', '1.0', '0.05']) {
      await page.keyboard.type(text);
      await page.keyboard.press('Tab');
    }
    await rested(page);
    expect(await page.locator('#tally-said').textContent()).toMatch(/^Take off \d\.\d\d mm ±\d\.\d\d mm at the mouth$/);
    expect(await page.locator('.own:not(.hidden)').count()).toBe(0);
    await tabTo(page, '#use-shop');
    await page.keyboard.press('Enter');
    await rested(page);
    await tabTo(page, '#make-now');
    await page.keyboard.press('Enter');
    // Without the free space before the mouth no program is given out, and it says why.
    await page.waitForSelector('#made .refused');
    expect(await page.locator('#made').textContent()).toContain('“Free space before the mouth” is missing');
    // Nor is a cutter taken from the starter: nobody has measured it.
    for (const key of ["Cutter's diameter", "Controller's unit"])
      expect(await page.locator('#made').textContent()).toContain(key);
    expect(await page.locator('#made [data-file$=".nc"]').count()).toBe(0);
    expect(await page.locator('#made [data-file="guide.pdf"]').count()).toBe(1);
    await page.focus(input('pocket.body'));
    await tabTo(page, '.group:has(#job-pocket-clearBefore) summary');
    await page.keyboard.press('Enter');
    await tabTo(page, input('pocket.clearBefore'));
    await page.keyboard.type('25');
    for (const [id, value] of [
      ['#shop-cutter-diameter', '6'],
      ['#shop-cutter-length', '26'],
      ['#shop-program-units', 'mi'],
    ] as const) {
      await tabTo(page, id);
      await page.keyboard.type(value);
    }
    await rested(page);
    await tabTo(page, '#make-now');
    await page.keyboard.press('Enter');
    const files = await allMade(page, async (button) => {
      await page.focus(button);
      await page.keyboard.press('Enter');
    });
    await page.focus('#save-job');
    const job = await downloaded(page, () => page.keyboard.press('Enter'));
    const shopFile = await downloaded(page, () => page.click('#save-shop'));
    expect(job.name).toBe('my-job.yaml');
    expectSame(files, commandsOwn('by-keyboard', job.bytes, shopFile.bytes.toString('utf8')));
    expect(files.has('air.nc')).toBe(true);
    expect(files.has('guide.pdf')).toBe(true);
    expect(trouble).toEqual([]);
    await close();
  }, 180_000);

  it('by touch on a tablet, from a starter, without a shop file', async () => {
    const { page, trouble, close } = await shop.open(PAGE, { width: 820, height: 1180, touch: true });
    await page.selectOption('#starter', 'six-string-24-75');
    await page.tap('#begin');
    const own = await page.locator('.own:not(.hidden)').count();
    expect(await page.locator('#see .cautions').first().textContent()).toContain(`${own} figures are still the starter's own`);
    await page.tap(input('pocket.body'));
    await page.keyboard.press('Control+a');
    await page.keyboard.insertText('44.1');
    await rested(page);
    expect(await page.locator('.own:not(.hidden)').count()).toBe(own - 1);
    await page.tap('#tally-go');
    await page.tap('#make-now');
    const files = await allMade(page, (button) => page.tap(button));
    const job = await downloaded(page, () => page.tap('#save-job'));
    expect(job.bytes.toString('utf8')).toContain('body: 44.1');
    expectSame(files, commandsOwn('by-touch', job.bytes));
    expect(trouble).toEqual([]);
    await close();
  });

  it('makes of the sample what the command makes of it', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await page.setInputFiles('#open-job', { name: 'my-job.yaml', mimeType: 'text/yaml', buffer: Buffer.from(JOB_TEXT) });
    await page.setInputFiles('#open-shop', { name: 'my-shop.yaml', mimeType: 'text/yaml', buffer: Buffer.from(SHOP_TEXT) });
    await rested(page);
    await page.click('#make-now');
    const files = await allMade(page, (button) => page.click(button));
    expectSame(files, commandsOwn('sample', JOB_TEXT, SHOP_TEXT));
    expect((await downloaded(page, () => page.click('#save-job'))).bytes.toString('utf8')).toBe(JOB_TEXT);
    expect(trouble).toEqual([]);
    await close();
  });
});

describe('what is typed', () => {
  it('goes into the job file and changes nothing else of it, comments included', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'six-string-25-5');
    const before = ['# begun with the starter six-string-25-5', ...template('six-string-25-5').split('\n')];
    await page.fill(input('pocket.depth'), '11/16');
    await page.fill(`${input('pocket.depth')}-pm`, '0.004');
    await page.fill(input('pocket.widthAtMouth'), '2.3');
    await rested(page);
    const after = (await jobText(page)).split('\n');
    expect(after).toHaveLength(before.length);
    expect(after.filter((line, i) => line !== before[i])).toEqual([
      '  widthAtMouth: 2.3                # where the mouth is not as wide',
      '  depth: 11/16 ± 0.004             # needed: from the top of the body down to the floor',
    ]);
    // Emptied and written again it is where it was.
    await page.fill(input('pocket.depth'), '');
    await rested(page);
    expect(await jobText(page)).toContain('  # depth: 11/16 ± 0.004 ');
    await page.fill(input('pocket.depth'), '0.707');
    await page.fill(`${input('pocket.depth')}-pm`, '');
    await rested(page);
    expect((await jobText(page)).split('\n').filter((line) => line.includes('the body down to the floor'))).toHaveLength(1);
    expect(await page.locator('#tally-said').textContent()).toContain('Take off');
    expect(trouble).toEqual([]);
    await close();
  });

  it('is judged as the command judges it, beside its field and in the command’s words', async () => {
    const { page, close } = await shop.open(PAGE);
    await begin(page, 'left-handed');
    await page.fill(input('scale.frets'), '2.5');
    await page.fill(input('pocket.depth'), '17,8');
    await page.fill(`${input('asFound.lastFretGap')}-b`, '0');
    await page.fill(input('neck.nutToMouth'), '16.3');
    await rested(page);
    for (const [id, code] of [
      ['scale.frets', 'not-a-whole-number'],
      ['pocket.depth', 'not-a-length'],
      ['asFound.lastFretGap', 'string-on-fret'],
      ['neck.nutToMouth', 'looks-like-inches'],
    ] as const) {
      expect(await page.locator(`${input(id)}-said [data-code]`).getAttribute('data-code')).toBe(code);
      expect(
        await page
          .locator(`${input(id)}-field input:visible`)
          .first()
          .getAttribute('aria-invalid'),
      ).toBe('true');
    }
    const said = await page.locator('#job-findings li').allTextContents();
    writeFileSync(room.path('left-handed.yaml'), await jobText(page));
    const own = command.run(['solve', 'left-handed.yaml'], { cwd: room.folder });
    expect(own.code).toBe(2);
    expect(said).toEqual(own.err.trimEnd().split('\n'));
    expect(said).toHaveLength(4);
    expect(await page.locator('#tally-said').textContent()).toBe('4 values are to be mended, first: Frets.');
    expect(await page.locator('#stale').isVisible()).toBe(true);
    await close();
  });

  it('moves the drawings, the sentence and what to measure again', async () => {
    const { page, close } = await shop.open(PAGE);
    await begin(page, 'six-string-24-75');
    const drawn = () =>
      page.evaluate(() => ['strings-drawing', 'floor-drawing'].map((id) => document.getElementById(id)?.innerHTML ?? ''));
    await page.selectOption('#string', '2');
    const [strings, floor] = await drawn();
    const gap = `${input('asFound.lastFretGap')}-a`;
    const had = await page.inputValue(gap);
    await page.fill(gap, `${Number(had) + 0.3}`);
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    const [stringsNow, floorNow] = await drawn();
    expect(stringsNow).not.toBe(strings);
    expect(floorNow).not.toBe(floor);
    expect(await page.inputValue('#string')).toBe('2');
    await rested(page);
    writeFileSync(room.path('my-job.yaml'), await jobText(page));
    const report = command.run(['solve', 'my-job.yaml'], { cwd: room.folder }).out.replace(/\s+/g, ' ');
    // The page has the field's name in the place of the key.
    const lead = (await page.locator('#answer .lead').textContent()) ?? '';
    expect(report).toContain(lead.replace('(“Saddles down: the gap”)', '(target.gap)'));
    expect(await page.locator('#answer .again').textContent()).toMatch(/^Measure Gap over the last fret .* again first: /);
    const cures = command.run(['compare', 'my-job.yaml'], { cwd: room.folder }).out.replace(/\s+/g, ' ');
    const rows = await page
      .locator('#cures tbody tr')
      .evaluateAll((found) => found.map((row) => [...row.children].map(({ textContent }) => textContent).join(' ')));
    expect(rows.length).toBeGreaterThanOrEqual(4);
    for (const row of rows) expect(cures).toContain(row);
    await close();
  });
});

describe('a fit', () => {
  it('is noted as the command notes it, says what is left, and is drawn', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await page.setInputFiles('#open-job', { name: 'my-job.yaml', mimeType: 'text/yaml', buffer: Buffer.from(JOB_TEXT) });
    await rested(page);
    for (const [id, text] of [
      ['depth-bass', '0.5 ± 0.03'],
      ['gap-bass', '0.42'],
      ['gap-treble', '0.31'],
      ['note', 'after the first filing'],
      ['on', '2026-03-14'],
    ])
      await page.fill(`#fit-${id}`, text ?? '');
    await page.click('#fit-add');
    await rested(page);
    writeFileSync(room.path('fitted.yaml'), JOB_TEXT);
    const args = [
      '--depth',
      '0.5 ± 0.03',
      '--gap-bass',
      '0.42',
      '--gap-treble',
      '0.31',
      '--note',
      'after the first filing',
      '--on',
      '2026-03-14',
    ];
    const own = command.run(['fit', 'fitted.yaml', ...args], { cwd: room.folder });
    expect(own.code, own.err).toBe(0);
    expect(await jobText(page)).toBe(room.text('fitted.yaml'));
    expect((await page.locator('#fit-said p').allTextContents()).join(' ')).toBe(own.out.replace(/\s+/g, ' ').trim());
    expect(await page.locator('#fit-plot .plot circle').count()).toBe(1);
    expect(await page.locator('#fit-table tbody tr').textContent()).toContain('after the first filing');
    const noted = async (entries: Readonly<Record<string, string>>): Promise<void> => {
      for (const [id, value] of Object.entries(entries)) await page.fill(`#fit-${id}`, value);
      await page.click('#fit-add');
      await rested(page);
    };
    await noted({ 'depth-bass': '0.95', 'gap-bass': '0.78', 'gap-treble': '0.58', 'raised-bass': '1', shim: '0.2' });
    const shimmed = ['--depth', '0.95', '--gap-bass', '0.78', '--gap-treble', '0.58', '--raised', '1', '--shim', '0.2'];
    const second = command.run(['fit', 'fitted.yaml', ...shimmed], { cwd: room.folder });
    expect(second.code, second.err).toBe(0);
    expect(await jobText(page)).toBe(room.text('fitted.yaml'));
    // Gauged alone: no gap is asked for, and the table has a column for it.
    await noted({ 'depth-bass': '0.95', shim: '0.2', lowest: '0.12' });
    const third = command.run(['fit', 'fitted.yaml', '--depth', '0.95', '--shim', '0.2', '--lowest', '0.12'], {
      cwd: room.folder,
    });
    expect(third.code, third.err).toBe(0);
    expect(await jobText(page)).toBe(room.text('fitted.yaml'));
    expect(await page.locator('#fit-table thead').textContent()).toContain('leaf, saddles down');
    expect(await page.locator('#fit-table tbody tr').nth(2).textContent()).toContain('0.12');
    expect(await page.locator('#fit-plot .plot circle').count()).toBe(2);
    for (let i = 0; i < 3; i++) await page.click('#fit-undo');
    await rested(page);
    expect(await jobText(page)).toBe(JOB_TEXT);
    await page.fill('#fit-depth-bass', '40');
    await page.fill('#fit-gap-bass', '0.4');
    await page.click('#fit-add');
    expect(await page.locator('#fit-said').textContent()).toContain('The fit was not taken');
    expect(await jobText(page)).toBe(JOB_TEXT);
    // What cannot be read is called as its entry is, and marked there until the next try.
    const marked = () => page.locator('#fit-part [aria-invalid]').evaluateAll((found) => found.map(({ id }) => id));
    await page.fill('#fit-depth-bass', '0.5');
    await page.fill('#fit-gap-treble', '0,3');
    await page.click('#fit-add');
    expect(await page.locator('#fit-said').textContent()).toMatch(/“Gap over the last fret, treble”: .*decimal comma/);
    expect(await marked()).toEqual(['fit-gap-treble']);
    const border = await page.locator('#fit-gap-treble').evaluate((found) => getComputedStyle(found).borderTopWidth);
    expect(border).toBe('2px');
    // A reading is taken once, and again only by a note of its own.
    for (const [note, count] of [
      ['', 1],
      ['', 1],
      ['read again', 2],
    ] as const) {
      for (const [id, value] of Object.entries({ 'depth-bass': '0.5', 'gap-bass': '0.4', 'gap-treble': '0.3', note }))
        await page.fill(`#fit-${id}`, value);
      await page.click('#fit-add');
      await rested(page);
      expect(await page.locator('#fit-table tbody tr').count()).toBe(count);
    }
    expect(await marked()).toEqual([]);
    expect(trouble).toEqual([]);
    await close();
  });
});

describe('what a newcomer meets', () => {
  it('is a starter’s feeds marked as such, and the same feeds in another unit; what was typed stays', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'six-string-25-5');
    await page.click('#use-shop');
    await rested(page);
    // A job in inches has an inch shop, and its starter's feeds and passes do not lie folded away.
    expect(await page.inputValue('#shop-units')).toBe('in');
    expect(await page.inputValue('#shop-feed-plunge')).toBe('11.811');
    expect(await page.locator('#shop-feed-plunge-field .own').isVisible()).toBe(true);
    const marked = await page.locator('#shop-part .own:not(.hidden)').count();
    expect(await page.locator('#make-own').textContent()).toContain(`${marked} figures of the paper and router`);
    await page.fill('#shop-feed-cut', '60');
    await page.selectOption('#shop-units', 'mm');
    await rested(page);
    expect(await page.inputValue('#shop-feed-plunge')).toBe('300');
    expect(await page.inputValue('#shop-feed-cut')).toBe('60');
    expect(await page.locator('#shop-part .own:not(.hidden)').count()).toBe(marked - 1);
    const said = await page.locator('#tally-said').textContent();
    const text = await jobText(page);
    await begin(page, 'left-handed');
    await page.setInputFiles('#open-job', { name: 'saved.yaml', mimeType: 'text/yaml', buffer: Buffer.from(text) });
    await rested(page);
    expect(await page.locator('#tally-said').textContent()).toBe(said);
    expect(said).toMatch(/, from \d+ invented figures$/);
    await page.setInputFiles('#open-job', {
      name: 'report.txt',
      mimeType: 'text/plain',
      buffer: Buffer.from('neck: low\n\tno job'),
    });
    await rested(page);
    expect(await page.locator('#file-said').textContent()).toBe('this is no job file; nothing was changed');
    expect(await jobText(page)).toBe(text);
    expect(trouble).toEqual([]);
    await close();
  });

  it('is led into the field, told what is off already, and asked before a job is thrown away', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'six-string-24-75');
    await page.fill(input('neck.fallAway.drop'), '');
    await rested(page);
    expect(await page.locator('#tally-said').textContent()).toBe('One value is to be mended: Fall-away.');
    expect(await page.locator(`${input('neck.fallAway.drop')}-said`).textContent()).toContain('is missing');
    await page.locator('#tally-go').click();
    expect(await page.evaluate(() => `#${document.activeElement?.id}`)).toBe(input('neck.fallAway.drop'));
    await page.keyboard.type('0.15');
    await rested(page);
    expect(await page.locator('#answer .again').count()).toBe(1);
    for (const [id, text] of [
      ['depth-bass', '0.3'],
      ['gap-bass', '1.9'],
      ['raised-bass', '2'],
    ])
      await page.fill(`#fit-${id}`, text ?? '');
    await page.click('#fit-add');
    await rested(page);
    expect(await page.locator('#answer .again').count()).toBe(0);
    expect(await page.locator('#cures').textContent()).toContain('wood already taken off is not counted in');
    expect(await page.locator('#fit-table tbody td').allTextContents()).toEqual([
      ...['0.30', '0.30', '1.90', '1.90', '2.00', '2.00', '0.00'],
      '',
    ]);
    await page.click('#make-now');
    await page.waitForSelector('#made [data-file="guide.pdf"]');
    expect(await page.locator('#made [data-file$="shim.stl"]').count()).toBe(0);
    await begin(page, 'left-handed');
    await page.locator('#kept-box summary').click();
    const away = page.locator('#kept button').nth(1);
    expect(await page.locator('#kept span').textContent()).toMatch(/, \d{4}-\d\d-\d\d \d\d:\d\d$/);
    await away.click();
    expect(await away.textContent()).toBe('Throw away for good');
    await away.click();
    expect(await page.locator('#kept li').count()).toBe(0);
    expect(trouble).toEqual([]);
    await close();
  });
});

describe('the work', () => {
  it('is there again after a reload, at once and from another tab, and each tab keeps its own', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'left-handed');
    await page.fill(input('pocket.body'), '43.3');
    await page.reload();
    await rested(page);
    expect(await page.inputValue(input('pocket.body'))).toBe('43.3');
    const other = await page.context().newPage();
    await other.goto(page.url());
    await rested(other);
    expect(await other.inputValue(input('pocket.body'))).toBe('43.3');
    const heard = page.evaluate(
      () => new Promise((done) => addEventListener('storage', ({ newValue }) => newValue?.includes('44.4') && done(true))),
    );
    await other.fill(input('pocket.body'), '44.4');
    await rested(other);
    await heard;
    await page.fill(input('pocket.body'), '45.5');
    await rested(page);
    await Promise.all([page.reload(), other.reload()]);
    await Promise.all([rested(page), rested(other)]);
    expect(await page.inputValue(input('pocket.body'))).toBe('45.5');
    expect(await other.inputValue(input('pocket.body'))).toBe('44.4');
    // A job that another was laid over is still kept, and taken up again.
    await begin(page, 'bass-four-34');
    await page.locator('#kept-box summary').click();
    await page.locator('#kept li', { hasText: 'Left-handed' }).first().locator('button').first().click();
    await rested(page);
    expect(await page.inputValue(input('title'))).toBe('Left-handed six-string');
    expect(trouble).toEqual([]);
    await close();
  });

  it('is offered back as text where what was kept is no job', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'left-handed');
    const kept = '{"format":1,"bench":{"job":{"name":"x","te';
    await page.evaluate((text) => {
      for (const key of Object.keys(localStorage)) localStorage.setItem(key, text);
    }, kept);
    // Another tab's view of it: the page's own would be written over as it goes.
    const again = await page.context().newPage();
    await again.goto(page.url());
    await again.waitForSelector('#broken textarea');
    expect(await again.inputValue('#broken textarea')).toBe(kept);
    const saved = await downloaded(again, () => again.locator('#broken button', { hasText: 'Save' }).click());
    expect(saved.bytes.toString('utf8')).toBe(kept);
    await again.locator('#broken button', { hasText: 'Use it' }).click();
    await rested(again);
    expect(await jobText(again)).toBe(kept);
    expect(await again.locator('#job-text').isVisible()).toBe(true);
    expect(await again.locator('#broken').isVisible()).toBe(false);
    expect(trouble).toEqual([]);
    await close();
  });

  it('is told to be saved where the browser keeps nothing', async () => {
    const before = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });";
    const { page, trouble, close } = await shop.open(PAGE, { before });
    await begin(page, 'left-handed');
    expect(await page.locator('#file-said').textContent()).toContain('keeps nothing');
    expect(await page.locator('#tally-said').textContent()).toContain('Take off');
    expect(trouble).toEqual([]);
    await close();
  });

  it('stays as text where it is broken by hand, and comes back into the fields once it is mended', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    await begin(page, 'left-handed');
    const text = await jobText(page);
    await setText(page, 'job', `${text}\n  : [`);
    expect(await page.locator('#job-findings li').first().textContent()).toMatch(/^left-handed\.yaml:\d+:\d+: error yaml-syntax/);
    await page.reload();
    await rested(page);
    expect(await jobText(page)).toBe(`${text}\n  : [`);
    await setText(page, 'job', text.replace('body: 42.4', 'body: 43.4'));
    expect(await page.inputValue(input('pocket.body'))).toBe('43.4');
    expect(trouble).toEqual([]);
    await close();
  });
});

describe('a drawn pocket', () => {
  it('asks for the drawing that the job names, and solves with it', async () => {
    const { page, trouble, close } = await shop.open(PAGE);
    const job = JOB_TEXT.replace(/ {2}length: 71\.5 .*\n {2}width: .*\n {2}cornerRadius: .*\n/, '  outline: pocket.svg\n');
    await page.setInputFiles('#open-job', { name: 'my-job.yaml', mimeType: 'text/yaml', buffer: Buffer.from(job) });
    await rested(page);
    expect(await page.locator('#drawing-name').textContent()).toBe('pocket.svg');
    await page.setInputFiles('#open-drawing', join(import.meta.dirname, '../drawings/plain.svg'));
    await rested(page);
    expect(await page.locator('#tally-said').textContent()).toContain('Take off');
    expect(trouble).toEqual([]);
    await close();
  });
});
