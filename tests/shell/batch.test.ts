import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  builtCommand,
  type Command,
  type Desk,
  desk,
  INSIDES,
  inProcess,
  SAMPLE_JOB,
  SAMPLE_SHOP,
  watched,
} from '../support/command.ts';

let command: Command;
let room: Desk;
beforeAll(() => {
  command = builtCommand();
});
beforeEach(() => {
  room = desk();
  mkdirSync(room.path('jobs'));
});
afterEach(() => room.remove());

const whole = readFileSync(SAMPLE_JOB, 'utf8');
const model = whole.replace(/\nasFound:\n(?: {2}.*\n)+/, '\n');
/** No cut is needed: nothing is drawn or proved. */
const low = whole.replace('target: {gap: 0', 'target: {gap: 1.5');
const neck = (gap: number, more = ''): string => `job: 1\nlike: model.yaml\nasFound: {lastFretGap: ${gap}}\n${more}`;
const put = (name: string, text: string): void => writeFileSync(room.path('jobs', name), text);
const batch = (...more: string[]): string[] => [
  'batch',
  room.path('jobs'),
  '--into',
  room.path('out'),
  '--shop',
  SAMPLE_SHOP,
  ...more,
];
interface Summary {
  readonly exit: number;
  readonly jobs: readonly { name: string; state: string; exit: number; findings: { code: string; text: string }[] }[];
}
const states = (): Record<string, string> => {
  const { jobs } = JSON.parse(room.text('out/summary.json')) as Summary;
  return Object.fromEntries(jobs.map(({ name, state, exit }) => [name, `${state} ${exit}`]));
};
const parts = (): string[] => room.files().filter((name) => name.includes('.part'));

describe('a batch of a folder, by worker threads', () => {
  it('makes every job whatever the others are, says all of them, and then only what changed', async () => {
    put('model.yaml', model);
    put('shop.yaml', readFileSync(SAMPLE_SHOP, 'utf8'));
    put('sound.yaml', neck(1.1));
    put('other.json', JSON.stringify({ job: 1, like: 'model.yaml', asFound: { lastFretGap: 1 } }));
    put('broken.yaml', 'job: 1\ntitle: "open\n');
    put('thin.yml', neck(1.1, 'pocket: {body: 27.5}\n'));
    put('twin.yaml', neck(1));
    put('Twin.yml', neck(1));
    put('.hidden.yaml', 'job: [');
    writeFileSync(room.path('jobs/notes.txt'), 'not a job');
    const first = command.run(batch('--workers', '2'));
    expect(first.code, first.err).toBe(2);
    expect(first.out).toBe(room.text('out/summary.txt'));
    expect(first.err).not.toMatch(INSIDES);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what must not be there
    expect(first.err).not.toMatch(/[\r\u001b]/);
    expect(first.err).toContain('shop.yaml is a shop file');
    expect(first.err).toContain('model.yaml has no readings of its own');
    expect(first.err).toContain('making: 6 of 6');
    expect(states()).toEqual({
      'Twin.yml': 'failed 2',
      broken: 'failed 2',
      other: 'made 0',
      sound: 'made 0',
      thin: 'failed 3',
      'twin.yaml': 'failed 2',
    });
    expect(first.out).toContain('broken.yaml:3:1: error yaml-syntax');
    expect(first.out).toContain('error floor-too-thin');
    expect(existsSync(room.path('out/twin'))).toBe(false);
    // The same bytes as make leaves alone.
    expect(
      (await inProcess(['make', room.path('jobs/sound.yaml'), '--shop', SAMPLE_SHOP, '--into', room.path('alone')])).code,
    ).toBe(0);
    const made = room.files().filter((name) => name.startsWith('alone/'));
    expect(made).toContain('alone/floor.nc');
    for (const name of made) expect(room.text(name.replace('alone/', 'out/sound/')), name).toBe(room.text(name));

    // Nothing changed: what was made is not touched, and the summary is the same bytes.
    const stamp = new Date(1_000_000);
    const outputs = ['out/sound/floor.nc', 'out/sound/record.json', 'out/other/guide.pdf', 'out/other/record.json'];
    const touched = (): string[] => {
      const fresh = outputs.filter((name) => room.changed(name, stamp));
      for (const name of outputs) utimesSync(room.path(name), stamp, stamp);
      return fresh;
    };
    touched();
    const summary = ['txt', 'csv', 'json'].map((kind) => room.text(`out/summary.${kind}`));
    const again = await inProcess(batch());
    expect(again.err).toContain('2 of 6 had not changed');
    expect(touched()).toEqual([]);
    expect(['txt', 'csv', 'json'].map((kind) => room.text(`out/summary.${kind}`))).toEqual(summary);

    // A comment in the model is another text: both are made again. An output changed by hand: that one alone, and it is said.
    appendFileSync(room.path('out/sound/floor.nc'), 'G0 Z-9\n');
    const mended = await inProcess(batch());
    expect(mended.err).toContain(`${room.path('out/sound/floor.nc')} was changed after it was made: made again`);
    expect(touched().sort()).toEqual(['out/sound/floor.nc', 'out/sound/record.json']);
    expect(room.text('out/sound/floor.nc')).toBe(room.text('alone/floor.nc'));
    appendFileSync(room.path('jobs/model.yaml'), '# one more word\n');
    await inProcess(batch());
    expect(touched()).toEqual(outputs);
    expect(parts()).toEqual([]);
  });

  it('asked to stop ends what it has begun, leaves whole sets only, and makes the rest when run again', async () => {
    put('model.yaml', model);
    for (let i = 0; i < 8; i++) put(`n${i}.yaml`, neck(1 + i / 50));
    const begun = (): boolean => existsSync(room.path('out/n0/record.json'));
    // Without programs a job takes a fraction of its time; what is looked at here is the same.
    const lean = ['batch', room.path('jobs'), '--into', room.path('out')];
    const records = (): number => room.files().filter((name) => name.endsWith('record.json')).length;
    const stopped = await watched(command, lean, { killWhen: begun, killBy: 'SIGINT' });
    expect(stopped.signal, stopped.err).toBe('SIGINT');
    expect(stopped.err).toMatch(/stopped with \d+ of 8 not begun/);
    expect(Object.values(states())).toContain('not begun 0');
    const sets = Object.entries(states()).filter(([, state]) => state === 'made 0');
    expect(sets.length).toBeGreaterThan(0);
    for (const [name] of sets) expect((await inProcess(['same', room.path('out', name)])).code, name).toBe(0);
    expect(records()).toBe(sets.length);
    const more = (): boolean => records() > sets.length;
    expect(parts()).toEqual([]);
    // Killed outright it has no time to say anything, and the next run makes what is not whole.
    const killed = await watched(command, lean, { killWhen: more, killBy: 'SIGKILL' });
    expect([null, 'SIGKILL']).toContain(killed.signal);
    const rest = await inProcess(lean);
    expect(rest.code, rest.err).toBe(0);
    expect(new Set(Object.values(states()))).toEqual(new Set(['made 0']));
  });
});

