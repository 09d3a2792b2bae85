import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readShop } from '../../src/job/readShop.ts';
import { type Finding, findingText } from '../../src/kernel/findings.ts';
import { makeAll } from '../../src/pipeline.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { proofWorkOf, rimWorkOf } from '../../src/routeJob.ts';
import { anyJobTree, anyShopTree, fileText } from '../support/jobTexts.ts';

/** Fixed, so that every run tries the same; PROPERTY_SEED and PROPERTY_RUNS look further afield by hand. */
const SEED = Number(process.env.PROPERTY_SEED ?? 20261126);
const RUNS = Number(process.env.PROPERTY_RUNS ?? 16);
/** A long hunt by hand takes as long as it takes. */
const PATIENCE_MS = 60_000 + RUNS * 5_000;
const KINDS = ['floor', 'air', 'trace'] as const;

const said = (findings: readonly Finding[]): string => findings.map(findingText).join('\n');

describe('any sound job with any sound shop file', () => {
  const seen = { proved: 0, uncut: 0, refused: 0, rims: 0 };
  const codes = new Set<string>();

  it(
    'gives three proved programs, or a refusal that says what would help; never an unproved program',
    () => {
      fc.assert(
        fc.property(
          anyJobTree(),
          anyShopTree(),
          fc.constantFrom('mm' as const, 'in' as const),
          fc.constantFrom('mm' as const, 'in' as const),
          (job, shop, jobUnit, shopUnit) => {
            const shopText = fileText(shop, shopUnit);
            const made = makeAll({ text: fileText(job, jobUnit), file: 'job' }, { text: shopText, file: 'shop' });
            if (!made.ok) {
              seen.refused += 1;
              for (const finding of made.findings) {
                codes.add(finding.code);
                expect(finding.exit, said(made.findings)).toBe(3);
                expect(finding.remedy, said(made.findings)).toBeDefined();
              }
              return;
            }
            const { outcome, artifacts } = made.value;
            const programs = artifacts.filter(({ name }) => name.endsWith('.nc'));
            if (outcome.floor.deepest === 0) {
              seen.uncut += 1;
              expect(programs).toEqual([]);
              return;
            }
            seen.proved += 1;
            const read = readShop(shopText, 'shop');
            if (!read.ok) throw new Error(said(read.findings));
            const work = proofWorkOf(outcome, read.value);
            if (!work.ok) throw new Error(said(work.findings));
            const rim = programs.slice(KINDS.length);
            expect(programs.map(({ name }) => name)).toEqual([
              ...KINDS.map((kind) => `${kind}.nc`),
              ...(rim.length === 0 ? [] : ['rim.nc', 'rim-air.nc']),
            ]);
            // A run in the air must not pass for a cut, nor a cut for one in the air. Where hardly more is to be cut than may stay (what is
            // left for the file, and the proof's own hundredths) cutting nothing is enough, and rightly proved.
            const isWorthCutting = outcome.floor.deepest > read.value.leave + 0.1;
            const [second, air] = rim;
            if (second !== undefined) {
              seen.rims += 1;
              const after = rimWorkOf(outcome, read.value, programs[0]?.text ?? '');
              if (!after.ok) throw new Error(said(after.findings));
              expect(proveProgram(second.text, after.value, 'rim').faults).toEqual([]);
              expect(proveProgram(air?.text ?? '', after.value, 'air').faults).toEqual([]);
            }
            programs.slice(0, KINDS.length).forEach(({ text }, i) => {
              expect(proveProgram(text, work.value, KINDS[i] ?? 'floor').faults, KINDS[i]).toEqual([]);
              if (i === 0 || isWorthCutting)
                expect(proveProgram(text, work.value, i === 0 ? 'air' : 'floor').proved, KINDS[i]).toBe(false);
            });
          },
        ),
        { seed: SEED, numRuns: RUNS },
      );
    },
    PATIENCE_MS,
  );

  it('saw both ends in earnest', () => {
    expect(seen.proved, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 4);
    expect(seen.refused, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 10);
    expect(seen.rims, JSON.stringify(seen)).toBeGreaterThanOrEqual(RUNS / 12);
    expect(codes.size, [...codes].join(' ')).toBeGreaterThanOrEqual(4);
  });
});
