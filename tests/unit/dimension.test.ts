import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decimalInchText, readDimension } from '../../src/kernel/dimension.ts';
import type { Unit } from '../../src/kernel/units.ts';

const SEED = { seed: 20260314, numRuns: 500 };

function read(raw: unknown, unit: Unit = 'mm'): { value: number; plusMinus: number | undefined } {
  const result = readDimension(raw, unit);
  if (!result.ok) throw new Error(`${String(raw)}: ${result.why}`);
  return { value: result.dimension.value, plusMinus: result.dimension.plusMinus };
}

describe('shop dimensions', () => {
  // [as written, the file's unit, mm, ± mm]; 1 in = 25.4 mm exactly (Addendum to NBS Circular 572, 1960: read).
  const cases: readonly (readonly [unknown, Unit, number, number | undefined])[] = [
    [0.6, 'mm', 0.6, undefined],
    [25.5, 'in', 647.7, undefined],
    ['25.5', 'in', 647.7, undefined],
    ['1/16 in', 'mm', 1.5875, undefined],
    ['1/16in', 'mm', 1.5875, undefined],
    ['25-1/2 in', 'mm', 647.7, undefined],
    ['25 1/2"', 'mm', 647.7, undefined],
    ['25-1/2', 'in', 647.7, undefined],
    // Signs for fractions and for inches, as tablets write them.
    ['25½', 'in', 647.7, undefined],
    ['25 ½ in', 'mm', 647.7, undefined],
    ['25-½"', 'mm', 647.7, undefined],
    ["25 1/2''", 'mm', 647.7, undefined],
    ['25½″', 'mm', 647.7, undefined],
    ['-⅜ in', 'mm', -9.525, undefined],
    ["¾'' ± ⅛", 'mm', 19.05, 3.175],
    ['0.6 mm', 'in', 0.6, undefined],
    ['.6 mm', 'in', 0.6, undefined],
    ['1.2 ± 0.05', 'mm', 1.2, 0.05],
    ['1.2±0.05', 'mm', 1.2, 0.05],
    ['1.2 +/- 0.05 mm', 'in', 1.2, 0.05],
    ['1.2 mm ± 0.05', 'in', 1.2, 0.05],
    ['3/64 in ± 0.002 in', 'mm', 1.190625, 0.0508],
    ['3/64 ± 0.002 in', 'mm', 1.190625, 0.0508],
    ['3/64 in ± 0.002', 'mm', 1.190625, 0.0508],
    ['1/2 in ± 0.1 mm', 'mm', 12.7, 0.1],
    ['0.047 ± 0.002', 'in', 1.1938, 0.0508],
    ['-1-1/2 in', 'mm', -38.1, undefined],
    ['-0.25', 'mm', -0.25, undefined],
    ['5/4 in', 'mm', 31.75, undefined],
    ['1.2 ± 0', 'mm', 1.2, 0],
    [0, 'in', 0, undefined],
    [-17, 'mm', -17, undefined],
  ];
  it.each(cases)('%s in a file of %s is %d mm ± %s', (raw, unit, value, plusMinus) => {
    expect(read(raw, unit)).toEqual({ value, plusMinus });
  });

  const refused: readonly unknown[] = [
    '¼5 in',
    '¼¼ in',
    '1.5¼ in',
    '5/¼ in',
    '25½',
    "25 '' 1/2",
    '',
    ' ',
    'mm',
    '25,5',
    '25.5 cm',
    '25.5 MM',
    '25.5 inches',
    '1e3',
    '1e3 mm',
    '+1',
    '--1',
    '- 1',
    '1 2',
    '1-2',
    '25 - 1/2 in',
    '25-3/2 in',
    '1/0 in',
    '1/2/3 in',
    '1.5/2 in',
    '1/16',
    '1 ± 1/16',
    '1.2 ±',
    '± 0.05',
    '1.2 ± -0.05',
    '1.2 ± 0.1 ± 0.1',
    '1.2 + 0.05',
    '1.2 +- 0.05',
    '1.2mm mm',
    '0x10',
    '1_000',
    '1'.repeat(400),
    `${'1'.repeat(70)}/3 in and more words`,
    Number.NaN,
    Number.POSITIVE_INFINITY,
    true,
    null,
    undefined,
    {},
    [1],
  ];
  it.each(refused.map((raw) => [raw]))('%j in a file of mm is refused with a reason', (raw) => {
    const result = readDimension(raw, 'mm');
    expect(result).toMatchObject({ ok: false, why: expect.stringMatching(/./) });
  });

  it('reads a number and the same number as text alike, to the last bit', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -9_999_999, max: 9_999_999 }),
        fc.integer({ min: 0, max: 5 }),
        fc.constantFrom<Unit>('mm', 'in'),
        (n, d, unit) => {
          const text = (n / 10 ** d).toFixed(d);
          const asNumber = read(Number(text), unit).value;
          expect(read(text, unit).value).toBe(asNumber);
          expect(read(`${text} ${unit}`, unit === 'mm' ? 'in' : 'mm').value).toBe(asNumber);
        },
      ),
      SEED,
    );
  });

  it('reads any fraction of an inch exactly', () => {
    const bottoms = [2, 4, 8, 16, 32, 64];
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 60 }),
        fc.constantFrom(...bottoms),
        fc.integer({ min: 0, max: 63 }),
        fc.boolean(),
        (whole, bottom, n, dash) => {
          const top = n % bottom;
          const text = whole === 0 ? `${top}/${bottom}` : `${whole}${dash ? '-' : ' '}${top}/${bottom}`;
          // 25.4 / 64 = 0.396875 has a finite decimal: whole millionths of a mm, so integers hold the exact answer.
          const millionths = (whole * bottom + top) * (64 / bottom) * 396875;
          expect(read(`${text}"`).value).toBe(millionths / 1e6);
        },
      ),
      SEED,
    );
  });

  it('writes a decimal inch that reads back within half its last place', () => {
    fc.assert(
      fc.property(fc.double({ min: -900, max: 900, noNaN: true }), fc.integer({ min: 2, max: 6 }), (mm, decimals) => {
        const back = read(decimalInchText(mm, decimals)).value;
        expect(Math.abs(back - mm)).toBeLessThanOrEqual((25.4 / 2) * 10 ** -decimals + 1e-9);
      }),
      SEED,
    );
  });

  it.each([
    [1.5875, '0.063 in'],
    [647.7, '25.500 in'],
    [0, '0.000 in'],
    [-0.001, '0.000 in'],
    [25.4, '1.000 in'],
    [25.39, '1.000 in'],
    [-0.8, '-0.031 in'],
  ])('%d mm is %s', (mm, decimal) => {
    expect(decimalInchText(mm)).toBe(decimal);
  });
});