describe('a batch', () => {
  it('says a wrong shop file once and makes nothing', async () => {
    put('a.yaml', whole);
    put('b.yaml', whole);
    writeFileSync(room.path('shop.yaml'), 'shop: 1\nunits: cm\n');
    const { code, out, err } = await inProcess([
      'batch',
      room.path('jobs'),
      '--into',
      room.path('out'),
      '--shop',
      room.path('shop.yaml'),
    ]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err.match(/not-a-choice/g)).toHaveLength(1);
    expect(existsSync(room.path('out'))).toBe(false);
  });

  it('of a folder without a job says what it found', async () => {
    put('shop.yaml', 'shop: 1\nunits: mm\n');
    const { code, err } = await inProcess(batch());
    expect(code).toBe(2);
    expect(err).toContain('no-jobs');
    expect(err).toContain('shop.yaml');
  });

  it('leaves a file of somebody else, and says that results of an earlier text are still there', async () => {
    put('a.yaml', whole);
    put('b.yaml', low);
    mkdirSync(room.path('out/a'), { recursive: true });
    writeFileSync(room.path('out/a/floor.nc'), 'mine\n');
    writeFileSync(room.path('out/summary.txt'), 'mine\n');
    const first = await inProcess(batch());
    expect(first.code).toBe(2);
    expect(first.out).toContain('would-replace');
    expect(first.err).toContain(`'${room.path('out/summary.txt')}' is there already`);
    expect([room.text('out/a/floor.nc'), room.text('out/summary.txt')]).toEqual(['mine\n', 'mine\n']);
    put('b.yaml', 'job: 1\n');
    const second = await inProcess(batch('--json'));
    expect((JSON.parse(second.out) as Summary).exit).toBe(2);
    expect(second.err).toContain(`${room.path('out/b')} still holds what an earlier run made`);
    expect((await inProcess(batch('--replace'))).code).toBe(2);
    expect(room.text('out/a/floor.nc')).toContain('(pocketpitch: ');
  });

  it('of a table makes a neck of each row and tells faults at their cells', async () => {
    put('model.yaml', model);
    writeFileSync(
      room.path('necks.csv'),
      'name,neck.seatToCrown,asFound.lastFretGap\nk1,23.4 ± 0.1,1.1\nk2,tall,1.1\nk3,"23.4","2,5"\n',
    );
    const args = ['batch', room.path('necks.csv'), '--like', room.path('jobs/model.yaml'), '--into', room.path('out')];
    const { code, out, err } = await inProcess(args);
    expect(code).toBe(2);
    expect(states()).toEqual({ k1: 'made 0', k2: 'failed 2', k3: 'failed 2' });
    expect(out).toContain('necks.csv:3:4: error not-a-length: neck.seatToCrown');
    expect(out.replace(/\s+/g, ' ')).toContain('necks.csv:4:11: error not-a-length: asFound.lastFretGap');
    expect(err).toContain('no shop file was given');
    expect(room.text('out/k1/report.txt').split('\n')[0]).toBe('k1');
    expect((await inProcess(['same', room.path('out/k1')])).code).toBe(0);
    expect((await inProcess(args)).err).toContain('1 of 3 had not changed');
  });
});

