import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fitPlane } from '../../src/instrument/equations.ts';
import { handSign, seatedDepths } from '../../src/instrument/neck.ts';
import { fitText } from '../../src/report/fit.ts';
import { outcomeJson } from '../../src/report/json.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { pastOnFloor } from '../../src/solve/edge.ts';
import { reachOf } from '../../src/solve/gaps.ts';
import { sampling } from '../../src/solve/sampled.ts';
import { COVERAGE } from '../../src/solve/uncertainty.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

// One string alone governs and no fret but the last is ever the nearest, so that what is worked by hand is linear.
const sample = readFileSync(SAMPLE_JOB, 'utf8')
  .replace(/.*fallAway.*\n/, '')
  .replace('relief: 0.15', 'relief: 0.15 ± 0.01');
const flat = (text: string): string => text.replace(/\s+/g, ' ');

function solvedOf(text: string) {
  return solveText({ text, file: 'job.yaml' });
}

function outcomeOf(text: string): Outcome {
  const solved = solvedOf(text);
  if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
  return solved.value;
}

const withFits = (...fits: string[]): string => `${sample}fits:\n${fits.map((fit) => `  - {${fit}}\n`).join('')}`;

/** What the instrument shows on the floor measured at its last fit. */
function shown({ solution, fitting }: Outcome) {
  const { job } = solution.instrument;
  const fit = job.fits[job.fits.length - 1];
  const plane =
    fit === undefined
      ? null
      : fitPlane(solution.outline, handSign(job), fitting?.edge ?? 'mouth', seatedDepths(fit), job.target.skim);
  if (plane === null) throw new Error('no floor');
  return reachOf(solution.instrument, plane);
}

const READ = 'depth: 0.7 ± 0.03, lastFretGap: {bass: 0.84 ± 0.05, treble: 0.64 ± 0.05}, raised: 1 ± 0.05';

