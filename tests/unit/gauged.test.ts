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

const SAMPLE = readFileSync(SAMPLE_JOB, 'utf8');
// One string alone governs and no fret but the last is ever the nearest, so that what is worked by hand is linear.
const sample = SAMPLE.replace(/.*fallAway.*\n/, '').replace('relief: 0.15', 'relief: 0.15 ± 0.01');
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
    for (const draws = sampling(after.job, 150, 11); !last?.done; ) last = draws.next();
    const deviation = COVERAGE * last.value.deepest.deviation;
    expect(last.value.unsolved).toBe(0);
    // 150 draws know a deviation to 1 / sqrt(300) = 5.8 %: three of those either way.
    expect(after.uncertainty.deepest / deviation).toBeGreaterThan(0.827);
    expect(after.uncertainty.deepest / deviation).toBeLessThan(1.173);
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

describe('gauged heights where strings or frets take over from one another', () => {
  // All strings alike, so that any may govern: worked through by a second solver of least squares over all inputs at a review.
  const alike = SAMPLE.replace(/^ {2}radius: 280\n/m, '')
    .replace(', radius: 280}', '}')
    .replace(/compensation: .*/, 'compensation: 0')
    .replace('treble: 1.0 ± 0.05', 'treble: 1.2 ± 0.05');
  const straight = alike.replace(/.*fallAway.*\n/, '');
  const on = (job: string, ...fits: string[]): Outcome =>
    outcomeOf(`${job}fits:\n${fits.map((fit) => `  - {${fit}}\n`).join('')}`);
  const floors = ({ solution }: Outcome) => {
    const { job } = solution.instrument;
    return job.fits.flatMap((fit) => {
      const plane = fitPlane(solution.outline, handSign(job), 'mouth', seatedDepths(fit), job.target.skim);
      const reach = plane === null ? undefined : reachOf(solution.instrument, plane);
      return (['lowest', 'highest'] as const).flatMap((of) => {
        const read = fit[of];
        return read === undefined || reach === undefined ? [] : [Math.abs(read - reach[of])];
      });
    });
  };

  it('every one of them holds on the floor it was read on', () => {
    const jobs = [
      on(
        straight,
        'depth: {bass: 0.5048 ± 0.03, treble: 0.5401 ± 0.03}, lowest: 0.386 ± 0.01',
        'depth: {bass: 0.7192 ± 0.03, treble: 0.6999 ± 0.03}, lastFretGap: {bass: 0.835 ± 0.05, treble: 0.8462 ± 0.05}, raised: 1 ± 0.05, lowest: 0.156 ± 0.03, highest: 4.9668 ± 0.03',
        'depth: {bass: 0.8372 ± 0.03, treble: 0.8301 ± 0.03}, lastFretGap: {bass: 0.6745 ± 0.05, treble: 0.6493 ± 0.05}, raised: 1 ± 0.05',
      ),
      on(
        straight,
        'depth: {bass: 0.2676 ± 0.03, treble: 0.297 ± 0.03}, lowest: 0.75 ± 0.03, highest: 5.568 ± 0.03',
        'depth: 0.3116 ± 0.03, lastFretGap: {bass: 1.4506 ± 0.05, treble: 1.4325 ± 0.05}, raised: 1 ± 0.05',
        'depth: 0.4696 ± 0.03, lastFretGap: {bass: 1.1432 ± 0.05, treble: 1.1874 ± 0.05}, raised: 1 ± 0.05, lowest: 0.508 ± 0.03',
      ),
    ];
    for (const job of jobs) {
      expect(floors(job).length).toBeGreaterThan(2);
      expect(Math.max(...floors(job))).toBeLessThan(1e-3);
    }
    // The second solver: 0.8024 deepest.
    expect(jobs[0]?.solution.deepest).toBeCloseTo(0.8024, 2);
  });

  it('what has no instrument is said to have none', () => {
    const solved = solvedOf(
      `${alike}fits:\n  - {depth: 0.7 ± 0.03, lowest: 0.2 ± 0}\n  - {depth: 0.7 ± 0.03, lowest: 0.3 ± 0, note: b}\n`,
    );
    expect(solved.ok ? [] : solved.findings.map(({ code, exit }) => [code, exit])).toEqual([['evidence-cannot-combine', 3]]);
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

describe('gauged heights that nothing bears out', () => {
  it('are named with the depth they were noted at, where that is of no other reading', () => {
    const { fitting } = outcomeOf(
      withFits('depth: 0.5 ± 0.03, lastFretGap: {bass: 1.14, treble: 0.94}, raised: 1', 'depth: 0.97 ± 0.03, lowest: 0.3'),
    );
    expect(fitting?.surprise).toMatch(/most likely depth of fit 2 or lowest of fit 2, which the others do not tell apart/);
  });

  it('are named beside gaps that contradict as well', () => {
    const { fitting } = outcomeOf(
      withFits('depth: 0.7 ± 0.03, lastFretGap: {bass: 0.5, treble: 0.7}, raised: 1 ± 0.05, lowest: 1.4'),
    );
    expect(fitting?.surprise).toMatch(/lastFretGap.* or lowest of fit 1/);
  });

  it('found wrong by a leaf is what a last look is for: only what chance hardly ever does contradicts', () => {
    const done = READ.replace('0.7 ', '0.8 ').replace('0.84', '0.7').replace('0.64', '0.5');
    for (const leaf of [0.09, 0.1, 0.11]) {
      const after = outcomeOf(withFits(done, `depth: 0.8 ± 0.03, lowest: ${leaf}`));
      expect(after.fitting?.surprise, `${leaf}`).toBeNull();
      expect(after.fitting?.done).toBe(false);
      expect(after.fitting?.left).toBeGreaterThan(0.03);
      // Or what is left and the stop would look at odds with the depth noted.
      expect(flat(fitText(after))).toMatch(
        /\(all readings together put the floor at 0\.7\d mm now, not at the 0\.80 mm noted\)\. Stop next (?:at a depth of 0\.8\d mm|once some 0\.0\d mm more)/,
      );
    }
  });

  it('beside a drawing alone leave the sides open', () => {
    const text = readFileSync(join(ROOT, 'templates/from-drawing.yaml'), 'utf8');
    const solved = solvedOf(`${text}fits: [{depth: "0.3 mm", lowest: "0.3 mm"}]\n`);
    expect(solved.ok ? [] : solved.findings.map(({ message, remedy }) => `${message}; ${remedy}`)).toEqual([
      expect.stringMatching(/^a drawing and gauged heights alone .* note a fit with the gaps/),
    ]);
  });

  it('a raise without a gap is refused: a leaf is tried with the saddles all the way down', () => {
    const solved = solvedOf(withFits('depth: 0.7, lowest: 0.2, raised: 1'));
    expect(solved.ok ? [] : solved.findings.map(({ code, message }) => `${code}: ${message}`)).toEqual([
      'missing-key: lastFretGap of fit 1 is missing',
    ]);
  });
});

describe('what is gauged of a floor that seems right', () => {
  const DONE = 'depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1';
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
    // A rod says nothing of the lowest.
    expect(done(SAMPLE, `${DONE}, highest: 4.6`).fitting).toMatchObject({ done: true, gauge: { of: 'lowest' } });
    const shimmed = done(SAMPLE, `${DONE.replace('0.81', '0.91')}, shim: 0.1`);
    expect(flat(fitText(shimmed))).toContain(
      'of the very same depth as filed, the same shim with it (--shim) (--lowest and the leaf)',
    );
    const contradicted = done(SAMPLE, `${DONE.replace('0.81', '0.91')}, shim: 0.3, lowest: 0.05`);
    expect(flat(fitText(contradicted))).toMatch(/Change nothing before you have measured again, floor and shim: .*\. $/);
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
    // Met to the last digit is met.
    const exact = forward.replace('{bass: 0.6, treble: 0.6}', '{bass: 0.585, treble: 0.6}');
    expect(outcomeOf(text(exact)).fitting).toMatchObject({ done: true, gauge: { of: 'highest' } });
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
