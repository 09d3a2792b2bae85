import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parse, parseDocument } from 'yaml';
import { quotedText, scalarText, sourceAt, withValue } from '../../src/job/editYaml.ts';
import { ROOT } from '../support/command.ts';

const TEXTS = ['templates', 'samples'].flatMap((folder) =>
  readdirSync(join(ROOT, folder)).map((name) => [name, readFileSync(join(ROOT, folder, name), 'utf8')] as const),
);
const KEPT = readFileSync(join(ROOT, 'templates/six-string-25-5.yaml'), 'utf8');

/** Every path to a value that is no list and no keys. */
function leaves(data: unknown, path: readonly string[] = []): (readonly string[])[] {
  if (typeof data !== 'object' || data === null) return [path];
  if (Array.isArray(data)) return [];
  return Object.entries(data).flatMap(([key, value]) => leaves(value, [...path, key]));
}

const comments = (text: string): string[] => [...text.matchAll(/#.*$/gm)].map(([comment]) => comment.replace(/^#\s*/, ''));

function linesBut(text: string, other: string): string[] {
  const rest = new Set(other.split('\n'));
  return text.split('\n').filter((line) => !rest.has(line));
}

describe.each(TEXTS)('one value of %s', (_, text) => {
  const paths = leaves(parse(text));

  it('is set, and one line is another', () => {
    expect(paths.length).toBeGreaterThan(8);
    for (const path of paths) {
      const next = withValue(text, path, '1.234 ± 0.05') ?? '';
      expect(linesBut(next, text).length, path.join('.')).toBe(1);
      expect(next.split('\n')).toHaveLength(text.split('\n').length);
      expect(comments(next)).toEqual(comments(text));
    }
  });

  it('is left out and comes back where it was, with its comment, and nothing else has moved', () => {
    for (const path of paths) {
      const value = scalarText(sourceAt(parseDocument(text), path) ?? '');
      const without = withValue(text, path, undefined);
      expect(without, path.join('.')).toBeDefined();
      const again = withValue(without ?? '', path, value);
      expect(parse(again ?? ''), path.join('.')).toEqual(parse(text));
      for (const comment of comments(text)) expect(again).toContain(comment);
    }
  });

  it('is the same with the line ends of another system', () => {
    const other = text.replaceAll('\n', '\r\n');
    for (const path of paths) {
      const next = withValue(other, path, '7');
      expect(next?.replaceAll('\r\n', '\n')).toBe(withValue(text, path, '7'));
      const [out, plain] = [withValue(other, path, undefined), withValue(text, path, undefined)];
      expect(out?.replaceAll('\r\n', '\n')).toBe(plain);
    }
  });
});

describe('a value', () => {
  it('takes the place of its commented line, and a new section goes to the end', () => {
    expect(linesBut(withValue(KEPT, ['target', 'gap'], '0.002') ?? '', KEPT)).toEqual([
      '  gap: 0.002                       # how low the lowest setting should go over the nearest fret',
    ]);
    expect(withValue('job: 1\nunits: mm\n', ['scale', 'length'], '640')).toBe('job: 1\nunits: mm\nscale:\n  length: 640\n');
    expect(withValue('job: 1\n...\n', ['scale', 'length'], '640')).toBe('job: 1\nscale:\n  length: 640\n...\n');
    expect(withValue('{job: 1, scale: {}}', ['scale', 'length'], '640')).toBe('{job: 1, scale: {length: 640}}');
    expect(withValue('scale:\n', ['scale', 'length'], '640')).toBe('scale:\n  length: 640\n');
    expect(withValue('neck:\n  relief: 0.1', ['neck', 'fallAway', 'drop'], '0.2')).toBe(
      'neck:\n  relief: 0.1\n  fallAway: {drop: 0.2}\n',
    );
  });

  it('is no business of another key of that name', () => {
    const text = 'pocket:\n  depth: 3\n# a\nscrew:\n  # length: 9\n  plate: 1\n';
    expect(withValue(text, ['pocket', 'length'], '5')).toBe(
      'pocket:\n  depth: 3\n  length: 5\n# a\nscrew:\n  # length: 9\n  plate: 1\n',
    );
  });

  it('a text cannot take is refused, never half done', () => {
    expect(withValue('a: [', ['a'], '1')).toBeUndefined();
    expect(withValue('- 1\n- 2\n', ['a'], '1')).toBeUndefined();
    expect(withValue('scale: 25\n', ['scale', 'length'], '1')).toBeUndefined();
  });

  it.each([
    '25-1/2',
    '1/16 in',
    '0.6 mm',
    '1.2 ± 0.05',
    '-0.5',
    '.5',
    '5"',
    '',
    '# no',
    'a: b',
    '1, 2',
    '{x',
    "it's",
    '1e3 mm',
    '- 3',
    'No. 7, for Anna: the "red" one #2',
    "the player's, {second}",
    'Reedling: no. 7',
    'true',
    'null',
    '~',
    '0x10 in',
  ])('typed as %s is read back as that', (typed) => {
    const text = withValue('pocket: {width: 3, depth: 1}\n', ['pocket', 'width'], scalarText(typed));
    const read = (parse(text ?? '') as { pocket: { width: unknown } }).pocket.width;
    expect(typeof read === 'number' ? Number(typed) : typed).toBe(read);
    expect(parse(withValue('job: 1\n', ['title'], quotedText(typed)) ?? '').title).toBe(typed);
    expect(parse(withValue('{job: 1, title: x}\n', ['title'], quotedText(typed)) ?? '').title).toBe(typed);
  });
});
