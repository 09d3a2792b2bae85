import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { desk, inProcess, type Ran, ROOT, SAMPLE_JOB, spawned } from '../support/command.ts';

const room = desk();
const installed = room.path('empty/node_modules/pocketpitch');
let packed: Ran;
let install: Ran;

/** npm with a cache of its own: what is installed then comes from the tarball or from nowhere. */
const npm = (args: readonly string[], cwd: string): Ran =>
  spawned('npm', [...args, '--cache', room.path('cache'), '--no-audit', '--no-fund', '--no-update-notifier'], { cwd });

/** The command as npm links it, run where it was installed. */
const pocketpitch = (args: readonly string[]): Ran =>
  spawned(room.path('empty/node_modules/.bin/pocketpitch'), args, { cwd: room.path('empty') });

beforeAll(() => {
  packed = npm(['pack', '--pack-destination', room.folder], ROOT);
  mkdirSync(room.path('empty'));
  const [tarball] = readdirSync(room.folder).filter((name) => name.endsWith('.tgz'));
  install = npm(['install', '--offline', room.path(tarball ?? 'no-tarball.tgz')], room.path('empty'));
}, 120_000);
afterAll(() => room.remove());

describe('packed and installed from its tarball, in an empty folder and without a network', () => {
  it('packs and installs with nothing beside it', () => {
    expect(packed.code, packed.err).toBe(0);
    expect(install.code, install.err).toBe(0);
    expect(readdirSync(room.path('empty/node_modules')).filter((name) => !name.startsWith('.'))).toEqual(['pocketpitch']);
  });

  it('holds what a maker needs and nothing of the workshop', () => {
    const files = readdirSync(installed, { recursive: true, encoding: 'utf8' });
    for (const name of [
      'README.md',
      'SAFETY.md',
      'LICENSE',
      'CHANGELOG.md',
      'dist/pocketpitch.js',
      'dist/bench-page.html',
      'samples/reedling.yaml',
    ])
      expect(files).toContain(name);
    expect(files.filter((name) => /^(src|tests|node_modules|\.ci)\b/.test(name))).toEqual([]);
  });

  it('gives the licence of every package whose code it holds', () => {
    const { devDependencies } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
      devDependencies: Record<string, string>;
    };
    const licences = readFileSync(join(installed, 'dist/LICENCES.txt'), 'utf8');
    const imported = new Set(
      readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' })
        .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
        .flatMap((name) => [
          ...readFileSync(join(ROOT, 'src', name), 'utf8').matchAll(/^import (?!type )[^']*'((?:@[\w-]+\/)?[\w-]+)/gm),
        ])
        .map(([, name]) => name ?? '')
        // Node's own, and the preview page's script, which the build makes from our sources.
        .filter((name) => name !== 'node' && name !== 'virtual'),
    );
    expect(imported.size).toBeGreaterThanOrEqual(5);
    for (const name of imported) expect(licences).toContain(`\n${name} ${devDependencies[name]}\n`);
  });

  it('starts, solves, makes and proves', () => {
    const version = pocketpitch(['--version']);
    expect(version.code, version.err).toBe(0);
    expect(pocketpitch(['start']).out).toContain('six-string-25-5');
    expect(pocketpitch(['page', '--out', 'bench.html']).code).toBe(0);
    expect(readFileSync(room.path('empty/bench.html'), 'utf8')).toBe(
      readFileSync(join(installed, 'dist/bench-page.html'), 'utf8'),
    );
    expect(pocketpitch(['start', 'six-string-25-5', 'job.yaml']).code).toBe(0);
    expect(pocketpitch(['start', 'shop', 'shop.yaml']).code).toBe(0);
    const solved = pocketpitch(['solve', 'job.yaml']);
    expect(solved.code, solved.err).toBe(0);
    expect(solved.out).toMatch(/\n(Take off|No cut is needed)/);
    const made = pocketpitch(['make', 'job.yaml', '--shop', 'shop.yaml', '--into', 'results']);
    expect(made.code, made.err).toBe(0);
    for (const name of ['report.txt', 'guide.svg', 'floor.nc', 'air.nc', 'trace.nc'])
      expect(existsSync(room.path('empty/results', name)), name).toBe(true);
    for (const kind of ['floor', 'air', 'trace']) {
      const proof = pocketpitch(['prove', `results/${kind}.nc`, '--job', 'job.yaml', '--shop', 'shop.yaml', '--as', kind]);
      expect(proof.code, proof.out).toBe(0);
      expect(proof.out).toMatch(/^proved/);
    }
  });

  it('combines readings as the sources do, with the libraries that are loaded late', async () => {
    const text = readFileSync(SAMPLE_JOB, 'utf8');
    const job = text.replace(/\nasFound:\n/, '\nasFound:\n  straightedge: {bass: 0.6 ± 0.1, treble: 0.4 ± 0.1}\n');
    expect(job).not.toBe(text);
    writeFileSync(room.path('empty/combined.yaml'), job);
    const here = await inProcess(['solve', room.path('empty/combined.yaml'), '--json']);
    expect(here.code, here.err).toBe(0);
    const { evidence } = JSON.parse(here.out) as { evidence: { kind: string }[] };
    expect(evidence.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['lastFretGap', 'straightedge']));
    expect(pocketpitch(['solve', 'combined.yaml', '--json']).out).toBe(here.out);
  });

  it('makes of its own sample what the goldens hold', () => {
    const [job, shop] = ['reedling', 'marshlight-shop'].map((name) => join(installed, `samples/${name}.yaml`));
    const made = pocketpitch(['make', job ?? '', '--shop', shop ?? '', '--into', 'sample']);
    expect(made.code, made.err).toBe(0);
    const golden = join(ROOT, 'tests/golden/reedling');
    // Pictures are of what is made, not made.
    const names = readdirSync(golden).filter((name) => !name.endsWith('.new') && !name.endsWith('.png'));
    expect(names.length).toBeGreaterThanOrEqual(6);
    for (const name of names) expect(room.text('empty/sample', name), name).toBe(readFileSync(join(golden, name), 'utf8'));
  });
});