describe('the lowest, gauged with a leaf', () => {
  const before = outcomeOf(withFits(READ));
  const lowest = shown(before).lowest;

  it('is taken for what it is where it is sharp: the strings then stand so over the floor measured', () => {
    for (const read of [lowest - 0.04, lowest + 0.05]) {
      const after = outcomeOf(withFits(`${READ}, lowest: ${read} ± 0.000001`));
      expect(shown(after).lowest).toBeCloseTo(read, 5);
      expect(after.fitting?.past).toBeCloseTo(-read, 5);
    }
  });

  it('changes nothing where it says what all else says, but for the ±', () => {
    const after = outcomeOf(withFits(`${READ}, lowest: ${lowest} ± 0.03`));
    expect(after.solution.deepest).toBeCloseTo(before.solution.deepest, 6);
    expect(after.fitting?.pastUncertainty).toBeLessThan(0.6 * (before.fitting?.pastUncertainty ?? 0));
  });

  /**
   * Two independent readings of one length: their mean with weights 1/u², and 1/u² of it the sum of both (weighted mean of handbooks, from
   * memory). U of what the strings show before the leaf is `pastUncertainty`; the leaf's is 2 * 0.03 / sqrt(3).
   */
  it('and all else are the weighted mean of the two, with its deviation', () => {
    const read = lowest + 0.06;
    const after = outcomeOf(withFits(`${READ}, lowest: ${read} ± 0.03`));
    const [prior, leaf] = [before.fitting?.pastUncertainty ?? 0, (COVERAGE * 0.03) / Math.sqrt(3)];
    const weight = prior ** 2 / (prior ** 2 + leaf ** 2);
    expect(shown(after).lowest).toBeCloseTo(lowest + weight * 0.06, 3);
    expect(after.fitting?.pastUncertainty).toBeCloseTo(1 / Math.hypot(1 / prior, 1 / leaf), 3);
    // What is left follows: the floor wanted is that on which the strings so read meet the frets.
    expect(after.fitting?.left).toBeCloseTo((before.fitting?.left ?? 0) - (weight * 0.06) / after.solution.gain, 2);
    expect(pastOnFloor(after.solution, 'mouth', after.fitting?.wanted ?? { bass: 0, treble: 0 })).toBeCloseTo(0, 6);
  });

  it('has the ± that sampling gives (JCGM 101: every input drawn, the whole job solved again)', () => {
    const after = outcomeOf(withFits(`${READ}, lowest: ${(lowest + 0.02).toFixed(3)} ± 0.03`));
    let last: ReturnType<ReturnType<typeof sampling>['next']> | undefined;
    for (const draws = sampling(after.job, 400, 11); !last?.done; ) last = draws.next();
    const deviation = COVERAGE * last.value.deepest.deviation;
    expect(last.value.unsolved).toBe(0);
    // 400 draws know a deviation to 1 / sqrt(800) = 3.5 %: three of those either way.
    expect(after.uncertainty.deepest / deviation).toBeGreaterThan(0.895);
    expect(after.uncertainty.deepest / deviation).toBeLessThan(1.105);
  });

  it('read twice of one floor counts twice', () => {
    const one = `depth: 0.7 ± 0.03, lowest: ${(lowest + 0.05).toFixed(3)} ± 0.03`;
    const once = outcomeOf(withFits(READ, one));
    const twice = outcomeOf(withFits(READ, one, `${one}, note: again`));
    const of = ({ fitting }: Outcome): number => fitting?.past ?? 0;
    expect(of(twice)).toBeLessThan(of(once));
    expect(of(twice)).toBeGreaterThan(-(lowest + 0.05));
    expect(twice.fitting?.pastUncertainty).toBeLessThan(0.85 * (once.fitting?.pastUncertainty ?? 0));
  });

  it('stands for a fit by itself, and the one after it is held against the last gaps read', () => {
    const alone = outcomeOf(withFits(`depth: 0.7 ± 0.03, lowest: ${lowest.toFixed(3)} ± 0.03`));
    expect(alone.fitting?.left).toBeCloseTo(before.fitting?.left ?? 0, 1);
    const grown = solvedOf(
      withFits(READ, `depth: 0.7 ± 0.03, lowest: ${lowest.toFixed(3)}`, READ.replace('0.7 ', '0.72 ').replace('0.84', '1.44')),
    );
    expect(grown.ok ? [] : grown.findings.map(({ code }) => code)).toEqual(['fit-impossible']);
    expect(grown.ok ? '' : grown.findings[0]?.message).toMatch(/^fit 3 cannot be: from fit 1 the bass gap/);
    expect(grown.ok ? '' : (grown.findings[0]?.remedy ?? grown.findings[0]?.expected)).toContain('it is fit 1 that was read');
  });

  it('that contradicts all else is named, whatever the strings were read by', () => {
    const { fitting } = outcomeOf(withFits(`${READ}, lowest: 1.2 ± 0.03`));
    expect(fitting?.surprise).toMatch(
      /the odd one out is most likely lowest of fit 1: measure it again before you cut, the saddles all the way down$/,
    );
    expect(fitting?.gauge).toBeNull();
    const high = outcomeOf(withFits(`${READ}, highest: 2 ± 0.03`).replace('travel: 7', 'travel: 7 ± 0.05'));
    expect(high.fitting?.surprise).toMatch(/highest of fit 1: .* the saddles all the way up$/);
  });

  it('is refused at nothing, and a fit that tells of no string at all', () => {
    const codes = (fit: string): string[] => {
      const solved = solvedOf(withFits(fit));
      return solved.ok ? [] : solved.findings.map(({ code, message }) => `${code}: ${message}`);
    };
    expect(codes('depth: 0.7, lowest: 0')).toEqual(['out-of-range: lowest of fit 1: out of range']);
    expect(codes('depth: 0.7')).toEqual(['missing-key: lastFretGap (or lowest, or highest) of fit 1 is missing']);
    // A slip of the pen is told once.
    expect(codes('depth: 0.7, lastFretGop: 1')).toHaveLength(1);
  });
});

describe('the highest, gauged with a rod', () => {
  it('tells of the travel where that is known least, and leaves the lowest where it was', () => {
    const text = sample.replace('travel: 7', 'travel: 7 ± 0.5');
    const fits = (more: string): string => `${text}fits:\n  - {${READ}${more}}\n`;
    const before = outcomeOf(fits(''));
    const [low, high] = [shown(before).lowest, shown(before).highest];
    const after = outcomeOf(fits(`, highest: ${(high - 0.3).toFixed(3)} ± 0.02`));
    expect(after.fitting?.surprise).toBeNull();
    expect(shown(after).highest).toBeCloseTo(high - 0.3, 1);
    expect(Math.abs(shown(after).lowest - low)).toBeLessThan(0.02);
    expect(after.solution.instrument.job.bridge.travel).toBeLessThan(6.7);
  });
});

