import { describe, expect, it } from 'vitest';
import { leanOf } from '../../src/kernel/plane.ts';
import { type ProofKind, type ProofWork, proveProgram, type Verdict } from '../../src/proof/prove.ts';
import { CASE, plainProgram, textOf, workOf } from './proofProgram.ts';

const prove = (lines: readonly string[], work: ProofWork = workOf(), as: ProofKind = 'floor'): Verdict =>
  proveProgram(textOf(lines), work, as);
const rulesOf = (verdict: Verdict): string[] => [...new Set(verdict.faults.map(({ rule }) => rule))];
const swap = (lines: readonly string[], from: string | RegExp, to: string): string[] => {
  const at = lines.findIndex((line) => (typeof from === 'string' ? line === from : from.test(line)));
  expect(at, String(from)).toBeGreaterThanOrEqual(0);
  return lines.with(at, (lines[at] as string).replace(from, to));
};

describe('sound programs are proved', () => {
  it.each([
    ['a plain pitch', {}, {}],
    ['in inches', { inch: true }, {}],
    ['there and back', {}, { backAndForth: true }],
    ['split into short moves', {}, { split: 7 }],
    ['one degree', { pitch: 1 }, {}],
    ['nearly three degrees', { pitch: 2.8, passWidth: 1.8 }, {}],
    ['pitched forward', { pitch: -0.5 }, {}],
    ['with a roll', { roll: 0.5, passWidth: 1.5 }, {}],
    ['square corners', { cornerRadius: 0 }, {}],
    ['corners tighter than the cutter', { cornerRadius: 2 }, {}],
    ['wide corners', { cornerRadius: 12 }, {}],
    ['wider at the mouth', { widthAtMouth: 59, cornerRadius: 0 }, {}],
    ['narrower at the mouth', { widthAtMouth: 57.5, cornerRadius: 0 }, {}],
    ['a wider cutter', { diameter: 12, passWidth: 4.8 }, {}],
  ])('%s', (_name, change, options) => {
    const given = { ...CASE, ...change };
    const { proved, faults, figures } = prove(plainProgram(given, options), workOf(given));
    expect(faults).toEqual([]);
    expect(proved).toBe(true);
    const step = given.inch ? 0.00254 : 0.001;
    const work = workOf(given);
    expect(figures.gouge).toBeLessThanOrEqual(step);
    expect(figures.wall).toBeGreaterThanOrEqual(0.15 - 1e-6);
    expect(figures.largestBite).toBeLessThanOrEqual(given.passDepth + step);
    expect(figures.lowestRapid).toBeGreaterThanOrEqual(25.4 - 1e-9);
    expect(figures.passes).toBe(Math.ceil(work.deepest / (given.passDepth - 0.01)));
    // What cannot be reached beside a straight wall is up to R g, at the low end of a closed pocket up to 2 R g (program.md).
    expect(figures.unreachable).toBeLessThanOrEqual(2.05 * (given.diameter / 2) * leanOf(work.plane));
    expect(figures.leftover).toBeGreaterThanOrEqual(figures.unreachable as number);
    expect(figures.minutes).toBeGreaterThan(1);
  });
});

