import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { drawnOutline } from '../../src/job/drawnOutline.ts';
import { readJob } from '../../src/job/readJob.ts';
import { readShop } from '../../src/job/readShop.ts';
import type { Shop } from '../../src/job/shop.ts';
import { type Finding, findingText } from '../../src/kernel/findings.ts';
import { MOST_FINDINGS_TOLD } from '../../src/kernel/tolerances.ts';
import { type ProofKind, proveProgram } from '../../src/proof/prove.ts';
import { outcomeText } from '../../src/report/words.ts';
import { proofWorkOf } from '../../src/routeJob.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT } from '../support/command.ts';
import { diceOf, NOISE, noisy, PROGRAM_NOISE, YAML_NOISE } from '../support/textNoise.ts';

// Texts that people and machines spoil, by the thousand: whatever stands in them, the answer is a result or findings, never an
// exception. How much work a text may make is bounded by the counts in the tolerance register, which the last tests hold.

// Thousands of texts a test, on a machine that may be busy.
vi.setConfig({ testTimeout: 240_000 });

const SEED = Number(process.env.PROPERTY_SEED ?? 20_261_125);
/** A longer hunt: PROPERTY_RUNS=200000. */
const TIMES = Number(process.env.PROPERTY_RUNS ?? 12_300) / 20_500;

const texts = (folder: string): string[] =>
  readdirSync(join(ROOT, folder))
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => readFileSync(join(ROOT, folder, name), 'utf8'));
// The starters are mostly comments, which take the most time and spoil the least: one of each kind keeps its own.
const starters = [
  ...texts('templates').map((text) => text.replace(/ *#.*\n/g, '\n').replace(/\n{2,}/g, '\n')),
  ...texts('samples'),
];
const jobs = starters.filter((text) => /^job: 1/m.test(text));
const shops = starters.filter((text) => /^shop: 1/m.test(text));
const sample = readFileSync(join(ROOT, 'samples/reedling.yaml'), 'utf8');

/** Runs `look` on that many spoilt texts; a failure says the seed and shows the text. */
function onSpoilt(count: number, base: readonly string[], noise: typeof NOISE, look: (text: string, run: number) => void): void {
  const runs = Math.ceil(count * TIMES);
  expect(base.length).toBeGreaterThan(0);
  for (let run = 0; run < runs; run++) {
    const dice = diceOf(SEED + run);
    const text = noisy(dice.oneOf(base), noise, dice);
    try {
      look(text, run);
    } catch (error) {
      throw new Error(`seed ${SEED}, text ${run}: ${JSON.stringify(text).slice(0, 2000)}`, { cause: error });
    }
  }
}

/** Nothing that a terminal would act on, nothing of the inside. */
const UNSAYABLE = /[\p{Cc}\p{Cs}\u202a-\u202e]|\[object |undefined/u;

function expectSayable(findings: readonly Finding[], text: string, placed: boolean): void {
  expect(findings.length).toBeGreaterThan(0);
  expect(findings.length).toBeLessThanOrEqual(2 * MOST_FINDINGS_TOLD);
  const lines = text.split(/\r\n|\n|\r/).length + 1;
  for (const finding of findings) {
    const said = findingText(finding);
    if (UNSAYABLE.test(said) || said.length > 1000) throw new Error(`cannot be said: ${JSON.stringify(said).slice(0, 400)}`);
    expect(finding.code).toMatch(/^[a-z][a-z0-9-]+$/);
    if (!placed) continue;
    const { line, column } = finding.place ?? { line: 0, column: 0 };
    if (!(line >= 1 && line <= lines && column >= 1)) throw new Error(`no place: ${said}`);
  }
}

describe('spoilt texts', () => {
  it('of jobs are read and solved, or refused at their places', () => {
    let solved = 0;
    let refused = 0;
    onSpoilt(3000, jobs, YAML_NOISE, (text, run) => {
      const read = readJob(text, 'job.yaml');
      if (!read.ok) {
        refused += 1;
        expectSayable(read.findings, text, true);
        return;
      }
      // Most of these hardly differ from sound ones: to solve a part of them is enough.
      if (run % 4 !== 0) return;
      const outcome = solveText({ text, file: 'job.yaml' });
      if (!outcome.ok) {
        expectSayable(outcome.findings, text, false);
        return;
      }
      solved += 1;
      expect(outcomeText(outcome.value)).not.toMatch(/NaN|undefined|\[object /);
    });
    expect(solved).toBeGreaterThan(60);
    expect(refused).toBeGreaterThan(1200);
  });

  it('of shop files are read, or refused at their places', () => {
    let refused = 0;
    onSpoilt(2500, shops, YAML_NOISE, (text) => {
      const read = readShop(text, 'shop.yaml');
      if (read.ok) return;
      refused += 1;
      expectSayable(read.findings, text, true);
    });
    expect(refused).toBeGreaterThan(1000);
  });

  const drawings = readdirSync(join(ROOT, 'tests/drawings')).map((name) =>
    readFileSync(join(ROOT, 'tests/drawings', name), 'utf8'),
  );
  it('of drawings are read, or refused at their places', () => {
    let refused = 0;
    onSpoilt(1000, drawings, NOISE, (text) => {
      const read = drawnOutline({ text, file: 'drawing.svg' }, 'right');
      if (read.ok) return;
      refused += 1;
      expectSayable(read.findings, text, true);
    });
    expect(refused).toBeGreaterThan(300);
  });

  const solved = solveText({ text: sample, file: 'job.yaml' });
  const read = readShop(readFileSync(join(ROOT, 'samples/marshlight-shop.yaml'), 'utf8'), 'shop.yaml');
  if (!solved.ok || !read.ok) throw new Error('the samples are refused');
  const shop: Shop = read.value;
  const work = proofWorkOf(solved.value, shop);
  const golden = (kind: ProofKind): string => readFileSync(join(ROOT, `tests/golden/reedling/${kind}.nc`), 'utf8');

  it.each([
    ['trace', 13_800],
    ['floor', 200],
  ] as const)('of a %s program are judged, and their faults told at their lines', (kind, count) => {
    if (!work.ok) throw new Error('there is nothing to prove by');
    expect(proveProgram(golden(kind), work.value, kind).proved).toBe(true);
    let faulty = 0;
    onSpoilt(count, [golden(kind)], PROGRAM_NOISE, (text) => {
      const verdict = proveProgram(text, work.value, kind);
      expect(verdict.proved).toBe(verdict.faults.length === 0);
      if (verdict.proved) return;
      faulty += 1;
      const lines = text.split('\n').length + 1;
      for (const { line, message } of verdict.faults) {
        if (!(line >= 1 && line <= lines)) throw new Error(`no line: ${line} ${message}`);
        if (UNSAYABLE.test(message) || message.length > 400) throw new Error(`cannot be said: ${JSON.stringify(message)}`);
      }
    });
    expect(faulty).toBeGreaterThan(count / 2);
  });
});
