import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  builtCommand,
  type Command,
  desk,
  INSIDES,
  inProcess,
  type Ran,
  ROOT,
  SAMPLE_JOB,
  SAMPLE_SHOP,
  spawned,
} from '../support/command.ts';

let command: Command;
const room = desk();
const job = readFileSync(SAMPLE_JOB, 'utf8');
const shop = readFileSync(SAMPLE_SHOP, 'utf8');

const put = (name: string, content: string | Buffer): string => {
  writeFileSync(room.path(name), content);
  return room.path(name);
};

beforeAll(() => {
  command = builtCommand();
  mkdirSync(room.path('folder'));
});
afterAll(() => {
  room.remove();
});

/** Every way in which a command reads a job, a shop file or a program; each answers to the file named. */
const READERS: readonly (readonly [string, (file: string) => string[]])[] = [
  ['solve, job', (file) => ['solve', file]],
  ['compare, job', (file) => ['compare', file]],
  ['fit, job', (file) => ['fit', file, '--depth', '0.5', '--gap', '0.5']],
  ['guide, job', (file) => ['guide', file, '--out', room.path('x.svg')]],
  ['guide, shop', (file) => ['guide', SAMPLE_JOB, '--shop', file, '--out', room.path('x.svg')]],
  ['route, job', (file) => ['route', file, '--shop', SAMPLE_SHOP, '--out', room.path('x.nc')]],
  ['route, shop', (file) => ['route', SAMPLE_JOB, '--shop', file, '--out', room.path('x.nc')]],
  ['prove, job', (file) => ['prove', SAMPLE_SHOP, '--job', file, '--shop', SAMPLE_SHOP]],
  ['prove, shop', (file) => ['prove', SAMPLE_SHOP, '--job', SAMPLE_JOB, '--shop', file]],
  ['make, job', (file) => ['make', file, '--shop', SAMPLE_SHOP, '--into', room.path('x')]],
  ['make, shop', (file) => ['make', SAMPLE_JOB, '--shop', file, '--into', room.path('x')]],
];

const latin1 = Buffer.from(job.replace(/±/g, '+/-').replace('invented sample', 'Müller \u00e9'), 'latin1');
const utf16 = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(job, 'utf16le')]);