describe('just inside and just outside', () => {
  const sound = plainProgram();
  const deepLane = sound.findLastIndex((line) => /^G1 X6\S+ Y0\.000/.test(line) || /^G1 X68\.\S+ Y1\.\d+/.test(line));

  it('the floor: one rounding step and no more', () => {
    const work = workOf();
    const lower = (by: number): ProofWork => ({ ...work, plane: { ...work.plane, skim: -by } });
    expect(rulesOf(prove(sound, lower(0.0009)))).toEqual([]);
    expect(rulesOf(prove(sound, lower(0.0025)))).toEqual(['floor']);
    expect(prove(sound, lower(0.0025)).figures.gouge).toBeCloseTo(0.0025, 3);
  });

  it('the finish', () => {
    const work = workOf();
    const higher = (by: number): ProofWork => ({ ...work, plane: { ...work.plane, skim: by } });
    expect(rulesOf(prove(sound, higher(0.009)))).toEqual([]);
    const bad = prove(sound, higher(0.013));
    expect(rulesOf(bad)).toEqual(['finish']);
    expect(bad.faults[0]?.line).toBe(sound.length);
    // `leave` is wood the maker wants to stay.
    const leaving: ProofWork = { ...higher(0.05), shop: { ...work.shop, leave: 0.05 } };
    expect(rulesOf(prove(sound, leaving))).toEqual([]);
  });

  it('the walls', () => {
    const work = workOf();
    const wider = (wall: number): ProofWork => ({ ...work, shop: { ...work.shop, clearance: { ...work.shop.clearance, wall } } });
    expect(rulesOf(prove(sound, wider(0.15)))).toEqual([]);
    expect(rulesOf(prove(sound, wider(0.1501)))).toEqual(['walls']);
  });

  it('the free space before the mouth', () => {
    expect(rulesOf(prove(sound, { ...workOf(), clearBefore: 10 }))).toEqual([]);
    expect(rulesOf(prove(sound, { ...workOf(), clearBefore: 9.99 }))).toEqual(['walls']);
  });

  it('the reach', () => {
    const work = workOf();
    const needed = work.pocketDepth + work.deepest + 1;
    const long = (length: number): ProofWork => ({ ...work, shop: { ...work.shop, cutter: { ...work.shop.cutter, length } } });
    expect(rulesOf(prove(sound, long(needed)))).toEqual([]);
    expect(rulesOf(prove(sound, long(needed - 0.001)))).toEqual(['reach']);
    const { length: _none, ...cutter } = work.shop.cutter;
    expect(rulesOf(prove(sound, { ...work, shop: { ...work.shop, cutter: { ...cutter, length: undefined } } }))).toEqual([
      'reach',
    ]);
  });

  it('the bite', () => {
    const work = workOf();
    const shallow = (depth: number): ProofWork => ({ ...work, shop: { ...work.shop, pass: { ...work.shop.pass, depth } } });
    expect(rulesOf(prove(sound, shallow(0.21)))).toEqual([]);
    expect(rulesOf(prove(sound, shallow(0.205)))).toEqual(['bite']);
  });

  it('the feeds', () => {
    const work = workOf();
    const fed = (cut: number, plunge: number): ProofWork => ({ ...work, shop: { ...work.shop, feed: { cut, plunge } } });
    expect(rulesOf(prove(sound, fed(1200, 300)))).toEqual([]);
    expect(rulesOf(prove(sound, fed(1199.9, 300)))).toEqual(['feed']);
    expect(rulesOf(prove(sound, fed(1200, 299.9)))).toEqual(['feed']);
    expect(rulesOf(prove(sound, fed(4800, 300)))).toEqual([]);
    expect(rulesOf(prove(sound, fed(4801, 300)))).toEqual(['feed']);
  });

  it('the spindle', () => {
    expect(rulesOf(prove(swap(sound, /S16000/, 'S14400')))).toEqual([]);
    expect(rulesOf(prove(swap(sound, /S16000/, 'S14399')))).toEqual(['spindle']);
    expect(rulesOf(prove(swap(sound, /P4/, 'P4.5')))).toEqual([]);
    expect(rulesOf(prove(swap(sound, /P4/, 'P3.99')))).toEqual(['spindle']);
    // S may stand on a line of its own before M3.
    const at = sound.indexOf('M3 S16000');
    expect(rulesOf(prove([...sound.slice(0, at), 'S16000', 'M3', ...sound.slice(at + 1)]))).toEqual([]);
  });

  it('one lane 0.01 mm too deep, by its line', () => {
    expect(deepLane).toBeGreaterThan(0);
    const line = sound[deepLane] as string;
    const low = line.replace(/Z(-?[\d.]+)/, (_all, z: string) => `Z${(Number(z) - 0.01).toFixed(3)}`);
    const verdict = prove(sound.with(deepLane, low));
    // The lift after it begins where it ended.
    expect(verdict.faults.map(({ rule, line: at }) => `${rule} ${at}`)).toEqual([
      `floor ${deepLane + 1}`,
      `floor ${deepLane + 2}`,
    ]);
  });
});

describe('air and trace', () => {
  const air = plainProgram()
    .filter((line) => !/^(M3|G4)/.test(line))
    .map((line) => line.replace(/Z(-?[\d.]+)/, (_all, z: string) => `Z${(Number(z) + 20).toFixed(3)}`));

  it('the same moves above the top with the spindle off are proved as air, not as floor', () => {
    expect(prove(air, workOf(), 'air').faults).toEqual([]);
    expect(prove(air, workOf(), 'trace').faults).toEqual([]);
    expect(rulesOf(prove(air, workOf(), 'floor'))).toContain('finish');
  });

  it('a floor program is not an air program', () => {
    expect(rulesOf(prove(plainProgram(), workOf(), 'air'))).toEqual(['spindle', 'floor']);
  });

  it('M5 is kept, the end is asked for', () => {
    expect(
      rulesOf(
        prove(
          air.filter((line) => line !== 'M5'),
          workOf(),
          'air',
        ),
      ),
    ).toEqual(['end']);
    expect(rulesOf(prove([...air, 'G0 Z50'], workOf(), 'air'))).toEqual(['end']);
  });

  it('nothing below the top', () => {
    const at = air.findIndex((line) => line.startsWith('G1 X'));
    const low = air.with(at, (air[at] as string).replace(/Z\S+/, 'Z17.399'));
    expect(prove(low, workOf(), 'air').faults).toMatchObject([{ rule: 'floor', line: at + 1 }]);
    expect(prove(air.with(at, (air[at] as string).replace(/Z\S+/, 'Z17.400')), workOf(), 'air').faults).toEqual([]);
  });
});

describe('a shop without a cutter', () => {
  it('proves nothing', () => {
    const work = workOf();
    const bare = { ...work, shop: { ...work.shop, cutter: { ...work.shop.cutter, diameter: undefined } } };
    expect(rulesOf(prove(plainProgram(), bare))).toEqual(['walls']);
  });
});
