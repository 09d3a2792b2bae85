import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import type { KnownKeys } from '../../src/job/problems.ts';
import { JOB_KEYS, readJob } from '../../src/job/readJob.ts';
import { readShop, SHOP_KEYS } from '../../src/job/readShop.ts';
import { findingText } from '../../src/kernel/findings.ts';
import { tallyText } from '../../src/page/answer.ts';
import { fieldDrawing } from '../../src/page/fieldDrawings.ts';
import { JOB_GROUPS, SHOP_GROUPS } from '../../src/page/fields.ts';
import { placedFindings } from '../../src/page/findings.ts';
import { fitCurve } from '../../src/page/fitPlot.ts';
import { isOfKind } from '../../src/page/kind.ts';
import { fieldIn, onPage } from '../../src/page/said.ts';
import { begunWith, figuresOf, inItsUnit, inUnit, starterOf, startersOwn } from '../../src/page/starter.ts';
import { ENGLISH } from '../../src/page/words.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

const JOB_FIELDS = JOB_GROUPS.flatMap(({ fields }) => fields);
const SHOP_FIELDS = SHOP_GROUPS.flatMap(({ fields }) => fields);
/** Changed in the text alone: the format, other files, what is no figure to measure, and what the sheet of fits writes. */
const TEXT_ALONE = /^(job|shop|like)$|^pocket\.outline|^fits/;

function keysOf(known: KnownKeys, prefix = ''): string[] {
  return Object.entries(known).flatMap(([key, below]) => {
    const id = prefix === '' ? key : `${prefix}.${key}`;
    return Object.keys(below).length === 0 ? [id] : keysOf(below, id);
  });
}

describe('the fields', () => {
  it.each([
    ['job', JOB_KEYS, JOB_FIELDS],
    ['shop', SHOP_KEYS, SHOP_FIELDS],
  ] as const)('offer every key of a %s file, and no other', (_, known, fields) => {
    const keys = keysOf(known).filter((key) => !TEXT_ALONE.test(key));
    const covered = (key: string): boolean => fields.some(({ id }) => key === id || key.startsWith(`${id}.`));
    expect(keys.filter((key) => !covered(key))).toEqual([]);
    const isKey = (id: string): boolean => keys.some((key) => key === id || key.startsWith(`${id}.`));
    expect(fields.map(({ id }) => id).filter((id) => !isKey(id))).toEqual([]);
    expect(new Set(fields.map(({ id }) => id)).size).toBe(fields.length);
  });

  it('each have a name, and each measurement says how and shows where', () => {
    for (const { id, kind } of JOB_FIELDS) {
      const { name, how } = ENGLISH.fields[id] ?? { name: '', how: '' };
      expect(name, id).not.toBe('');
      expect(how, id).not.toBe('');
      if (kind !== 'text' && id !== 'units' && id !== 'hand') expect(fieldDrawing(id), id).toBeDefined();
    }
    for (const { id } of SHOP_FIELDS) expect(ENGLISH.shopFields[id]?.name, id).toBeTruthy();
    for (const { choices } of [...JOB_FIELDS, ...SHOP_FIELDS])
      for (const choice of choices ?? []) expect(ENGLISH.choices[choice]).toBeTruthy();
  });

  it('that are needed are those whose lack is refused', () => {
    const read = readJob('job: 1\n', 'x');
    if (read.ok) throw new Error('an empty job is sound');
    const { missing, at, other } = placedFindings('job: 1\n', read.findings, JOB_FIELDS);
    expect([...missing].sort()).toEqual(
      JOB_FIELDS.filter(({ needed }) => needed !== 'no')
        .map(({ id }) => id)
        .sort(),
    );
    expect([at.size, other.length]).toEqual([0, 0]);
  });
});

describe('findings', () => {
  const text = readFileSync(join(ROOT, 'templates/left-handed.yaml'), 'utf8');
  const placed = (job: string) => {
    const read = readJob(job, 'x');
    return placedFindings(job, read.ok ? read.warnings : read.findings, JOB_FIELDS);
  };

  it.each([
    ['length: 641', 'length: 25.2', 'scale.length'],
    ['treble: 1.65 ± 0.05', 'treble: 0', 'asFound.lastFretGap'],
    ['x: 53, y: 20', 'x: 530, y: 20', 'pocket.screws'],
    ['plate: 2.2', 'plate: two', 'screw.plate'],
    ['hand: left', 'hand: Left', 'hand'],
    ['radius: 265', 'radius: {atNut: 265, atLastFret: -3}', 'neck.radius'],
    ['cornerRadius: 4.5 ', 'cornerRadius: 4.5 ± 1 ', 'pocket.cornerRadius'],
  ])('of %s turned into %s stand at that field', (from, to, id) => {
    expect(text).toContain(from);
    const { at, missing, other } = placed(text.replace(from, to));
    expect([...at.keys()]).toEqual([id]);
    expect([missing.size, other.length]).toEqual([0, 0]);
  });

  it('of no field are not lost', () => {
    const { at, other } = placed(text.replace('  travel:', '  travle:'));
    expect([...at.values()].flat().concat(other).map(findingText).join()).toContain("'travle' is no key in bridge");
    const shop = readShop('shop: 1\nunits: mm\ncutter: {diametre: 6}\n', 'x');
    expect(
      shop.ok ? 0 : placedFindings('shop: 1\nunits: mm\ncutter: {diametre: 6}\n', shop.findings, SHOP_FIELDS).other.length,
    ).toBe(1);
  });
});

