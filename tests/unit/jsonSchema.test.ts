import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { jsonSchemaOf } from '../../src/job/jsonSchema.ts';
import { JOB_WORDS, SHOP_WORDS } from '../../src/job/keyWords.ts';
import type { KnownKeys } from '../../src/job/problems.ts';
import { JOB_KEYS } from '../../src/job/readJob.ts';
import { SHOP_KEYS } from '../../src/job/readShop.ts';
import { ROOT } from '../support/command.ts';

const ajv = new Ajv({ allErrors: true, strict: true, allowUnionTypes: true });
const checks = { job: ajv.compile(jsonSchemaOf('job')), shop: ajv.compile(jsonSchemaOf('shop')) };

const pathsOf = (keys: KnownKeys, above = ''): string[] =>
  Object.entries(keys).flatMap(([key, below]) => [above + key, ...pathsOf(below, `${above}${key}.`)]);

describe('the JSON Schema', () => {
  it.each([
    ['job', JOB_KEYS, JOB_WORDS],
    ['shop', SHOP_KEYS, SHOP_WORDS],
  ] as const)('of a %s file describes every key, and no other', (kind, keys, words) => {
    expect(Object.keys(words).sort()).toEqual(pathsOf(keys).sort());
    const text = JSON.stringify(jsonSchemaOf(kind));
    for (const said of Object.values(words)) expect(text).toContain(JSON.stringify(said));
  });

  const sound = ['templates', 'samples'].flatMap((folder) =>
    readdirSync(join(ROOT, folder))
      .filter((name) => name.endsWith('.yaml'))
      .map((name) => `${folder}/${name}`),
  );
  it.each(sound)('takes %s', (name) => {
    const data = parse(readFileSync(join(ROOT, name), 'utf8')) as { job?: number };
    const check = checks[data.job === 1 ? 'job' : 'shop'];
    expect(check(data), JSON.stringify(check.errors)).toBe(true);
    // A file of the other kind is none.
    expect(checks[data.job === 1 ? 'shop' : 'job'](data)).toBe(false);
  });

  it.each([
    [
      'length',
      ['612', '25-1/2 in', '1/16 in', '612 mm ± 0.5', '24.75"', '600 +/- 0.02 in', '.6 mm', '-0.6'],
      ['612,5', 'long', '', '1 ± 2 ± 3', '6e2', '+6', '5 cm'],
    ],
  ] as const)('takes every way to write a %s, and no other', (_, good, bad) => {
    const check = (length: string): boolean => {
      const data = parse(readFileSync(join(ROOT, 'samples/reedling.yaml'), 'utf8')) as { scale: { length: unknown } };
      data.scale.length = length;
      return checks.job(data);
    };
    for (const text of good) expect(check(text), text).toBe(true);
    for (const text of bad) expect(check(text), text).toBe(false);
  });
});

/** Findings that a schema can have for itself; the others need several values, the file's units, a drawing or the text itself. */
const OWN = [
  'empty-value',
  'list-too-long',
  'missing-key',
  'not-a-choice',
  'not-a-date',
  'not-a-length',
  'not-a-mapping',
  'not-a-text',
  'not-a-whole-number',
  'not-an-angle',
  'other-kind-of-file',
  'out-of-range',
  'outline-not-a-file',
  'text-too-long',
  'unknown-format',
  'unknown-key',
  'wrong-form',
];
/** Of those, what only the program can tell: a fraction's unit and what it is over, the one or the other key, the calendar. */
const NOT_SEEN = ['day-not-in-the-calendar', 'fraction-over-zero', 'fraction-without-unit', 'no-nut-gap', 'no-pocket-length'];

describe('jobs that are refused', () => {
  const folder = join(ROOT, 'tests/jobs-refused');
  const cases = readdirSync(folder).flatMap((file) => {
    if (!file.endsWith('.yaml')) return [];
    const text = readFileSync(join(folder, file), 'utf8');
    const code = /^# finding: (\S+)/.exec(text)?.[1] ?? '';
    return OWN.includes(code) ? [{ name: file.slice(0, -'.yaml'.length), code, text }] : [];
  });

  it('are there for nearly every such finding', () => {
    expect(cases.length).toBeGreaterThan(35);
    expect(new Set(cases.map(({ code }) => code))).toEqual(new Set(OWN));
    for (const name of NOT_SEEN) expect(cases.map((each) => each.name)).toContain(name);
  });

  it.each(cases)('$name is seen by an editor', ({ name, text }) => {
    expect(checks.job(parse(text))).toBe(NOT_SEEN.includes(name));
  });
});
