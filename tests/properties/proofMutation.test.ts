import { unsafeUniformIntDistribution, xoroshiro128plus } from 'pure-rand';
import { describe, expect, it } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
import { type DenseCase, denseJudge } from '../support/denseJudge.ts';
import { CASE, type Case, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';

const EDITS = 700;

type Pick = (below: number) => number;

/** Characters that a slip of hand or of a disk would bring in. */
const CHARACTERS = '0123456789.-+GXYZFMSP ()\t;/%NTxyz\r\n';

function oneEdit(lines: readonly string[], pick: Pick): string[] {
  const i = pick(lines.length);
  const line = lines[i] as string;
  const j = pick(Math.max(1, line.length));
  const other = pick(lines.length);
  const char = CHARACTERS.charAt(pick(CHARACTERS.length));
  const nudged = (most: number): string => {
    const words = [...line.matchAll(/([XYZFSP])(-?[0-9.]+)/g)];
    const word = words[pick(Math.max(1, words.length))];
    if (word === undefined) return line;
    const by = (pick(2 * most + 1) - most) / 1000;
    return line.replace(word[0], `${word[1]}${(Number(word[2]) + by).toFixed(4)}`);
  };
  const edits: readonly (() => string[])[] = [
    () => lines.with(i, line.slice(0, j) + line.slice(j + 1)),
    () => lines.with(i, line.slice(0, j) + char + line.slice(j)),
    () => lines.with(i, line.slice(0, j) + char + line.slice(j + 1)),
    () =>
      lines.with(
        i,
        line.replace(/\d/g, (d) => (pick(6) === 0 ? String(pick(10)) : d)),
      ),
    () => lines.with(i, nudged(3)),
    () => lines.with(i, nudged(40)),
    () => lines.with(i, nudged(3000)),
    () => lines.with(i, line.split(' ').toSpliced(pick(4), 1).join(' ')),
    () => lines.with(i, line.includes('-') && pick(2) === 0 ? line.replace('-', '') : line.replace(/([XYZ])(?=\d)/, '$1-')),
    () => lines.toSpliced(i, 1),
    () => lines.toSpliced(other, 0, line),
    () => lines.with(i, lines[other] as string).with(other, line),
    () => lines.toSpliced(i, 1 + pick(6)),
    () => [...lines.slice(0, i), ...lines.slice(i + 4, i + 8), ...lines.slice(i, i + 4), ...lines.slice(i + 8)],
    () => lines.with(i, line.replace('G1', 'G0')),
    () => lines.with(i, line.replace('G0', 'G1')),
  ];
  return (edits[pick(edits.length)] as () => string[])();
}

function denseCaseOf(given: Case): DenseCase {
  const { plane, shop, pocketDepth, clearBefore } = workOf(given);
  const radius = given.diameter / 2;
  const lean = Math.hypot(plane.gx, plane.gy);
  const w = shop.pass.width;
  const cosine = Math.abs(plane.gx) / lean;
  const cusp = lean * (radius - Math.sqrt(Math.max(0, radius ** 2 - w ** 2 / (4 * cosine ** 2))));
  return {
    length: given.length,
    width: given.width,
    pocketDepth,
    clearBefore,
    d0: plane.skim - plane.gx * plane.hinge.x - plane.gy * plane.hinge.y,
    dx: plane.gx,
    dy: plane.gy,
    radius,
    cutterLength: shop.cutter.length as number,
    speed: shop.spindle.speed,
    warmUp: shop.spindle.warmUp,
    cut: shop.feed.cut,
    plunge: shop.feed.plunge,
    passDepth: shop.pass.depth,
    mayStay: Math.min(0.01, cusp) + shop.leave + 0.01,
    above: shop.clearance.above,
    wall: shop.clearance.wall,
  };
}

const TINY: Case = {
  ...CASE,
  length: 12,
  width: 11,
  widthAtMouth: 11,
  cornerRadius: 0,
  diameter: 5,
  passWidth: 2,
  passDepth: 0.14,
};

describe.each([
  ['pitched back', { ...TINY, pitch: 1 }, 11],
  ['forward, in inches', { ...TINY, pitch: -0.8, inch: true }, 12],
  ['with a roll', { ...TINY, pitch: 0.6, roll: 0.4, passWidth: 1.2 }, 13],
])('seeded edits of a small program, %s', (_name, given, seed) => {
  const work = workOf(given);
  const dense = denseCaseOf(given);
  const lines = plainProgram(given);

  it('both judges take the program as it is', () => {
    expect(proveProgram(textOf(lines), work, 'floor').faults).toEqual([]);
    expect(denseJudge(textOf(lines), dense)).toEqual([]);
  });

  it(`${EDITS} times: refused, or the slow judge finds every rule kept`, () => {
    const random = xoroshiro128plus(seed);
    const pick: Pick = (below) => unsafeUniformIntDistribution(0, below - 1, random);
    let proved = 0;
    const judged = new Map<string, string[]>();
    for (let n = 0; n < EDITS; n++) {
      let edited: readonly string[] = lines;
      for (let k = 1 + pick(2); k > 0; k--) edited = oneEdit(edited, pick);
      const text = textOf(edited);
      if (judged.has(text) || !proveProgram(text, work, 'floor').proved) continue;
      proved += 1;
      judged.set(text, denseJudge(text, dense));
    }
    const wrong = [...judged].filter(([, broken]) => broken.length > 0);
    expect(
      wrong.map(([, broken]) => broken),
      wrong[0]?.[0] ?? '',
    ).toEqual([]);
    // Both sorts must be there, or nothing was tested.
    expect(proved).toBeGreaterThan(EDITS / 30);
    expect(proved).toBeLessThan(EDITS / 2);
  });

  it('the slow judge does see damage', () => {
    const lane = lines.findLastIndex((line) => /^G1 X.*F/.test(line));
    const nudge = (letter: string, by: number): string =>
      textOf(
        lines.with(
          lane,
          (lines[lane] as string).replace(
            new RegExp(`${letter}(-?[0-9.]+)`),
            (_a, v) => `${letter}${(Number(v) + by).toFixed(4)}`,
          ),
        ),
      );
    const raised = lines.map((line, i) =>
      i > lines.length * 0.55 && line.startsWith('G1 X')
        ? line.replace(/Z(-?[0-9.]+)/, (_a, z) => `Z${(Number(z) + (given.inch ? 0.002 : 0.05)).toFixed(4)}`)
        : line,
    );
    for (const [text, part] of [
      [nudge('Z', -0.01), 'below the floor'],
      [nudge('X', 0.3), 'from a wall'],
      [nudge('X', -40), 'out of the free space'],
      [textOf(lines.filter((line) => line !== 'M5')), 'turns at the end'],
      [textOf(lines.filter((line) => !line.startsWith('G4'))), 'while cold'],
      [textOf(lines.map((line) => line.replace(/ F(300|11)\S*/, ''))), 'no feed'],
      [textOf(lines.with(lane, (lines[lane] as string).replace('G1', 'G0'))), 'a rapid at'],
      [textOf(raised), 'stays at'],
    ] as const)
      expect(denseJudge(text, dense).join('\n')).toContain(part);
    expect(denseJudge(textOf(lines), { ...dense, passDepth: 0.06 }).join('\n')).toContain('takes');
  });
});