describe('what is gauged of a floor that seems right', () => {
  const DONE = 'depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1';
  const SAMPLE = readFileSync(SAMPLE_JOB, 'utf8');
  const done = (job: string, fit = DONE): Outcome => outcomeOf(`${job}fits:\n  - {${fit}}\n`);

  it('a leaf of well over what is forgiven, over the gap wanted; in the units of the job', () => {
    const outcome = done(SAMPLE);
    expect(outcome.fitting).toMatchObject({ done: true, gauge: { of: 'lowest', thick: expect.closeTo(0.08, 9) } });
    expect(outcomeJson(outcome)).toMatchObject({ fit: { gauge: { of: 'lowest', thick: expect.closeTo(0.08, 9) } } });
    expect(flat(fitText(outcome))).toMatch(
      /^Done: .* Stop filing\. A last look, nothing to file: with the saddles all the way down, slide a leaf of 0\.08 mm under each string, from fret 12 to fret 20: it should bind under every one; where it goes all the way freely, find the thickest that does and note it as a fit of the very same depth \(--lowest and the leaf\)\. $/,
    );
    const inches = readFileSync(join(ROOT, 'templates/six-string-25-5.yaml'), 'utf8');
    const { deepest, read } = outcomeOf(inches).stops[1] as Outcome['stops'][number];
    const at = `depth: "${deepest} mm", lastFretGap: {bass: "${read.gaps.bass} mm", treble: "${read.gaps.treble} mm"}, raised: "${read.raised} mm"`;
    expect(flat(fitText(done(inches, at)))).toMatch(/slide a leaf of 0\.00\d in under each string/);
  });

  it('none where it was gauged, where no leaf fits, or while something is to be filed', () => {
    expect(done(SAMPLE, `${DONE}, lowest: 0.05`).fitting).toMatchObject({ done: true, gauge: null });
    expect(done(SAMPLE, DONE.replace('0.81', '0.6')).fitting?.gauge).toBeNull();
    const past = SAMPLE.replace('gap: 0,', 'gap: -0.1,');
    const floor = outcomeOf(past).solution.deepest;
    const { gaps } = outcomeOf(past).stops[1]?.read ?? { gaps: { bass: 0, treble: 0 } };
    const { raised } = outcomeOf(past).stops[1]?.read ?? { raised: 0 };
    const at = `depth: ${floor.toFixed(3)}, lastFretGap: {bass: ${gaps.bass.toFixed(3)}, treble: ${gaps.treble.toFixed(3)}}, raised: ${raised}`;
    expect(done(past, at).fitting).toMatchObject({ done: true, gauge: null });
  });

  it('pitched forward a rod, as long as it is the height that was wanting', () => {
    const forward = SAMPLE.replace(/lastFretGap: .*/, 'lastFretGap: {bass: 0.6, treble: 0.6}\n  raised: 3').replace(
      'travel: 7, lowest: 5.9',
      'travel: 5 ± 0.02',
    );
    const text = (job: string): string => {
      const stop = outcomeOf(job).stops[1];
      if (stop === undefined) throw new Error('no stop');
      const { gaps, raised } = stop.read;
      return `${job}fits:\n  - {depth: ${stop.deepest.toFixed(3)}, lastFretGap: {bass: ${gaps.bass.toFixed(3)}, treble: ${gaps.treble.toFixed(3)}}, raised: ${raised}}\n`;
    };
    const tall = outcomeOf(text(forward));
    expect(tall.fitting).toMatchObject({ edge: 'rear', done: true, gauge: { of: 'highest', thick: expect.closeTo(2.92, 9) } });
    expect(flat(fitText(tall))).toContain(
      'with the saddles all the way up, 2.92 mm of leaves and drill shanks together should go freely under every string over fret 20; if they do not, find the thickest that does and note it as a fit of the very same depth (--highest and their thickness).',
    );
    const short = forward.replace('travel: 5 ± 0.02', 'travel: 4.2 ± 0.02');
    expect(outcomeOf(short).solution.shortBy).toBeGreaterThan(0);
    expect(outcomeOf(text(short)).fitting).toMatchObject({ edge: 'rear', gauge: null });
  });
});

it('where all strings come down together, as on a floor filed with a roll, a leaf is taken as gaps are', () => {
  const text = readFileSync(join(ROOT, 'templates/bass-four-34.yaml'), 'utf8');
  const stop = outcomeOf(text).stops[1] as Outcome['stops'][number];
  const after = outcomeOf(
    `${text}fits:\n  - {depth: {bass: "${stop.at.bass} mm", treble: "${stop.at.treble} mm"}, lowest: "0.04 mm"}\n`,
  );
  expect(after.fitting?.surprise).toBeNull();
  expect(after.fitting?.past).toBeLessThan(0);
  expect(after.fitting?.past).toBeGreaterThan(-0.04);
});
