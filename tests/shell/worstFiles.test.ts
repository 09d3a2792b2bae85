import { readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  DEEPEST_YAML,
  MOST_FINDINGS_TOLD,
  MOST_PROGRAM_LINES,
  MOST_TEXT_BYTES,
  MOST_YAML_CHARACTERS,
  MOST_YAML_PARTS,
} from '../../src/kernel/tolerances.ts';
import { builtCommand, type Command, desk, INSIDES, type Ran, SAMPLE_JOB, SAMPLE_SHOP, spawned } from '../support/command.ts';

// The built command with the worst files there are, in a process that may use 512 MB. What the work may grow to is bounded by counts; how
// long it takes stands in `npm run bench`.

let command: Command;
const room = desk();
const job = readFileSync(SAMPLE_JOB, 'utf8');
beforeAll(() => {
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

function put(name: string, content: string | Buffer): string {
  writeFileSync(room.path(name), content);
  return room.path(name);
}
const inSmallRoom = (args: readonly string[]): Ran =>
  spawned(process.execPath, ['--max-old-space-size=512', command.entry, ...args]);
const prove = (file: string): Ran => inSmallRoom(['prove', file, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP]);

/** Each is as long as its kind of limit allows, or a little longer. */
const JOBS: readonly (readonly [string, string, RegExp])[] = [
  ['lists in lists', `a: ${'['.repeat(32_000)}`, /:1:3\d: error yaml-syntax: the file is nested too deeply/],
  ['lists in lists without brackets', '- '.repeat(32_000), /error yaml-syntax: the file is nested too deeply/],
  ['keys in keys', '? '.repeat(32_000), /error yaml-syntax: the file is nested too deeply/],
  ['keys on keys', 'a: b: c: d: '.repeat(5000), /error yaml-syntax: the file is nested too deeply/],
  ['commas', `a: [${','.repeat(MOST_YAML_PARTS - 100)}]`, /more problems\)/],
  ['open quotes', '"'.repeat(2 * MOST_YAML_PARTS - 100), /more problems\)/],
  ['the same key', 'a: 1\n'.repeat(2800), /error duplicate-key/],
  ['unknown keys', job + Array.from({ length: 2400 }, (_, i) => `k${i}: 1\n`).join(''), /error unknown-key.*more problems\)/],
  ['an alias of a bomb', `a: &a [1, 2, 3]\nb: [${'*a,'.repeat(9800)}]`, /error yaml-alias/],
  ['more parts than any job', `a: [${'1,'.repeat(MOST_YAML_PARTS)}]`, /error too-large: the file has far more parts/],
  ['more text than any job', `# ${'x'.repeat(MOST_YAML_CHARACTERS)}`, /:1:1: error too-large: the file is far longer/],
  ['a number of many digits', job.replace('612', '9'.repeat(60_000)), /error not-finite/],
];

const FITTED = ['lists in lists', 'keys in keys', 'commas'];

describe('a job file of nothing but', () => {
  it.each(JOBS)('%s is refused in a few words', (name, text, said) => {
    const file = put(`${name}.yaml`, text);
    const { code, out, err } = inSmallRoom(['solve', file]);
    expect({ code, out }, err.slice(0, 500)).toEqual({ code: 2, out: '' });
    expect(err).toMatch(said);
    expect(err).not.toMatch(INSIDES);
    expect(err.trimEnd().split('\n').length).toBeLessThanOrEqual(MOST_FINDINGS_TOLD);
    expect(err.length).toBeLessThan(40_000);
    // What a fit would be put into is read in another way.
    if (!FITTED.includes(name)) return;
    const before = readFileSync(file, 'utf8');
    expect(inSmallRoom(['fit', file, '--depth', '0.5', '--gap', '0.5']).code).toBe(2);
    expect(readFileSync(file, 'utf8')).toBe(before);
  });

  it('bytes that are no text tells where, however long the line', () => {
    const file = put('line.yaml', Buffer.concat([Buffer.from('é\ufffd'.repeat(3_000_000)), Buffer.from([0xff])]));
    const { code, err } = inSmallRoom(['solve', file]);
    expect(code).toBe(2);
    expect(err).toContain(':1:6000001: error not-utf8');
  });

  it('just as deep as is taken is read', () => {
    const deep = (levels: number): string => `deep: ${'['.repeat(levels - 1)}${']'.repeat(levels - 1)}\n`;
    expect(inSmallRoom(['solve', put('in.yaml', job + deep(DEEPEST_YAML))]).err).toContain('error unknown-key');
    expect(inSmallRoom(['solve', put('out.yaml', job + deep(DEEPEST_YAML + 1))]).err).toContain('nested too deeply');
  });

  it('what never ends is given up', () => {
    const { code, err } = inSmallRoom(['solve', '/dev/zero']);
    expect({ code, err }).toEqual({ code: 2, err: "error file-too-large: '/dev/zero' is larger than 16 MiB\n" });
  });
});

describe('a program of nothing but', () => {
  it.each([
    ['line ends', '\n'.repeat(MOST_TEXT_BYTES - 1), `line ${MOST_PROGRAM_LINES + 1}: the program has more than`],
    ['one line', 'X1'.repeat(MOST_TEXT_BYTES / 2 - 1), 'line 1: the line has'],
    ['open comments', `${'('.repeat(70)}\n`.repeat(MOST_PROGRAM_LINES), 'line 1: the comment is not closed'],
  ])('%s is not proved', (name, text, said) => {
    const { code, out, err } = prove(put(`${name}.nc`, text));
    expect(code, err).toBe(4);
    expect(out).toContain(said);
    expect(out + err).not.toMatch(INSIDES);
    expect(out.length).toBeLessThan(10_000);
  });

  it('more bytes than any program is not read', () => {
    const { code, err } = prove(put('large.nc', 'G1 X1\n'.repeat(MOST_TEXT_BYTES / 6 + 2)));
    expect(code).toBe(2);
    expect(err).toContain('error file-too-large');
  });
});