describe("a starter's own figures", () => {
  const starter = readFileSync(join(ROOT, 'templates/six-string-24-75.yaml'), 'utf8');
  it('are known again from the text alone', () => {
    expect(starterOf(begunWith('six-string-24-75', starter))).toBe('six-string-24-75');
    expect(starterOf(starter)).toBeUndefined();
  });

  it('are counted until they are another', () => {
    const figures = figuresOf(starter, JOB_FIELDS);
    const all = startersOwn(starter, figures);
    expect(all.has('pocket.body')).toBe(true);
    expect(all.has('target.floor') || all.has('hand')).toBe(false);
    const changed = starter.replace(/body: [\d.]+/, 'body: 99');
    expect(startersOwn(changed, figures).size).toBe(all.size - 1);
  });

  it.each([
    ['0.6', 'mm', 'in', '0.0236'],
    ['1200', 'mm', 'in', '47.2441'],
    ['1.1 ± 0.05', 'mm', 'in', '0.0433 ± 0.002'],
    ['11/16', 'in', 'mm', '17.462'],
    ['-0.001', 'in', 'mm', '-0.025'],
    ['0.0001', 'mm', 'in', '0.0000039'],
    ['24-3/4 in', 'mm', 'in', '24-3/4 in'],
    ['1.2 ± 0.05 mm', 'in', 'mm', '1.2 ± 0.05 mm'],
    ['17,8', 'mm', 'in', '17,8'],
  ] as const)('%s from %s to %s is %s', (source, from, to, wanted) => {
    expect(inUnit(source, from, to)).toBe(wanted);
  });

  it.each(readdirSync(join(ROOT, 'templates')).filter((name) => name !== 'shop.yaml'))(
    'of %s stand for the same instrument in the other unit, and come back',
    (name) => {
      const text = readFileSync(join(ROOT, 'templates', name), 'utf8');
      const figures = figuresOf(text, JOB_FIELDS);
      const [unit, other] = /^units: in/m.test(text) ? ['in', 'mm'] : ['mm', 'in'];
      const turned = inItsUnit(text.replace(/^units: \w+/m, `units: ${other}`), figures, JOB_FIELDS);
      expect([...startersOwn(turned, figures)]).toEqual([...startersOwn(text, figures)]);
      const [was, is] = [text, turned].map((each) => solveText({ text: each, file: 'x' }));
      if (!was?.ok || !is?.ok) throw new Error('a starter is not sound');
      expect(is.value.job.units).toBe(other);
      // A mm's thousandth and an inch's ten thousandth are what the figures are rounded to.
      expect(Math.abs(is.value.floor.deepest - was.value.floor.deepest)).toBeLessThan(0.02);
      const back = inItsUnit(turned.replace(/^units: \w+/m, `units: ${unit}`), figures, JOB_FIELDS);
      expect(parse(back)).toEqual(parse(text));
    },
  );

  it('of the shop file are the same feeds and passes in inches; what was typed stays as it was typed', () => {
    const text = readFileSync(join(ROOT, 'templates/shop.yaml'), 'utf8');
    const figures = figuresOf(text, SHOP_FIELDS);
    const typed = text.replace('cut: 1200', 'cut: 60').replace(/^units: mm/m, 'units: in');
    const [was, is] = [text, inItsUnit(typed, figures, SHOP_FIELDS)].map((each) => readShop(each, 'x'));
    if (!was?.ok || !is?.ok) throw new Error('the shop file is not sound');
    expect(is.value.feed.cut).toBe(60 * 25.4);
    expect(is.value.feed.plunge).toBeCloseTo(was.value.feed.plunge, 2);
    expect(is.value.pass.depth).toBeCloseTo(was.value.pass.depth, 2);
    expect(is.value.rails.base).toBeCloseTo(was.value.rails.base, 2);
    expect(is.value.spindle).toEqual(was.value.spindle);
    expect(startersOwn(typed, figures).has('feed.cut')).toBe(false);
    expect(startersOwn(typed, figures).has('spindle.speed')).toBe(true);
  });
});

