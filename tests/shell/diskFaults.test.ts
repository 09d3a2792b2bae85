import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
import { proofWorkOf } from '../../src/routeJob.ts';
import { solvedWithShop } from '../../src/shell/jobs.ts';
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
import { failingDisk } from '../support/diskFaults.mjs';

// What is worked out is the same for the same texts (invariant 7), so it is worked out once: these tests run a command some thousand
// times, and only its use of the disk is looked at.
const { once } = vi.hoisted(() => {
  const known = new Map<string, unknown>();
  const once = <T>(key: readonly unknown[], work: () => T): T => {
    const text = JSON.stringify(key);
    if (!known.has(text)) known.set(text, work());
    return known.get(text) as T;
  };
  return { once };
});
vi.mock('../../src/pipeline.ts', async (original) => {
  const real = await original<typeof import('../../src/pipeline.ts')>();
  return { makeAll: (...texts: Parameters<typeof real.makeAll>) => once(['make', texts], () => real.makeAll(...texts)) };
});
vi.mock('../../src/routeJob.ts', async (original) => {
  const real = await original<typeof import('../../src/routeJob.ts')>();
  const programsOf: typeof real.programsOf = (outcome, shop, kinds) =>
    once(['route', outcome.fingerprint, shop, kinds], () => real.programsOf(outcome, shop, kinds));
  return { ...real, programsOf };
});
vi.mock('../../src/guideJob.ts', async (original) => {
  const real = await original<typeof import('../../src/guideJob.ts')>();
  const guideOf: typeof real.guideOf = (outcome, shop, only) =>
    once(['guide', outcome.fingerprint, shop, only], () => real.guideOf(outcome, shop, only));
  return { ...real, guideOf };
});
vi.mock('../../src/solveJob.ts', async (original) => {
  const real = await original<typeof import('../../src/solveJob.ts')>();
  return {
    ...real,
    solveText: (...given: Parameters<typeof real.solveText>) => once(['solve', given], () => real.solveText(...given)),
  };
});
vi.mock('../../src/guide/guide.ts', async (original) => {
  const real = await original<typeof import('../../src/guide/guide.ts')>();
  // Sheets are long to write down as a key; the ones that come here are made once as well.
  const known = new WeakMap<object, string[]>();
  const svgTexts: typeof real.svgTexts = (sheets) => {
    const texts = known.get(sheets) ?? real.svgTexts(sheets);
    known.set(sheets, texts);
    return texts;
  };
  return { ...real, svgTexts };
});
vi.mock('../../src/pdfJob.ts', async (original) => {
  const real = await original<typeof import('../../src/pdfJob.ts')>();
  return {
    pdfBytes: (...[sheets, title]: Parameters<typeof real.pdfBytes>) => once(['pdf', title], () => real.pdfBytes(sheets, title)),
  };
});
vi.mock('../../src/previewJob.ts', async (original) => {
  const real = await original<typeof import('../../src/previewJob.ts')>();
  const previewOf: typeof real.previewOf = (...[outcome, shop, ...more]) =>
    once(['preview', outcome.fingerprint, shop, more], () => real.previewOf(outcome, shop, ...more));
  return { ...real, previewOf };
});

