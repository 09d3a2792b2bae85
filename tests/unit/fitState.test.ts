import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { guideOf } from '../../src/guideJob.ts';
import { fitPlane } from '../../src/instrument/equations.ts';
import { handSign } from '../../src/instrument/neck.ts';
import { addFit } from '../../src/job/addFit.ts';
import { readJob } from '../../src/job/readJob.ts';
import { readShop } from '../../src/job/readShop.ts';
import { makeAll } from '../../src/pipeline.ts';
import { pageWithoutPrograms, previewOf } from '../../src/previewJob.ts';
import { curesText } from '../../src/report/cures.ts';
import { fitText } from '../../src/report/fit.ts';
import { outcomeJson } from '../../src/report/json.ts';
import { nowOf } from '../../src/report/now.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { measureAgain, outcomeText } from '../../src/report/words.ts';
import { otherJobSaid, programsOf } from '../../src/routeJob.ts';
import { gapAt } from '../../src/solve/gaps.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB } from '../support/command.ts';

const sample = readFileSync(SAMPLE_JOB, 'utf8');
const shopText = readFileSync(join(ROOT, 'samples/marshlight-shop.yaml'), 'utf8');
const flat = (text: string): string => text.replace(/\s+/g, ' ');

function outcomeOf(text: string): Outcome {
  const solved = solveText({ text, file: 'job.yaml' });
  if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
  return solved.value;
}

function codesOf(text: string): string[] {
  const solved = solveText({ text, file: 'job.yaml' });
  return solved.ok ? [] : solved.findings.map(({ code }) => code);
}

const withFits = (...fits: string[]): string => `${sample}fits:\n${fits.map((fit) => `  - ${fit}\n`).join('')}`;

/** A fit that reads what the job itself foretells at a depth. */
function foretold(text: string, stop: Outcome['stops'][number]): string {
  const { raised, gaps } = stop.read;
  return addFit(text, {
    depth: { bass: `${stop.at.bass} mm`, treble: `${stop.at.treble} mm` },
    gap: { bass: `${gaps.bass} mm`, treble: `${gaps.treble} mm` },
    raised: `${raised} mm`,
  }) as string;
}

describe('what a stop foretells', () => {
  it.each(['six-string-24-75', 'six-string-25-5', 'bass-four-34', 'left-handed'])(
    '%s: a fit that reads it bears the job out, at the first stop as at the last',
    (name) => {
      const text = readFileSync(join(ROOT, `templates/${name}.yaml`), 'utf8');
      const { stops } = outcomeOf(text);
      expect(stops).toHaveLength(2);
      for (const stop of stops) {
        expect(Math.min(stop.read.gaps.bass, stop.read.gaps.treble)).toBeGreaterThanOrEqual(0.25 - 1e-9);
        const after = outcomeOf(foretold(text, stop));
        expect(after.fitting?.surprise).toBeNull();
        expect(after.solution.deepest).toBeCloseTo(outcomeOf(text).solution.deepest, 5);
      }
      const last = outcomeOf(foretold(text, stops[1] as (typeof stops)[number]));
      expect(last.fitting?.done).toBe(true);
      // Gap, saddles raised and relief, each to ±0.05 mm: no better than one of them, nor worse than all at once.
      expect(last.fitting?.pastUncertainty).toBeGreaterThan(0.03);
      expect(last.fitting?.pastUncertainty).toBeLessThan(0.15);
      expect(flat(fitText(last))).toMatch(
        /^Done(, as far as the readings tell)?: the strings stand where they should, within 0\.\d+ (mm|in); the readings tell it to ±0\.\d+ /,
      );
    },
  );

  it('is of one stop alone where the next comes so near to the depth worked out that nobody files the two apart', () => {
    const text = withFits('{depth: 0.72 ± 0.03, lastFretGap: {bass: 0.83 ± 0.05, treble: 0.63 ± 0.05}, raised: 1}');
    const { stops, fitting } = outcomeOf(text);
    expect(stops).toHaveLength(1);
    const [stop] = stops as [Outcome['stops'][number]];
    expect(stop.deepest).toBeLessThan(0.72 + (fitting?.left ?? 0) + 0.02);
    expect(outcomeOf(foretold(text, stop)).fitting?.done).toBe(true);
  });

  it('is said with each stop, so that no string is read where it lies on the frets', () => {
    expect(flat(outcomeText(outcomeOf(sample)))).toMatch(
      /0\.76 mm at the mouth: .* read it with both saddles 1\.00 mm up, so that no string is nearer to its fret than 0\.25 mm: expect/,
    );
  });
});