describe('a family on the disk', () => {
  const solve = (name: string) => inProcess(['solve', room.path('jobs', name)]);

  it('finds the base in the folder of the job that names it, and the drawing in that of the file that names it', async () => {
    mkdirSync(room.path('jobs/models'));
    put('models/model.yaml', model);
    put('neck.yaml', neck(1.1).replace('model.yaml', 'models/model.yaml'));
    const { code, out, err } = await solve('neck.yaml');
    expect(code, err).toBe(0);
    expect(out).toContain('taken from the one it is like');
    put('models/model.yaml', model.replace(/ {2}length: 71.*\n {2}width.*\n {2}corner.*\n/, '  outline: pocket.svg\n'));
    const lost = await solve('neck.yaml');
    expect(lost.code).toBe(2);
    expect(lost.err).toContain(room.path('jobs/models/pocket.svg'));
  });

  it('takes a fit into its own text alone, and keeps every word of it', async () => {
    put('model.yaml', model);
    put('neck.yaml', neck(1.1, '# my own words\n'));
    const before = room.text('jobs/neck.yaml');
    const { code, err } = await inProcess(['fit', room.path('jobs/neck.yaml'), '--depth', '0.3', '--gap', '0.7']);
    expect(code, err).toBe(0);
    expect(room.text('jobs/neck.yaml').startsWith(before)).toBe(true);
    expect(room.text('jobs/neck.yaml')).toContain('fits:\n  - {depth: 0.3, lastFretGap: 0.7}');
    expect(room.text('jobs/model.yaml')).toBe(model);
  });

  it.each([
    ['a base that is not there', () => put('a.yaml', 'job: 1\nlike: gone.yaml\n'), 'a.yaml:2:7: error like-not-there'],
    ['a base that is itself', () => put('a.yaml', 'job: 1\nlike: a.yaml\n'), 'a.yaml:2:7: error like-circle'],
    [
      'a circle',
      () => {
        put('a.yaml', 'job: 1\nlike: b.yaml\n');
        put('b.yaml', 'job: 1\n\nlike: a.yaml\n');
      },
      'b.yaml:3:7: error like-circle',
    ],
    ['a way out', () => put('a.yaml', 'job: 1\nlike: ../b.yaml\n'), 'a.yaml:2:7: error like-not-a-file'],
    [
      'a link out of the folder',
      () => {
        writeFileSync(room.path('outside.yaml'), whole);
        symlinkSync(room.path('outside.yaml'), room.path('jobs/link.yaml'));
        put('a.yaml', 'job: 1\nlike: link.yaml\n');
      },
      'a.yaml:2:7: error like-outside',
    ],
    [
      'a folder that links out',
      () => {
        mkdirSync(room.path('elsewhere'));
        writeFileSync(room.path('elsewhere/m.yaml'), whole);
        symlinkSync(room.path('elsewhere'), room.path('jobs/models'));
        put('a.yaml', 'job: 1\nlike: models/m.yaml\n');
      },
      'a.yaml:2:7: error like-outside',
    ],
    [
      'a row of bases without an end in sight',
      () => {
        for (let i = 0; i < 12; i++) put(`${i === 0 ? 'a' : `m${i}`}.yaml`, `job: 1\nlike: m${i + 1}.yaml\n`);
        put('m12.yaml', whole);
      },
      'm8.yaml:2:7: error like-too-far',
    ],
  ])('refuses %s at its place', async (_, prepare, said) => {
    prepare();
    const { code, out, err } = await solve('a.yaml');
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(said);
    expect(err).not.toMatch(INSIDES);
  });
});

