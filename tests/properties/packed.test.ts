import fc from 'fast-check';
import { strFromU8 } from 'fflate';
import { describe, expect, it } from 'vitest';
import { parted, whole } from '../../src/preview/lineForms.ts';
import { packText, unpackText } from '../../src/preview/packed.ts';
import { circlingWays, IN_INCHES, PLAINLY, slantedLanes, type Writing, written } from '../support/longPrograms.ts';

/** Through the page's own data and back. */
function back(text: string): string {
  return unpackText(JSON.parse(JSON.stringify(packText(text, 0))));
}

describe('a packed text', () => {
  it('comes back to the letter, whatever it is', () => {
    const letters = fc.constantFrom(...'GMXYZFxyz0123456789.-+ \n\r()%\u0001\u00b5\u20ac\ufeff\ud83d');
    const texts = fc.oneof(fc.string({ unit: 'binary', maxLength: 200 }), fc.string({ unit: letters, maxLength: 400 }));
    fc.assert(
      fc.property(texts, (text) => {
        expect(back(text)).toBe(text);
      }),
      { numRuns: 100 },
    );
  });

  it('comes back from its parts where it is a program in anybody’s way of writing numbers', () => {
    const number = fc.oneof(
      fc.tuple(fc.integer({ min: -3_000_000_000, max: 3_000_000_000 }), fc.integer({ min: 0, max: 10 })).map(([n, digits]) => {
        const text = (n / 10 ** digits).toFixed(digits);
        return n % 7 === 0 ? text.replace(/^(-?)0\./, '$1.') : n % 5 === 0 ? text.replace(/\.?0+$/, '.') : text;
      }),
      fc.constantFrom(
        '0',
        '-0',
        '-0.000',
        '00.5',
        '.5',
        '-.5',
        '5.',
        '+1',
        '.',
        '-',
        '',
        '2147483647',
        '2147483648',
        '-2147483648',
      ),
    );
    const word = fc
      .tuple(fc.constantFrom('X', 'Y', 'Z', 'F', 'N', 'G', 'g', 'M', 'i', ' X ', 'G1 X'), number)
      .map((parts) => parts.join(''));
    const line = fc.array(word, { maxLength: 5 }).map((words) => words.join(' '));
    const program = fc
      .tuple(fc.array(line, { maxLength: 30 }), fc.constantFrom('\n', '\r\n'))
      .map(([lines, end]) => lines.join(end));
    fc.assert(
      fc.property(program, (text) => {
        const parts = parted(text);
        if (parts === undefined) throw new Error('it holds the sign that stands for numbers');
        expect(strFromU8(whole(parts), true)).toBe(text);
      }),
      { numRuns: 2000 },
    );
  });

  const WRITINGS: readonly Writing[] = [
    PLAINLY,
    IN_INCHES,
    { ...PLAINLY, trims: true },
    { ...IN_INCHES, isNumbered: true, trims: true },
  ];
  it.each(WRITINGS)('of lanes and circles takes a small part of what deflating alone leaves: %j', (writing) => {
    for (const [places, part] of [
      [slantedLanes(3000), 0.15],
      [circlingWays(3000), 0.6],
    ] as const) {
      const text = written(places, writing);
      const packed = packText(text, 0);
      expect(unpackText(packed)).toBe(text);
      // The same text with one sign that bars it from being told apart.
      const alone = packText(`${text}(\u0001)`, 0);
      expect(Object.keys(packed)).toEqual(['parts']);
      expect(Object.keys(alone)).toEqual(['packed']);
      expect(JSON.stringify(packed).length).toBeLessThan(part * JSON.stringify(alone).length);
    }
  });

  it('is left to be read by anybody where it is short, or no text at all', () => {
    const text = written(slantedLanes(100), PLAINLY);
    expect(packText(text)).toBe(text);
    expect(packText('\ud800', 0)).toBe('\ud800');
  });
});
