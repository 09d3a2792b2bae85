import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { KnownKeys } from '../../src/job/problems.ts';
import { JOB_KEYS } from '../../src/job/readJob.ts';
import { SHOP_KEYS } from '../../src/job/readShop.ts';
import { builtCommand, type Command, desk, inProcess, ROOT } from '../support/command.ts';

// What the documents say is held to what the program does.

const read = (name: string): string => readFileSync(join(ROOT, name), 'utf8');
const README = read('README.md');
/** Everything that stands in code marks, one by one. */
const CODE = new Set([...README.matchAll(/`([^`\n]+)`/g)].map(([, code]) => code ?? ''));

let command: Command;
const room = desk();
beforeAll(() => {
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

/** A command line as a shell would part it; what is sent into a file or another command is left out. */
const partsOf = (line: string): string[] =>
  [...(line.split(/ [>|] /)[0] ?? '').matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '').slice(1);

/** Words of the sources with a hyphen that are no finding's code. */
const NO_CODES = new Set(
  [
    // of drawings, SVG and shims
    'check-bar-x check-bar-y square-top square-right square-foot square-left diagonal-down diagonal-up floor-outline wall-line mouth-line',
    'stroke-dasharray stroke-width text-anchor font-weight font-family sans-serif font-size pocket-floor',
    // packages
    'svg-builder svg-pathdata ml-matrix pure-rand gcode-toolpath',
    // choices, cures and names inside
    'pitch-and-roll heel-taper wedge-shim flat-shim deeper-pocket sink-bridge pack-bridge value-only',
    'block-map block-seq flow-collection not-bracketed no-interval rim-air',
  ].flatMap((line) => line.split(' ')),
);

describe('the README', () => {
  it('names every command in its table, and every option somewhere', async () => {
    const { out } = await inProcess(['--help']);
    const names = [...out.matchAll(/^ {2}([a-z]+)(?: \[| <| {2,})/gm)]
      .map(([, name]) => name ?? '')
      .filter((name) => name !== 'help');
    expect(names.length).toBeGreaterThanOrEqual(12);
    const rows = [...README.matchAll(/^\| `([a-z]+)` .*\| `pocketpitch \1\b[^|]*` \|$/gm)].map(([, name]) => name);
    expect(rows.sort()).toEqual([...names].sort());
    for (const name of names) {
      const help = (await inProcess([name, '--help'])).out;
      for (const [, option] of help.matchAll(/^ {2}(--[a-z-]+)/gm))
        expect(README.includes(option ?? ''), `${name} ${option}`).toBe(true);
    }
  });

  const leaves = (keys: KnownKeys, above = ''): string[] =>
    Object.entries(keys).flatMap(([key, below]) =>
      Object.keys(below).length === 0
        ? [above + key]
        : ['bass', 'treble', 'atNut'].some((side) => side in below)
          ? [above + key]
          : leaves(below, `${above}${key}.`),
    );
  it.each([
    ['job', JOB_KEYS],
    ['shop', SHOP_KEYS],
  ] as const)('names every key of a %s file', (_, keys) => {
    const all = leaves(keys);
    expect(all.length).toBeGreaterThan(20);
    // A row names its section once: `pocket.length`, `width`.
    const missing = all.filter((path) => !CODE.has(path) && !CODE.has(path.split('.').at(-1) ?? ''));
    expect(missing).toEqual([]);
  });

  it('says what each code of a finding means, and none that there is not', () => {
    const sources = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' }).filter(
      (name) => name.endsWith('.ts') && !/^(preview|page)[\\/]/.test(name),
    );
    const words = new Set(
      sources.flatMap((name) => [...read(join('src', name)).matchAll(/'([a-z]+(?:-[a-z]+)+)'/g)].map(([, word]) => word ?? '')),
    );
    const told = new Set(
      [...(/## What it may find\n([\s\S]*?)\n## /.exec(README)?.[1]?.matchAll(/^\| (`[^|]*) \|/gm) ?? [])]
        .flatMap(([, codes]) => [...(codes ?? '').matchAll(/`([a-z0-9-]+)`/g)])
        .map(([, code]) => code ?? ''),
    );
    expect(told.size).toBeGreaterThan(90);
    expect([...told].filter((code) => code !== 'usage' && code !== 'not-utf8' && !words.has(code))).toEqual([]);
    const untold = [...words].filter((word) => !told.has(word) && !NO_CODES.has(word));
    expect(untold, 'a new finding needs its line in the README; what is none of a finding goes into NO_CODES').toEqual([]);
  });

  it('tells every exit code as the help does', async () => {
    const { out } = await inProcess(['--help']);
    for (const code of [0, 1, 2, 3, 4]) {
      expect(out).toMatch(new RegExp(`(Exit codes:|;)\\s${code} `));
      expect(README).toMatch(new RegExp(`(Exit codes:|;) ${code} `));
    }
  });

  it('gives examples that run as they stand, in its order', () => {
    const blocks = [...README.matchAll(/```sh\n([\s\S]*?)```/g)].flatMap(([, block]) => (block ?? '').split('\n'));
    const lines = blocks.map((line) => line.replace(/ +# .*$/, '').trim()).filter((line) => line.startsWith('pocketpitch '));
    expect(lines.length).toBeGreaterThanOrEqual(7);
    for (const line of lines) {
      const { code, err } = command.run(partsOf(line), { cwd: room.folder });
      expect(code, `${line}\n${err}`).toBe(0);
    }
  });

  it('gives an example of each command that runs', () => {
    for (const [file, starter] of [
      ['job.yaml', 'six-string-25-5'],
      ['shop.yaml', 'shop'],
    ] as const)
      expect(command.run(['start', starter, file], { cwd: room.folder }).code).toBe(0);
    expect(command.run(['start', 'six-string-25-5', 'jobs/one.yaml'], { cwd: room.folder }).code).toBe(0);
    const lines = [...README.matchAll(/^\| `[a-z]+` .*\| `(pocketpitch [^|]*)` \|$/gm)].map(([, line]) => line ?? '');
    // `prove` stands before `make` in the table, and after `route`, whose program it proves.
    for (const line of lines) {
      const args = partsOf(line).map((word) => (line.includes(' start ') && word === 'job.yaml' ? 'another.yaml' : word));
      // The starter is in inches; the example's figures are millimetres.
      const given = args[0] === 'fit' ? args.map((word) => (/^0\.\d$/.test(word) ? `${word} mm` : word)) : args;
      const { code, err } = command.run(given, { cwd: room.folder });
      expect(code, `${line}\n${err}`).toBe(0);
    }
  });
});

describe.each(['README.md', 'DEVELOPERS.md', 'SAFETY.md'])('%s', (name) => {
  const text = read(name);
  it('names paths and scripts that are there', () => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };
    for (const [, script] of text.matchAll(/npm run ([a-z:]+)/g))
      expect(Object.keys(scripts), `npm run ${script}`).toContain(script);
    const paths = [
      ...text.matchAll(/(?:`|\()((?:src|tests|tools|samples|templates)\/[A-Za-z0-9_./-]*|[A-Z][A-Z-]+\.(?:md|txt))(?:`|\))/g),
    ];
    for (const [, path] of paths) expect(existsSync(join(ROOT, path ?? '')), `${name} names ${path}`).toBe(true);
  });
});
