import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { findingText } from '../../src/kernel/findings.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

const sample = readFileSync(SAMPLE_JOB, 'utf8');
const inches = readFileSync(join(ROOT, 'templates/six-string-25-5.yaml'), 'utf8');
const withFits = (text: string, ...fits: string[]): string => `${text}fits:\n${fits.map((fit) => `  - ${fit}\n`).join('')}`;

function told(text: string): string[] {
  const solved = solveText({ text, file: 'job.yaml' });
  return (solved.ok ? solved.warnings : solved.findings).map(findingText);
}

describe('a fit that cannot be', () => {
  it('deeper than any floor is filed is named, with what the pocket allows: 71.5 mm at 3 degrees are 3.75 mm', () => {
    expect(told(withFits(sample, '{depth: 9, lastFretGap: 0.4, raised: 1}'))).toEqual([
      expect.stringMatching(/^error fit-too-deep: fit 1 .* found a depth of 9\.00 mm; expected at most 3\.75 mm/),
    ]);
  });

  it('deep by a real overshoot is taken', () => {
    const solved = solveText({
      text: withFits(sample, '{depth: 1.4, lastFretGap: {bass: 0.68, treble: 0.49}, raised: 2}'),
      file: 'job.yaml',
    });
    expect(solved.ok && solved.value.fitting?.wayBack).toBeGreaterThan(0.3);
  });

  it('is named with its figures where no floor would come of it, since without it there is one', () => {
    expect(told(withFits(sample, '{depth: 0.5, lastFretGap: 25, raised: 1}'))).toEqual([
      expect.stringMatching(/fit 1 counted in, .*; found fit 1: depth 0\.50 mm, gap 25\.00 mm, saddles raised by 1\.00 mm; /),
    ]);
  });

  it('shallower than the one before is told in the units of the file, and which one to take out', () => {
    const [shallower = ''] = told(
      withFits(inches, '{depth: 0.030, lastFretGap: 0.03, raised: 0.03}', '{depth: 0.020, lastFretGap: 0.03, raised: 0.03}'),
    );
    expect(shallower).toMatch(/^error fit-shallower: fit 2 .*; found 0\.020 in; expected at least about 0\.030 in; /);
    expect(shallower).toContain('fit 1 that was noted wrongly, take it out first (pocketpitch fit --undo)');
    expect(shallower).not.toContain(' mm');
  });
});

describe('saddles raised for a reading', () => {
  // The sample's travel, told anew so that its ± is known.
  const withTravel = (travel: string, raised: string): string =>
    sample
      .replace(/travel: [^,}\n]+/, `travel: ${travel}`)
      .replace(/^ {2}lastFretGap: .*$/m, `  lastFretGap: {bass: 6, treble: 5.8}\n  raised: ${raised}`);

  it.each([
    ['7 ± 0.1', '7.25 ± 0.1', true],
    ['7 ± 0.1', '7.15 ± 0.1', false],
    ['7', '7.5', false],
    ['0', '3', false],
  ])('with a travel of %s and raised by %s: refused %s', (travel, raised, isRefused) => {
    const text = withTravel(travel, raised);
    expect(text).toContain('raised:');
    expect(told(text).filter((line) => line.includes('raised-beyond-travel'))).toHaveLength(isRefused ? 1 : 0);
  });
});
