import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { depthAt } from '../../src/kernel/plane.ts';
import { curesText } from '../../src/report/cures.ts';
import { fitText } from '../../src/report/fit.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { lengthsIn } from '../../src/report/text.ts';
import { outcomeText } from '../../src/report/words.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

function outcomeOf(text: string, action?: string): Outcome {
  const solved = solveText({ text, file: 'job.yaml' }, action);
  if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
  return solved.value;
}

const sample = readFileSync(SAMPLE_JOB, 'utf8');
const template = (name: string): string => readFileSync(join(ROOT, `templates/${name}.yaml`), 'utf8');
const INCHES = template('six-string-25-5');
const withFit = (fit: string): Outcome => outcomeOf(`${sample}fits:\n  - ${fit}\n`);
const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('a plan from a drawing', () => {
  it('followed to the digits in which it was told reaches both ends', () => {
    const drawn = template('from-drawing');
    const told = /a bridge with its seats ([\d.]+) mm over the top/.exec(flat(outcomeText(outcomeOf(drawn))))?.[1] ?? '';
    const lowest = (value: number): string =>
      flat(outcomeText(outcomeOf(drawn.replace(/lowest: [\d.]+/, `lowest: ${value.toFixed(2)}`))));
    expect(lowest(Number(told))).toContain('Both ends are reached as drawn.');
    expect(lowest(Number(told) + 0.02)).toMatch(/too high by 0\.02 mm\..* Any one of these would reach both/);
  });
});