describe('a first fit', () => {
  it('made early keeps the stop that is hardly ever too deep', () => {
    const text = withFits('{depth: 0.4 ± 0.03, lastFretGap: {bass: 1.32 ± 0.05, treble: 1.12 ± 0.05}, raised: 1}');
    const { stops, fitting, uncertainty } = outcomeOf(text);
    expect(fitting?.surprise).toBeNull();
    expect(stops).toHaveLength(2);
    const [first, last] = stops as [Outcome['stops'][number], Outcome['stops'][number]];
    expect(last.deepest - first.deepest).toBeGreaterThanOrEqual(uncertainty.left);
    expect(first.why).toContain('under 2.5 %');
  });

  it('read with raised saddles that nobody noted sends back to the bench, and asks for them', () => {
    const said = flat(fitText(outcomeOf(withFits('{depth: 0.76 ± 0.03, lastFretGap: {bass: 0.77, treble: 0.57}}'))));
    expect(said).toContain('contradict each other');
    expect(said).toContain('whether the saddles were raised for it (--raised)');
    expect(said).toContain('Take nothing off before you have measured again');
    expect(said).not.toContain('Stop next');
  });

  it('with inches in a millimetre file is doubted figure by figure', () => {
    const { warnings } = outcomeOf(withFits('{depth: 0.03, lastFretGap: {bass: 0.03, treble: 0.023}, raised: 0.04}'));
    const doubted = warnings.filter(({ code }) => code === 'hardly-so-small').map(({ message }) => message);
    expect(doubted).toHaveLength(4);
    expect(doubted[1]).toContain('lastFretGap.bass of fit 1');
  });
});

describe('once wood is off', () => {
  const filed = withFits('{depth: 0.95 ± 0.02, lastFretGap: {bass: 0.48 ± 0.03, treble: 0.28 ± 0.03}, raised: 1}');

  it('what was found before is not to be measured again, nor is there a stop or a guide to a floor that is deep enough', () => {
    const outcome = outcomeOf(filed);
    expect(outcome.fitting?.wayBack).toBeGreaterThan(0.05);
    const text = outcomeText(outcome);
    expect(measureAgain(outcome)).toBeUndefined();
    expect(text).not.toContain('Where to stop');
    expect(text).not.toContain('The printed guide');
    expect(outcomeText(outcomeOf(sample))).toContain('The printed guide');
    expect(measureAgain(outcomeOf(sample))).toBeDefined();
  });

  it('the other cures say that they are from the floor as found, after what is to be done now', () => {
    expect(flat(curesText(outcomeOf(filed)))).toMatch(
      /Too deep at the mouth by .* What follows is from the floor as it was found: the 0\.95 mm/,
    );
    expect(curesText(outcomeOf(sample))).not.toContain('What follows');
  });
});

describe('a guide from the drawing alone', () => {
  it('says so on every sheet, and that the first fit comes before any filing', () => {
    const sheetsOf = (text: string): string[] => {
      const made = guideOf(outcomeOf(text), undefined);
      if (!made.ok) throw new Error('no guide');
      return made.value.map(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])).join(' '));
    };
    const drawn = sheetsOf(readFileSync(join(ROOT, 'templates/from-drawing.yaml'), 'utf8'));
    expect(drawn.length).toBeGreaterThan(3);
    for (const words of drawn) expect(words).toContain('FROM THE DRAWING ALONE');
    expect(drawn[0]).toContain('Before any filing bolt the neck on as it is');
    expect(drawn[0]).not.toContain('were measured');
    for (const words of sheetsOf(sample)) expect(words).not.toContain('FROM THE DRAWING');
  });
});

describe('the strip of a pocket drawn with a round end', () => {
  it('is bent at no chord of the curve, and keeps its join', () => {
    const drawing = {
      file: 'pocket.svg',
      text: `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="100mm" viewBox="0 0 120 100">
        <path id="pocket" d="M20 20 H61 A29 29 0 0 1 61 78 H20 Z"/>
        <line id="mouth" x1="20" y1="24" x2="20" y2="74"/><circle id="bass" cx="50" cy="70" r="2"/></svg>`,
    };
    const drawn = sample
      .replace(/^ {2}length: 71\.5.*$/m, '  outline: pocket.svg')
      .replace(/^ {2}(width: 58|cornerRadius).*\n/gm, '');
    const solved = solveText({ text: drawn, file: 'job.yaml', drawing });
    if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
    const strip = guideOf(solved.value, undefined, 'strip');
    if (!strip.ok) throw new Error('no strip');
    const words = strip.value.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])));
    expect(words.filter((word) => word === 'bend')).toEqual([]);
    expect(words.filter((word) => word === 'join A')).toHaveLength(2);
    expect(words.join(' ')).toContain('press it round the curves');
  });
});

describe('round frets under saddles of which no radius is given', () => {
  it('are warned of, and both radii stand in what was taken', () => {
    const flatRow = outcomeOf(sample.replace(', radius: 280}', '}'));
    expect(flatRow.warnings.map(({ code }) => code)).toContain('bridge-radius-missing');
    expect(flatRow.job.assumed).toContain('bridge.radius flat');
    expect(outcomeOf(sample).warnings.map(({ code }) => code)).not.toContain('bridge-radius-missing');
  });
});