describe('what the core says', () => {
  it.each([
    ['pocket.clearBefore is missing', '“Free space before the mouth” is missing', 'pocket.clearBefore'],
    ['asFound.lastFretGap.treble: out of range', '“Gap over the last fret” (treble): out of range', 'asFound.lastFretGap'],
    ['pocket.screws[2].x: out of range', '“Screw holes” (2, x): out of range', 'pocket.screws'],
    ['rim.cut and feed.cut', '“Its feed, cutting” and “Feed, cutting”', 'rim.cut'],
    [
      'beside it (--shim); take it out first (pocketpitch fit --undo)',
      'beside it (Shim in the pocket); take it out first (“Take the last fit back”)',
      undefined,
    ],
    [
      'look at the other cures (pocketpitch compare), 1.80 mm',
      'look at the other cures (at the foot of See), 1.80 mm',
      undefined,
    ],
  ])('%s: in the words of the page', (text, wanted, id) => {
    expect(onPage(text, ENGLISH)).toBe(wanted);
    expect(fieldIn(text)?.id).toBe(id);
  });

  it('names no option and no key where a fit or a job is refused', () => {
    const job = readFileSync(SAMPLE_JOB, 'utf8');
    const texts = ['fits:\n  - {depth: 0.3, shim: 0.5, lastFretGap: 3}\n', 'fits:\n  - {depth: 12, lastFretGap: 0.1}\n'].map(
      (fits) => {
        const solved = solveText({ text: job + fits, file: 'x' });
        return (solved.ok ? solved.value.warnings : solved.findings).map((each) => onPage(findingText(each), ENGLISH)).join(' ');
      },
    );
    for (const text of texts) {
      expect(text).not.toBe('');
      expect(text).not.toMatch(/--[a-z]|by hand|pocketpitch/);
    }
  });
});

describe('a file that is opened', () => {
  const job = readFileSync(SAMPLE_JOB, 'utf8');
  const shop = readFileSync(join(ROOT, 'templates/shop.yaml'), 'utf8');
  it.each([
    ['a job', job, 'job', true],
    ['a job that is broken', `${job}\n  : [`, 'job', true],
    ['a job of a format to come', 'job: 2\n', 'job', true],
    ['a job without its format', 'neck: {radius: 300}\n', 'job', true],
    ['a shop file', shop, 'job', false],
    ['a shop file', shop, 'shop', true],
    ['a job', job, 'shop', false],
    ['a report', readFileSync(join(ROOT, 'tests/golden/reedling/report.txt'), 'utf8'), 'job', false],
    ['a report for scripts', readFileSync(join(ROOT, 'tests/golden/reedling/report.json'), 'utf8'), 'job', false],
    ['nothing', '', 'job', false],
    ['a drawing', readFileSync(join(ROOT, 'tests/drawings/plain.svg'), 'utf8'), 'drawing', true],
    ['a job', job, 'drawing', false],
  ] as const)('%s (%#) is known for what it is', (_, text, kind, is) => {
    expect(isOfKind(text, kind)).toBe(is);
  });
});

describe('the plot of fits', () => {
  const job = readFileSync(SAMPLE_JOB, 'utf8');
  const curveOf = (fits: string) => {
    const solved = solveText({ text: job + fits, file: 'x' });
    if (!solved.ok) throw new Error(solved.findings.map(findingText).join());
    return fitCurve(solved.value);
  };

  it('predicts the gaps as found where nothing is cut, and the target where all is', () => {
    const curve = curveOf('');
    expect(curve?.points).toEqual([]);
    expect(curve?.line[0]?.gap.bass).toBeCloseTo(1.2, 6);
    expect(curve?.line[0]?.gap.treble).toBeCloseTo(1, 6);
    expect(curve?.wanted).toBeCloseTo(0.811, 3);
    const gaps = curve?.line.map(({ gap }) => gap.bass) ?? [];
    expect(gaps).toEqual([...gaps].sort((a, b) => b - a));
  });

  it('shows a fit as it was read, and one with raised saddles as if they were down', () => {
    const [read] = curveOf('fits:\n  - {depth: 0.5, lastFretGap: {bass: 0.47, treble: 0.31}}\n')?.points ?? [];
    expect(read).toEqual({ depth: 0.5, gap: { bass: 0.47, treble: 0.31 } });
    const [raised] = curveOf('fits:\n  - {depth: 0.5, raised: 1, lastFretGap: {bass: 1.17, treble: 1.01}}\n')?.points ?? [];
    // The last fret is about seven tenths of the way from the nut to the saddle.
    expect(raised?.gap.bass).toBeGreaterThan(1.17 - 0.75);
    expect(raised?.gap.bass).toBeLessThan(1.17 - 0.6);
  });
});

describe('the strip at the foot', () => {
  const job = readFileSync(SAMPLE_JOB, 'utf8');
  const stripOf = (fits: string): string => {
    const solved = solveText({ text: job + fits, file: 'x' });
    if (!solved.ok) throw new Error(solved.findings.map(findingText).join());
    return tallyText(solved.value, ENGLISH, true);
  };

  it('says what is left, and no depth where the readings contradict each other', () => {
    expect(stripOf('')).toMatch(/^Take off 0\.81 mm/);
    expect(stripOf('fits:\n  - {depth: 0.5, lastFretGap: {bass: 0.47, treble: 0.31}}\n')).toMatch(/^Left to take off: \d/);
    expect(stripOf('fits:\n  - {depth: 0.76 ± 0.03, lastFretGap: {bass: 0.77, treble: 0.57}}\n')).toBe(ENGLISH.see.contradict);
  });
});
