import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { contourLevels, filingRounds, roundsBefore } from '../../src/guide/contours.ts';
import type { LineMark } from '../../src/guide/drawing.ts';
import { guideSheets } from '../../src/guide/guide.ts';
import { mapAt } from '../../src/guide/sheetMap.ts';
import { leftToTake, pausesOf } from '../../src/guide/stages.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { guideOf } from '../../src/guideJob.ts';
import { flatten } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';
import { guideTask, type Make, stageAt } from '../support/guideTasks.ts';

const MAKES: readonly Partial<Make>[] = [
  {},
  { pitch: -0.014 },
  { pitch: 0.01, roll: 0.007 },
  { pitch: 0.004, roll: -0.02, skim: 0.3 },
];

function withStages(make: Partial<Make>, shares: readonly number[], filed?: number): GuideTask {
  const task = guideTask(make);
  const at = (share: number, fit: number) => stageAt(task.outline, task.plane, task.hand, share, fit);
  return {
    ...task,
    stages: shares.map((share, i) => at(share, i + 1)),
    filed: filed === undefined ? undefined : at(filed, 0).floor,
  };
}

function mapWords(task: GuideTask): string[] {
  const sheets = guideSheets(task, 'map');
  if (!sheets.ok) throw new Error('no map');
  return sheets.value.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])));
}

describe('the pauses for the fits', () => {
  it('keep the floor that is routed or filed in rounds above the floor of the fit, and touch it', () => {
    for (const make of MAKES) {
      const task = withStages(make, [0.3, 0.8, 1]);
      const pauses = pausesOf(task);
      expect(pauses.map(({ stage }) => stage.fit)).toEqual([1, 2]);
      for (const { stage, short } of pauses) {
        const rounds = flatten(task.outline, 0.005).map(
          ({ x, y }) => depthAt(stage.floor, x, y) - (depthAt(task.plane, x, y) - short),
        );
        expect(Math.min(...rounds)).toBeGreaterThan(-1e-9);
        expect(Math.min(...rounds)).toBeLessThan(0.005);
      }
      expect(pauses[0]?.short).toBeGreaterThan(pauses[1]?.short as number);
    }
  });

  it('are drawn as two lines with the place between them, each with its name once', () => {
    for (const make of MAKES) {
      const task = withStages(make, [0.3, 0.7, 1]);
      const sheets = guideSheets(task, 'map');
      if (!sheets.ok) throw new Error('no map');
      const marks = sheets.value.flatMap((sheet) => sheet.marks);
      const lines = marks.filter((mark): mark is LineMark => mark.kind === 'line' && mark.role === 'stage');
      // The pieces of one line say the same to rounding.
      const depths = [...new Set(lines.map(({ depth }) => (depth as number).toFixed(6)))].map(Number).sort((a, b) => a - b);
      const shorts = pausesOf(task).map(({ short }) => short);
      expect(depths).toHaveLength(4);
      for (const short of shorts) {
        const below = Math.max(...depths.filter((depth) => depth < short));
        const above = Math.min(...depths.filter((depth) => depth > short));
        expect((below + above) / 2).toBeCloseTo(short, 5);
      }
      const words = mapWords(task);
      for (const name of ['FIT 1', 'FIT 2']) expect(words.filter((text) => text === name)).toHaveLength(1);
      // The last fit is at the whole depth: that is the hinge, which has its own line.
      expect(words).not.toContain('FIT 3');
    }
  });

  it('are none without a stop before the whole depth', () => {
    expect(pausesOf(withStages({}, [1]))).toEqual([]);
    expect(pausesOf(withStages({}, []))).toEqual([]);
    expect(mapWords(withStages({}, [1])).join(' ')).not.toMatch(/FIT|double line/);
  });
});

describe('the rounds before a pause', () => {
  it('take no strip below the floor of the pause, and no more than a round less than could be', () => {
    let rounds = 0;
    for (const make of MAKES)
      for (const share of [0.6, 0.9, 0.95, 0.99])
        for (const units of ['mm', 'in'] as const) {
          const task = { ...withStages(make, [share, 1]), units };
          const [pause] = pausesOf(task);
          if (pause === undefined) continue;
          const levels = contourLevels(task, mapAt(task.sheet, { x: 0, y: 0 }), 7.5);
          const { step, even, skipped } = filingRounds(task, levels);
          if (step === 0) continue;
          // Deepest strip first, each by its shallower line.
          const lines = levels.slice(skipped).reverse();
          const { full, last } = roundsBefore(step, lines.length, pause.short, units);
          if (full + last === 0) continue;
          rounds += 1;
          lines.forEach((level, i) => {
            const lost = even + Math.max(0, full - i) * step + (i <= full ? last : 0);
            expect(lost).toBeLessThanOrEqual(Math.max(even, level - pause.short) + 1e-9);
          });
          expect(lines.length * step - pause.short - full * step - last).toBeLessThan(0.03);
        }
    expect(rounds).toBeGreaterThan(20);
  });

  it('are said with their depths on the map', () => {
    const task = withStages({ pitch: 0.0109 }, [0.9, 1]);
    expect(mapWords(task).join(' ')).toMatch(
      /and so on, up to 1 to \d, then only 0\.0\d off strips 1 to \d\. Then pause for FIT 1: file the steps flat, so that the slope runs out at its double line, then on to the hinge/,
    );
  });
});

