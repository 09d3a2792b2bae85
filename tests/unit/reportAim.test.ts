import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { previewTaskOf } from '../../src/previewJob.ts';
import { aimText } from '../../src/report/aim.ts';
import { curesText } from '../../src/report/cures.ts';
import { fitText } from '../../src/report/fit.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { outcomeText } from '../../src/report/words.ts';
import { solveText } from '../../src/solveJob.ts';
import { SAMPLE_JOB } from '../support/command.ts';

const sample = readFileSync(SAMPLE_JOB, 'utf8');
const flat = (text: string): string => text.replace(/\s+/g, ' ');

function outcomeOf(text: string): Outcome {
  const solved = solveText({ text, file: 'job.yaml' });
  if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
  return solved.value;
}

/** The sample with other readings (saddles up by 7 ± 0.05, all their travel) and another target. */
const low = (gap: string, target = ''): string =>
  sample
    .replace(/travel: 7,.*radius/, 'travel: 7 ± 0.05, radius')
    .replace(/^ {2}lastFretGap: .*$/m, `  lastFretGap: ${gap}\n  raised: 7 ± 0.05`)
    .replace(/^target: .*$/m, target);
const codes = ({ warnings }: Outcome): string[] => warnings.map(({ code }) => code);

describe('what decides the depth', () => {
  it('back: the highest string at the saddles’ lowest', () => {
    expect(aimText(outcomeOf(sample))).toMatch(/saddles at their lowest the bass string is to stand 0\.00 mm .*target\.gap/);
  });

  it('forward: target.highest alone, reached to the solve’s own tolerance, so that nothing of it is short', () => {
    const outcome = outcomeOf(low('2.0 ± 0.05'));
    const { solution } = outcome;
    expect(solution.pitch).toBeLessThan(0);
    expect(solution.afterCut.highest).toBeCloseTo(3, 9);
    expect(aimText(outcome)).toMatch(
      /forward, only until .* stands 3\.00 mm .*; target\.wished, 6\.35 mm, is only compared with/,
    );
    expect(codes(outcome)).toContain('wish-short');
    expect(codes(outcome)).not.toContain('range-short');
    // Whatever the last digits of the root are.
    for (const gap of ['1.4', '1.7', '2.3', '2.6']) expect(codes(outcomeOf(low(`${gap} ± 0.05`)))).not.toContain('range-short');
  });

  it('forward, stopped by the lowest: both are named, and what is short', () => {
    const outcome = outcomeOf(low('4.4 ± 0.05', 'target: {highest: 9}'));
    expect(outcome.solution.afterCut.lowest).toBeCloseTo(0, 9);
    expect(aimText(outcome)).toMatch(/9\.00 mm over the last fret \(target\.highest\), but .* comes down to 0\.00 mm/);
    expect(codes(outcome)).toContain('range-short');
  });
});

describe('a cut that is lost in its own ± and a hand’s miss', () => {
  const little = low('{bass: 2.95 ± 0.05, treble: 2.9 ± 0.05}');

  it('is not worth making: said first, as a warning for scripts, and without stops that nobody can file', () => {
    const outcome = outcomeOf(little);
    expect(outcome.floor.deepest).toBeGreaterThan(0);
    expect(outcome.floor.deepest).toBeLessThan(0.1);
    expect(outcome.stops[0]?.deepest).toBe(0);
    const text = outcomeText(outcome);
    expect(flat(text.split('\n\n')[1] ?? '')).toMatch(/^Nothing is worth cutting on these readings: .* Measure \S+ again first/);
    expect(text).not.toContain('Where to stop');
    expect(text.match(/Nothing is worth cutting/g)).toHaveLength(1);
    expect(codes(outcome)[0]).toBe('hardly-a-cut');
    expect(previewTaskOf(outcome, undefined, []).stops).toEqual([]);
  });

  it('still is not after a fit on the uncut floor that says the same', () => {
    const { raised, gaps } = outcomeOf(little).stops[0]?.read ?? { raised: 0, gaps: { bass: 0, treble: 0 } };
    const fit = `{depth: 0, lastFretGap: {bass: ${gaps.bass}, treble: ${gaps.treble}}, raised: ${raised}}`;
    expect(fitText(outcomeOf(`${little}fits: [${fit}]\n`))).toMatch(/^Nothing is worth cutting/);
  });

  it('an ordinary cut is', () => {
    expect(codes(outcomeOf(sample))).not.toContain('hardly-a-cut');
    expect(outcomeText(outcomeOf(sample))).toContain('Where to stop');
  });
});

describe('the other cures', () => {
  it('have the warnings that the answer has', () => {
    const outcome = outcomeOf(low('4.4 ± 0.05', 'target: {highest: 9}'));
    const said = (text: string): string[] => [...text.matchAll(/\[([a-z-]+)\]$/gm)].map(([, code]) => code ?? '');
    expect(said(curesText(outcome))).toEqual(said(outcomeText(outcome)));
    expect(said(curesText(outcome))).toContain('range-short');
  });

  it('say where a shim is too thin to print', () => {
    const wedge = (text: string): string => /wedge shim: (.*?)\. /.exec(flat(curesText(outcomeOf(text))))?.[1] ?? '';
    expect(wedge(sample)).not.toContain('veneer');
    expect(wedge(sample.replace('{bass: 1.2 ± 0.05, treble: 1.0 ± 0.05}', '{bass: 0.2, treble: 0.16}'))).toMatch(
      /0\.40 mm, two layers\): use veneer or paper$/,
    );
  });
});