describe('the report', () => {
  it.each(['six-string-24-75', 'six-string-25-5', 'bass-four-34', 'seven-string-27', 'left-handed', 'from-drawing'])(
    '%s fits a narrow print-out and says no word twice in a row',
    (name) => {
      const outcome = outcomeOf(template(name));
      for (const text of [outcomeText(outcome), curesText(outcome)]) {
        expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(112);
        expect(text).not.toMatch(/undefined|NaN|Infinity|\[object|-0\.00 /);
        expect(text).not.toMatch(/\b([a-z]+) \1\b/i);
      }
    },
  );

  it('says how far a station is off on a print that is 1 % off: what moving every corner by it comes to, at the most', () => {
    const { solution, job } = outcomeOf(readFileSync(SAMPLE_JOB, 'utf8'));
    expect(job.units).toBe('mm');
    const text = outcomeText(outcomeOf(readFileSync(SAMPLE_JOB, 'utf8'))).replace(/\s+/g, ' ');
    const found = /a station up to ([\d.]+) mm out of its place, where the depth is ([\d.]+) mm other/.exec(text);
    const { outline, plane } = solution;
    const corners = [0, outline.length].flatMap((x) =>
      [-1, 1].map((side) => ({ x, y: side * (x === 0 ? outline.mouthHalf : outline.rearHalf) })),
    );
    const moved = corners.map(({ x, y }) => Math.hypot(0.01 * x, 0.01 * y));
    const deeper = corners.map(({ x, y }) => Math.abs(depthAt(plane, 1.01 * x, 1.01 * y) - depthAt(plane, x, y)));
    expect(Number(found?.[1])).toBeCloseTo(Math.max(...moved), 2);
    expect(Number(found?.[2])).toBeGreaterThanOrEqual(Math.max(...deeper) - 5e-4);
    expect(Number(found?.[2])).toBeLessThan(2 * Math.max(...deeper));
  });

  it('an inch job is told in inches first, and in millimetres only beside an inch', () => {
    const outcome = outcomeOf(INCHES);
    for (const text of [outcomeText(outcome), curesText(outcome)]) {
      expect(text).toMatch(/\d in \(\d+\.\d+ mm/);
      const bare = text.replace(/ in \(-?\d+\.\d+ mm/g, '');
      expect(bare).not.toMatch(/\d mm\b/);
    }
  });

  it('a ± never rounds to nothing', () => {
    for (const units of ['mm', 'in'] as const) {
      const { spread } = lengthsIn(units);
      for (const value of [0.0001, 0.001, 0.004, 0.02]) expect(spread(value)).toMatch(/under|[1-9]/);
    }
    expect(lengthsIn('in').full(25.4)).toBe('1.000 in (25.40 mm)');
    expect(lengthsIn('mm').full(0.05)).toBe('0.05 mm (0.002 in)');
  });

  it('a drawing is answered for both ends, with figures that the drawing would then show', () => {
    const outcome = outcomeOf(template('from-drawing'));
    const text = flat(outcomeText(outcome));
    const [, depth] = /a pocket (\d+\.\d+) mm deep instead of/.exec(text) ?? [];
    const [, seats] = /a bridge with its seats (\d+\.\d+) mm over the top/.exec(text) ?? [];
    const drawn = template('from-drawing');
    const changes = [
      drawn.replace(/depth: 17\.2 ± 0\.1/, `depth: ${depth}`),
      drawn.replace(/lowest: 7\.5 ± 0\.2/, `lowest: ${seats}`),
    ];
    for (const changed of changes) {
      expect(changed).not.toBe(drawn);
      const { asFound } = outcomeOf(changed).solution;
      expect(Math.abs(asFound.lowest)).toBeLessThan(0.01);
      expect(asFound.highest).toBeGreaterThan(3);
    }
  });

  it('a drawing that nothing but more travel mends says so', () => {
    const short = template('from-drawing').replace('travel: 10.1', 'travel: 2');
    expect(flat(outcomeText(outcomeOf(short)))).toContain('Choose a bridge with more');
  });
});

describe('what a fit says', () => {
  it('goes on, with the next stop', () => {
    const text = flat(fitText(withFit('{depth: 0.6 ± 0.03, lastFretGap: {bass: 0.34, treble: 0.19}}')));
    expect(text).toMatch(/^Left to take off at the mouth: .* Stop next at a depth of/);
  });

  it('is done', () => {
    expect(fitText(withFit('{depth: 0.8 ± 0.03, lastFretGap: {bass: 0.69, treble: 0.49}, raised: 1}'))).toMatch(/^Done/);
  });

  it('too deep: the way back is a shim of so much', () => {
    const outcome = withFit('{depth: 1.0 ± 0.03, lastFretGap: {bass: 0.42, treble: 0.22}, raised: 1}');
    const text = flat(fitText(outcome));
    expect(text).toContain('The way back is a shim over the whole floor');
    expect(outcome.fitting?.wayBack).toBeGreaterThan(0.1);
    expect(outcome.fitting?.wayBack).toBeLessThan(0.3);
  });

  it('a floor that leans is said without advice to file, where the readings contradict each other', () => {
    const text = flat(
      fitText(withFit('{depth: {bass: 0.45 ± 0.02, treble: 0.62 ± 0.02}, lastFretGap: {bass: 0.5, treble: 0.3}}')),
    );
    expect(text).toMatch(/^WARNING: .* Take nothing off before you have measured again/);
    expect(text).toContain('leans to the treble side');
    expect(text).not.toContain('Take the rest off');
  });

  it('a floor that leans is said, and which side to go on with', () => {
    const text = flat(
      fitText(withFit('{depth: {bass: 0.45 ± 0.02, treble: 0.62 ± 0.02}, lastFretGap: {bass: 0.5, treble: 0.36}}')),
    );
    expect(text).toMatch(
      /leans to the treble side by 0\.\d+ mm ±0\.\d+ mm more than it should .* Take the rest off the bass side first/,
    );
  });
});

describe('a drawing that asks for too steep a floor', () => {
  const plan = template('from-drawing').replace('lowest: 7.5 ± 0.2', 'lowest: 17');
  const refusal = (text: string) => {
    const solved = solveText({ text, file: 'job.yaml' });
    if (solved.ok) throw new Error('it has an answer');
    return solved.findings;
  };

  it('is told what else would reach both ends, and that does', () => {
    const [finding, ...others] = refusal(plan);
    expect([finding?.code, finding?.exit, others.length]).toEqual(['tilt-too-steep', 3, 0]);
    expect(finding?.message).toBe('the pitch would have to be more than 3 degrees as drawn');
    const [, depth, seats] =
      /a pocket (\S+) mm deep instead of 17\.20 mm, or .* seats (\S+) mm .* 17\.00/.exec(finding?.remedy ?? '') ?? [];
    for (const told of [plan.replace('depth: 17.2 ± 0.1', `depth: ${depth}`), plan.replace('lowest: 17', `lowest: ${seats}`)]) {
      expect(told).not.toBe(plan);
      // Told to a hundredth.
      expect(outcomeOf(told).solution.asFound.lowest).toBeLessThan(0.01);
    }
  });

  it('but no pocket that is hardly there or leaves too little wood', () => {
    const [shallow] = refusal(plan.replace('lowest: 17', 'lowest: 20'));
    expect(shallow?.remedy).toMatch(
      /^a bridge with its seats [\d.]+ mm over the top at their lowest instead of 20\.00 mm, would/,
    );
    const low = template('from-drawing').replace('lowest: 7.5 ± 0.2', 'lowest: -6');
    expect(flat(outcomeText(outcomeOf(low)))).toMatch(/a pocket 23\.\d\d mm deep instead of 17\.20 mm/);
    const thin = flat(outcomeText(outcomeOf(low.replace('body: 42.7', 'body: 33'))));
    expect(thin).not.toContain('deep instead of');
    expect(thin).toContain('over the top at their lowest instead of -6.00 mm');
  });

  it('or that nothing would but more travel; of one that was measured the measurements are doubted', () => {
    const [short] = refusal(plan.replace('travel: 10.1', 'travel: 1'));
    expect(short?.remedy).toMatch(/^no pocket depth and no bridge height reaches both ends .* choose a bridge with more/);
    const [read] = refusal(sample.replace('bass: 1.2 ± 0.05', 'bass: 9.2 ± 0.05'));
    expect(read?.remedy).toContain('something was measured wrongly');
    expect(read?.remedy).not.toContain('both ends');
  });
});
