import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { guideOf } from '../../src/guideJob.ts';
import { crossingOf } from '../../src/job/crossing.ts';
import { drawnOutline } from '../../src/job/drawnOutline.ts';
import type { Hand } from '../../src/job/job.ts';
import { readShop } from '../../src/job/readShop.ts';
import { areaAndMoments, flatten, measuredOutline, type Outline } from '../../src/kernel/outline.ts';
import type { Point2 } from '../../src/kernel/vector.ts';
import { programsOf } from '../../src/routeJob.ts';
import { solveText } from '../../src/solveJob.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const textOf = (path: string): string => readFileSync(join(root, path), 'utf8');
const drawing = (name: string): string => textOf(`tests/drawings/${name}.svg`);

function outlineOf(text: string, hand: Hand = 'right'): Outline {
  const read = drawnOutline({ text, file: 'drawing.svg' }, hand);
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  return read.value;
}

function codesOf(text: string, hand: Hand = 'right'): string[] {
  const read = drawnOutline({ text, file: 'drawing.svg' }, hand);
  return read.ok ? [] : read.findings.map(({ code }) => code);
}

function toEdges(outline: Outline, p: Point2): number {
  const points = flatten(outline, 0.0001);
  return Math.min(
    ...points.map((a, i) => {
      const b = points[(i + 1) % points.length] as Point2;
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      const t = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy)));
      return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
    }),
  );
}

/** Points all along an outline's straight pieces. */
function along(outline: Outline): Point2[] {
  return outline.pieces.flatMap((piece) =>
    piece.kind === 'line'
      ? [0, 0.25, 0.5, 0.75].map((t) => ({
          x: piece.from.x + t * (piece.to.x - piece.from.x),
          y: piece.from.y + t * (piece.to.y - piece.from.y),
        }))
      : [],
  );
}

const MEASURED = measuredOutline({ length: 71.5, width: 58.2, widthAtMouth: 58.2, cornerRadius: 5 });

