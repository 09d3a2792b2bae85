import { describe, expect, it } from 'vitest';
import { printable, textReach, textWidth, wrapText } from '../../src/guide/text.ts';
import { printedBox } from '../support/raster.ts';

describe('text on the sheet', () => {
  it('is never wider or taller than the room reckoned for it', () => {
    const all = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).filter((c) => c !== ' ');
    const samples = [
      ...all.map((c) => c.repeat(20)),
      '0.52',
      'Größe ÀÉÎ çÿ',
      'Щука Жук',
      'Deepest at the mouth: 0.78 mm (0.031 in), known to ±0.06 mm',
    ];
    let seen = 0;
    for (const bold of [false, true])
      for (const text of samples) {
        const box = printedBox(text, 40, bold);
        if (box === undefined) continue;
        seen++;
        const { up, down } = textReach(text);
        expect.soft(box.width, `width of ${text}`).toBeLessThanOrEqual(textWidth(text, 40, bold));
        expect.soft(box.height, `height of ${text}`).toBeLessThanOrEqual((up + down) * 40);
      }
    // A picture machine without any font can say nothing here; one with a font must have looked at all.
    expect([0, samples.length * 2]).toContain(seen);
  });

  it('breaks lines at spaces, splits what has none and marks what is cut', () => {
    const lines = wrapText('one two three four five six', 4, false, 30);
    expect(lines.join(' ')).toBe('one two three four five six');
    expect(lines.length).toBeGreaterThan(1);
    for (const line of wrapText('W'.repeat(99), 4, true, 50)) expect(textWidth(line, 4, true)).toBeLessThanOrEqual(50);
    const cut = wrapText('word '.repeat(50).trim(), 4, false, 60, 2);
    expect(cut).toHaveLength(2);
    expect(cut[1]).toMatch(/word…$|wor…$|wo…$|w…$/);
    for (const line of cut) expect(textWidth(line, 4, false)).toBeLessThanOrEqual(60);
    expect(wrapText('', 4, false, 60)).toEqual([]);
  });

  it('drops what XML cannot hold and what would turn the text round', () => {
    expect(printable('a\u0000b\tc\n d')).toBe('a b c d');
    expect(printable('x\u202ey\ufeffz')).toBe('xyz');
    expect(printable('\ud800')).toBe('\ufffd');
    expect(printable(`e${'\u0301'.repeat(9)}`)).toBe('é\u0301\u0301');
  });
});
