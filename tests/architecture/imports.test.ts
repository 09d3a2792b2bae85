import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const src = join(dirname(fileURLToPath(import.meta.url)), '../../src');
/** Left to right: a file imports from its own folder and from folders to its left. */
const ORDER = [
  'kernel',
  'job',
  'instrument',
  'solve',
  'floor',
  'guide',
  'program',
  'proof',
  'preview',
  'report',
  'solveJob.ts',
  'guideJob.ts',
  'pdfJob.ts',
  'routeJob.ts',
  'previewJob.ts',
  'pipeline.ts',
  'page',
  'shell',
  'main.ts',
];
const APART: Readonly<Record<string, readonly string[]>> = { program: ['guide'], proof: ['program', 'guide'] };
const OUTER = new Set(['shell', 'main.ts']);
/** The bench page's day beside a kept job: nothing that is worked out may ask for it. */
const CLOCK = join('page', 'client', 'clock.ts');

const files = readdirSync(src, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
const partOf = (file: string): string => file.split(/[\\/]/)[0] ?? file;

function importsOf(file: string): string[] {
  const text = readFileSync(join(src, file), 'utf8');
  return [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((match) => match[1] ?? '');
}

describe('the order of the house', () => {
  it('has files to look at', () => {
    expect(files.length).toBeGreaterThan(15);
  });

  it.each(files)('%s imports only from its own folder and those to its left', (file) => {
    const own = ORDER.indexOf(partOf(file));
    expect(own, `${file} stands in no known folder: add it to ORDER and to DEVELOPERS.md`).toBeGreaterThanOrEqual(0);
    for (const target of importsOf(file).filter((name) => name.startsWith('.'))) {
      const other = partOf(relative(src, normalize(join(src, dirname(file), target))));
      const at = ORDER.indexOf(other);
      expect(at, `${file} imports ${target}: '${other}' stands to the right of '${partOf(file)}'`).toBeLessThanOrEqual(own);
      const forbidden = APART[partOf(file)] ?? [];
      expect(forbidden.includes(other), `${file} must not know '${other}': the two judge each other`).toBe(false);
    }
  });

  it.each(files.filter((file) => !OUTER.has(partOf(file)) && file !== CLOCK))(
    '%s is pure: no node module, clock, console or process',
    (file) => {
      for (const target of importsOf(file))
        expect(target.startsWith('node:'), `${file} imports ${target}: only the shell may`).toBe(false);
      const text = readFileSync(join(src, file), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '');
      expect(text, `${file} uses the clock, console or process: only the shell may`).not.toMatch(
        /\b(console\.|process\.|Date\.now|new Date\(\)|performance\.now|Math\.random)/,
      );
    },
  );

  it('has one clock outside the shell, for the list of kept jobs alone', () => {
    expect(importsOf(CLOCK)).toEqual([]);
    const users = files.filter((file) => importsOf(file).some((target) => target.endsWith('/clock.ts')));
    expect(users.sort()).toEqual([join('page', 'client', 'desk.ts'), join('page', 'client', 'keep.ts')]);
  });

  it('knows the disk in one file alone, whose every use of it is made to fail in tests/shell/diskFaults.test.ts', () => {
    const users = files.filter((file) => importsOf(file).some((target) => /^(node:)?fs(\/|$)/.test(target)));
    expect(users).toEqual([join('shell', 'files.ts')]);
  });
});
