import { create, type Font } from 'fontkit';

/** Latin, Greek and Cyrillic letters, and the signs that shop text and titles use. */
const RANGES: readonly (readonly [number, number])[] = [
  [0x20, 0x7e],
  [0xa1, 0x17f],
  [0x386, 0x3ce],
  [0x401, 0x45f],
  [0x2010, 0x2026],
  [0x2032, 0x2033],
  [0x2153, 0x215e],
  [0x2190, 0x2193],
  [0x2212, 0x2212],
  [0x2264, 0x2265],
];

/** The sign drawn where the face has none: U+FFFD. */
const MISSING = '\ufffd';

const LETTER = { moveTo: 'M', lineTo: 'L', quadraticCurveTo: 'Q', bezierCurveTo: 'C', closePath: 'Z' } as const;

function glyphs(font: Font): Record<string, readonly [number, string]> {
  const characters = RANGES.flatMap(([from, to]) =>
    Array.from({ length: to - from + 1 }, (_, i) => String.fromCodePoint(from + i)),
  ).filter((character) => font.hasGlyphForCodePoint(character.codePointAt(0) as number));
  return Object.fromEntries(
    [...characters, MISSING].map((character) => {
      const glyph = font.glyphForCodePoint(character.codePointAt(0) as number);
      const commands = glyph.path.commands.map(({ command, args }) => {
        // The font's y runs up, a page's down.
        const turned = args.map((value, i) => Math.round(i % 2 === 0 ? value : -value) + 0);
        return `${LETTER[command as keyof typeof LETTER]}${turned.join(' ')}`;
      });
      return [character, [glyph.advanceWidth, commands.join('')]];
    }),
  );
}

function opened(bytes: Uint8Array): Font {
  const font = create(bytes as Buffer);
  if (!('unitsPerEm' in font)) throw new Error('not a single font');
  return font;
}

/** One line a glyph, so that a change shows as what it is. */
export function faceOf(regular: Uint8Array, bold: Uint8Array): string {
  const lines = (font: Font): string =>
    Object.entries(glyphs(font))
      .map(([character, glyph]) => `    ${JSON.stringify(character)}: ${JSON.stringify(glyph)}`)
      .join(',\n');
  const [a, b] = [opened(regular), opened(bold)];
  return `{\n  "unitsPerEm": ${a.unitsPerEm},\n  "regular": {\n${lines(a)}\n  },\n  "bold": {\n${lines(b)}\n  }\n}\n`;
}
