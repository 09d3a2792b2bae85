import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { addFit } from '../../src/job/addFit.ts';
import { withoutLastFit } from '../../src/job/withoutLastFit.ts';

const fit = {
  depth: '0.5 ± 0.03',
  gap: { bass: '0.9', treble: '0.85' },
  raised: '1',
  on: '2026-03-14',
  note: 'first: "dry" fit # no glue',
};
const read = { depth: '0.5 ± 0.03', lastFretGap: { bass: 0.9, treble: 0.85 }, raised: 1, on: '2026-03-14', note: fit.note };

describe('adding a fit', () => {
  it.each([
    ['no fits yet', 'job: 1 # one\ntitle: x\n', 0],
    ['no line break at the end', 'job: 1\ntitle: x # end', 0],
    ['an empty key', 'job: 1\nfits:\ntitle: x\n', 0],
    ['an empty flow list', 'job: 1\nfits: [] # none\ntitle: x\n', 0],
    ['a flow list', 'job: 1\nfits: [{depth: 0.2, lastFretGap: 1}] # one\ntitle: x\n', 1],
    ['a block list', 'job: 1\nfits: # all\n  - {depth: 0.2, lastFretGap: 1} # one\ntitle: x\n', 1],
    ['a block list of block maps', 'job: 1\nfits:\n  - depth: 0.2\n    lastFretGap: 1 # one\n# next\ntitle: x\n', 1],
    ['a block list at the margin', 'job: 1\nfits:\n- depth: 0.2\n  lastFretGap: 1\ntitle: x\n', 1],
    ['at the end of the text', 'job: 1\nfits:\n  - depth: 0.2\n    lastFretGap: 1', 1],
    ['Windows line ends', 'job: 1\r\nfits:\r\n  - {depth: 0.2, lastFretGap: 1}\r\ntitle: x\r\n', 1],
    ['JSON', '{"job": 1, "title": "x"}', 0],
    ['JSON with fits', '{"job": 1, "fits": [{"depth": 0.2, "lastFretGap": 1}]}', 1],
    ['a closed document', 'job: 1\n...\n', 0],
  ])('%s: the fit is last and nothing else changes', (_, text, before) => {
    const after = addFit(text, fit);
    expect(after).toBeDefined();
    const job = parse(after as string);
    expect(job.fits).toHaveLength(before + 1);
    expect(job.fits[before]).toEqual(read);
    // Every character of the old text is still there, in order.
    let at = 0;
    for (const character of after as string) if (at < text.length && character === text[at]) at += 1;
    expect(at).toBe(text.length);
    for (const comment of text.match(/#.*/g) ?? []) expect(after).toContain(comment.trimEnd());
    const two = parse(addFit(after as string, fit) as string);
    expect(two.fits).toHaveLength(before + 2);
  });

  it('refuses what is no job', () => {
    expect(addFit('- a\n- b\n', fit)).toBeUndefined();
    expect(addFit('a: [', fit)).toBeUndefined();
  });
});

describe('taking the last fit back', () => {
  it.each([
    ['no fits before', 'job: 1 # one\ntitle: x\n'],
    ['a flow list', 'job: 1\nfits: [{depth: 0.2, lastFretGap: 1}] # one\ntitle: x\n'],
    ['a block list', 'job: 1\nfits: # all\n  - {depth: 0.2, lastFretGap: 1} # one\ntitle: x\n'],
    ['a block list of block maps', 'job: 1\nfits:\n  - depth: 0.2\n    lastFretGap: 1 # one\n# next\ntitle: x\n'],
    ['a block list at the margin', 'job: 1\nfits:\n- depth: 0.2\n  lastFretGap: 1\ntitle: x\n'],
    ['Windows line ends', 'job: 1\r\nfits:\r\n  - {depth: 0.2, lastFretGap: 1}\r\ntitle: x\r\n'],
    ['JSON with fits', '{"job": 1, "fits": [{"depth": 0.2, "lastFretGap": 1}]}'],
    ['a closed document', 'job: 1\n...\n'],
  ])('%s: the text is what it was', (_, text) => {
    expect(withoutLastFit(addFit(text, fit) ?? '')).toBe(text);
  });

  it('takes nothing where there is none', () => {
    for (const text of ['job: 1\n', 'job: 1\nfits: []\n', 'fits: [', 'fits: 3\n']) expect(withoutLastFit(text)).toBeUndefined();
  });

  it('writes saddles that were raised apart', () => {
    const text = addFit('job: 1\n', { ...fit, raised: { bass: '1', treble: '0.8' } });
    expect(parse(text ?? '').fits[0].raised).toEqual({ bass: 1, treble: 0.8 });
  });
});
