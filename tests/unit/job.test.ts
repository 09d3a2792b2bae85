import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import type { Job } from '../../src/job/job.ts';
import { JOB_KEYS, readJob } from '../../src/job/readJob.ts';
import { measured } from '../../src/kernel/measured.ts';

type Plain = { [key: string]: unknown };

/** The least a job must say. */
const least = (): { [section: string]: Plain | string | number } => ({
  job: 1,
  units: 'mm',
  scale: { length: 612, frets: 20 },
  strings: { count: 6, spreadAtNut: 36, spreadAtSaddle: 53 },
  neck: { nutToMouth: 388, seatToCrown: 23.5, nutGap: 0.5 },
  pocket: { length: 71.5, width: 58.2, depth: 17.4, body: 41 },
  bridge: { travel: 7 },
  asFound: { lastFretGap: 1.2 },
});

/** The least job with other values at some places; `undefined` takes a key away. */
function withKeys(changes: Readonly<Record<string, unknown>>): string {
  const job = least();
  for (const [path, value] of Object.entries(changes)) {
    const steps = path.split('.');
    const last = steps.pop() as string;
    let at: Plain = job;
    for (const step of steps) {
      at[step] ??= {};
      at = at[step] as Plain;
    }
    if (value === undefined) delete at[last];
    else at[last] = value;
  }
  return stringify(job);
}

function read(text: string): Job {
  const result = readJob(text, 'job.yaml');
  if (!result.ok) throw new Error(result.findings.map(({ code, message }) => `${code}: ${message}`).join('\n'));
  return result.value;
}

function codes(text: string): string[] {
  const result = readJob(text, 'job.yaml');
  return result.ok ? [] : result.findings.map(({ code }) => code);
}