/** What may stand where a job or shop file should; each with what must be said. */
const BAD: readonly (readonly [string, () => string, RegExp])[] = [
  ['a missing file', () => room.path('nowhere.yaml'), /nowhere\.yaml' cannot be read: there is no such file/],
  ['a folder', () => room.path('folder'), /folder' cannot be read: it is a folder/],
  ['a file below a file', () => join(put('plain.yaml', job), 'x.yaml'), /cannot be read: a part of the path is not a folder/],
  ['an empty file', () => put('empty.yaml', ''), /empty\.yaml:1:1: error /],
  ['blank lines', () => put('blank.yaml', '\n\n  \n'), /blank\.yaml:\d+:\d+: error /],
  ['bytes of another alphabet', () => put('latin1.yaml', latin1), /latin1\.yaml:4:\d+: error not-utf8/],
  ['UTF-16', () => put('utf16.yaml', utf16), /utf16\.yaml:1:1: error not-utf8/],
  ['NUL bytes', () => put('nul.yaml', Buffer.alloc(4096)), /nul\.yaml:\d+:\d+: error /],
  [
    'random bytes',
    () => put('random.yaml', Buffer.from(Array.from({ length: 999 }, (_, i) => (i * 167 + 13) % 256))),
    /random\.yaml:\d+:\d+: error /,
  ],
  ['a program', () => put('some.nc', 'G21\nG0 Z5\nM2\n'), /some\.nc:\d+:\d+: error /],
];

/** Reads like the built command, without a process of its own: what is spawned once for each kind of file need not be for each command. */
const answer = async (name: string, args: readonly string[]): Promise<Ran> =>
  name === 'solve, job' || name === 'make, shop' ? command.run(args) : inProcess(args);

describe.each(READERS)('%s', (name, argsFor) => {
  it.each(BAD)('refuses %s with exit 2, says where, and writes nothing', async (_, file, said) => {
    const path = file();
    const before = room.files();
    const { code, out, err } = await answer(name, argsFor(path));
    expect({ code, out }, `${name}: ${err}`).toEqual({ code: 2, out: '' });
    expect(err).toMatch(said);
    expect(err).not.toMatch(INSIDES);
    expect(room.files()).toEqual(before);
  });
});

describe('problems', () => {
  it('of the job and of the shop file are all said at once, by file, line and column', async () => {
    const badJob = put(
      'job.yaml',
      job.replace('frets: 20', 'frets: twenty').replace('relief: 0.15', 'releif: 0.15').replace('depth: 17.4', 'depth: 1.74'),
    );
    const badShop = put(
      'shop.yaml',
      shop.replace('flutes: 2', 'flutes: 0').replace('zeroing', 'zeroin').replace('above: 8', 'above: eight'),
    );
    for (const args of [
      ['make', badJob, '--shop', badShop, '--into', room.path('x')],
      ['guide', badJob, '--shop', badShop, '--out', room.path('x.svg')],
      ['route', badJob, '--shop', badShop, '--out', room.path('x.nc')],
      ['prove', SAMPLE_JOB, '--job', badJob, '--shop', badShop],
    ]) {
      const { code, out, err } = await inProcess(args);
      expect({ code, out }, err).toEqual({ code: 2, out: '' });
      const lines = err.trimEnd().split('\n');
      for (const [file, word] of [
        [badJob, 'frets'],
        [badJob, 'releif'],
        [badJob, 'pocket.depth'],
        [badShop, 'flutes'],
        [badShop, 'zeroin'],
        [badShop, 'above'],
      ] as const) {
        const line = lines.find((each) => each.startsWith(`${file}:`) && each.includes(word));
        expect(line, `${args[0]} says nothing of ${word}:\n${err}`).toMatch(/:\d+:\d+: error [a-z-]+: /);
      }
      expect(lines).toHaveLength(6);
    }
  });

  it('of a missing job and a missing shop file are both said', async () => {
    for (const args of [
      ['make', room.path('no-job.yaml'), '--shop', room.path('no-shop.yaml'), '--into', room.path('x')],
      ['route', room.path('no-job.yaml'), '--shop', room.path('no-shop.yaml'), '--out', room.path('x.nc')],
    ]) {
      const { code, err } = await inProcess(args);
      expect(code).toBe(2);
      expect(err).toContain('no-job.yaml');
      expect(err).toContain('no-shop.yaml');
    }
  });

  it('of a sound job that cannot be made are exit 3, and say what is missing and by how much', async () => {
    const cases: readonly (readonly [string, string, RegExp])[] = [
      [job.replace('bass: 1.2 ± 0.05', 'bass: 9.2 ± 0.05'), shop, /tilt-too-steep|3 degrees/],
      [job.replace('leastFloor: 10', 'leastFloor: 23.5'), shop, /thin/],
      [job, shop.replace('length: 26', 'length: 18'), /cutter\.length/],
      [job, shop.replace('diameter: 6', 'diameter: 22'), /clearBefore/],
      [job, shop.replace('zeroing: 0.05', 'zeroing: 0.5'), /zeroing/],
      [job.replace('  clearBefore: 25\n', ''), shop, /pocket\.clearBefore/],
      [job, shop.replace('diameter: 6, ', ''), /cutter\.diameter/],
      [job, shop.replace('units: mm, look', 'look'), /program\.units/],
    ];
    for (const [index, [jobText, shopText, said]] of cases.entries()) {
      expect(jobText + shopText).not.toBe(job + shop);
      const args = ['--shop', put(`shop-${index}.yaml`, shopText), '--into', room.path('x')];
      const { code, out, err } = await inProcess(['make', put(`job-${index}.yaml`, jobText), ...args]);
      expect({ code, out }, err).toEqual({ code: 3, out: '' });
      expect(err).toMatch(said);
      expect(err).not.toMatch(INSIDES);
      expect(room.files()).not.toContain('x/report.txt');
    }
  });

  it('of every refused job are exit 2 here as well', async () => {
    const names = readdirSync(join(ROOT, 'tests/jobs-refused'));
    expect(names.length).toBeGreaterThanOrEqual(25);
    for (const name of names) {
      const { code, out, err } = await inProcess(['solve', join(ROOT, 'tests/jobs-refused', name)]);
      expect({ code, out }, `${name}: ${err}`).toEqual({ code: 2, out: '' });
      expect(err).not.toMatch(/\n\s+at |node:internal/);
    }
  });
});

describe('a program', () => {
  let floor = '';
  beforeAll(() => {
    floor = room.path('floor.nc');
    expect(command.run(['route', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', floor]).code).toBe(0);
  });
  const proof = (file: string, ...more: readonly string[]): string[] => [
    'prove',
    file,
    '--job',
    SAMPLE_JOB,
    '--shop',
    SAMPLE_SHOP,
    ...more,
  ];

  it('that is proved is exit 0, from a file and from standard input', () => {
    const fromFile = command.run(proof(floor));
    expect(fromFile.code, fromFile.out).toBe(0);
    expect(fromFile.out).toMatch(/^proved/);
    expect(command.run(proof('-'), { input: readFileSync(floor) })).toEqual(fromFile);
  });

  const CHANGED: readonly (readonly [string, (text: string) => string | Buffer, string])[] = [
    ['cut short', (text) => text.slice(0, text.length / 2), 'floor'],
    ['empty', () => '', 'floor'],
    ['a job', () => job, 'floor'],
    ['with a byte above ASCII', (text) => Buffer.from(text.replace('(try', '(try \u00e9'), 'latin1'), 'floor'],
    ['of random bytes', () => Buffer.from(Array.from({ length: 5000 }, (_, i) => (i * i * 31 + 7) % 256)), 'floor'],
    ['judged as if for the air', (text) => text, 'air'],
    ['judged as if it walked round', (text) => text, 'trace'],
  ];
  it.each(CHANGED)(
    '%s is not proved: exit 4, the verdict on standard output, each fault with its line',
    async (name, change, kind) => {
      const file = put('changed.nc', change(readFileSync(floor, 'utf8')));
      const { code, out, err } = await inProcess(proof(file, '--as', kind));
      expect(code, `${name}: ${err}`).toBe(4);
      expect(out).toMatch(/^not proved: \d+ faults?\n {2}[a-z]+, line \d+: /);
      expect(out + err).not.toMatch(/\n\s+at |node:internal/);
    },
  );

  it.each([
    ['missing', () => room.path('nowhere.nc')],
    ['a folder', () => room.path('folder')],
  ])('that is %s is exit 2', async (_, file) => {
    const { code, out, err } = await inProcess(proof(file()));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('cannot be read');
  });
});

describe('standard input', () => {
  it('gives the job to every command that reads one', () => {
    const solve = command.run(['solve', SAMPLE_JOB]);
    expect(command.run(['solve', '-'], { input: job })).toEqual(solve);
    expect(command.run(['compare', '-'], { input: job })).toEqual(command.run(['compare', SAMPLE_JOB]));
    for (const args of [
      ['guide', '-', '--out', room.path('from-input.svg')],
      ['route', '-', '--shop', SAMPLE_SHOP, '--out', room.path('from-input.nc')],
      ['make', '-', '--shop', SAMPLE_SHOP, '--into', room.path('from-input')],
    ]) {
      const { code, err } = command.run(args, { input: job });
      expect(code, err).toBe(0);
    }
    expect(room.text('from-input/report.txt')).toContain('Reedling');
    expect(room.text('from-input/floor.nc')).toBe(room.text('from-input.nc'));
  });

  it('gives the shop file as well', () => {
    const args = ['route', SAMPLE_JOB, '--shop', '-', '--out', room.path('shop-input.nc')];
    const { code, err } = command.run(args, { input: shop });
    expect(code, err).toBe(0);
  });

  it('is named in what is wrong with it', () => {
    const { code, err } = command.run(['solve', '-'], { input: job.replace('frets: 20', 'frets: 200') });
    expect(code).toBe(2);
    expect(err).toMatch(/^standard input:7:\d+: error /);
  });

  it('may come slowly, with a byte-order mark, with CRLF, or as JSON', () => {
    const slow = `(printf '%s' "$(head -c 200 '${SAMPLE_JOB}')"; sleep 0.3; tail -c +201 '${SAMPLE_JOB}') | '${process.execPath}' '${command.entry}' solve -`;
    const plain = command.run(['solve', SAMPLE_JOB]);
    expect(spawned('sh', ['-c', slow])).toEqual(plain);
    expect(command.run(['solve', '-'], { input: `\ufeff${job}` })).toEqual(plain);
    const crlf = command.run(['solve', '-'], { input: job.replace(/\n/g, '\r\n') });
    expect(crlf.code).toBe(0);
    expect(crlf.out.replace(/^job .*$/m, '')).toBe(plain.out.replace(/^job .*$/m, ''));
  });

  it('that is closed is exit 2', () => {
    const { code, out, err } = spawned('sh', ['-c', `'${process.execPath}' '${command.entry}' solve - <&-`]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).not.toMatch(INSIDES);
  });
});