describe('a shim that lies in the pocket at a fit', () => {
  it('is the floor as filed less the shim', () => {
    const gaps = 'lastFretGap: {bass: 0.78, treble: 0.58}, raised: 1';
    const shimmed = outcomeOf(withFits(`{depth: 0.95 ± 0, shim: 0.2 ± 0.03, ${gaps}}`));
    const bare = outcomeOf(withFits(`{depth: 0.75 ± 0.03, ${gaps}}`));
    expect(shimmed.solution.deepest).toBeCloseTo(bare.solution.deepest, 9);
    expect(shimmed.uncertainty.deepest).toBeCloseTo(bare.uncertainty.deepest, 6);
    expect(shimmed.fitting?.reached.bass).toBeCloseTo(0.75, 2);
  });

  it('takes a maker back from too deep to done', () => {
    const tooDeep = '{depth: 0.95, lastFretGap: {bass: 0.47, treble: 0.28}, raised: 1}';
    const before = outcomeOf(withFits(tooDeep));
    const shim = before.fitting?.wayBack ?? 0;
    expect(shim).toBeGreaterThan(0.1);
    expect(flat(fitText(before))).toContain('note that fit with --shim');
    const done = outcomeOf(
      withFits(tooDeep, `{depth: 0.95, shim: ${shim.toFixed(3)}, lastFretGap: {bass: 0.68, treble: 0.49}, raised: 1}`),
    );
    expect(done.fitting?.done).toBe(true);
  });

  it('too thick for its place is thinned before any wood comes off', () => {
    const text = withFits('{depth: 0.95, shim: 0.4, lastFretGap: {bass: 1.07, treble: 0.88}, raised: 1}');
    expect(flat(fitText(outcomeOf(text)))).toMatch(/Too high still: make the shim 0\.2\d mm .* thinner at the mouth/);
    expect(codesOfMake(text)).toEqual(['report.txt', 'report.json', 'preview.html']);
  });

  it('is refused where it is thicker than what was taken off, and named where wood seems to have grown', () => {
    expect(codesOf(withFits('{depth: 0.3, shim: 0.4, lastFretGap: {bass: 1.7, treble: 1.5}, raised: 1}'))).toEqual([
      'fit-shim-too-thick',
    ]);
    const grown = solveText({
      text: withFits(
        '{depth: 0.95, lastFretGap: {bass: 0.47, treble: 0.28}, raised: 1}',
        '{depth: 0.75, lastFretGap: {bass: 0.78, treble: 0.58}, raised: 1}',
      ),
      file: 'job.yaml',
    });
    expect(grown.ok ? [] : grown.findings.map(({ code, remedy }) => `${code}: ${remedy}`)).toEqual([
      expect.stringMatching(/^fit-shallower: with a shim in, .*--shim/),
    ]);
  });
});

function codesOfMake(text: string): string[] {
  const made = makeAll({ text, file: 'job.yaml' }, { text: shopText, file: 'shop.yaml' });
  if (!made.ok) throw new Error(made.findings.map(({ message }) => message).join('; '));
  return made.value.artifacts.map(({ name }) => name);
}

