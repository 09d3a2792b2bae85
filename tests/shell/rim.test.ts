import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { desk, inProcess, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

const room = desk();
const SHOP = room.path('shop.yaml');
const into = (...parts: readonly string[]): string => room.path('results', ...parts);

beforeAll(() => {
  // The sample's workshop with a second cutter: a large one for the floor, a small one for what it leaves.
  const text = readFileSync(SAMPLE_SHOP, 'utf8').replace(
    /^cutter: .*$/m,
    'cutter: {diameter: 12, length: 26}\nrim: {diameter: 4, length: 26}',
  );
  writeFileSync(SHOP, text);
});
afterAll(() => {
  room.remove();
});

const prove = (program: string, ...rest: readonly string[]): ReturnType<typeof inProcess> =>
  inProcess(['prove', program, '--job', SAMPLE_JOB, '--shop', SHOP, ...rest]);

describe('a shop file with a rim cutter', () => {
  it('gets both cutters’ programs from make, each proved again as it stands on the disk', async () => {
    const made = await inProcess(['make', SAMPLE_JOB, '--shop', SHOP, '--into', into()]);
    expect(made.code, made.err).toBe(0);
    expect((await prove(into('floor.nc'))).code).toBe(0);
    expect((await prove(into('rim-air.nc'), '--as', 'air')).code).toBe(0);
    const rim = await prove(into('rim.nc'), '--as', 'rim', '--after', into('floor.nc'), '--report');
    expect(rim.out).toContain('as rim: PROVED');
    expect(rim.out).toMatch(/before +holds +proved, with the larger cutter/);
    expect(rim.code).toBe(0);
    expect((await prove(into('rim.nc'))).code).toBe(4);
    expect((await prove(into('floor.nc'), '--as', 'rim', '--after', into('rim.nc'))).code).toBe(4);
    // What each leaves is told apart, and what stays in the end is less.
    const report = JSON.parse(readFileSync(into('report.json'), 'utf8'));
    const most = (stays: { where: string; height: number }[]): number =>
      Math.max(...stays.filter(({ where }) => where.startsWith('rim')).map(({ height }) => height));
    expect(most(report.stays)).toBeLessThan(0.5 * most(report.staysForRim));
    const words = readFileSync(into('report.txt'), 'utf8');
    expect(words).toContain('What the first cutter leaves');
    expect(words).toContain('What the rim cutter leaves of it for the chisel');
    expect(readFileSync(into('guide.svg'), 'utf8').match(/data-role="rim"|stroke-dasharray="0\.3/g)?.length ?? 0).toBeGreaterThan(
      0,
    );
  });

  it('is shown with both programs, its own or another’s', async () => {
    const page = room.path('page.html');
    const look = (...rest: readonly string[]): ReturnType<typeof inProcess> =>
      inProcess(['preview', SAMPLE_JOB, '--shop', SHOP, '--out', page, ...rest]);
    expect((await look()).code).toBe(0);
    const stamps = (): string[] =>
      [...readFileSync(page, 'utf8').matchAll(/<span class="stamp[^>]*>([A-Z ]+)/g)].map(([, said = '']) => said);
    expect(stamps()).toEqual(['PROVED', 'PROVED', 'PROVED', 'PROVED']);
    const pair = await look('--program', into('rim.nc'), '--as', 'rim', '--after', into('floor.nc'));
    expect(pair.code, pair.err).toBe(0);
    expect(pair.err).not.toContain('not proved');
    expect(stamps()).toEqual(['PROVED', 'PROVED', 'PROVED', 'PROVED']);
    // Taken for a floor program it is full of faults: what it says it is comes first.
    const alone = await look('--program', into('rim.nc'));
    expect(alone.err).toMatch(/its header says it is a rim program: --as rim --after floor\.nc\n.*not proved/);
    expect(stamps()).toEqual(['NOT PROVED', 'NOT PROVED']);
    expect(readFileSync(page, 'utf8')).toContain('its header says it is a rim program');
  });

  it('gets the second program from route where it is asked for, else a word about it', async () => {
    const [floor, rim] = [room.path('a.nc'), room.path('b.nc')];
    const alone = await inProcess(['route', SAMPLE_JOB, '--shop', SHOP, '--out', floor]);
    expect(alone.code).toBe(0);
    expect(alone.err).toContain('--rim <file> writes its program as well');
    expect(existsSync(rim)).toBe(false);
    const both = await inProcess(['route', SAMPLE_JOB, '--shop', SHOP, '--out', floor, '--rim', rim]);
    expect(both.code, both.err).toBe(0);
    expect(readFileSync(rim, 'utf8')).toBe(readFileSync(into('rim.nc'), 'utf8'));
  });

  it.each([
    [['route', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', room.path('c.nc'), '--rim', room.path('d.nc')], 'names no rim cutter'],
    [['route', SAMPLE_JOB, '--shop', SHOP, '--out', room.path('c.nc'), '--rim', room.path('c.nc')], 'one file'],
    [['prove', SHOP, '--job', SAMPLE_JOB, '--shop', SHOP, '--as', 'rim'], '--after floor.nc'],
    [['prove', SHOP, '--job', SAMPLE_JOB, '--shop', SHOP, '--after', SHOP], '--as rim'],
    [['prove', '-', '--job', SAMPLE_JOB, '--shop', SHOP, '--as', 'rim', '--after', '-'], 'standard input'],
    [['prove', SHOP, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--as', 'rim', '--after', SHOP], 'names no second cutter'],
    [['preview', SAMPLE_JOB, '--shop', SHOP, '--program', SHOP, '--as', 'rim', '--out', room.path('p.html')], '--after floor.nc'],
    [['preview', SAMPLE_JOB, '--shop', SHOP, '--as', 'rim', '--after', SHOP, '--out', room.path('p.html')], 'give --program'],
    [
      ['preview', '-', '--shop', SHOP, '--program', SHOP, '--as', 'rim', '--after', '-', '--out', room.path('p.html')],
      'standard input',
    ],
  ] as const)('refuses what does not go together: %j', async (args, said) => {
    const { code, err, out } = await inProcess(args);
    expect({ code, out }, err).toEqual({ code: 2, out: '' });
    expect(err).toContain(said);
    expect(existsSync(room.path('c.nc'))).toBe(false);
  });

  it('is refused where the second cutter is no smaller, at its place', async () => {
    const shop = room.path('large.yaml');
    writeFileSync(shop, readFileSync(SHOP, 'utf8').replace('rim: {diameter: 4', 'rim: {diameter: 12'));
    const { code, err } = await inProcess(['route', SAMPLE_JOB, '--shop', shop, '--out', room.path('c.nc')]);
    expect(code).toBe(2);
    expect(err).toMatch(/large\.yaml:5:17.*rim\.diameter/);
  });
});