describe('a map for a floor that was filed already', () => {
  it('takes off in rounds only what is left, and nowhere more', () => {
    for (const make of MAKES)
      for (const filed of [0.2, 0.5]) {
        const task = withStages(make, [0.9, 1], filed);
        const levels = contourLevels(task, mapAt(task.sheet, { x: 0, y: 0 }), 7.5);
        const { step, even, skipped } = filingRounds(task, levels);
        expect(step).toBeGreaterThan(0);
        const left = leftToTake(task);
        const { outline, plane } = task;
        // A point on each line of equal depth, and what is left there.
        levels.forEach((level, i) => {
          const run = (level - plane.skim) / Math.hypot(plane.gx, plane.gy) ** 2;
          const there = depthAt(left, plane.hinge.x + run * plane.gx, plane.hinge.y + run * plane.gy);
          expect(even + Math.max(0, i + 1 - skipped) * step).toBeLessThanOrEqual(there + 1e-9);
        });
        expect(depthAt(left, 0, outline.mouthHalf)).toBeLessThan(depthAt(plane, 0, outline.mouthHalf) + 1e-9);
      }
  });

  it('says first what is filed, what is left of it and where to stop next, in no unit twice', () => {
    const inches = readFileSync(join(ROOT, 'templates/six-string-25-5.yaml'), 'utf8');
    const wordsOf = (bass: number) => {
      const fit = `fits: [{depth: 0.025, lastFretGap: {bass: ${bass}, treble: ${bass - 0.006}}, raised: 0.04}]\n`;
      const solved = solveText({ text: `${inches}${fit}`, file: 'job.yaml' });
      if (!solved.ok || solved.value.fitting === null) throw new Error('no fit');
      const guide = guideOf(solved.value, undefined);
      if (!guide.ok) throw new Error('no guide');
      const words = guide.value.map(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])).join(' '));
      return { words, fitting: solved.value.fitting };
    };
    const { words, fitting } = wordsOf(0.036);
    const inch = (mm: number): string => `${(mm / 25.4).toFixed(3)} in`;
    expect(words[0]).toContain(
      `Filed already, at the last fit: 0.025 in at the mouth. Left to take off there: ${inch(fitting.left)} (`,
    );
    expect(words[0]).toContain(`Stop next for FIT 2, ${inch(fitting.next)} at the mouth.`);
    // Where the depth was read clearly otherwise than all else puts it, that figure would be too deep by the maker's own gauge.
    const apart = wordsOf(0.0375);
    expect(apart.words[0]).toContain(
      '0.025 in at the mouth (all readings together put it at 0.024 in now). Left to take off there:',
    );
    expect(apart.words[0]).toMatch(/Stop next for FIT 2, once some 0\.00\d in more is off, whatever depth you read\./);
    const early = `${readFileSync(SAMPLE_JOB, 'utf8')}fits: [{depth: 0.5 ± 0.1, lastFretGap: {bass: 1.05, treble: 0.86}, raised: 1}]\n`;
    const solved = solveText({ text: early, file: 'job.yaml' });
    const guide = solved.ok ? guideOf(solved.value, undefined) : solved;
    const said = (guide.ok ? guide.value : []).flatMap(({ marks }) =>
      marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])),
    );
    expect(said.join(' ')).toMatch(/to the hinge, down to 0\.7\d mm at the mouth \(0\.19 mm more than now\), and fit the neck/);
    expect(words.join(' ')).not.toMatch(/\bin in\b/);
  });

  it('has no rounds where the filed floor leans another way, and says the order in words', () => {
    const task = withStages({ pitch: 0.0109 }, [1]);
    const askew = { ...task, filed: guideTask({ pitch: 0.002, roll: 0.004 }).plane };
    const levels = contourLevels(askew, mapAt(askew.sheet, { x: 0, y: 0 }), 7.5);
    expect(filingRounds(task, levels).step).toBeGreaterThan(0);
    expect(filingRounds(askew, levels).step).toBe(0);
    const words = mapWords(askew).join(' ');
    expect(words).toContain('from the deep end towards the hinge');
    expect(words).not.toContain('strip 1');
  });

  it('counts the fits noted in the job', () => {
    const sample = readFileSync(SAMPLE_JOB, 'utf8');
    const wordsOf = (text: string): string[] => {
      const solved = solveText({ text, file: 'job.yaml' });
      if (!solved.ok) throw new Error(solved.findings[0]?.message);
      const sheets = guideOf(solved.value, undefined, 'map');
      if (!sheets.ok) throw new Error('no map');
      return sheets.value.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])));
    };
    const before = wordsOf(sample);
    expect(before).toContain('FIT 1');
    const doubtful = sample.replace('bass: 1.2 ± 0.05', 'bass: 1.2 ± 0.2').replace('treble: 1.0 ± 0.05', 'treble: 1.0 ± 0.2');
    const after = wordsOf(`${doubtful}\nfits:\n  - {depth: 0.2 ± 0.05, lastFretGap: {bass: 0.9 ± 0.15, treble: 0.7 ± 0.15}}\n`);
    expect(after).toContain('FIT 2');
    expect(after).not.toContain('FIT 1');
    expect(after.join(' ')).toContain('as filed at the last fit is counted in');
  });
});
