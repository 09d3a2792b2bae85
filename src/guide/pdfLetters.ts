import { advanceOf, outlineOf } from './face.ts';
import type { PdfPaper, PdfRef } from './pdf.ts';

/** Letters as fonts inside the document (Type 3: each letter is a small drawing), so text can be searched and needs nothing installed. */
export interface Lettering {
  /** The operators that show these characters where the text stands. */
  readonly shown: (characters: readonly string[], bold: boolean) => string;
  /** Every font begun so far, by name. */
  readonly fonts: () => Readonly<Record<string, PdfRef>>;
  readonly end: () => void;
}

/** Units of an em in the fonts written here. */
const EM = 1000;
/** Codes of a simple font: 1 to 255. */
const MOST_CODES = 255;

interface OneFont {
  readonly name: string;
  readonly bold: boolean;
  readonly codes: Map<string, number>;
  readonly ref: PdfRef;
  readonly data: Record<string, unknown>;
}

const unit = (value: number): string => `${Math.round(value)}`;

/** A letter's drawing: its advance and box, then its outline filled; y up, EM units to the em. */
function letterProgram(character: string, bold: boolean): string {
  let pen = { x: 0, y: 0 };
  const box = { left: 0, low: 0, right: 0, high: 0 };
  const at = (x: number, y: number): string => {
    box.left = Math.min(box.left, Math.floor(x));
    box.right = Math.max(box.right, Math.ceil(x));
    box.low = Math.min(box.low, Math.floor(-y));
    box.high = Math.max(box.high, Math.ceil(-y));
    return `${unit(x)} ${unit(-y)}`;
  };
  const drawn = outlineOf(character, bold, EM).map((step) => {
    if (step.kind === 'close' || step.kind === 'arc') return 'h';
    const from = pen;
    pen = step.to;
    if (step.kind !== 'curve') return `${at(step.to.x, step.to.y)} ${step.kind === 'move' ? 'm' : 'l'}`;
    const part = (a: number, b: number): number => a + (2 / 3) * (b - a);
    const { by, to } = step;
    const controls = `${at(part(from.x, by.x), part(from.y, by.y))} ${at(part(to.x, by.x), part(to.y, by.y))}`;
    return `${controls} ${at(to.x, to.y)} c`;
  });
  const head = `${unit(advanceOf(character, bold) * EM)} 0 ${box.left} ${box.low} ${box.right} ${box.high} d1`;
  return [head, ...drawn, 'f'].join('\n');
}

const hex = (value: number, digits: number): string => value.toString(16).padStart(digits, '0');

function utf16(character: string): string {
  return Array.from({ length: character.length }, (_, i) => hex(character.charCodeAt(i), 4)).join('');
}

/** Which character each code stands for, so that text can be searched and copied (ISO 32000-1, 9.10.3; memory). */
function toUnicode(codes: ReadonlyMap<string, number>): string {
  const pairs = [...codes].map(([character, code]) => `<${hex(code, 2)}> <${utf16(character)}>`);
  const blocks: string[] = [];
  for (let i = 0; i < pairs.length; i += 100) {
    const block = pairs.slice(i, i + 100);
    blocks.push(`${block.length} beginbfchar\n${block.join('\n')}\nendbfchar`);
  }
  return [
    '/CIDInit /ProcSet findresource begin 12 dict begin begincmap',
    '/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def',
    '/CMapName /Adobe-Identity-UCS def /CMapType 2 def',
    '1 begincodespacerange <00> <ff> endcodespacerange',
    ...blocks,
    'endcmap CMapName currentdict /CMap defineresource pop end end',
  ].join('\n');
}

export function newLettering(paper: PdfPaper): Lettering {
  const fonts: OneFont[] = [];

  function fontFor(character: string, bold: boolean): OneFont {
    const found = fonts.find((font) => font.bold === bold && (font.codes.has(character) || font.codes.size < MOST_CODES));
    if (found !== undefined) return found;
    const data: Record<string, unknown> = { Type: 'Font', Subtype: 'Type3' };
    const font = { name: `Letters${fonts.length + 1}`, bold, codes: new Map<string, number>(), ref: paper.ref(data), data };
    fonts.push(font);
    return font;
  }

  function codeOf(font: OneFont, character: string): number {
    const code = font.codes.get(character) ?? font.codes.size + 1;
    font.codes.set(character, code);
    return code;
  }

  function endFont(font: OneFont): void {
    const characters = [...font.codes.keys()];
    const procedures = characters.map((character) => {
      const ref = paper.ref({});
      ref.end(letterProgram(character, font.bold));
      return ref;
    });
    const unicode = paper.ref({});
    unicode.end(toUnicode(font.codes));
    Object.assign(font.data, {
      FontBBox: [0, 0, 0, 0],
      FontMatrix: [1 / EM, 0, 0, 1 / EM, 0, 0],
      CharProcs: Object.fromEntries(procedures.map((ref, i) => [`l${i + 1}`, ref])),
      Encoding: { Type: 'Encoding', Differences: [1, ...characters.map((_, i) => `l${i + 1}`)] },
      FirstChar: 1,
      LastChar: characters.length,
      Widths: characters.map((character) => Math.round(advanceOf(character, font.bold) * EM)),
      Resources: {},
      ToUnicode: unicode,
    });
    font.ref.end();
  }

  return {
    shown: (characters, bold) => {
      let text = '';
      let open: OneFont | undefined;
      for (const character of characters) {
        const font = open?.codes.has(character) === true && open.bold === bold ? open : fontFor(character, bold);
        if (font !== open) text += `${open === undefined ? '' : '> Tj '}/${font.name} 1 Tf <`;
        open = font;
        text += hex(codeOf(font, character), 2);
      }
      return `${text}> Tj`;
    },
    fonts: () => Object.fromEntries(fonts.map(({ name, ref }) => [name, ref])),
    end: () => {
      for (const font of fonts) endFont(font);
    },
  };
}