describe('the job after its test fits', () => {
  const shop = readShop(shopText, 'shop.yaml');
  if (!shop.ok) throw new Error('the sample shop is refused');
  const DONE = withFits('{depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1}');
  const TOO_DEEP = withFits('{depth: 1.1, lastFretGap: {bass: 0.25, treble: 0.06}, raised: 1}');
  const PART = withFits('{depth: 0.5, lastFretGap: {bass: 1.16, treble: 0.97}, raised: 1}');

  it.each([
    ['done', DONE, /^Done: /],
    ['too deep', TOO_DEEP, /^Too deep at the mouth by 0\.(2|3)/],
  ])('%s: nothing is left to cut, so no guide and no program is made, and every text says it first', (_, text, says) => {
    const outcome = outcomeOf(text);
    for (const refused of [guideOf(outcome, shop.value), programsOf(outcome, shop.value, ['floor'])])
      expect(refused.ok ? [] : refused.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual(['no-cut 3']);
    const paragraphs = outcomeText(outcome).split('\n\n').map(flat);
    expect(paragraphs[1]).toMatch(says);
    expect(paragraphs[2]).toMatch(/^Worked out in all, from the floor as found/);
    expect(codesOfMake(text)).toEqual(['report.txt', 'report.json', 'preview.html']);
  });

  const NEARLY = 'depth: 0.76 ± 0.03, lastFretGap: {bass: 0.665 ± 0.09, treble: 0.465 ± 0.09}, raised: 1 ± 0.09';

  it('nearly done, but too coarsely read: it is read again before anything is cut or called done', () => {
    const text = withFits(`{${NEARLY}}`);
    const outcome = outcomeOf(text);
    expect(outcome.fitting).toMatchObject({ done: false, next: 0.76, doubt: expect.closeTo(0.114, 3) });
    expect(flat(fitText(outcome))).toMatch(
      /^Nearly done, file nothing: as read, the strings stand within 0\.05 mm .* room for 0\.11 mm too high\. Let the saddles down, raise them anew by 1\.00 mm, and read both gaps once more; note that as a fit of the very same depth/,
    );
    expect(codesOfMake(text)).toEqual(['report.txt', 'report.json', 'preview.html']);
    const refused = programsOf(outcome, shop.value, ['floor']);
    expect(refused.ok ? '' : refused.findings[0]?.message).toContain('read once more before anything is cut');
    const low = outcomeOf(withFits(`{${NEARLY.replace('0.665', '0.63').replace('0.465', '0.43')}}`));
    expect(low.fitting).toMatchObject({ done: true, doubt: null });
    // Read again and found lower: done. Found higher: there is something to file.
    const again = (bass: number): Outcome =>
      outcomeOf(
        withFits(`{${NEARLY}}`, `{${NEARLY.replace('0.665', `${bass}`).replace('0.465', `${bass - 0.2}`)}, note: again}`),
      );
    expect(again(0.62).fitting).toMatchObject({ done: true, doubt: null });
    expect(again(0.75).fitting).toMatchObject({ done: false, doubt: null });
    expect(again(0.75).fitting?.next).toBeGreaterThan(0.77);
  });

  it('readings that contradict each other: what was found before wood came off is not asked for again', () => {
    const far = outcomeOf(withFits('{depth: 0.5, lastFretGap: {bass: 1.5, treble: 1.3}, raised: 1}'));
    expect(far.fitting?.surprise).toMatch(
      /asFound\.lastFretGap, .*: measure again those that still can be before you cut, and look at their decimal points and units$/,
    );
    const uncut = outcomeOf(withFits('{depth: 0, lastFretGap: {bass: 1.5, treble: 1.3}}'));
    expect(uncut.fitting?.surprise).toMatch(/asFound\.lastFretGap.*: measure them again before you cut/);
  });

  it('contradicting readings that say it is done are not called so', () => {
    const text = withFits(
      '{depth: 0.7 ± 0.02, lastFretGap: {bass: 0.85 ± 0.02, treble: 0.65 ± 0.02}, raised: 1 ± 0.02}',
      '{depth: 0.8 ± 0.02, lastFretGap: {bass: 0.66 ± 0.02, treble: 0.36 ± 0.02}, raised: 1 ± 0.02}',
    );
    const outcome = outcomeOf(text);
    expect(outcome.fitting).toMatchObject({ done: true, surprise: expect.stringContaining('contradict each other') });
    expect(flat(fitText(outcome))).toMatch(
      /^WARNING: .* File nothing more before you have measured again: all readings together say/,
    );
    expect(flat(fitText(outcome))).not.toContain('Done');
    expect(flat(outcomeText(outcome))).not.toContain('Done');
    expect(outcomeJson(outcome).stops).toEqual([]);
    // Nor does anything that is not made for it say that the fit is where it should be.
    for (const refused of [guideOf(outcome, shop.value), programsOf(outcome, shop.value, ['floor'])])
      expect(refused.ok ? [] : refused.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual(['measure-again 3']);
    const made = makeAll({ text, file: 'job.yaml' }, { text: shopText, file: 'shop.yaml' });
    expect(made.ok ? made.value.notes : []).toEqual([expect.stringContaining('the plan takes nothing off yet')]);
    expect(pageWithoutPrograms(outcome, true)).toContain('Nothing is to be cut before you have measured again');
  });

  it('too deep by less than its ±: read again before a shim is made', () => {
    const little = flat(fitText(outcomeOf(withFits('{depth: 0.85, lastFretGap: {bass: 0.6, treble: 0.41}, raised: 1}'))));
    expect(little).toMatch(/^Too deep at the mouth by 0\.0\d mm .* By its ± it may still be right: read both gaps once more/);
    expect(flat(fitText(outcomeOf(TOO_DEEP)))).not.toContain('may still be right');
  });

  it('less left than a stop could be told apart from is some strokes of the file', () => {
    const inches = readFileSync(join(ROOT, 'templates/six-string-25-5.yaml'), 'utf8');
    const text = (depth: number, bass: number): string =>
      flat(
        fitText(
          outcomeOf(`${inches}fits: [{depth: ${depth}, lastFretGap: {bass: ${bass}, treble: ${bass - 0.006}}, raised: 0.04}]\n`),
        ),
      );
    expect(text(0.028, 0.033)).toContain('Stop next once some 0.001 in more is off, whatever depth you read, and fit again');
    expect(text(0.025, 0.036)).toMatch(/Stop next at a depth of 0\.028 in/);
  });

  it('the next stop is never where the floor was noted to be already: what is to come off is told then, on the side that is short', () => {
    const near = sample.replace('within: 0.05', 'within: 0.01');
    const text = (depth: number, bass: number, sure = 0.03): string =>
      flat(
        fitText(
          outcomeOf(
            `${near}fits: [{depth: ${depth} ± ${sure}, lastFretGap: {bass: ${bass} ± 0.02, treble: ${bass - 0.19} ± 0.02}, raised: 1 ± 0.02}]\n`,
          ),
        ),
      );
    for (const depth of [0.8, 0.81])
      expect(text(depth, 0.71), `${depth}`).toMatch(
        /^Left to take off at the mouth: 0\.02 mm \(0\.001 in\), ±0\.0\d mm\. Stop next after a few strokes of the file, whatever depth you read, and fit again;/,
      );
    // Noted two hundredths deeper than it is, and as much shallower: by the maker's own gauge the depth told would be passed, or too deep.
    for (const [depth, bass, now] of [
      [0.85, 0.72, '0.79'],
      [0.7, 0.72, '0.7\\d'],
    ] as const) {
      const said = text(depth, bass, 0.1);
      expect(said, `${depth}`).toMatch(
        new RegExp(`all readings together put the floor at ${now} mm now, not at the ${depth.toFixed(2)} mm noted`),
      );
      expect(said).toMatch(/Stop next once some 0\.0\d mm more is off, whatever depth you read, and fit again;/);
    }
    // Of a floor that leans, read as it is but for the bass side's depth.
    const rolled = near.replace('floor: pitch,', 'floor: pitch-and-roll,');
    const { solution, stops } = outcomeOf(rolled);
    const { at } = stops[1] as Outcome['stops'][number];
    const { instrument, outline } = solution;
    const plane = fitPlane(outline, handSign(instrument.job), 'mouth', { ...at, bass: at.bass - 0.06 }, 0);
    if (plane === null) throw new Error('no such floor');
    const gap = (i: number): string => gapAt(instrument, plane, i, instrument.crowns.frets, 1).toFixed(3);
    const gaps = `{bass: ${gap(0)} ± 0.02, treble: ${gap(instrument.plans.length - 1)} ± 0.02}`;
    const noted = `{depth: {bass: ${at.bass + 0.01} ± 0.12, treble: ${at.treble} ± 0.01}, lastFretGap: ${gaps}, raised: 1 ± 0.02}`;
    expect(flat(fitText(outcomeOf(`${rolled}fits: [${noted}]\n`)))).toMatch(
      /Stop next once some 0\.0\d mm more is off on the bass side, whatever depth you read, and fit again/,
    );
  });

  it('no program for less than Z is known to from the top of the body, and a guide all the same', () => {
    const left = (outcome: Outcome): number => outcome.fitting?.left ?? 0;
    const text = withFits('{depth: 0.72, lastFretGap: {bass: 0.83, treble: 0.63}, raised: 1}');
    const outcome = outcomeOf(text);
    const known = (bound: number, zeroing: number): string[] => {
      const { pocket } = outcome.job;
      const job = { ...outcome.job, pocket: { ...pocket, depth: { ...pocket.depth, bound } } };
      const made = programsOf({ ...outcome, job }, { ...shop.value, zeroing }, ['floor']);
      return made.ok ? [] : made.findings.map(({ code, exit }) => `${code} ${exit}`);
    };
    expect(left(outcome)).toBeGreaterThan(0.04);
    expect(known(left(outcome) - 0.031, 0.03)).toEqual([]);
    expect(known(left(outcome) - 0.029, 0.03)).toEqual(['zero-too-coarse 3']);
    const coarse = text.replace(/(pocket:[\s\S]*?depth: [\d.]+)( ± [\d.]+)?/, '$1 ± 0.3');
    expect(codesOfMake(coarse)).toEqual(expect.arrayContaining(['guide.svg', 'preview.html', 'report.txt']));
    expect(codesOfMake(coarse).filter((name) => name.endsWith('.nc'))).toEqual([]);
    // Before the first fit Z0 is touched on the floor as found.
    const uncut = programsOf(outcomeOf(sample.replace(/(pocket:[\s\S]*?depth: [\d.]+)( ± [\d.]+)?/, '$1 ± 2')), shop.value, [
      'floor',
    ]);
    expect(uncut.ok).toBe(true);
  });

  it('read again: with the shim that lay there, the saddles let down only where they were up, and pitched forward for what is too low', () => {
    const shimmed = withFits(`{${NEARLY.replace('0.76', '0.96').replace('0.665', '0.68').replace('0.465', '0.48')}, shim: 0.2}`);
    expect(flat(fitText(outcomeOf(shimmed)))).toMatch(
      /too high\. Let the saddles down, .*; note that as a fit of the very same depth as filed, the same shim with it \(--shim\) \(with a note/,
    );
    const wanted = sample
      .replace('target: {gap: 0,', 'target: {gap: 0.6,')
      .replace(/.*fallAway.*\n/, '')
      .replace(/lastFretGap: .*/, 'lastFretGap: {bass: 1.2 ± 0.2, treble: 1.0 ± 0.2}');
    const down = `${wanted}fits:\n  - {depth: 0.36 ± 0.03, lastFretGap: {bass: 0.64 ± 0.1, treble: 0.47 ± 0.1}, raised: 0}\n`;
    expect(outcomeOf(down).fitting?.doubt).toBeGreaterThan(0.1);
    expect(flat(fitText(outcomeOf(down)))).toContain(
      'too high. Read both gaps once more; note that as a fit of the very same depth (with a note',
    );
    const forward = sample
      .replace(/lastFretGap: .*/, 'lastFretGap: {bass: 0.6, treble: 0.6}\n  raised: 3')
      .replace('travel: 7, lowest: 5.9', 'travel: 5 ± 0.02');
    const low = outcomeOf(`${forward}fits:\n  - {depth: 0.46 ± 0.03, lastFretGap: 0.23 ± 0.1, raised: 1 ± 0.1}\n`);
    expect(low.fitting).toMatchObject({ edge: 'rear', doubt: expect.closeTo(0.13, 1) });
    expect(flat(fitText(low))).toMatch(/leave room for 0\.1\d mm too low\. Let the saddles down/);
  });

  it('for scripts: nowhere to stop once it is done, or read again first', () => {
    for (const text of [withFits(`{${NEARLY}}`), withFits('{depth: 0.79, lastFretGap: {bass: 0.72, treble: 0.52}, raised: 1}')]) {
      const outcome = outcomeOf(text);
      expect(outcome.fitting?.left).toBeGreaterThan(0);
      expect(outcomeJson(outcome).stops).toEqual([]);
    }
    expect(outcomeJson(outcomeOf(PART)).stops.length).toBeGreaterThan(0);
  });

  it('done, and known no closer than its relief: says so, since another fit would not help', () => {
    const coarse = withFits('{depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1}');
    expect(flat(fitText(outcomeOf(coarse)))).not.toContain('the largest part of it for');
    const text = flat(fitText(outcomeOf(coarse.replace(/relief: .*/, 'relief: 0.2 ± 0.4'))));
    expect(text).toMatch(
      /^Done, as far as the readings tell: .*; the readings tell it to ±0\.\d+ mm, the largest part of it for neck\.relief: measured again, and more closely/,
    );
  });

  it('part of the way: what is left comes first, and a program says that it begins in air', () => {
    const outcome = outcomeOf(PART);
    expect(outcomeText(outcome).split('\n\n').map(flat)[1]).toMatch(/^Left to take off at the mouth: 0\.3/);
    const made = makeAll({ text: PART, file: 'job.yaml' }, { text: shopText, file: 'shop.yaml' });
    expect(made.ok && made.value.notes.join()).toContain('0.50 mm is off already');
  });

  it('readings that contradict each other widen the ± by their scatter, and give no shim to make', () => {
    const odd = withFits(
      '{depth: 0.6, lastFretGap: {bass: 1.0, treble: 0.81}, raised: 1}',
      '{depth: 1.1 ± 0.03, lastFretGap: {bass: 0.52, treble: 0.33}, raised: 1}',
    );
    const outcome = outcomeOf(odd);
    expect(outcome.fitting?.surprise).not.toBeNull();
    const told = flat(fitText(outcome));
    expect(told).toContain('Make no shim by this before you have measured again');
    const honest = outcomeOf(odd.replace('{bass: 0.52, treble: 0.33}', '{bass: 0.26, treble: 0.07}'));
    expect(honest.fitting?.surprise).toBeNull();
    expect(outcome.uncertainty.left).toBeGreaterThan(1.5 * honest.uncertainty.left);
  });

  it('a program for another text of the job is named before its faults', () => {
    const outcome = outcomeOf(sample);
    const made = programsOf(outcome, shop.value, ['floor']);
    if (!made.ok) throw new Error('refused');
    const program = made.value[0]?.program.text ?? '';
    expect(otherJobSaid(program, outcome)).toEqual([]);
    expect(otherJobSaid(program, outcomeOf(PART)).join()).toContain(`names job ${outcome.fingerprint}`);
    expect(otherJobSaid('G21\nM2\n', outcome)).toEqual([]);
  });
});

describe('the preview after test fits', () => {
  const shop = readShop(shopText, 'shop.yaml');
  if (!shop.ok) throw new Error('the sample shop is refused');
  const paper = readShop('shop: 1\nunits: mm\n', 'shop.yaml');
  if (!paper.ok) throw new Error('a shop file for the paper alone is refused');
  const pageIn = (text: string, by?: typeof shop.value): string => {
    const shown = previewOf(outcomeOf(text), by, undefined, []);
    if (!shown.ok) throw new Error(shown.findings.map(({ message }) => message).join('; '));
    return shown.value.page;
  };
  const madeIn = (text: string): string => {
    const made = makeAll({ text, file: 'job.yaml' }, { text: shopText, file: 'shop.yaml' });
    if (!made.ok) throw new Error(made.findings.map(({ message }) => message).join('; '));
    return made.value.artifacts.find(({ name }) => name === 'preview.html')?.text ?? '';
  };
  const PART = withFits('{depth: 0.5, lastFretGap: {bass: 1.16, treble: 0.97}, raised: 1}');
  const NOT_NOW = 'Nothing is to be cut now, so no router program is shown.';

  it.each([
    ['done', '{depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1}', NOT_NOW],
    ['in doubt', '{depth: 0.76 ± 0.03, lastFretGap: {bass: 0.665 ± 0.09, treble: 0.465 ± 0.09}, raised: 1 ± 0.09}', NOT_NOW],
    ['too deep', '{depth: 1.1, lastFretGap: {bass: 0.25, treble: 0.06}, raised: 1}', NOT_NOW],
    [
      'contradicted',
      '{depth: 0.5, lastFretGap: {bass: 1.5, treble: 1.3}, raised: 1}',
      'Nothing is to be cut before you have measured again, so no router program is shown.',
    ],
  ])('%s: says why no program is shown, with a shop file as without', (_, fit, says) => {
    for (const page of [pageIn(withFits(fit), shop.value), madeIn(withFits(fit)), pageIn(withFits(fit))]) {
      expect(page).toContain(`<p>${says}</p>`);
      expect(page).not.toContain('No shop file was given');
    }
  });

  it('says that a shop file is missing only where it is, and which names no cutter', () => {
    expect(pageIn(sample)).toContain('<p>No shop file was given, so there is no router program to look at.</p>');
    expect(pageIn(sample, paper.value)).toContain('<p>The shop file names no cutter, so there is no router program');
    const little = withFits('{depth: 0.72, lastFretGap: {bass: 0.83, treble: 0.63}, raised: 1}');
    for (const page of [pageIn(little, shop.value), madeIn(little)])
      expect(page).toMatch(/<p>What is left is less than Z can be set to from the body(.s|&[^;]*;s) top: it is for the file/);
    const outcome = outcomeOf(PART);
    expect(pageWithoutPrograms(outcome, true)).toContain('<p>The router program was refused, so there is none to look at.</p>');
    expect(pageWithoutPrograms(outcome, false)).toContain('<p>No shop file was given');
    expect(pageIn(PART, shop.value)).toContain('>PROVED</span>');
    expect(pageIn(sample.replace('target: {gap: 0', 'target: {gap: 1.5'), shop.value)).toContain('<p>No cut is needed, so');
  });

  it('and the report call how it was before the cut as found once wood is off, and now before that', () => {
    const zero = withFits('{depth: 0, lastFretGap: {bass: 1.2, treble: 1.0}}');
    for (const [text, isFiled] of [
      [sample, false],
      [zero, false],
      [PART, true],
    ] as const) {
      const page = pageIn(text);
      const heads = ['lowest', 'highest', isFiled ? 'held' : 'holds'].map(
        (of) => `<th scope="col">${of} ${isFiled ? 'as found' : 'now'}</th>`,
      );
      for (const head of heads) expect(page).toContain(head);
      expect(page).toContain(`fret tops over the body at the mouth, ${isFiled ? 'as found' : 'now'}<`);
      expect(page).toContain(`"isFiled":${isFiled}`);
      const report = outcomeText(outcomeOf(text));
      expect(report).toContain(isFiled ? 'bite as found' : 'bite now');
      expect(flat(report)).toMatch(
        isFiled ? /at the mouth \S+ mm as found, \S+ mm then/ : /at the mouth \S+ mm now, \S+ mm then/,
      );
    }
  });
});

describe('what a batch says of a job now', () => {
  const left = (state: string, mm: number) => ({ state, left: expect.closeTo(mm, 2), tooDeep: 0 });
  const nothing = (state: string) => ({ state, left: 0, tooDeep: 0 });

  it.each([
    ['before any fit', [], left('to cut', 0.81)],
    ['fitted with the floor as it is', ['{depth: 0, lastFretGap: {bass: 1.2, treble: 1.0}}'], left('to cut', 0.81)],
    ['part of the way', ['{depth: 0.5, lastFretGap: {bass: 1.16, treble: 0.97}, raised: 1}'], left('to file on', 0.32)],
    ['done', ['{depth: 0.81, lastFretGap: {bass: 0.69, treble: 0.5}, raised: 1}'], nothing('done')],
    [
      'coarsely read',
      ['{depth: 0.76 ± 0.03, lastFretGap: {bass: 0.665 ± 0.09, treble: 0.465 ± 0.09}, raised: 1 ± 0.09}'],
      nothing('read once more'),
    ],
    [
      'too deep',
      ['{depth: 1.1, lastFretGap: {bass: 0.25, treble: 0.06}, raised: 1}'],
      { state: 'too deep', left: 0, tooDeep: expect.closeTo(0.29, 2) },
    ],
    ['contradicted, more to file', ['{depth: 0.5, lastFretGap: {bass: 1.5, treble: 1.3}, raised: 1}'], nothing('measure again')],
    [
      'contradicted, too deep',
      [
        '{depth: 0.6, lastFretGap: {bass: 1.0, treble: 0.81}, raised: 1}',
        '{depth: 1.1 ± 0.03, lastFretGap: {bass: 0.52, treble: 0.33}, raised: 1}',
      ],
      nothing('measure again'),
    ],
    [
      'a shim too thick',
      ['{depth: 0.95, shim: 0.4, lastFretGap: {bass: 1.07, treble: 0.88}, raised: 1}'],
      nothing('thin the shim'),
    ],
    [
      'a shim where wood is still to come off',
      ['{depth: 0.5, shim: 0.1, lastFretGap: {bass: 1.32, treble: 1.13}, raised: 1}'],
      // As the report says it: with the shim out, the rest.
      left('to file on', 0.33),
    ],
  ])('%s', (_, fits, now) => {
    const outcome = outcomeOf(fits.length === 0 ? sample : withFits(...fits));
    expect(nowOf(outcome)).toMatchObject(now);
    expect(nowOf(outcome).leftUncertainty).toBeGreaterThan(0.02);
  });

  it('with a shim in is what the report says to take off once it is out', () => {
    const outcome = outcomeOf(withFits('{depth: 0.5, shim: 0.1, lastFretGap: {bass: 1.32, treble: 1.13}, raised: 1}'));
    expect(flat(fitText(outcome))).toContain(`which leaves none; then take off ${nowOf(outcome).left.toFixed(2)} mm`);
  });

  it('that needs no cut, that hardly does, and that was filed all the same', () => {
    const low = (...fits: string[]) =>
      nowOf(outcomeOf((fits.length === 0 ? sample : withFits(...fits)).replace('target: {gap: 0', 'target: {gap: 1.5')));
    expect(low()).toMatchObject(nothing('no cut needed'));
    expect(low('{depth: 0, lastFretGap: {bass: 1.2, treble: 1.0}}')).toMatchObject(nothing('no cut needed'));
    expect(low('{depth: 0.3, lastFretGap: {bass: 0.73, treble: 0.53}}')).toMatchObject({ state: 'too deep', left: 0 });
    const hardly = outcomeOf(sample.replace('target: {gap: 0', 'target: {gap: 0.97'));
    expect(outcomeText(hardly)).toContain('Nothing is worth cutting');
    expect(nowOf(hardly)).toMatchObject({ state: 'hardly a cut', left: hardly.floor.deepest });
  });
});

describe('readings that can be and hardly ever are', () => {
  const doubts = (change: (text: string) => string): string[] => {
    const read = readJob(change(sample), 'job.yaml');
    if (!read.ok) throw new Error(read.findings.map(({ message }) => message).join('; '));
    return read.warnings.map(({ code, found }) => `${code}: ${found}`);
  };

  it('inches without their unit in a millimetre file are asked about, at their place', () => {
    expect(doubts((text) => text.replace('nutGap: 0.5 ± 0.05', 'nutGap: 0.02'))).toEqual(['hardly-so-small: 0.02 mm']);
    expect(doubts((text) => text.replace('bass: 1.2 ± 0.05, treble: 1.0 ± 0.05', 'bass: 0.055, treble: 0.047'))).toHaveLength(2);
    expect(doubts((text) => text.replace(/travel: 7/, 'travel: 0.24'))).toEqual(['hardly-so-small: 0.24 mm']);
  });

  it('a unit beside the figure, or nothing at all, is meant', () => {
    expect(doubts((text) => text)).toEqual([]);
    expect(doubts((text) => text.replace('nutGap: 0.5 ± 0.05', 'nutGap: 0'))).toEqual([]);
    expect(doubts((text) => text.replace('nutGap: 0.5 ± 0.05', 'nutGap: "0.09 mm"'))).toEqual([]);
  });

  it('sides that stand far apart, and a slope far beyond the usual, are said', () => {
    const apart = sample.replace('bass: 1.2 ± 0.05, treble: 1.0 ± 0.05', 'bass: 3.4, treble: 1.2');
    expect(doubts(() => apart)).toEqual(['sides-far-apart: 2.20 mm (0.087 in) between them']);
    expect(outcomeOf(apart).warnings.map(({ code }) => code)).toContain('slope-unusual');
    expect(outcomeOf(sample).warnings.map(({ code }) => code)).not.toContain('slope-unusual');
  });
});