describe('same', () => {
  const made = desk();
  beforeAll(async () => {
    expect((await inProcess(['make', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--into', made.path('out')])).code).toBe(0);
  });
  afterAll(() => made.remove());
  const into = (): string => room.path('out');
  const same = (...more: string[]) => inProcess(['same', into(), ...more]);
  beforeEach(async () => {
    put('job.yaml', whole);
    cpSync(made.path('out'), into(), { recursive: true });
  });

  it('is 0 where nothing changed, wherever the folder is and whatever the job is called', async () => {
    expect(await same()).toMatchObject({ code: 0, err: '' });
    put('renamed.yml', whole);
    rmSync(room.path('jobs/job.yaml'));
    expect((await same('--job', room.path('jobs/renamed.yml'), '--shop', SAMPLE_SHOP)).code).toBe(0);
    expect((await same('--job', room.path('jobs/renamed.yml'))).err).toContain('give --shop');
  });

  it('is 4 and says each thing that is not: changed, missing, of another run, from other texts, from no texts', async () => {
    appendFileSync(room.path('out/air.nc'), '\n');
    rmSync(room.path('out/guide.svg'));
    writeFileSync(room.path('out/guide-9.svg'), '');
    put('job.yaml', `${whole}# a word\n`);
    const { code, out, err } = await same('--job', room.path('jobs/job.yaml'), '--shop', SAMPLE_SHOP);
    expect({ code, err }).toEqual({ code: 4, err: '' });
    expect(out).toMatch(/air\.nc +was changed after it was made/);
    expect(out).toMatch(/guide\.svg +is missing/);
    expect(out).toMatch(/guide-9\.svg +is not of this set/);
    expect(out).toMatch(/job\.yaml +is not the text these were made from: the job/);
    expect(out).toContain('Do not run a program');
    const { differences } = JSON.parse((await same('--json')).out) as { differences: { what: string; name: string }[] };
    expect(differences.map(({ what, name }) => `${what} ${name}`).sort()).toEqual([
      'changed air.nc',
      'missing guide.svg',
      'of-another-run guide-9.svg',
    ]);
  });

  it('is not deceived by a record that was made to fit', async () => {
    const record = room.text('out/record.json');
    for (const [from, to] of [
      [/"depth|depth: 17\.4/, 'depth: 17.5'],
      [/"deepest": /, '"deepest": 1'],
      [/("name": "floor\.nc",\s*"bytes": )\d+/, '$11'],
    ] as const) {
      writeFileSync(room.path('out/record.json'), record.replace(from, to));
      expect((await same()).code, to).toBe(4);
    }
    writeFileSync(room.path('out/record.json'), record);
    expect((await same()).code).toBe(0);
    rmSync(room.path('out/record.json'));
    expect((await same()).code).toBe(2);
  });
});

describe('figures that are still a starter’s', () => {
  it('are said once, with the jobs that have them; of a model only those that the neck takes from it', async () => {
    await inProcess(['start', 'left-handed', room.path('jobs/one.yaml')]);
    cpSync(room.path('jobs/one.yaml'), room.path('jobs/two.yaml'));
    put('neck.yaml', 'job: 1\nlike: two.yaml\nneck: {seatToCrown: 22.9, nutGap: 0.5}\nasFound: {lastFretGap: 1.4, raised: 0}\n');
    const { code, out, err } = await inProcess(['batch', room.path('jobs'), '--into', room.path('out')]);
    expect(code, out + err).toBe(0);
    const said = out.replace(/\s+/g, ' ');
    expect(said).toMatch(
      / one, two: strings\.spreadAtNut,.* neck\.seatToCrown,.* still as the starter 'left-handed' has them, invented\. \[starter-figures\]/,
    );
    expect(said).toMatch(/ neck: in two\.yaml strings\.spreadAtNut,.* invented\. \[starter-figures\]/);
    expect(said).not.toMatch(/ neck: [^[]*seatToCrown/);
    const rows = room.text('out/summary.csv').split('\n');
    expect(rows.filter((row) => row.includes('starter-figures')).map((row) => row.split(',')[0])).toEqual(['neck', 'one', 'two']);
    expect(room.text('out/one/record.json')).not.toContain('starter-figures');
    const again = await inProcess(['batch', room.path('jobs'), '--into', room.path('out')]);
    expect(again.out).toBe(out);
  });
});
