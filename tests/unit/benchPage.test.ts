import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { KnownKeys } from '../../src/job/problems.ts';
import { JOB_KEYS, readJob } from '../../src/job/readJob.ts';
import { readShop, SHOP_KEYS } from '../../src/job/readShop.ts';
import { findingText } from '../../src/kernel/findings.ts';
import { fieldDrawing } from '../../src/page/fieldDrawings.ts';
import { JOB_GROUPS, SHOP_GROUPS } from '../../src/page/fields.ts';
import { placedFindings } from '../../src/page/findings.ts';
import { fitCurve } from '../../src/page/fitPlot.ts';
import { startersOwn } from '../../src/page/invented.ts';
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
  it('are counted until they are another', () => {
    const all = startersOwn(starter, starter, JOB_FIELDS);
    expect(all.has('pocket.body')).toBe(true);
    expect(all.has('target.floor') || all.has('hand')).toBe(false);
    const changed = starter.replace(/body: [\d.]+/, 'body: 99');
    expect(startersOwn(changed, starter, JOB_FIELDS).size).toBe(all.size - 1);
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
