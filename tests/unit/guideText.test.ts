import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { TextMark } from '../../src/guide/drawing.ts';
import { drawnCharacters, MISSING, outlineOf, setCharacters } from '../../src/guide/face.ts';
import { drawingSvg } from '../../src/guide/svg.ts';
import { printable, textReach, textWidth, wrapText } from '../../src/guide/text.ts';
import { faceOf } from '../../tools/faceData.ts';
import { ROOT } from '../support/command.ts';
import { rasterOf, setByFont } from '../support/raster.ts';

const EVERY = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i));

describe('text on the sheet', () => {
  it('keeps to the room reckoned for it, but for the hair by which a letter may lean over its own width', () => {
    let seen = 0;
    for (const bold of [false, true])
      for (const character of [...EVERY, ...'ÀÉÎçÿŽŠőΩΔЩЖ']) {
        const ink = outlineOf(character, bold, 1).flatMap((step) =>
          step.kind === 'close' ? [] : step.kind === 'curve' ? [step.by, step.to] : [step.to],
        );
        if (character !== ' ') expect(ink.length, character).toBeGreaterThan(2);
        const { up, down } = textReach(character);
        for (const { x, y } of ink) {
          seen++;
          expect.soft(x, `left of ${character}`).toBeGreaterThan(-0.1);
          expect.soft(x, `right of ${character}`).toBeLessThan(textWidth(character, 1, bold) + 0.1);
          expect.soft(-y, `top of ${character}`).toBeLessThanOrEqual(up);
          expect.soft(y, `foot of ${character}`).toBeLessThanOrEqual(down);
        }
      }
    expect(seen).toBeGreaterThan(1000);
  });

  it('is drawn as another program sets it with the font itself', () => {
    for (const bold of [false, true])
      for (const text of ['0123456789 mm', 'Deepest at the mouth', 'Größe Щука Ωμέγα', '(±0.06) 1/4" ≤ … <&>']) {
        const [width, height, size] = [200, 40, 12];
        const mark: TextMark = { kind: 'text', at: { x: 0, y: 20 }, text, size, anchor: 'start', bold };
        const pens = setCharacters(mark, textWidth(text, size, bold)).map(({ at }) => at.x);
        const ours = rasterOf(drawingSvg({ width, height, marks: [mark] }, 'letters'), 4 * 25.4);
        const theirs = setByFont(text, size, bold, width, height, pens);
        expect([ours.width, ours.height]).toEqual([theirs.width, theirs.height]);
        let dark = 0;
        let apart = 0;
        for (let y = 0; y < theirs.height; y++)
          for (let x = 0; x < theirs.width; x++) {
            if (theirs.dark(x, y)) dark++;
            if (theirs.dark(x, y) !== ours.dark(x, y)) apart++;
          }
        expect(dark).toBeGreaterThan(2000);
        // Pixels on the rim of a letter may fall either way.
        expect(apart / dark, text).toBeLessThan(0.04);
      }
  });

  it('is the pinned font, letter for letter', () => {
    const font = (name: string): Uint8Array => readFileSync(join(ROOT, 'node_modules/dejavu-fonts-ttf/ttf', name));
    expect(readFileSync(join(ROOT, 'src/guide/face.json'), 'utf8')).toBe(
      faceOf(font('DejaVuSans.ttf'), font('DejaVuSans-Bold.ttf')),
    );
  });

  it('shows a sign for what the face lacks, and no mark without its letter', () => {
    expect(drawnCharacters('a漢b', false)).toEqual(['a', MISSING, 'b']);
    expect(drawnCharacters('x\u0302', true)).toEqual(['x']);
    expect(outlineOf(MISSING, false, 4).length).toBeGreaterThan(5);
    for (const name of ['constructor', '__proto__']) expect(drawnCharacters(name, false).join('')).toBe(name);
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