describe('a pocket drawn in an SVG', () => {
  test('is the measured one where the same pocket is drawn: arcs within 0.005 mm, mouth and rear exactly square', () => {
    const outline = outlineOf(drawing('plain'));
    expect(outline).toMatchObject({ length: 71.5, mouthHalf: 29.1, rearHalf: 29.1 });
    const points = along(outline);
    expect(points.length).toBeGreaterThan(60);
    for (const p of points) expect(toEdges(MEASURED, p)).toBeLessThanOrEqual(0.005);
    for (const p of flatten(MEASURED, 0.0001)) expect(toEdges(outline, p)).toBeLessThanOrEqual(0.005);
    const [first, last] = [outline.pieces[0], outline.pieces.at(-1)];
    expect(first).toMatchObject({ from: { x: 0, y: -29.1 } });
    expect(last).toEqual({ kind: 'line', from: { x: 0, y: 29.1 }, to: { x: 0, y: -29.1 } });
    expect(outline.pieces.some((piece) => piece.kind === 'line' && piece.from.x === 71.5 && piece.to.x === 71.5)).toBe(true);
  });

  test('cubic sides stay within 0.005 mm of their curve, looked at densely', () => {
    const outline = outlineOf(drawing('bowed'));
    // The side of the drawing as its control points say, in the body frame: page y is 30 - y, x the same.
    const [p0, p1, p2, p3] = [2, 1, 1, 2].map((y, i) => ({ x: [0, 20, 45, 64][i] as number, y: 30 - y })) as [
      Point2,
      Point2,
      Point2,
      Point2,
    ];
    let worst = 0;
    for (let t = 0; t <= 1; t += 0.002) {
      const b = (a: number, c: number, d: number, e: number): number =>
        (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * c + 3 * t * t * (1 - t) * d + t ** 3 * e;
      worst = Math.max(worst, toEdges(outline, { x: b(p0.x, p1.x, p2.x, p3.x), y: b(p0.y, p1.y, p2.y, p3.y) }));
    }
    expect(worst).toBeGreaterThan(0.0005);
    expect(worst).toBeLessThanOrEqual(0.005);
  });

  test.each([
    ['turned on the page', '<g transform="translate(75 60) rotate(37) translate(-75,-60)">', '</g>'],
    ['in a scaled layer', '<g transform="scale(2)"><g transform="matrix(.5 0 0 .5 3 4)">', '</g></g>'],
    ['turned about a point', '<g transform="rotate(-90 70 60)">', '</g>'],
  ])('%s it is the same', (_name, open, close) => {
    const moved = drawing('plain').replace('<path', `${open}<path`).replace('</svg>', `${close}</svg>`);
    const [a, b] = [outlineOf(drawing('plain')), outlineOf(moved)];
    expect(b.pieces.length).toBe(a.pieces.length);
    for (const p of along(b)) expect(toEdges(a, p)).toBeLessThanOrEqual(1e-5);
    expect(b.length).toBeCloseTo(71.5, 5);
  });

  test('mirrored on the page, or for the other hand, it is refused, and right for that hand', () => {
    const mirrored = drawing('plain')
      .replace('<path', '<g transform="translate(140 0) scale(-1 1)"><path')
      .replace('</svg>', '</g></svg>');
    expect(codesOf(mirrored)).toEqual(['outline-mirrored']);
    expect(codesOf(mirrored, 'left')).toEqual([]);
    expect(codesOf(drawing('plain'), 'left')).toEqual(['outline-mirrored']);
    expect(areaAndMoments(outlineOf(mirrored, 'left')).area).toBeCloseTo(areaAndMoments(outlineOf(drawing('plain'))).area, 6);
  });

  test('just inside and just outside: a gap of the path, the mark by the edge, the mark by the centreline', () => {
    const gap = (mm: number): string => drawing('plain').replace(/ z"/, ` v${-66.5 + mm}"`);
    expect(codesOf(gap(0.009))).toEqual([]);
    expect(codesOf(gap(0.011))).toEqual(['outline-open']);
    const off = (mm: number): string => drawing('plain').replace('45,20 90,20', `45,${20 + mm} 90,${20 + mm}`);
    expect(codesOf(off(0.099))).toEqual([]);
    expect(codesOf(off(0.101))).toEqual(['outline-mouth-off-edge']);
    const aside = (mm: number): string => drawing('plain').replace('x="48"', `x="${69.1 - 2 - mm}"`);
    expect(codesOf(aside(1.01))).toEqual([]);
    expect(codesOf(aside(0.99))).toEqual(['outline-mirrored']);
  });

  test('several faults of a drawing are told at once', () => {
    const text = drawing('plain').replace('6in', '6').replace('id="mouth"', 'id="mouth" transform="spin(3)"');
    expect(codesOf(text)).toEqual(['outline-without-unit', 'outline-transform']);
  });

  test('an outline that touches or folds back on itself is found', () => {
    const ring = (...xy: number[]): Point2[] => xy.flatMap((x, i) => (i % 2 === 0 ? [{ x, y: xy[i + 1] as number }] : []));
    expect(crossingOf(ring(0, 0, 4, 0, 4, 4, 0, 4))).toBeUndefined();
    expect(crossingOf(ring(0, 0, 4, 4, 4, 0, 0, 4))).toEqual({ x: 2, y: 2 });
    expect(crossingOf(ring(0, 0, 4, 0, 4, 4, 2, 0, 0, 4))).toEqual({ x: 2, y: 0 });
    expect(crossingOf(ring(0, 0, 6, 0, 4, 0, 4, 4, 0, 4))).toEqual({ x: 6, y: 0 });
  });
});

const sample = textOf('samples/reedling.yaml');
const drawnJob = sample.replace(/ {2}length: 71\.5.*\n {2}width:.*\n {2}cornerRadius:.*\n/, '  outline: drawing.svg\n');
const shopRead = readShop(textOf('samples/marshlight-shop.yaml'), 'shop.yaml');
if (!shopRead.ok) throw new Error('the sample shop is not read');
const shop = shopRead.value;

function solved(text: string, svg?: string) {
  const outcome = solveText({
    text,
    file: 'job.yaml',
    drawing: svg === undefined ? undefined : { text: svg, file: 'drawing.svg' },
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.findings));
  return outcome.value;
}

describe('a job with a drawn pocket', () => {
  test('is solved like the measured one, its length and width known to 0.1 mm as assumed', () => {
    const [a, b] = [solved(sample), solved(drawnJob, drawing('plain'))];
    expect(b.solution.pitch).toBeCloseTo(a.solution.pitch, 9);
    expect(b.solution.hingeName).toBe(a.solution.hingeName);
    expect(b.floor.deepest).toBeCloseTo(a.floor.deepest, 9);
    expect(b.floor.volume / a.floor.volume).toBeCloseTo(1, 5);
    // The sample states the same ± 0.1 mm that a drawing is taken to have.
    expect(b.uncertainty.deepest).toBeCloseTo(a.uncertainty.deepest, 6);
    expect(b.fingerprint).not.toBe(solved(drawnJob, drawing('bowed')).fingerprint);
  });

  test('with bowed sides gives a guide, and programs that are proved, level and clamped, with what stays by name', () => {
    const outcome = solved(drawnJob, drawing('bowed'));
    expect(guideOf(outcome, shop).ok).toBe(true);
    const made = programsOf(outcome, shop, ['floor', 'air', 'trace']);
    expect(made.ok ? [] : made.findings).toEqual([]);
    if (!made.ok) return;
    const [floor] = made.value;
    expect(floor?.program.stays.map(({ where }) => where)).toEqual(
      expect.arrayContaining(['strip along the walls', 'rim at the bass wall', 'rim at the treble wall']),
    );
    expect(floor?.program.text).toContain('(X: touch the rear wall on the centreline, set X 67.000 there)');
    const job = drawnJob.replace(
      '  clearBefore: 25\n',
      '  clearBefore: 25\n  mounted: {mouthBass: 0, mouthTreble: 0.1, rearBass: 0.3, rearTreble: 0.4}\n',
    );
    const clamped = programsOf(solved(job, drawing('bowed')), { ...shop, program: { ...shop.program, turn: 270 } }, ['floor']);
    expect(clamped.ok ? [] : clamped.findings).toEqual([]);
  });

  test('with a waist is solved, drawn and proved where the body lies level; out of level no program is made: exit 3', () => {
    const outcome = solved(drawnJob, drawing('waisted'));
    expect(guideOf(outcome, shop).ok).toBe(true);
    const made = programsOf(outcome, shop, ['floor', 'air', 'trace']);
    expect(made.ok ? [] : made.findings).toEqual([]);
    const leaning = drawnJob.replace(
      '  clearBefore: 25\n',
      '  clearBefore: 25\n  mounted: {mouthBass: 0, mouthTreble: 0.1, rearBass: 0.3, rearTreble: 0.4}\n',
    );
    const refused = programsOf(solved(leaning, drawing('waisted')), shop, ['floor']);
    expect(refused.ok ? [] : refused.findings.map(({ code, exit }) => [code, exit])).toEqual([['outline-unsupported', 3]]);
  });
});

describe('an endless drawing', () => {
  const drawn = (d: string): string =>
    `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="100mm" viewBox="0 0 120 100"><path id="pocket" d="${d}"/><line id="mouth" x1="20" y1="24" x2="20" y2="74"/><circle id="bass" cx="50" cy="70" r="2"/></svg>`;
  const codes = (d: string): string[] => {
    const read = drawnOutline({ text: drawn(d), file: 'd.svg' }, 'right');
    return read.ok ? [] : read.findings.map(({ code }) => code);
  };
  test('of great curves, of many corners or of more text than any path is refused without its chords being made', () => {
    expect(codes('M20 20 H90 V78 H20 Z')).toEqual([]);
    expect(codes(`M20 20 ${'C 9e9 0 0 9e9 90 20 '.repeat(20_000)} V78 H20 Z`)).toEqual(['outline-too-fine']);
    expect(codes(`M20 20 ${'l1 1 l-1 1'.repeat(4000)} Z`)).toEqual(['outline-too-fine']);
    expect(codes(`M20 20 ${'C 9e9 0 0 9e9 90 20 '.repeat(30_000)} V78 H20 Z`)).toEqual(['outline-too-fine']);
  });
});