describe('a job file', () => {
  it('may say as little as is needed, and then has the defaults of the contract', () => {
    const job = read(withKeys({}));
    expect(job).toEqual({
      title: '',
      units: 'mm',
      hand: 'right',
      scale: { length: measured(612, 0.5, false), frets: 20 },
      strings: {
        count: 6,
        spreadAtNut: measured(36, 0.5, false),
        spreadAtSaddle: measured(53, 0.5, false),
        compensation: measured(0, 0.5, false),
      },
      neck: {
        nutToMouth: measured(388, 0.5, false),
        seatToCrown: measured(23.5, 0.5, false),
        nutGap: measured(0.5, 0.05, false),
        radius: undefined,
        relief: measured(0, 0.05, false),
        fallAway: undefined,
        crownTilt: measured(0, (0.02 * Math.PI) / 180, false),
        heelWood: undefined,
      },
      pocket: {
        length: measured(71.5, 0.1, false),
        width: measured(58.2, 0.1, false),
        widthAtMouth: undefined,
        cornerRadius: 0,
        depth: measured(17.4, 0.5, false),
        body: measured(41, 0.5, false),
        leastFloor: 10,
        clearBefore: undefined,
        outline: undefined,
        screws: [],
        mounted: undefined,
      },
      screw: undefined,
      bridge: { travel: measured(7, 0.5, false), lowest: undefined, radius: undefined },
      asFound: {
        lastFretGap: measured(1.2, 0.05, false),
        straightedge: undefined,
        firstFretGap: undefined,
        edge: undefined,
        raised: undefined,
      },
      fits: [],
      target: { gap: 0, within: 0.05, highest: 3, wished: 6.35, floor: 'pitch', skim: 0 },
      inherited: [],
      assumed: [
        'hand right',
        'strings.compensation 0 mm',
        'neck.relief 0 mm',
        'neck.crownTilt 0 degrees',
        'neck.radius flat',
        'bridge.radius flat',
        'pocket.cornerRadius 0 mm',
        'pocket.leastFloor 10 mm',
        'target.gap 0 mm',
        'target.within 0.05 mm',
        'target.highest 3 mm',
        'target.wished 6.35 mm',
        'target.floor pitch',
        'target.skim 0 mm',
      ],
    });
  });

  it('takes the ± that is written and notes that it was', () => {
    const job = read(
      withKeys({ 'scale.length': '612 ± 0.2', 'neck.crownTilt': '0.3 ± 0.1', 'asFound.lastFretGap': '3/64 ± 0.002 in' }),
    );
    expect(job.scale.length).toEqual(measured(612, 0.2, true));
    expect(job.neck.crownTilt.value).toBeCloseTo((0.3 * Math.PI) / 180, 15);
    expect(job.neck.crownTilt.bound).toBeCloseTo((0.1 * Math.PI) / 180, 15);
    expect(job.asFound.lastFretGap).toEqual(measured(1.190625, 0.0508, true));
  });

  it('takes one value or two sides, one compensation or one a string, one radius or a cone', () => {
    const job = read(
      withKeys({
        'strings.compensation': [3, 2, 1, 2, 1, '0.5 ± 0.1'],
        'neck.radius': { atNut: 250, atLastFret: 400 },
        'asFound.lastFretGap': { bass: 1.2, treble: '1 ± 0.02' },
        'asFound.edge': 3.2,
      }),
    );
    expect(job.strings.compensation).toHaveLength(6);
    expect(job.neck.radius).toEqual({ atNut: measured(250, 0.5, false), atLastFret: measured(400, 0.5, false) });
    expect(job.asFound.lastFretGap).toEqual({ bass: measured(1.2, 0.05, false), treble: measured(1, 0.02, true) });
    expect(job.asFound.edge).toEqual({ bass: measured(3.2, 0.05, false), treble: measured(3.2, 0.05, false) });
  });

  it('reads test fits with their day and note', () => {
    const fits = [{ depth: 0.5, lastFretGap: { bass: 0.9, treble: 0.85 }, raised: 1, on: '2026-03-14', note: 'first' }];
    const [fit] = read(stringify({ ...least(), fits })).fits;
    expect(fit).toMatchObject({ on: '2026-03-14', note: 'first', raised: measured(1, 0.05, false) });
    expect(read(`${withKeys({})}fits:\n  - {depth: 0.5, lastFretGap: 0.9, on: 2024-02-29}\n`).fits[0]?.on).toBe('2024-02-29');
  });

  it('may be JSON, tabs and all', () => {
    expect(read(JSON.stringify(least(), null, '\t'))).toEqual(read(withKeys({})));
  });

  it('says every problem at once, in the order they stand', () => {
    const text = withKeys({
      'scale.length': 25.5,
      'strings.count': 'six',
      'neck.seatToCrown': undefined,
      'pocket.depht': 17.4,
      'pocket.depth': undefined,
      'pocket.body': '41 cm',
      'bridge.travel': undefined,
      'asFound.lastFretGap': -1,
    });
    expect(codes(text)).toEqual([
      'looks-like-inches',
      'not-a-whole-number',
      'missing-key',
      'not-a-length',
      'unknown-key',
      'missing-key',
      'string-on-fret',
    ]);
  });

  it('knows a misspelt or misplaced key for what it stands for', () => {
    expect(codes(withKeys({ 'neck.nut_gap': 0.5, 'neck.nutGap': undefined }))).toEqual(['unknown-key']);
    expect(codes(withKeys({ 'asFound.nutGap': 0.5, 'neck.nutGap': undefined }))).toEqual(['unknown-key']);
    expect(codes(withKeys({ 'asFound.lastFretgap': 1.2, 'asFound.lastFretGap': undefined }))).toEqual(['unknown-key']);
    // A mere guess hides nothing: here the body's thickness is missing all the same.
    expect(codes(withKeys({ 'pocket.colour': 'red', 'pocket.body': undefined }))).toEqual(['missing-key', 'unknown-key']);
  });

  it('takes the first fret in place of the nut, and any one kind of evidence', () => {
    expect(codes(withKeys({ 'neck.nutGap': undefined, 'asFound.firstFretGap': 0.4 }))).toEqual([]);
    expect(codes(withKeys({ asFound: { straightedge: -0.5 } }))).toEqual([]);
    expect(codes(withKeys({ asFound: undefined, 'bridge.lowest': 8 }))).toEqual([]);
  });

  it('judges lengths by their form alone where the unit is not known', () => {
    expect(codes(withKeys({ units: 'feet', 'scale.length': 25.5, 'neck.nutToMouth': 15 }))).toEqual(['not-a-choice']);
  });

  it('does not take a list for a section that has a length', () => {
    expect(codes(withKeys({ pocket: Array.from({ length: 40 }, () => 1) }))).toEqual(['wrong-form']);
  });

  it('warns of what changes nothing', () => {
    const result = readJob(withKeys({ 'pocket.cornerRadius': '5 ± 0.2', 'pocket.screws': [{ x: 90, y: 0 }] }), 'job.yaml');
    expect(result.ok && result.warnings.map(({ code }) => code)).toEqual(['screw-outside', 'plus-minus-unused']);
  });

  it('holds at each limit and not beyond it', () => {
    const lastFret = 612 * (1 - 2 ** (-20 / 12));
    expect(codes(withKeys({ 'neck.nutToMouth': lastFret - 1e-6 }))).toEqual([]);
    expect(codes(withKeys({ 'neck.nutToMouth': lastFret }))).toEqual(['mouth-past-last-fret']);
    expect(codes(withKeys({ 'pocket.cornerRadius': 29.1 }))).toEqual([]);
    expect(codes(withKeys({ 'pocket.cornerRadius': 29.101 }))).toEqual(['corner-too-round']);
    expect(codes(withKeys({ 'pocket.body': 17.401 }))).toEqual([]);
    expect(codes(withKeys({ 'pocket.body': 17.4 }))).toEqual(['pocket-through-body']);
    expect(codes(withKeys({ 'scale.length': 1300, 'scale.frets': 12 }))).toEqual([]);
    expect(codes(withKeys({ 'scale.length': 1300.01, 'scale.frets': 12 }))).toEqual(['out-of-range']);
    expect(codes(withKeys({ title: 'ü'.repeat(200) }))).toEqual([]);
    expect(codes(withKeys({ title: '🎸'.repeat(200) }))).toEqual([]);
    expect(codes(withKeys({ title: '🎸'.repeat(201) }))).toEqual(['text-too-long']);
  });

  it('refuses deep nesting, long files and alias bombs without choking', () => {
    expect(codes('['.repeat(60_000))).toEqual(['yaml-syntax']);
    expect(codes(`a: ${'{b: '.repeat(5000)}1${'}'.repeat(5000)}`)).toEqual(['yaml-syntax']);
    expect(codes(`# ${'x'.repeat(70_000)}`)).toEqual(['too-large']);
    const bomb = Array.from({ length: 20 }, (_, i) => `k${i}: &k${i} [${i === 0 ? '1' : `*k${i - 1}, *k${i - 1}`}]`).join('\n');
    expect(new Set(codes(bomb))).toEqual(new Set(['yaml-alias']));
  });

  it('never throws, whatever the text', () => {
    const scraps = [
      'job: 1',
      'units: in',
      'scale:',
      '{',
      '}',
      '[',
      ']',
      ': ',
      '\n',
      '  ',
      '- ',
      '"',
      "'",
      '&a',
      '*a',
      '!t',
      '|',
      '\t',
      '#',
      '%',
      '? ',
      '±',
      '1/2',
      '\u0000',
    ];
    const text = fc.oneof(
      fc.string(),
      fc.array(fc.constantFrom(...scraps), { maxLength: 30 }).map((parts) => parts.join('')),
    );
    fc.assert(
      fc.property(text, (source) => {
        const result = readJob(source, 'x');
        expect(result.ok).toBe(false);
        if (result.ok) return;
        expect(result.findings.length).toBeGreaterThan(0);
        for (const { exit, place } of result.findings) {
          expect(exit).toBe(2);
          expect((place?.line ?? 0) >= 1 && (place?.column ?? 0) >= 1).toBe(true);
        }
      }),
      { seed: 20260314, numRuns: 1000 },
    );
  });

  it('hints from exactly the keys that the schema knows', () => {
    const paths = (tree: typeof JOB_KEYS, prefix = ''): string[] =>
      Object.entries(tree).flatMap(([key, below]) => [`${prefix}${key}`, ...paths(below, `${prefix}${key}.`)]);
    // Every key of the contract, as a job that is read: what zod takes and the hints name is one list.
    const full = `job: 1
title: every key
units: mm
hand: right
scale: {length: 612, frets: 20}
strings: {count: 6, spreadAtNut: 36, spreadAtSaddle: 53, compensation: 0}
neck: {nutToMouth: 388, seatToCrown: 23.5, nutGap: {bass: 0.5, treble: 0.5}, radius: {atNut: 280, atLastFret: 280}, relief: 0.15,
  fallAway: {fromFret: 16, drop: 0.1}, crownTilt: 0, heelWood: 17}
pocket: {length: 71.5, width: 58.2, widthAtMouth: 58.2, cornerRadius: 5, depth: 17.4, body: 41, leastFloor: 10, clearBefore: 25,
  screws: [{x: 14, y: -17}], mounted: {mouthBass: 0, mouthTreble: 0, rearBass: 0, rearTreble: 0}}
screw: {length: 40, plate: 2, leastHold: 12}
bridge: {travel: 7, lowest: {bass: 9, treble: 9}, radius: 280}
asFound: {lastFretGap: {bass: 1.2, treble: 1.0}, straightedge: {bass: 1, treble: 1}, firstFretGap: {bass: 0.4, treble: 0.4},
  edge: {bass: 3, treble: 3}, raised: {bass: 0, treble: 0}}
fits: [{depth: {bass: 0.5, treble: 0.5}, lastFretGap: {bass: 0.9, treble: 0.8}, raised: {bass: 1, treble: 1}, shim: 0.1,
  lowest: 0.08, highest: 4, on: 2026-03-14, note: n}]
target: {gap: 0, within: 0.05, highest: 3, wished: 6.35, floor: pitch, skim: 0}
`;
    expect(codes(full)).toEqual([]);
    const given = (node: unknown, prefix: string): string[] => {
      if (Array.isArray(node)) return node.flatMap((item) => given(item, prefix));
      if (typeof node !== 'object' || node === null) return [];
      return Object.entries(node).flatMap(([key, value]) => [`${prefix}${key}`, ...given(value, `${prefix}${key}.`)]);
    };
    const known = paths(JOB_KEYS).filter((path) => path !== 'pocket.outline' && path !== 'like');
    expect(known.length).toBeGreaterThan(60);
    expect(given(parse(full), '').sort()).toEqual(known.sort());
  });
});
