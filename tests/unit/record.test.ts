import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { leftAtFret } from '../../src/kernel/temperament.ts';
import { VERSION } from '../../src/kernel/version.ts';
import { type BatchRow, batchCsv, batchText, worstExit } from '../../src/report/batch.ts';
import { RECORD_MARK, readRecord } from '../../src/report/record.ts';
import { makeSet } from '../../src/shell/makeSet.ts';
import { ROOT, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

const text = (path: string, file: string) => ({ text: readFileSync(path, 'utf8'), file });
const sha = (bytes: string | Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

describe('the record', () => {
  it('holds the texts and the fingerprint of every output, and is the same under any name', async () => {
    const [here, there] = await Promise.all([
      makeSet(text(SAMPLE_JOB, 'a.yaml'), text(SAMPLE_SHOP, 's.yaml')),
      makeSet(text(SAMPLE_JOB, '/elsewhere/b.yaml'), text(SAMPLE_SHOP, 'other.yaml')),
    ]);
    if (!here.ok || !there.ok) throw new Error('the sample was refused');
    expect(here.value.files.map(({ bytes }) => sha(bytes))).toEqual(there.value.files.map(({ bytes }) => sha(bytes)));
    const last = here.value.files[here.value.files.length - 1];
    expect(last?.name).toBe('record.json');
    expect(last?.bytes).toMatch(RECORD_MARK);
    const record = readRecord(String(last?.bytes));
    expect(record?.version).toBe(VERSION);
    expect(record?.figures).toEqual(here.value.figures);
    expect(record?.inputs.job).toBe(readFileSync(SAMPLE_JOB, 'utf8'));
    expect(record?.inputs.shop).toBe(readFileSync(SAMPLE_SHOP, 'utf8'));
    expect(record?.outputs.map(({ name }) => name)).toEqual(here.value.files.slice(0, -1).map(({ name }) => name));
    for (const name of ['report.json', 'floor.nc', 'preview.html']) {
      const golden = readFileSync(join(ROOT, 'tests/golden/reedling', name));
      expect(record?.outputs.find((output) => output.name === name)).toEqual({ name, bytes: golden.length, sha256: sha(golden) });
    }
    for (const broken of ['', '{}', String(last?.bytes).replace('depth: 17.4', 'depth: 17.5'), String(last?.bytes).slice(0, -9)])
      expect(readRecord(broken)).toBeUndefined();
  });
});

describe('the same bytes on any engine', () => {
  it('frets are the nearest numbers to the true ones, not what an engine makes of a power', () => {
    for (let n = 0; n <= 36; n++) expect(Math.abs(leftAtFret(n) / 2 ** (-n / 12) - 1)).toBeLessThan(3e-16);
    // 1/sqrt 2 and its halves: an engine's own power missed these by one in the last digit.
    expect([leftAtFret(6), leftAtFret(18), leftAtFret(24)]).toEqual([Math.SQRT1_2, Math.SQRT1_2 / 2, 0.25]);
  });
});

const row = (more: Partial<BatchRow>): BatchRow => ({
  name: 'neck-1',
  file: 'neck-1.yaml',
  state: 'made',
  exit: 0,
  figures: {
    title: 'one',
    units: 'mm',
    deepest: 0.7,
    deepestUncertainty: 0.04,
    hinge: 'rear',
    pitch: -0.5,
    pitchUncertainty: 0.03,
    shortBy: 0,
    wishShortBy: 0.4,
    fromDrawingAlone: false,
    now: { state: 'to file on', left: 0.2, leftUncertainty: 0.05, tooDeep: 0 },
    warnings: [],
  },
  hasProgram: true,
  findings: [],
  ...more,
});

describe('the summary of a batch', () => {
  it('as CSV quotes what must be quoted, runs no formula, and gives figures as figures', () => {
    const figures = row({}).figures;
    if (figures === null) throw new Error('no figures');
    const titles = ['=1+1', '+1', '-1', '@x', '\tx', 'a,"b"\nc', '＝1'];
    const csv = batchCsv(titles.map((title) => row({ figures: { ...figures, title } })));
    const read = parse(csv, { bom: true, columns: true }) as Record<string, string>[];
    expect(read.map(({ title }) => title)).toEqual(["'=1+1", "'+1", "'-1", "'@x", "'\tx", 'a,"b"\nc', "'＝1"]);
    expect(read[0]).toMatchObject({ take_off_mm: '0.7', slope_degrees: '0.5', slope_way: 'forward', short_of_wish_mm: '0.4' });
    const failed = batchCsv([row({ state: 'failed', exit: 2, figures: null, findings: [{ code: 'x', text: '=cmd' }] })]);
    expect((parse(failed, { bom: true, columns: true }) as Record<string, string>[])[0]).toMatchObject({
      exit: '2',
      why: "'=cmd",
      now: '',
    });
  });

  it('says what is left to take off now and what to do, beside the whole cut', () => {
    const figures = row({}).figures;
    if (figures === null) throw new Error('no figures');
    const stands = (name: string, now: Partial<typeof figures.now>, hasProgram = false, deepest = 0.7) =>
      row({ name, hasProgram, figures: { ...figures, deepest, now: { ...figures.now, left: 0, ...now } } });
    const rows = [
      stands('a', { state: 'to cut', left: 0.7 }, true),
      stands('b', { state: 'to file on', left: 0.2 }),
      stands('c', { state: 'read once more' }),
      stands('d', { state: 'done' }),
      stands('e', { state: 'too deep', tooDeep: 0.29 }),
      stands('f', { state: 'measure again' }),
      stands('g', { state: 'no cut needed' }, false, 0),
      row({ name: 'h', state: 'failed', exit: 3, figures: null }),
    ];
    const cells = batchText(rows)
      .split('\n')
      .slice(2, 11)
      .map((line) => line.trim().split(/ {2,}/));
    expect(cells).toEqual([
      ['job', 'now', 'take off', '±', 'whole cut', 'deepest at', 'saddles short by'],
      ['a', 'to cut', '0.70 mm', '±0.05 mm', '0.70 mm', 'mouth', '0.40 mm: wish', 'made'],
      ['b', 'to file on', '0.20 mm', '±0.05 mm', '0.70 mm', 'mouth', '0.40 mm: wish', 'made, no program'],
      ['c', 'read once more', 'nothing', '0.70 mm', 'mouth', '0.40 mm: wish', 'made'],
      ['d', 'done', 'nothing', '0.70 mm', 'mouth', '0.40 mm: wish', 'made'],
      ['e', 'too deep by 0.29 mm', 'nothing', '0.70 mm', 'mouth', '0.40 mm: wish', 'made'],
      ['f', 'measure again', 'nothing', '0.70 mm', 'mouth', '0.40 mm: wish', 'made'],
      ['g', 'no cut needed', 'nothing', 'none', '0.40 mm: wish', 'made'],
      ['h', 'FAILED (exit 3)'],
    ]);
    const read = parse(batchCsv(rows), { bom: true, columns: true }) as Record<string, string>[];
    expect(
      read.map(({ take_off_mm, now, left_mm, left_uncertainty_mm, too_deep_mm }) =>
        [take_off_mm, now, left_mm, left_uncertainty_mm, too_deep_mm].join(' | '),
      ),
    ).toEqual([
      '0.7 | to cut | 0.7 | 0.05 | 0',
      '0.7 | to file on | 0.2 | 0.05 | 0',
      '0.7 | read once more | 0 | 0.05 | 0',
      '0.7 | done | 0 | 0.05 | 0',
      '0.7 | too deep | 0 | 0.05 | 0.29',
      '0.7 | measure again | 0 | 0.05 | 0',
      '0 | no cut needed | 0 | 0.05 | 0',
      ' |  |  |  | ',
    ]);
  });

  it('says contradictions of each, and other warnings once with the names', () => {
    const figures = row({}).figures;
    if (figures === null) throw new Error('no figures');
    const warned = (name: string, code: string, message: string) =>
      row({ name, figures: { ...figures, warnings: [{ code, message }] } });
    const said = batchText([
      warned('a', 'stays', 'a strip 0.61 mm high'),
      warned('b', 'stays', 'a strip 0.62 mm high'),
      warned('c', 'evidence-contradicts', 'bass 1.1 mm and 1.4 mm'),
      warned('d', 'evidence-contradicts', 'bass 1.2 mm and 1.5 mm'),
    ]);
    expect(said).toContain('  a, b: a strip 0.61 mm high. [stays] (figures of a)');
    expect(said).toContain('  c: bass 1.1 mm and 1.4 mm. [evidence-contradicts]\n  d: bass 1.2');
  });

  it('has the exit code of the worst: 1, 2, 3, 4 in this order', () => {
    const exits = (...codes: BatchRow['exit'][]) => worstExit(codes.map((exit) => row({ exit })));
    expect([exits(0, 0), exits(0, 4), exits(4, 3, 0), exits(3, 2), exits(2, 1, 4)]).toEqual([0, 4, 3, 2, 1]);
  });
});
