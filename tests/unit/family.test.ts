import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BASE_NAME, baseNamed } from '../../src/job/family.ts';
import { drawingNamed, readJob } from '../../src/job/readJob.ts';
import { outcomeJson } from '../../src/report/json.ts';
import { outcomeText } from '../../src/report/words.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

const whole = readFileSync(SAMPLE_JOB, 'utf8');
/** The sample without what one neck alone says: what a shop keeps as its model. */
const model = { text: whole.replace(/\nasFound:\n(?: {2}.*\n)+/, '\n'), file: 'model.yaml' };
const READINGS =
  'asFound:\n  lastFretGap: {bass: 1.2 ± 0.05, treble: 1.0 ± 0.05}\n  edge: {bass: 3.4 ± 0.1, treble: 3.0 ± 0.1}\n';
const neck = (more: string): string => `job: 1\nlike: model.yaml\n${more}`;
const codes = (text: string, bases = [model]): string[] => {
  const read = readJob(text, 'neck.yaml', undefined, bases);
  return read.ok ? [] : read.findings.map(({ code, place }) => `${code} ${place?.file}:${place?.line}:${place?.column}`);
};

describe('a job that is like another', () => {
  it('is the same as the whole job where it says the rest of it', () => {
    const apart = solveText({ text: neck(READINGS), file: 'neck.yaml', bases: [model] });
    const one = solveText({ text: whole, file: 'whole.yaml' });
    if (!apart.ok || !one.ok) throw new Error('a sound job was refused');
    expect(outcomeJson(apart.value)).toEqual(outcomeJson(one.value));
    expect(apart.value.fingerprint).not.toBe(one.value.fingerprint);
    const said = outcomeText(apart.value).replace(/\s+/g, ' ');
    expect(said).toContain('taken from the one it is like: title, units');
    expect(said).toContain('neck.seatToCrown');
    expect(outcomeText(one.value)).not.toContain('the one it is like');
  });

  it('takes what it says itself key by key, a list whole, and drops what it says is null', () => {
    const text = neck(`${READINGS}neck: {seatToCrown: 23.4, fallAway: null}\npocket:\n  screws: [{x: 20, y: 0}]\n`);
    const read = readJob(text, 'neck.yaml', undefined, [model]);
    if (!read.ok) throw new Error('refused');
    expect(read.value.neck.seatToCrown.value).toBe(23.4);
    expect(read.value.neck.nutToMouth.value).toBe(388);
    expect(read.value.neck.fallAway).toBeUndefined();
    expect(read.value.pocket.screws).toEqual([{ x: 20, y: 0 }]);
    expect(read.value.inherited).toContain('neck.nutToMouth');
    expect(read.value.inherited).not.toContain('neck.seatToCrown');
    expect(read.value.inherited).not.toContain('neck.fallAway.drop');
  });

  it('never takes readings or fits, which are of one instrument', () => {
    const fitted = { text: `${whole}fits:\n  - {depth: 0.5, lastFretGap: 0.4}\n`, file: 'model.yaml' };
    const read = readJob(neck('bridge: {lowest: 5.8}\n'), 'neck.yaml', undefined, [fitted]);
    if (!read.ok) throw new Error('refused');
    expect(read.value.fits).toEqual([]);
    expect(read.value.asFound.lastFretGap).toBeUndefined();
    expect(read.value.asFound.edge).toBeUndefined();
    const without = readJob(neck('bridge: {lowest: null}\n'), 'neck.yaml', undefined, [fitted]);
    expect(without.ok ? [] : without.findings.map(({ code, remedy }) => [code, remedy])).toEqual([
      ['no-evidence', expect.stringContaining('never taken from the job')],
    ]);
  });

  it('a drawing takes the place of measured sizes, and sizes that of a drawing', () => {
    const drawing = { text: readFileSync(join(ROOT, 'tests/drawings/bowed.svg'), 'utf8'), file: 'bowed.svg' };
    const drawn = neck(`${READINGS}pocket: {outline: bowed.svg}\n`);
    expect(drawingNamed(drawn, 'neck.yaml', [model])).toEqual({ name: 'bowed.svg', file: 'neck.yaml' });
    const read = readJob(drawn, 'neck.yaml', drawing, [model]);
    expect(read.ok ? [] : read.findings).toEqual([]);
    const drawnModel = {
      ...model,
      text: model.text.replace(/ {2}length: 71.*\n {2}width.*\n {2}corner.*\n/, '  outline: bowed.svg\n'),
    };
    expect(drawingNamed(neck(READINGS), 'neck.yaml', [drawnModel])).toEqual({ name: 'bowed.svg', file: 'model.yaml' });
    const sized = neck(`${READINGS}pocket: {length: 70, width: 56}\n`);
    expect(drawingNamed(sized, 'neck.yaml', [drawnModel])).toBeUndefined();
    expect(codes(sized, [drawnModel])).toEqual([]);
  });

  it('may have a base that is like another in turn; the nearest says', () => {
    const variant = { text: 'job: 1\nlike: model.yaml\nneck: {seatToCrown: 23.3, nutGap: 0.6}\n', file: 'variant.yaml' };
    const read = readJob(`job: 1\nlike: variant.yaml\nneck: {nutGap: 0.4}\n${READINGS}`, 'neck.yaml', undefined, [
      variant,
      model,
    ]);
    if (!read.ok) throw new Error('refused');
    const { seatToCrown, nutGap, nutToMouth } = read.value.neck;
    expect([seatToCrown.value, nutGap, nutToMouth.value]).toMatchObject([23.3, { value: 0.4 }, 388]);
  });

  it.each([
    [
      'a wrong value of the base, there',
      neck(READINGS),
      model.text.replace('body: 41', 'body: thick'),
      'not-a-length model.yaml:27:9',
    ],
    ['a wrong value of its own, here', neck(`${READINGS}neck: {seatToCrown: tall}\n`), model.text, 'not-a-length neck.yaml:6:21'],
    ['a misspelt key of the base', neck(READINGS), model.text.replace('heelWood', 'heelwood'), 'unknown-key model.yaml:21:3'],
    [
      'what neither says, at the section that is there',
      neck(READINGS),
      model.text.replace(/ {2}seatToCrown.*\n/, ''),
      'missing-key model.yaml:13:1',
    ],
    [
      'what neither says, in its own section',
      neck(`${READINGS}neck: {relief: 0.1}\n`),
      model.text.replace(/ {2}seatToCrown.*\n/, ''),
      'missing-key neck.yaml:6:1',
    ],
    [
      'null where the base says nothing',
      neck(`${READINGS}screw: {plate: 2}\ntarget: {skim: null}\n`),
      model.text.replace(', skim: 0', ''),
      'empty-value neck.yaml:7:10',
    ],
    ['a misspelt null', neck(`${READINGS}neck: {releif: null}\n`), model.text, 'unknown-key neck.yaml:6:8'],
    ['a key without a value', neck(`${READINGS}neck:\n  relief:\n`), model.text, 'empty-value neck.yaml:7:3'],
    [
      'a pocket deeper than the body, where it is said',
      neck(`${READINGS}pocket: {depth: 41.5}\n`),
      model.text,
      'pocket-through-body neck.yaml:6:17',
    ],
    ['another unit', neck(`units: in\n${READINGS}`), model.text, 'other-units-than-base neck.yaml:3:8'],
    [
      'readings that do not say how the saddles stood',
      neck(READINGS),
      `${model.text}asFound: {raised: 1}\n`,
      'raised-not-said neck.yaml:4:3',
    ],
    ['a base that is no job', neck(READINGS), model.text.replace('job: 1', 'jobs: 1'), 'missing-key model.yaml:1:1'],
    ['a base of a format to come', neck(READINGS), model.text.replace('job: 1', 'job: 2'), 'unknown-format model.yaml:3:6'],
    ['a shop file as a base', neck(READINGS), 'shop: 1\nunits: mm\n', 'other-kind-of-file model.yaml:1:1'],
    ['a base that is no YAML', neck(READINGS), 'job: [1\n', 'yaml-syntax model.yaml:2:1'],
    ['a job that does not say it is one', 'like: model.yaml\n', model.text, 'missing-key neck.yaml:1:1'],
  ])('says %s', (_, text, base, wanted) => {
    expect(codes(text, [{ text: base, file: 'model.yaml' }])).toContain(wanted);
  });

  it('says another unit also where a job between the two says none', () => {
    const variant = { text: 'job: 1\nlike: model.yaml\n', file: 'variant.yaml' };
    expect(codes(`job: 1\nlike: variant.yaml\nunits: in\n${READINGS}`, [variant, model])).toEqual([
      'other-units-than-base neck.yaml:3:8',
    ]);
  });

  it('both files are told at once, the job first', () => {
    expect(
      codes(neck(`${READINGS}neck: {relief: x}\n`), [{ ...model, text: model.text.replace('body: 41', 'body: thick') }]),
    ).toEqual(['not-a-length neck.yaml:6:16', 'not-a-length model.yaml:27:9']);
  });

  it('is refused without the text of its base', () => {
    expect(codes(neck(`${READINGS}${model.text.replace('job: 1\n', '')}`), [])).toEqual(['like-not-given neck.yaml:2:7']);
  });

  it.each(['model.yaml', 'models/a b.yml', 'a..b.json', '.hidden/x.yaml'])('%s may be a base', (name) => {
    expect(BASE_NAME.test(name)).toBe(true);
  });
  it.each([
    '../model.yaml',
    'a/../../m.yaml',
    '/m.yaml',
    './m.yaml',
    'C:m.yaml',
    'a\\m.yaml',
    '\\m.yaml',
    'm.svg',
    'm',
    '..',
    'a\0.yaml',
  ])('%j may not', (name) => {
    expect(BASE_NAME.test(name)).toBe(false);
    expect(codes(`job: 1\nlike: ${JSON.stringify(name)}\n`, [])).toContain('like-not-a-file neck.yaml:2:7');
  });
});

describe('a name of another file', () => {
  it.each([
    ['in quotes', '"like": model.yaml'],
    ['by escapes', '"l\\x69ke": model.yaml'],
    ['in braces, behind what looks like a comment', '{title: "a # b", like: model.yaml}'],
    ['between remarks', '# as others\nlike: model.yaml # like them'],
  ])('is seen however it is written: %s', (_, text) => {
    expect(baseNamed(text)).toBe('model.yaml');
    const drawn = text
      .replace('like', 'outline')
      .replace('l\\x69ke', 'out\\x6cine')
      .replace(/model\.yaml/g, 'bowed.svg');
    expect(drawingNamed(`pocket:\n${drawn.replace(/^/gm, '  ')}`)?.name).toBe('bowed.svg');
  });

  it('is none in a remark', () => {
    expect(baseNamed('job: 1\n# like: model.yaml\n')).toBeUndefined();
    expect(drawingNamed('job: 1\npocket:\n  # outline: a.svg\n  depth: 17\n')).toBeUndefined();
  });
});
