import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { readShop, SHOP_KEYS } from '../../src/job/readShop.ts';
import type { Shop } from '../../src/job/shop.ts';

function read(text: string): Shop {
  const result = readShop(text, 'shop.yaml');
  if (!result.ok) throw new Error(result.findings.map(({ code, message }) => `${code}: ${message}`).join('\n'));
  return result.value;
}

function told(text: string): string[] {
  const result = readShop(text, 'shop.yaml');
  return result.ok ? [] : result.findings.map(({ code, place }) => `${code} ${place?.line}:${place?.column}`);
}

/** Every key of the contract. */
const FULL = `shop: 1
units: in
cutter: {diameter: 1/4, length: 1-1/8, flutes: 3}
rim: {diameter: 1/8, length: 1, flutes: 2, speed: 20000, cut: 30, plunge: 8, depth: 0.01, width: 0.05}
spindle: {speed: 18000, warmUp: 6}
feed: {cut: 50, plunge: 12}
pass: {depth: 0.012, width: 0.1}
clearance: {above: 0.4, wall: 0.008, beyondMouth: 0.2}
zeroing: 0.05 mm
leave: 0
program: {units: in, look: every, turn: 90}
sheet: {paper: Letter, measuredX: 99.7 mm, measuredY: 3.94}
rails: {length: 10, base: 6}
`;

