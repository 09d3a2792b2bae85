import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { builtCommand, type Command, desk, INSIDES, inProcess, ROOT, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

let command: Command;
const room = desk();
beforeAll(() => {
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

/** Every command with what it cannot do without. */
const COMMANDS: Readonly<Record<string, { readonly needs: readonly string[]; readonly options: readonly string[] }>> = {
  start: { needs: [], options: ['--replace'] },
  solve: { needs: ['job'], options: ['--json', '--action', '--sampled'] },
  compare: { needs: ['job'], options: ['--json', '--wedge', '--flat', '--replace'] },
  fit: {
    needs: ['job'],
    options: [
      '--depth',
      '--depth-bass',
      '--depth-treble',
      '--gap',
      '--gap-bass',
      '--gap-treble',
      '--raised',
      '--shim',
      '--note',
      '--on',
      '--undo',
      '--json',
    ],
  },
  guide: { needs: ['job', '--out'], options: ['--out', '--shop', '--replace'] },
  route: { needs: ['job', '--out'], options: ['--out', '--shop', '--replace'] },
  prove: { needs: ['program', '--job', '--shop'], options: ['--job', '--shop', '--as', '--json', '--report'] },
  preview: { needs: ['job', '--out'], options: ['--out', '--shop', '--program', '--as', '--after', '--replace'] },
  page: { needs: ['--out'], options: ['--out', '--replace'] },
  make: { needs: ['job', '--into'], options: ['--into', '--shop', '--replace'] },
  batch: { needs: ['from', '--into'], options: ['--into', '--shop', '--like', '--workers', '--json', '--replace'] },
  same: { needs: ['folder'], options: ['--job', '--shop', '--json'] },
  schema: { needs: ['kind'], options: [] },
  completion: { needs: ['shell'], options: [] },
  manual: { needs: [], options: [] },
};
const NAMES = Object.keys(COMMANDS);

describe('help', () => {
  it('lists every command, and no other than is tested here', async () => {
    const { code, out, err } = await inProcess(['--help']);
    expect(code).toBe(0);
    expect(err).toBe('');
    const listed = [...out.matchAll(/^ {2}([a-z]+)(?: \[| <| {2,})/gm)].map((match) => match[1]);
    for (const name of NAMES) expect(listed, `${name} is missing`).toContain(name);
    const later = listed.filter((name) => name !== undefined && name !== 'help' && !NAMES.includes(name));
    expect(later, 'a new command needs its lines in COMMANDS above').toEqual([]);
    expect(out).toContain('SAFETY.md');
  });

  it.each(NAMES)('%s tells its options and an example', async (name) => {
    const { code, out, err } = await inProcess([name, '--help']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toMatch(new RegExp(`^Usage: pocketpitch ${name} `));
    for (const option of COMMANDS[name]?.options ?? []) expect(out).toContain(option);
    expect(out).toMatch(new RegExp(`\\nExample: pocketpitch ${name}(?: \\S+|\\n)`));
  });

  it('is what one gets without a command, and then it is a mistake', () => {
    const { code, out, err } = command.run([]);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain('Usage: pocketpitch');
  });

  it("says the package's own version", () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string };
    expect(command.run(['--version'])).toEqual({ code: 0, out: `${version}\n`, err: '' });
  });
});

describe('the examples', () => {
  it('of the help run as they stand, in order, with a job, a shop file and a program of those names', async () => {
    command.run(['start', 'six-string-25-5', room.path('my-job.yaml')]);
    const helps = await Promise.all(NAMES.map((name) => inProcess([name, '--help'])));
    const lines = helps.map(({ out }) => /\nExample: pocketpitch (.*)/.exec(out)?.[1] ?? '');
    expect(lines.every((line) => line !== '')).toBe(true);
    expect(command.run(['start', 'shop', room.path('my-shop.yaml')]).code).toBe(0);
    command.run(['start', 'left-handed', room.path('jobs/one.yaml')]);
    for (const line of lines) {
      const args = [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((match) => match[1] ?? match[2] ?? '');
      // The starter is already there: the example writes it once more into a folder of its own.
      const given = args[0] === 'start' ? [...args.slice(0, -1), 'another-job.yaml'] : args;
      const { code, err } = command.run(given, { cwd: room.folder });
      expect(code, `pocketpitch ${line}\n${err}`).toBe(0);
    }
    const files = room.files();
    for (const name of [
      'another-job.yaml',
      'guide.svg',
      'floor.nc',
      'results/report.txt',
      'results/floor.nc',
      'pocketpitch.html',
    ])
      expect(files).toContain(name);
    // A dozen processes, one after another.
  }, 120_000);
});

describe('a wrong command line is exit 2, with a word about it and no stack', () => {
  const full: Readonly<Record<string, string>> = {
    job: SAMPLE_JOB,
    program: SAMPLE_JOB,
    kind: 'job',
    shell: 'bash',
    folder: room.path('results'),
    from: room.path('jobs'),
    '--out': room.path('x.svg'),
    '--into': room.path('x'),
    '--job': SAMPLE_JOB,
    '--shop': SAMPLE_SHOP,
  };
  const lineWithout = (name: string, left: string): string[] =>
    (COMMANDS[name]?.needs ?? [])
      .filter((need) => need !== left)
      .flatMap((need) => (need.startsWith('--') ? [need, full[need] ?? ''] : [full[need] ?? '']));
  const missing = NAMES.flatMap((name) => (COMMANDS[name]?.needs ?? []).map((need) => [name, need] as const));

  it.each(missing)('%s without %s', async (name, need) => {
    const { code, out, err } = await inProcess([name, ...lineWithout(name, need)]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(need.replace(/^--/, ''));
    expect(err).not.toMatch(INSIDES);
  });

  it.each(NAMES)('%s with an option it does not know', async (name) => {
    const { code, out, err } = await inProcess([name, ...lineWithout(name, ''), '--sideways']);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('--sideways');
    expect(err).not.toMatch(INSIDES);
  });

  it.each([
    ['an unknown command', ['bend', SAMPLE_JOB], "unknown command 'bend'"],
    ['a schema of no such file', ['schema', 'guitar'], 'job, shop'],
    ['completion for no such shell', ['completion', 'sh'], 'bash, zsh, fish'],
    ['an unknown starter', ['start', 'no-such-starter'], "no starter 'no-such-starter'"],
    ['a starter by a way out of its folder', ['start', '../samples/reedling'], 'no starter'],
    ['one argument too many', ['solve', SAMPLE_JOB, SAMPLE_JOB], 'too many arguments'],
    ['an option without its value', ['guide', SAMPLE_JOB, '--out'], '--out'],
    ['an unknown kind of proof', ['prove', SAMPLE_JOB, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--as', 'water'], 'water'],
    ['a guide that is no .svg', ['guide', SAMPLE_JOB, '--out', 'guide.bmp'], '.svg'],
    ['a bench page that is no .html', ['page', '--out', room.path('page.pdf')], '.html'],
    ['a preview that is no .html', ['preview', SAMPLE_JOB, '--out', room.path('page.pdf')], '.html'],
    [
      'a program to look at without a shop file',
      ['preview', SAMPLE_JOB, '--out', room.path('x.html'), '--program', SAMPLE_JOB],
      '--shop',
    ],
    ['a preview as an unknown kind', ['preview', SAMPLE_JOB, '--out', room.path('x.html'), '--as', 'water'], 'water'],
    ['a table of necks without a base', ['batch', room.path('necks.csv'), '--into', room.path('x')], '--like'],
    ['a base for a folder of jobs', ['batch', room.folder, '--like', SAMPLE_JOB, '--into', room.path('x')], '.csv'],
    ['no number of workers', ['batch', room.folder, '--workers', '0', '--into', room.path('x')], '--workers'],
    ['a batch of nothing', ['batch', room.path('nowhere'), '--into', room.path('x')], 'cannot be read'],
    ['a shop file compared without its job', ['same', room.folder, '--shop', SAMPLE_SHOP], '--job'],
    ['a folder that nothing was made into', ['same', room.folder], 'no-record'],
    ['route without a shop file', ['route', SAMPLE_JOB, '--out', room.path('x.nc')], '--shop'],
    ['a fit without a depth', ['fit', SAMPLE_JOB, '--gap', '0.5'], '--depth'],
    ['a fit with half a gap', ['fit', SAMPLE_JOB, '--depth', '0.5', '--gap-bass', '0.5'], '--gap-treble'],
    ['a fit into standard input', ['fit', '-', '--depth', '0.5', '--gap', '0.5'], 'standard input'],
    ['job and shop both from standard input', ['make', '-', '--shop', '-', '--into', room.path('x')], 'standard input'],
    [
      'job and shop of a guide both from standard input',
      ['guide', '-', '--shop', '-', '--out', room.path('x.svg')],
      'standard input',
    ],
    [
      'job and shop of a program both from standard input',
      ['route', '-', '--shop', '-', '--out', room.path('x.nc')],
      'standard input',
    ],
    [
      'job and program of a preview both from standard input',
      ['preview', '-', '--program', '-', '--shop', SAMPLE_SHOP, '--out', room.path('x.html')],
      'standard input',
    ],
    ['program and job both from standard input', ['prove', '-', '--job', '-', '--shop', SAMPLE_SHOP], 'standard input'],
  ])('%s', async (_, args, said) => {
    const before = room.files();
    // Only a process of its own has a standard input to give.
    const ran = args.includes('-') ? command.run(args, { input: readFileSync(SAMPLE_JOB) }) : await inProcess(args);
    const { code, out, err } = ran;
    expect({ code, out }, err).toEqual({ code: 2, out: '' });
    expect(err).toContain(said);
    expect(err).not.toMatch(INSIDES);
    expect(room.files()).toEqual(before);
  });
});
