import { advanceOf, drawnCharacters } from './face.ts';

/** Width in mm of a text of `size` mm (the em), as it is drawn. */
export function textWidth(text: string, size: number, bold: boolean): number {
  let width = 0;
  for (const character of drawnCharacters(text, bold)) width += advanceOf(character, bold);
  return width * size;
}

/** How far a text stands above and below its baseline, in em: digits keep to their own height, others may carry accents and tails. */
export function textReach(text: string): { readonly up: number; readonly down: number } {
  if (/^[0-9. ]*$/.test(text)) return { up: 0.76, down: 0.02 };
  return /^[\u0020-\u007e±°]*$/.test(text) ? { up: 0.8, down: 0.25 } : { up: 1.15, down: 0.4 };
}

/**
 * Free text as it may be printed: one line, without characters that XML cannot hold or that would turn the direction of what
 * follows, and with no more than two marks stacked on a letter.
 */
export function printable(text: string): string {
  return text
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]/gu, ' ')
    .replace(/[\p{Cs}\p{Co}\p{Cn}]/gu, '\ufffd')
    .replace(/\p{Cf}/gu, '')
    .replace(/(\p{M}{2})\p{M}+/gu, '$1')
    .replace(/\s+/gu, ' ')
    .trim();
}

function cutToFit(text: string, size: number, bold: boolean, width: number): string {
  let kept = '';
  for (const character of text) {
    if (textWidth(`${kept}${character}…`, size, bold) > width) return `${kept.trimEnd()}…`;
    kept += character;
  }
  return kept;
}

/** Text in lines of at most `width` mm, broken at spaces where there are any; what does not go into `most` lines ends in `…`. */
export function wrapText(text: string, size: number, bold: boolean, width: number, most = 99): string[] {
  const lines: string[] = [];
  let line = '';
  const words = text.split(' ').flatMap((word) => splitLong(word, size, bold, width));
  for (const [index, word] of words.entries()) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, size, bold) <= width) {
      line = longer;
      continue;
    }
    if (lines.length === most - 1) {
      lines.push(cutToFit(`${line} ${words.slice(index).join(' ')}`, size, bold, width));
      return lines;
    }
    lines.push(line);
    line = word;
  }
  return line === '' ? lines : [...lines, line];
}

function splitLong(word: string, size: number, bold: boolean, width: number): string[] {
  const parts: string[] = [];
  let part = '';
  for (const character of word) {
    if (part !== '' && textWidth(part + character, size, bold) > width) {
      parts.push(part);
      part = '';
    }
    part += character;
  }
  return [...parts, part];
}
