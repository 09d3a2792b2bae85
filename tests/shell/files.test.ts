import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { waitingFor } from '../../src/shell/waiting.ts';
import {
  builtCommand,
  type Command,
  type Desk,
  desk,
  INSIDES,
  inProcess,
  ROOT,
  SAMPLE_JOB,
  SAMPLE_SHOP,
} from '../support/command.ts';

let command: Command;
let room: Desk;
beforeAll(() => {
  command = builtCommand();
});
beforeEach(() => {
  room = desk();
});
afterEach(() => room.remove());

const FOREIGN = 'a file of the maker\njob of last week\n"format": 1\npocketpitch and pocketpitch guide are named in it\n';
const ALL = ['air.nc', 'floor.nc', 'guide.svg', 'preview.html', 'report.json', 'report.txt', 'trace.nc'];

/** Every command that writes a file, and the way its argument names it. */
const WRITERS: readonly (readonly [string, string, (file: string) => string[]])[] = [
  ['start', 'job.yaml', (file) => ['start', 'left-handed', file]],
  ['guide', 'guide.svg', (file) => ['guide', SAMPLE_JOB, '--only', 'map', '--out', file]],
  ['guide as PDF', 'guide.pdf', (file) => ['guide', SAMPLE_JOB, '--out', file]],
  ['preview', 'preview.html', (file) => ['preview', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', file]],
  ['route', 'floor.nc', (file) => ['route', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', file]],
];
const makeInto = (folder: string): string[] => ['make', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--into', folder];

describe.each(WRITERS)('%s', (name, file, argsFor) => {
  it('writes its file, into folders that it makes, and says so', async () => {
    const { code, out, err } = await inProcess(argsFor(room.path('a/b', file)));
    expect(code, err).toBe(0);
    expect(out).toContain(room.path('a/b', file));
    expect(room.files()).toEqual([`a/b/${file}`]);
  });

  it('refuses a file of somebody else and leaves it byte for byte; --replace replaces it', async () => {
    writeFileSync(room.path(file), FOREIGN);
    const { code, out, err } = await inProcess(argsFor(room.path(file)));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(`'${room.path(file)}' is there already`);
    expect(err).toContain('--replace');
    expect(room.text(file)).toBe(FOREIGN);
    expect((await inProcess([...argsFor(room.path(file)), '--replace'])).code).toBe(0);
    expect(room.text(file)).not.toContain('of the maker');
    expect(room.files()).toEqual([file]);
  });

  it('refuses an empty file, whose maker nobody knows', async () => {
    writeFileSync(room.path(file), '');
    expect((await inProcess(argsFor(room.path(file)))).code).toBe(2);
    expect(room.text(file)).toBe('');
  });

  it('takes no folder for a file, not even with --replace', async () => {
    mkdirSync(room.path(file));
    for (const more of [[], ['--replace']]) {
      const { code, err } = await inProcess([...argsFor(room.path(file)), ...more]);
      expect(code, err).toBe(2);
      expect(err).not.toMatch(INSIDES);
    }
    expect(room.files()).toEqual([]);
  });

  it('says when a part of the path is a file', async () => {
    writeFileSync(room.path('file'), FOREIGN);
    const { code, err } = await inProcess(argsFor(room.path('file', file)));
    expect(code).toBe(2);
    expect(err).toContain('not a folder');
    expect(room.text('file')).toBe(FOREIGN);
  });

  it(name === 'start' ? 'never takes a job for its own output' : 'replaces its own output', async () => {
    expect((await inProcess(argsFor(room.path(file)))).code).toBe(0);
    const first = room.text(file);
    expect((await inProcess(argsFor(room.path(file)))).code).toBe(name === 'start' ? 2 : 0);
    expect(room.text(file)).toBe(first);
    expect(room.files()).toEqual([file]);
  });
});

describe("preview of another's program", () => {
  const program = join(ROOT, 'tests/programs-refused/arc.nc');
  it('writes the page whether or not the program is proved, says which, and is exit 0', () => {
    const out = room.path('theirs.html');
    const { code, err } = command.run(['preview', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--program', program, '--out', out]);
    expect(code, err).toBe(0);
    expect(err).toContain('not proved');
    expect(room.text('theirs.html')).toContain('NOT PROVED');
    expect(room.text('theirs.html')).toContain('arc.nc');
  });
  it('needs a floor to be judged against', () => {
    const job = room.path('low.yaml');
    writeFileSync(job, readFileSync(SAMPLE_JOB, 'utf8').replace('target: {gap: 0', 'target: {gap: 1.5'));
    const args = ['preview', job, '--shop', SAMPLE_SHOP, '--out', room.path('x.html')];
    expect(command.run(args).code).toBe(0);
    const { code, err } = command.run([...args, '--program', program, '--replace']);
    expect(code).toBe(3);
    expect(err).toContain('no cut is needed');
  });
});

describe('make', () => {
  it('writes everything, names what it wrote, and twice the same bytes', () => {
    const { code, out, err } = command.run(makeInto(room.path('results')));
    expect(code, err).toBe(0);
    const files = room.files();
    for (const name of ALL) {
      expect(files).toContain(`results/${name}`);
      expect(out).toContain(room.path('results', name));
    }
    const before = files.map((name) => room.text(name));
    expect(command.run(makeInto(room.path('results'))).code).toBe(0);
    expect(room.files()).toEqual(files);
    expect(files.map((name) => room.text(name))).toEqual(before);
  });

  it.each(ALL)('with a foreign %s in the folder writes nothing at all', async (name) => {
    mkdirSync(room.path('results'));
    writeFileSync(room.path('results', name), FOREIGN);
    const { code, out, err } = await inProcess(makeInto(room.path('results')));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(name);
    expect(room.files()).toEqual([`results/${name}`]);
    expect(room.text('results', name)).toBe(FOREIGN);
  });

  it('names every foreign file at once', async () => {
    for (const name of ALL) writeFileSync(room.path(name), FOREIGN);
    const { code, err } = await inProcess(makeInto(room.folder));
    expect(code).toBe(2);
    for (const name of ALL) expect(err).toContain(`'${room.path(name)}'`);
  });

  it('with a folder where its last file should stand writes nothing, also with --replace', async () => {
    mkdirSync(room.path('trace.nc'));
    for (const more of [[], ['--replace']]) {
      expect((await inProcess([...makeInto(room.folder), ...more])).code).toBe(2);
      expect(room.files()).toEqual([]);
    }
  });

  it('without a shop file makes no program and says so', async () => {
    const { code, err } = await inProcess(['make', SAMPLE_JOB, '--into', room.folder]);
    expect(code).toBe(0);
    expect(err).toContain('no shop file was given');
    expect(room.files().filter((name) => name.endsWith('.nc'))).toEqual([]);
    expect(room.files()).toContain('guide.svg');
  });

  it('whose program alone cannot be made writes nothing and names the way out, once, where there is one', async () => {
    const job = room.path('tight.yaml');
    const clear = readFileSync(SAMPLE_JOB, 'utf8').replace(/^ {2}clearBefore: .*\n/m, '');
    writeFileSync(job, clear);
    const { code, out, err } = await inProcess(['make', job, '--shop', SAMPLE_SHOP, '--into', room.path('r')]);
    expect({ code, out }).toEqual({ code: 3, out: '' });
    expect(err).toContain('error clear-before-missing');
    expect(err.match(/; or leave out --shop, or give a shop file without cutter and program: /g)).toHaveLength(1);
    expect(room.files()).toEqual(['tight.yaml']);
    expect((await inProcess(['make', job, '--into', room.path('r')])).code).toBe(0);
    // Where the paper cannot be made either there is no such way.
    writeFileSync(job, clear.replace('leastFloor: 10', 'leastFloor: 38'));
    const thin = await inProcess(['make', job, '--shop', SAMPLE_SHOP, '--into', room.path('q')]);
    expect(thin.code).toBe(3);
    expect(thin.err).not.toContain('leave out --shop');
  });

  it('says which of its files are left from an earlier run', async () => {
    expect((await inProcess(makeInto(room.folder))).code).toBe(0);
    const { code, err } = await inProcess(['make', SAMPLE_JOB, '--into', room.folder]);
    expect(code).toBe(0);
    for (const name of ['floor.nc', 'air.nc', 'trace.nc']) expect(err).toContain(name);
    expect(err).toContain('earlier run');
  });

  it('for a job that needs no cut writes report and preview alone; there is nothing to lay out, cut or prove', async () => {
    const job = room.path('low.yaml');
    writeFileSync(job, readFileSync(SAMPLE_JOB, 'utf8').replace('target: {gap: 0', 'target: {gap: 1.5'));
    const { code, err } = await inProcess(['make', job, '--shop', SAMPLE_SHOP, '--into', room.path('r')]);
    expect(code, err).toBe(0);
    expect(err).toContain('no cut is needed');
    expect(room.files()).toEqual(['low.yaml', 'r/preview.html', 'r/record.json', 'r/report.json', 'r/report.txt']);
    for (const args of [
      ['guide', job, '--out', room.path('x.svg')],
      ['route', job, '--shop', SAMPLE_SHOP, '--out', room.path('x.nc')],
      ['prove', job, '--job', job, '--shop', SAMPLE_SHOP],
    ]) {
      const ran = await inProcess(args);
      expect(ran.code, args[0]).toBe(3);
      expect(ran.out).toBe('');
      expect(ran.err).toContain('no cut is needed');
    }
  });
});

describe('the job file', () => {
  it('is never taken for an output, even where it names the tool', async () => {
    const job = readFileSync(SAMPLE_JOB, 'utf8').replace('job: 1', '# pocketpitch guide, "format": 1\njob: 1');
    const file = room.path('job.svg');
    writeFileSync(file, job);
    for (const args of [
      ['guide', file, '--out', file],
      ['route', file, '--shop', SAMPLE_SHOP, '--out', file],
    ])
      expect((await inProcess(args)).code).toBe(2);
    expect(room.text('job.svg')).toBe(job);
  });

  it('keeps every byte when a fit is refused, and no lock is left', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    const before = room.text('job.yaml');
    for (const [depth, gap] of [
      ['0.5', 'half'],
      ['-0.5', '0.4'],
      ['0.5 in', '0.4'],
      ['0.5', '0'],
    ] as const) {
      const { code, out, err } = await inProcess(['fit', room.path('job.yaml'), '--depth', depth, '--gap', gap]);
      expect([2, 3], err).toContain(code);
      expect(out).toBe('');
      expect(err).toMatch(/^error |: error /);
      expect(room.text('job.yaml')).toBe(before);
      expect(room.files()).toEqual(['job.yaml']);
    }
  });

  it('says what is wrong with a fit by its options, which stand in no line of the file', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    const errOf = async (...args: string[]): Promise<string> => (await inProcess(['fit', room.path('job.yaml'), ...args])).err;
    expect(await errOf('--depth', '0,5', '--gap', '0.4')).toMatch(/^error not-a-length: --depth: .* decimal comma/);
    const sides = ['--depth', '0.5', '--gap-bass', '0.4', '--gap-treble', '0,4', '--raised', '30', '--on', 'May'];
    const told = (await errOf(...sides)).trim().split('\n');
    expect(told.map((line) => line.slice(0, 36))).toEqual([
      expect.stringMatching(/^error not-a-length: --gap-treble: /),
      expect.stringMatching(/^error raised-beyond-travel: --raised/),
      expect.stringMatching(/^error not-a-date: --on: /),
    ]);
  });

  it('takes one reading once, and a second one like it by its note or day', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    const fit = ['fit', room.path('job.yaml'), '--depth', '0.5', '--gap-bass', '0.45', '--gap-treble', '0.3'];
    expect((await inProcess(fit)).code).toBe(0);
    const once = room.text('job.yaml');
    for (const same of [[], ['--raised', '0'], ['--depth', '0.500 mm']]) {
      const { code, err } = await inProcess([...fit, ...same]);
      expect(code).toBe(2);
      expect(err).toMatch(/^error fit-again: fit 2 .*--note "read again"/);
      expect(room.text('job.yaml')).toBe(once);
    }
    for (const own of [
      ['--note', 'read again'],
      ['--on', '2026-03-14'],
    ]) {
      expect((await inProcess([...fit, ...own])).code).toBe(0);
      expect((await inProcess([...fit, ...own])).err).toContain('fit-again');
    }
  });

  it('takes what was gauged, with gaps or without, and says what is wrong with it by its option', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    const before = room.text('job.yaml');
    const fit = async (...args: string[]) => await inProcess(['fit', room.path('job.yaml'), ...args]);
    for (const [args, said] of [
      [['--depth', '0.8', '--lowest', '0'], /^error out-of-range: --lowest: /],
      [['--depth', '0.8', '--highest', 'tall'], /^error not-a-length: --highest: /],
      [['--lowest', '0.1'], /^error usage: .* not all given: --depth/],
      [['--depth', '0.8'], /^error usage: .* or --lowest or --highest/],
      [['--depth', '0.8', '--lowest', '0.1', '--gap-bass', '0.4'], /^error usage: .*--gap-treble/],
    ] as const) {
      const { code, err } = await fit(...args);
      expect(code).toBe(2);
      expect(err).toMatch(said);
      expect(room.text('job.yaml')).toBe(before);
    }
    const gaps = ['--gap-bass', '0.7', '--gap-treble', '0.51', '--raised', '1'];
    expect((await fit('--depth', '0.8 ± 0.03', ...gaps, '--lowest', '0.05')).code).toBe(0);
    expect((await fit('--depth', '0.8 ± 0.03', '--lowest', '0.07 ± 0.02')).code).toBe(0);
    expect(room.text('job.yaml').slice(before.length)).toBe(
      [
        'fits:',
        '  - {depth: "0.8 ± 0.03", lastFretGap: {bass: 0.7, treble: 0.51}, raised: 1, lowest: 0.05}',
        '  - {depth: "0.8 ± 0.03", lowest: "0.07 ± 0.02"}',
        '',
      ].join('\n'),
    );
    expect((await fit('--depth', '0.8 ± 0.03', '--lowest', '0.07 ± 0.02')).err).toMatch(/^error fit-again: /);
    expect((await fit('--undo')).code).toBe(0);
  });

  it('takes a fit, keeping the rest of its text', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    const before = room.text('job.yaml');
    const args = ['fit', room.path('job.yaml'), '--depth', '0.5 ± 0.03', '--gap', '0.45', '--note', 'a "note": # here'];
    const { code, err } = await inProcess(args);
    expect(code, err).toBe(0);
    expect(room.text('job.yaml').startsWith(before)).toBe(true);
    expect(room.text('job.yaml')).toContain('0.5 ± 0.03');
    expect((await inProcess(['solve', room.path('job.yaml')])).code).toBe(0);
    expect(room.files()).toEqual(['job.yaml']);
  });

  it('is told from another that is being written at this moment', async () => {
    copyFileSync(SAMPLE_JOB, room.path('job.yaml'));
    writeFileSync(room.path('.job.yaml.lock'), '');
    const { code, err } = await inProcess(['fit', room.path('job.yaml'), '--depth', '0.5', '--gap', '0.45']);
    expect(code).toBe(2);
    expect(err).toContain('.job.yaml.lock');
    expect(room.text('job.yaml')).toBe(readFileSync(SAMPLE_JOB, 'utf8'));
  });

  it('stays behind its link when a fit goes in', async () => {
    mkdirSync(room.path('real'));
    copyFileSync(SAMPLE_JOB, room.path('real/job.yaml'));
    symlinkSync(room.path('real/job.yaml'), room.path('link.yaml'));
    const { code, err } = await inProcess(['fit', room.path('link.yaml'), '--depth', '0.5', '--gap', '0.45']);
    expect(code, err).toBe(0);
    expect(readlinkSync(room.path('link.yaml'))).toBe(room.path('real/job.yaml'));
    expect(room.text('real/job.yaml')).toContain('fits:');
  });
});

/** Root may write anywhere: there the disk must be told to refuse in another way. */
const isRoot = process.getuid?.() === 0;

describe('a folder that cannot be written', () => {
  it('is said, and nothing is half there', () => {
    const folder = isRoot ? '/proc/pocketpitch' : room.path('locked');
    if (!isRoot) {
      mkdirSync(folder);
      chmodSync(folder, 0o500);
    }
    const { code, out, err } = command.run(makeInto(folder));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('cannot be written');
    expect(err).not.toMatch(INSIDES);
    expect(room.files()).toEqual([]);
  });
});

describe('what a starter is for', () => {
  it('a job is to be solved, a shop file is to be made with', async () => {
    const job = await inProcess(['start', 'left-handed', room.path('job.yaml')]);
    expect(job.out).toContain(`pocketpitch solve ${room.path('job.yaml')}`);
    const shop = await inProcess(['start', 'shop', room.path('shop.yaml')]);
    expect(shop.out).toContain(`--shop ${room.path('shop.yaml')}`);
    expect(shop.out).not.toContain('solve');
  });

  it('its own readings are warned of until others stand there, or somebody says that they are theirs', async () => {
    const [job, shop] = [room.path('job.yaml'), room.path('shop.yaml')];
    await inProcess(['start', 'six-string-24-75', job]);
    await inProcess(['start', 'shop', shop]);
    const told = async (): Promise<string[]> =>
      (await inProcess(['solve', job, '--json'])).err.split('\n').filter((line) => line.includes('starter-figures'));
    const [first] = await told();
    expect(first).toContain(`${job}:1:1: warning starter-figures: `);
    expect(first).toMatch(/neck\.seatToCrown.* and \d+ more are still as the starter 'six-string-24-75' has them, invented/);
    const text = readFileSync(job, 'utf8');
    const seat = /seatToCrown: (\S+)/.exec(text)?.[1] as string;
    writeFileSync(job, text.replace(`seatToCrown: ${seat}`, `seatToCrown: ${Number(seat) + 0.02}`));
    const [second] = await told();
    expect(second).toContain('starter-figures');
    expect(second).not.toContain('neck.seatToCrown');
    const { err } = await inProcess(['route', job, '--shop', shop, '--out', room.path('floor.nc')]);
    expect(err).toContain(`${shop}:1:1: warning starter-figures: cutter.diameter, cutter.length are still`);
    const proof = await inProcess(['prove', room.path('floor.nc'), '--job', job, '--shop', shop]);
    expect(proof.out, proof.err).toMatch(/^proved/);
    expect(proof.err).toContain(`${job}:1:1: warning starter-figures: `);
    writeFileSync(job, text.replace(/^# begun with the starter .*\n/, ''));
    expect(await told()).toEqual([]);
  });
});

describe('what a killed run left beside its outputs', () => {
  it('is taken away by a later run into that folder, and nothing else is', async () => {
    const out = room.path('left/map.svg');
    const { beside, kept } = waitingFor(out);
    const ended = spawnSync(process.execPath, ['-e', '0']).pid;
    const by = (path: string, id: number): string => path.replace(`-${process.pid}.`, `-${id}.`);
    const elsewhere = by(beside, ended).replace(/-[0-9a-f]{6}-/, (tag) =>
      tag.replace(/[0-9a-f]/g, (digit) => (digit === '0' ? '1' : '0')),
    );
    const young = by(waitingFor(out).beside, ended);
    const stay = [beside, by(kept, ended), elsewhere, young, room.path('left/.map.svg.part'), room.path('left/.notes.part')];
    mkdirSync(room.path('left'));
    const anHourAgo = new Date(Date.now() - 3_600_000);
    for (const path of [by(beside, ended), ...stay]) {
      writeFileSync(path, 'half');
      if (path !== young) utimesSync(path, anHourAgo, anHourAgo);
    }
    const { code, err } = await inProcess(['guide', SAMPLE_JOB, '--only', 'map', '--out', out]);
    expect(code, err).toBe(0);
    expect(readdirSync(room.path('left')).sort()).toEqual([...stay, out].map((path) => basename(path)).sort());
  });
});