describe('a shop file', () => {
  it('has a careful default for all but the cutter and the program unit, and says which it used', () => {
    const { assumed, ...shop } = read('shop: 1\nunits: mm\nprogram: {turn: 0}\n');
    expect(shop).toEqual({
      units: 'mm',
      cutter: { diameter: undefined, length: undefined, flutes: 2 },
      spindle: { speed: 16000, warmUp: 4 },
      feed: { cut: 1200, plunge: 300 },
      pass: { depth: 0.3, width: 2.4 },
      clearance: { above: 8, wall: 0.15, beyondMouth: 4 },
      zeroing: 0.05,
      leave: 0,
      program: { units: undefined, look: 'first', turn: 0 },
      sheet: { paper: 'A4', measuredX: 100, measuredY: 100 },
      rails: { length: 260, base: 150 },
    });
    expect(assumed).toContain('zeroing 0.05 mm');
    expect(assumed).toContain('feed.cut 1200 mm/min');
    expect(assumed).toHaveLength(18);
  });

  it.each([
    ['', true],
    ['cutter: {}\nsheet: {paper: Letter}\nfeed: {cut: 900}\n', true],
    ['cutter: {flutes: 2}\n', undefined],
    ['program: {look: never}\n', undefined],
    ['rim: {diameter: 3, length: 20}\n', undefined],
  ])('is for the paper alone where it names neither cutter nor program: %j', (more, isForPaper) => {
    const shop = read(`shop: 1\nunits: mm\n${more}`);
    expect(shop.isForPaper).toBe(isForPaper);
    expect(shop.assumed.some((said) => /^(feed|pass|zeroing)/.test(said))).toBe(isForPaper === undefined);
  });

  it('hints from exactly the keys that the schema knows', () => {
    const paths = (tree: unknown, prefix = ''): string[] =>
      typeof tree !== 'object' || tree === null
        ? []
        : Object.entries(tree).flatMap(([key, below]) => [`${prefix}${key}`, ...paths(below, `${prefix}${key}.`)]);
    expect(paths(parse(FULL)).sort()).toEqual(paths(SHOP_KEYS).sort());
  });

  it('reads inches, and assumes nothing that is given', () => {
    const shop = read(FULL);
    expect(shop.cutter.diameter).toBe(6.35);
    expect(shop.feed.cut).toBe(1270);
    expect(shop.sheet.measuredX).toBe(99.7);
    expect(shop.program).toEqual({ units: 'in', look: 'every', turn: 90 });
    expect(shop.assumed).toEqual([]);
  });

  it('keeps the assumed lane narrower than a small cutter', () => {
    expect(read('shop: 1\nunits: mm\ncutter: {diameter: 3, length: 20}\n').pass.width).toBeCloseTo(1.2, 12);
  });

  it.each([
    ['shop: 1\nunits: mm\ncuter: {diameter: 6}\n', ['unknown-key 3:1']],
    ['shop: 1\nunits: mm\ncutter: {diameter: 0.25, length: 26}\n', ['looks-like-inches 3:20']],
    ['shop: 1\nunits: mm\ncutter: {diameter: 6, flutes: two}\n', ['not-a-whole-number 3:31']],
    ['shop: 1\nunits: mm\nspindle: {speed: fast}\n', ['not-a-number 3:18']],
    ['shop: 1\nunits: mm\nspindle: {speed: .inf}\n', ['not-finite 3:18']],
    ['shop: 1\nunits: mm\nprogram: {turn: 45}\n', ['not-a-choice 3:17']],
    ['shop: 1\nunits: mm\nsheet: {paper: a4}\n', ['not-a-choice 3:16']],
    ['shop: 1\nunits: mm\nsheet: {measuredX: 10}\n', ['out-of-range 3:20']],
    ['shop: 1\nunits: mm\ncutter: {diameter: 6}\npass: {width: 6.5}\n', ['pass-wider-than-cutter 4:15']],
    ['shop: 1\nunits: in\nfeed: {cut: 47, plunge: 300}\n', ['looks-like-mm 3:25']],
    ['shop: 1\nunits: in\nfeed: {cut: 47, plunge: 48}\n', ['plunge-faster-than-cut 3:25']],
    ['shop: 1\nunits: mm\nfeed: {plunge: 1201}\n', ['plunge-faster-than-cut 3:16']],
    ['shop: 1\nunits: mm\nrim: {diameter: 3, length: 20, cut: 500, plunge: 501}\n', ['plunge-faster-than-cut 3:50']],
    ['shop: 1\nunits: mm\nfeed: {cut: 500}\nrim: {diameter: 3, length: 20, plunge: 501}\n', ['plunge-faster-than-cut 4:40']],
    ['shop: 1\nunits: in\nzeroing: 0.05\n', ['looks-like-mm 3:10']],
    ['shop: 1\nunits: in\nclearance: {beyondMouth: 4}\n', ['looks-like-mm 3:26']],
    ['shop: 1\nunits: in\nclearance: {wall: 0.15}\n', ['looks-like-mm 3:19']],
    ['shop: 1\nunits: in\nrim: {diameter: 1/8, length: 1, plunge: 300}\n', ['looks-like-mm 3:41']],
    ['shop: 1\n', ['missing-key 1:1']],
    ['units: mm\n', ['missing-key 1:1']],
    ['job: 1\nunits: mm\n', ['other-kind-of-file 1:1']],
    ['', ['empty-file 1:1']],
    [
      'shop: 1\nunits: mm\nfeed: {cut: fast, plunge: -1}\nleave:\n',
      ['not-a-length 3:13', 'out-of-range 3:27', 'empty-value 4:1'],
    ],
  ])('%j is told where it is wrong', (text, expected) => {
    expect(told(text)).toEqual(expected);
  });

  it('says what a plunge that is faster than the cut is held against, in the file’s own unit, and what it may have been', () => {
    const result = readShop('shop: 1\nunits: in\nfeed: {cut: 150, plunge: 160}\n', 'shop.yaml');
    const [finding] = result.ok ? [] : result.findings;
    expect(finding).toMatchObject({ exit: 2, found: '160 in/min', expected: 'at most feed.cut, 150 in/min' });
    expect(finding?.remedy).toContain('write "160 mm"');
    expect(read('shop: 1\nunits: in\nfeed: {cut: 150, plunge: 150}\n').feed.plunge).toBe(3810);
  });

  it('takes no default to go down faster than the file says to cut', () => {
    const shop = read('shop: 1\nunits: mm\nfeed: {cut: 250}\nrim: {diameter: 3, length: 20, cut: 100}\n');
    expect(shop.feed.plunge).toBe(250);
    expect(shop.rim?.plunge).toBe(100);
    expect(shop.assumed).toEqual(expect.arrayContaining(['feed.plunge 250 mm/min', 'rim.plunge 100 mm/min']));
  });
});