let room: Desk;
let command: Command;
const job = readFileSync(SAMPLE_JOB, 'utf8');
/** Another job, whose outputs stand where the job's are to go. */
const OTHER = job.replace('bass: 1.2 ± 0.05', 'bass: 1.3 ± 0.05');
beforeAll(() => {
  room = desk();
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

type Files = ReadonlyMap<string, string>;

const filesNow = (): Files => new Map(room.files().map((name) => [name, readFileSync(room.path(name), 'latin1')]));
const hidden = (name: string): boolean => /(^|\/)\./.test(name);

function put(files: Files): void {
  const now = filesNow();
  if (now.size === files.size && [...files].every(([name, text]) => now.get(name) === text)) return;
  rmSync(room.folder, { recursive: true, force: true });
  mkdirSync(room.folder);
  for (const [name, text] of files) {
    mkdirSync(dirname(room.path(name)), { recursive: true });
    writeFileSync(room.path(name), text, 'latin1');
  }
}

const START: Files = new Map([
  ['job.yaml', Buffer.from(job).toString('latin1')],
  ['other.yaml', Buffer.from(OTHER).toString('latin1')],
  ['shop.yaml', readFileSync(SAMPLE_SHOP, 'latin1')],
]);

interface Scene {
  readonly name: string;
  readonly args: (job: string) => readonly string[];
  /** Whether outputs of the other job stand there already. */
  readonly over: boolean;
}
const shop = (): string[] => ['--shop', room.path('shop.yaml')];
const MAKE = (file: string): string[] => ['make', room.path(file), ...shop(), '--into', room.path('a/results')];
const SCENES: readonly Scene[] = [
  { name: 'make into a new folder', args: MAKE, over: false },
  { name: 'make over another job', args: MAKE, over: true },
  { name: 'route', args: (file) => ['route', room.path(file), ...shop(), '--out', room.path('floor.nc')], over: true },
  { name: 'guide', args: (file) => ['guide', room.path(file), '--only', 'map', '--out', room.path('map.svg')], over: true },
  { name: 'guide as PDF', args: (file) => ['guide', room.path(file), '--out', room.path('new/guide.pdf')], over: false },
  { name: 'preview', args: (file) => ['preview', room.path(file), ...shop(), '--out', room.path('page.html')], over: true },
  {
    name: 'compare',
    args: (file) => ['compare', room.path(file), '--wedge', room.path('w.stl'), '--flat', room.path('new/f.stl')],
    over: false,
  },
  { name: 'start', args: () => ['start', 'left-handed', room.path('new/job.yaml')], over: false },
  { name: 'solve', args: (file) => ['solve', room.path(file)], over: false },
  { name: 'fit', args: (file) => ['fit', room.path(file), '--depth', '0.5', '--gap', '0.45'], over: false },
];

/** What is there before a command, after a whole run of it, and how often it asks the disk. */
interface Known {
  readonly scene: Scene;
  readonly args: readonly string[];
  readonly before: Files;
  readonly after: Files;
  /** By their names. */
  readonly operations: readonly string[];
}

async function knownOf(scene: Scene): Promise<Known> {
  put(START);
  if (scene.over) expect((await inProcess(scene.args('other.yaml'))).code).toBe(0);
  const before = filesNow();
  const args = scene.args('job.yaml');
  const disk = failingDisk(room.folder, 0, 'EIO');
  const { code, err } = await inProcess(args);
  disk.restore();
  expect(code, err).toBe(0);
  const after = filesNow();
  if (scene.name !== 'solve') expect(after).not.toEqual(before);
  return { scene, args, before, after, operations: disk.operations.map((each) => each.split(' ')[0] ?? '') };
}

interface Hurt {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  readonly now: Files;
  readonly told: string;
  readonly operation: string;
}

async function hurt(known: Known, at: number, kind: string): Promise<Hurt> {
  put(known.before);
  const disk = failingDisk(room.folder, at, kind);
  const ran = await inProcess(known.args).finally(disk.restore);
  const operation = disk.operations[at - 1] ?? '';
  const told = `${kind} at operation ${at}, ${operation}: exit ${ran.code}\n${ran.err}`;
  expect(operation, told).not.toBe('');
  // Whatever happens: a word about it, never a look inside, never a fault of the program's own.
  expect([0, 2], told).toContain(ran.code);
  expect(ran.err, told).not.toMatch(INSIDES);
  if (ran.code === 2) {
    expect(ran.out, told).toBe('');
    expect(ran.err, told).toMatch(/^error [a-z-]+: .*'.+'/m);
  }
  return { ...ran, now: filesNow(), told, operation };
}

/** Every file under its own name is whole: as it was, or as a whole run leaves it. */
function expectWhole({ before, after }: Known, { now, told }: Hurt, mayGo = false): void {
  for (const [name, text] of now) {
    if (hidden(name)) continue;
    const isWhole = text === before.get(name) || text === after.get(name);
    expect(isWhole, `${name} is neither as it was nor as it is to be; ${told}`).toBe(true);
  }
  if (!mayGo) for (const name of before.keys()) expect([...now.keys()], `${name} is gone; ${told}`).toContain(name);
}

// A whole command runs hundreds of times in each of these, on a machine that may be busy.
vi.setConfig({ testTimeout: 240_000 });

/** Operations of a command that writes more than a few files. */
const MANY = 100;
const FAULTS = join(ROOT, 'tests/support/diskFaults.mjs');
const ERRORS = ['ENOSPC', 'EACCES', 'EROFS', 'EIO'];

describe.each(SCENES)('$name', (scene) => {
  let known: Known;
  beforeAll(async () => {
    known = await knownOf(scene);
  });
  // `make` does the same eight or nine things with each of its many files: into a new folder every third is failed, over another job every
  // fifth, which in so many files still meets every kind of operation many times.
  const third = scene.over ? 5 : 3;
  /** `every` leaves some out where there are many. */
  const each = async (look: (at: number) => Promise<void>, every = 1): Promise<void> => {
    const { length } = known.operations;
    expect(length).toBeGreaterThan(scene.name === 'solve' ? 0 : 4);
    for (let at = 1; at <= length; at += length > MANY ? every : 1) await look(at);
  };

  it('where one operation fails does all or nothing, and leaves nothing lying about', async () => {
    let refused = 0;
    await each(async (at) => {
      const kinds = [ERRORS[at % ERRORS.length] ?? 'EIO', ...(known.operations[at - 1] === 'writeSync' ? ['half'] : [])];
      for (const kind of kinds) {
        const seen = await hurt(known, at, kind);
        // What cannot be taken away stays: that alone may be left over.
        const stuck = /^rmSync (.*)/.exec(seen.operation)?.[1];
        const now = new Map([...seen.now].filter(([name]) => !(hidden(name) && name === stuck)));
        expect(now, seen.told).toEqual(seen.code === 0 ? known.after : known.before);
        // It is the disk that refuses, and that is what is said: not that somebody else's file stands there.
        if (seen.code !== 0) expect(seen.err, seen.told).toMatch(/error (cannot-read|cannot-write|changed-meanwhile): /);
        if (seen.code !== 0) refused += 1;
      }
    }, third);
    expect(refused).toBeGreaterThan(0);
  });

  it('where the disk fails from one operation on leaves every file whole', async () => {
    await each(async (at) => {
      const seen = await hurt(known, at, 'still EIO');
      expectWhole(known, seen);
    }, 5);
  });

  it('where what it works on is taken away leaves every file whole and nothing lying about', async () => {
    await each(async (at) => {
      const seen = await hurt(known, at, 'gone');
      expectWhole(known, seen, true);
      expect([...seen.now.keys()].filter(hidden), seen.told).toEqual([]);
      // A run that says it is done has done all of it.
      if (seen.code === 0 && !/^existsSync/.test(seen.operation))
        for (const [name, text] of known.after)
          if (text !== known.before.get(name)) expect(seen.now.get(name) === text, `${name}; ${seen.told}`).toBe(true);
    }, 7);
  });

  it('ended before any operation leaves every file whole, and the next run does its work', async () => {
    await each(async (at) => {
      const seen = await hurt(known, at, 'dead');
      expectWhole(known, seen);
      // A whole run is long beside a part of one: not after each of the many operations of `make`.
      if (known.operations.length > MANY && at % 9 !== 0) return;
      if (scene.name === 'solve' || (scene.name === 'start' && seen.now.has('new/job.yaml'))) return;
      const lock = [...seen.now.keys()].find((name) => name.endsWith('.lock'));
      if (lock !== undefined) {
        const told = await inProcess(known.args);
        expect(told.code).toBe(2);
        expect(told.err).toContain(`remove '${room.path(lock)}'`);
        rmSync(room.path(lock));
      }
      const noted = scene.name === 'fit' && seen.now.get('job.yaml') === known.after.get('job.yaml');
      if (noted) return;
      const again = await inProcess(known.args);
      expect(again.code, again.err).toBe(0);
      const done = filesNow();
      for (const [name, text] of known.after) expect(done.get(name) === text, name).toBe(true);
    }, third);
  });
});

describe('a job that changes while a fit goes in', () => {
  it.each(['edited', 'away'])('is left as it is then: %s', async (kind) => {
    const known = await knownOf(SCENES.at(-1) as Scene);
    let told = 0;
    // Between the end of the last look and the new name nothing can be seen any more; a file taken away while it is open still reads.
    const look = kind === 'away' ? 'openSync' : 'readSync';
    const looked = known.operations.lastIndexOf(look, known.operations.indexOf('renameSync')) + 1;
    for (let at = 1; at <= looked; at++) {
      const seen = await hurt(known, at, `${kind} job.yaml`);
      const expected = kind === 'away' ? undefined : `${known.before.get('job.yaml')}# edited\n`;
      if (seen.code === 2) expect(seen.now.get('job.yaml'), seen.told).toBe(expected);
      // Where it was read after that, the fit stands beneath the new line.
      else expect(seen.now.get('job.yaml'), seen.told).toMatch(/# edited\nfits:/);
      if (seen.err.includes('changed-meanwhile')) told += 1;
      expect([...seen.now.keys()].filter(hidden), seen.told).toEqual([]);
    }
    expect(told).toBeGreaterThan(4);
  });
});

describe('the programs among them', () => {
  it('are proved, the old as well as the new', async () => {
    const known = await knownOf(SCENES[1] as Scene);
    for (const [file, files] of [
      ['other.yaml', known.before],
      ['job.yaml', known.after],
    ] as const) {
      const { outcome, shop: read } = solvedWithShop(room.path(file), room.path('shop.yaml'));
      const work = read === undefined ? undefined : proofWorkOf(outcome, read);
      if (work?.ok !== true) throw new Error('there is nothing to prove by');
      for (const kind of ['floor', 'air', 'trace'] as const) {
        const verdict = proveProgram(files.get(`a/results/${kind}.nc`) ?? '', work.value, kind);
        expect(verdict.faults, `${kind} of ${file}`).toEqual([]);
      }
    }
  });
});

describe('the built command', () => {
  /** Where the running command is to be ended, told to the module that node loads before it. */
  const ended = (args: readonly string[], at: number) =>
    spawnSync(process.execPath, ['--import', FAULTS, command.entry, ...args], {
      env: { ...process.env, POCKETPITCH_TEST_DISK: JSON.stringify({ folder: room.folder, at, kind: 'kill' }) },
      encoding: 'utf8',
    });

  it.each(SCENES.filter(({ name }) => ['route', 'fit'].includes(name)))(
    'killed at every second operation of $name from the first write on leaves every file whole',
    async (scene) => {
      const known = await knownOf(scene);
      // Before the first file is opened for writing there is nothing that a kill could leave.
      // 'ended before any operation' above tries each; a kill in earnest, every second.
      for (let at = known.operations.indexOf('writeSync'); at <= known.operations.length; at += 2) {
        put(known.before);
        const { signal, stderr } = ended(known.args, at);
        const told = `killed before operation ${at}\n${stderr}`;
        expect(signal, told).toBe('SIGKILL');
        expectWhole(known, { code: null, out: '', err: stderr, now: filesNow(), told, operation: '' });
      }
    },
  );

  it('of make killed while its files take their names leaves old and new ones, all whole', async () => {
    const known = await knownOf(SCENES[1] as Scene);
    const renames = known.operations.flatMap((name, index) => (name === 'renameSync' ? [index + 1] : []));
    expect(renames.length).toBeGreaterThan(10);
    for (const at of [renames[1], renames[7], renames.at(-1)] as number[]) {
      put(known.before);
      expect(ended(known.args, at).signal).toBe('SIGKILL');
      const now = filesNow();
      expectWhole(known, { code: null, out: '', err: '', now, told: `killed before ${at}`, operation: '' });
      const changed = [...known.after].filter(([name, text]) => text !== known.before.get(name));
      const taken = changed.filter(([name, text]) => now.get(name) === text);
      expect(taken.length).toBe(renames.indexOf(at));
    }
  });

  it('knows nothing of these tests', () => {
    const dist = dirname(command.entry);
    for (const name of readdirSync(dist))
      expect(readFileSync(join(dist, name), 'utf8')).not.toMatch(/POCKETPITCH_TEST|failingDisk/);
  });
});
