import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  builtCommand,
  type Command,
  desk,
  INSIDES,
  inProcess,
  SAMPLE_JOB,
  SAMPLE_SHOP,
  spawned,
  watched,
} from '../support/command.ts';

let command: Command;
const room = desk();
beforeAll(() => {
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

describe('standard output holds the results and nothing else', () => {
  it('a JSON document is whole, and its warnings go to standard error', () => {
    const { code, out, err } = command.run(['solve', SAMPLE_JOB, '--json']);
    expect(code).toBe(0);
    const { warnings } = JSON.parse(out) as { warnings: { code: string; message: string }[] };
    expect(warnings.length).toBeGreaterThan(0);
    for (const { code: name, message } of warnings) expect(err).toContain(`warning ${name}: ${message}`);
    expect(err.trimEnd().split('\n')).toHaveLength(warnings.length);
  });

  it("make's warnings and notes go to standard error", () => {
    const { code, out, err } = command.run(['make', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--into', room.path('made')]);
    expect(code).toBe(0);
    expect(out).not.toContain('warning');
    expect(err).toContain('warning wish-short');
    expect(err).toContain('warning stays-hold-up');
  });

  it("a guide's and a program's warnings about the job are not swallowed", async () => {
    for (const args of [
      ['guide', SAMPLE_JOB, '--out', room.path('guide.svg')],
      ['route', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', room.path('floor.nc')],
    ]) {
      const { code, out, err } = await inProcess(args);
      expect(code).toBe(0);
      expect(out).not.toContain('warning');
      expect(err, args[0]).toContain('warning wish-short');
    }
  });

  it('a ± that changes nothing is warned of, in job and in shop file', async () => {
    writeFileSync(room.path('job.yaml'), readFileSync(SAMPLE_JOB, 'utf8').replace('leastFloor: 10', 'leastFloor: 10 ± 0.1'));
    writeFileSync(room.path('shop.yaml'), readFileSync(SAMPLE_SHOP, 'utf8').replace('above: 8', 'above: 8 ± 0.1'));
    const args = ['--shop', room.path('shop.yaml')];
    for (const line of [
      ['make', room.path('job.yaml'), ...args, '--into', room.path('made')],
      ['guide', room.path('job.yaml'), ...args, '--out', room.path('guide.svg')],
      ['route', room.path('job.yaml'), ...args, '--out', room.path('floor.nc')],
    ]) {
      const { code, err } = await inProcess(line);
      expect(code).toBe(0);
      expect(err, line[0]).toMatch(/job\.yaml:\d+:\d+: warning /);
      expect(err, line[0]).toMatch(/shop\.yaml:\d+:\d+: warning /);
    }
  });
});

describe('a reader that stops reading', () => {
  const lines: readonly (readonly [string, string[]])[] = [
    ['help', ['--help']],
    ['start', ['start']],
    ['solve', ['solve', SAMPLE_JOB]],
    ['solve --json', ['solve', SAMPLE_JOB, '--json']],
    ['compare', ['compare', SAMPLE_JOB]],
  ];
  it.each(lines)('is no fault of %s: no stack trace, exit 0', async (_, args) => {
    const { code, signal, err } = await watched(command, args, { closeOutput: true });
    expect({ code, signal }, err).toEqual({ code: 0, signal: null });
    expect(err).not.toMatch(/EPIPE|\n\s+at |node:/);
  });

  it('does not keep a verdict from its exit code', async () => {
    const args = ['prove', SAMPLE_JOB, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP];
    const { code, err } = await watched(command, args, { closeOutput: true });
    expect(code, err).toBe(4);
  });

  it('takes its first line and the rest goes nowhere', () => {
    const { code, out, err } = spawned('sh', ['-c', `'${process.execPath}' '${command.entry}' solve '${SAMPLE_JOB}' | head -1`]);
    expect({ code, out, err }).toEqual({ code: 0, out: 'Reedling no. 3, invented sample\n', err: '' });
  });

  it.runIf(existsSync('/dev/full'))('and a full disk behind it is said: exit 2', () => {
    const { code, err } = spawned('sh', ['-c', `'${process.execPath}' '${command.entry}' solve '${SAMPLE_JOB}' > /dev/full`]);
    expect(code).toBe(2);
    expect(err).toContain('the disk is full');
    expect(err).not.toMatch(INSIDES);
  });
});

describe('nothing but the texts', () => {
  it('decides the results: same bytes in another folder, time zone and language', () => {
    const plain = command.run(['solve', SAMPLE_JOB, '--json']);
    const elsewhere = spawned(
      'env',
      [
        'LC_ALL=de_DE.UTF-8',
        'LANG=de_DE.UTF-8',
        'TZ=Asia/Tokyo',
        'NO_COLOR=',
        'FORCE_COLOR=1',
        process.execPath,
        command.entry,
        'solve',
        SAMPLE_JOB,
        '--json',
      ],
      { cwd: room.folder },
    );
    expect(elsewhere.out).toBe(plain.out);
  });

  it('is written with a machine path or a date in it', () => {
    command.run(['make', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--into', room.path('clean')]);
    const files = room.files().filter((name) => name.startsWith('clean/'));
    expect(files.length).toBeGreaterThanOrEqual(6);
    for (const name of files) expect(room.text(name), name).not.toMatch(/\/tmp\/|\/home\/|\/work\/|20\d\d-\d\d-\d\d/);
  });
});
