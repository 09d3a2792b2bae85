import type { Point2 } from '../kernel/vector.ts';
import type { Step } from './drawing.ts';
import data from './face.json' with { type: 'json' };

/** Advance in font units, and outline as absolute M L Q Z, y down. Made by tools/face.ts from an open-licensed face. */
type Entry = readonly [number, string];

interface FaceFile {
  readonly unitsPerEm: number;
  readonly regular: Readonly<Record<string, Entry>>;
  readonly bold: Readonly<Record<string, Entry>>;
}

const FILE = data as unknown as FaceFile;

/** The sign drawn in place of a character that the face does not have. */
export const MISSING = '\ufffd';

function known(characters: Readonly<Record<string, Entry>>): ReadonlyMap<string, Entry> {
  return new Map(Object.entries(characters));
}

// Maps, not the objects themselves: a title may hold any text, and no character may reach an object's prototype.
const WEIGHTS = { regular: known(FILE.regular), bold: known(FILE.bold) } as const;

function weightOf(bold: boolean): ReadonlyMap<string, Entry> {
  return bold ? WEIGHTS.bold : WEIGHTS.regular;
}

/** The characters a text is drawn with: what the face lacks becomes the missing sign, a lone combining mark nothing. */
export function drawnCharacters(text: string, bold: boolean): string[] {
  const face = weightOf(bold);
  return [...text].flatMap((character) => {
    if (face.has(character)) return [character];
    return /^\p{M}$/u.test(character) ? [] : [MISSING];
  });
}

/** Width in em. `character` is one of `drawnCharacters`. */
export function advanceOf(character: string, bold: boolean): number {
  return (weightOf(bold).get(character)?.[0] ?? 0) / FILE.unitsPerEm;
}

/** The outline for an em of `size`, pen at the origin on the baseline, y down. */
export function outlineOf(character: string, bold: boolean, size: number): Step[] {
  const text = weightOf(bold).get(character)?.[1] ?? '';
  const scale = size / FILE.unitsPerEm;
  return [...text.matchAll(/([MLQZ])([^MLQZ]*)/g)].map(([, letter, numbers]): Step => {
    if (letter === 'Z') return { kind: 'close' };
    const n = (numbers as string).split(' ').map((each) => Number(each) * scale);
    const point = (at: number): Point2 => ({ x: n[at] as number, y: n[at + 1] as number });
    if (letter === 'Q') return { kind: 'curve', by: point(0), to: point(2) };
    return { kind: letter === 'M' ? 'move' : 'line', to: point(0) };
  });
}

export interface SetCharacter {
  readonly character: string;
  /** Where the pen stands, mm on the page. */
  readonly at: Point2;
}

/** A line of text set character by character (no kerning: the width is then the plain sum of the advances). */
export function setCharacters(
  line: {
    readonly text: string;
    readonly at: Point2;
    readonly size: number;
    readonly bold: boolean;
    readonly anchor: 'start' | 'middle' | 'end';
  },
  width: number,
): SetCharacter[] {
  let x = line.at.x - { start: 0, middle: width / 2, end: width }[line.anchor];
  return drawnCharacters(line.text, line.bold).map((character) => {
    const at = { x, y: line.at.y };
    x += advanceOf(character, line.bold) * line.size;
    return { character, at };
  });
}
