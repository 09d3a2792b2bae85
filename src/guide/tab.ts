import { type Board, isFree, placeFirst, placeText } from './board.ts';
import { type Box, type PathMark, type TextMark, textBox } from './drawing.ts';
import type { SheetMap } from './sheetMap.ts';
import type { GuideTask } from './task.ts';
import { textWidth } from './text.ts';

const NAME_TEXT = 5.5;
/** mm. Space around the outline for labels (at the sides, and at the mouth and rear), and what the names take beyond it. */
export const RING_END = 8;
export const NAME_ROW = 6;
const NAME_SIDE = 21;
const BOTH_UNITS = 13;
/** mm. How far the tab stands out of the mouth: labels and names in it stay with the map when it is cut out. */
const TAB = RING_END + NAME_ROW - 0.3;
/** mm of paper beside a word on the tab. */
const BESIDE = 1.2;

function name(
  text: string,
  at: { readonly x: number; readonly y: number },
  anchor: TextMark['anchor'],
  size = NAME_TEXT,
): TextMark {
  return { kind: 'text', at, text, size, anchor, bold: true };
}

/**
 * The tab that stays on at the mouth when the map is cut out, and is folded down over the mouth's face: laid in turned round, it would stand up
 * against the rear wall; laid in mirrored, its words would be gone. It names mouth and sides.
 */
export function layTab(board: Board, task: GuideTask, map: SheetMap, bounds: Box): void {
  const half = map.kx * task.outline.mouthHalf;
  const [left, right] = [map.origin.x - half, map.origin.x + half];
  const [mouth, top] = [map.origin.y, bounds.top - TAB];
  const corners = [
    { x: left, y: mouth },
    { x: left, y: top },
    { x: right, y: top },
    { x: right, y: mouth },
  ];
  corners.slice(1).forEach((to, i) => {
    board.fixed.push({ from: corners[i] as (typeof corners)[number], to });
  });
  const edge: PathMark = {
    kind: 'path',
    id: 'tab',
    steps: corners.map((to, i) => ({ kind: i === 0 ? 'move' : 'line', to })),
    stroke: { width: 0.35, grey: '#000' },
  };
  board.marks.push(edge);
  const row = bounds.top - RING_END;
  const size = Math.min(NAME_TEXT, (2 * half - 2 * BESIDE) / textWidth('MOUTH', 1, true));
  placeText(board, name('MOUTH', { x: map.origin.x, y: row }, 'middle', size));
  const [first, last] = task.hand === 'right' ? ['bass', 'treble'] : ['treble', 'bass'];
  sideWords(board, first as string, last as string, left + BESIDE, right - BESIDE, row);
}

/** Both sides' names beside the mouth's, or both under it; their first letters where there is no more room. */
function sideWords(board: Board, first: string, last: string, left: number, right: number, row: number): void {
  const pairs = [1, 0].flatMap((long) =>
    [row, row + 5.2].map((y): readonly [TextMark, TextMark] => {
      const said = (word: string): string => (long === 1 ? word : (word[0] as string).toUpperCase());
      return [name(said(first), { x: left, y }, 'start', 4), name(said(last), { x: right, y }, 'end', 4)];
    }),
  );
  const found = pairs.find(([one, other]) => {
    const apart = textBox(one).right + 1 < textBox(other).left;
    return apart && isFree(board, textBox(one)) && isFree(board, textBox(other));
  });
  for (const mark of found ?? []) placeText(board, mark);
}

/** REAR, and the sides' names beside the map, to be read from afar. */
export function layNames(board: Board, task: GuideTask, bounds: Box): void {
  const middle = (bounds.left + bounds.right) / 2;
  const top = bounds.top - RING_END;
  placeText(board, name('REAR', { x: middle, y: bounds.bottom + RING_END + 0.8 * NAME_TEXT }, 'middle'));
  // Page x runs along body +y: the treble side of a right-handed instrument.
  const [left, right] = task.hand === 'right' ? ['BASS', 'TREBLE'] : ['TREBLE', 'BASS'];
  const levels = [0.5, 0.25, 0.75, 0.05, 0.95].map(
    (share) => bounds.top + share * (bounds.bottom - bounds.top) + 0.37 * NAME_TEXT,
  );
  placeFirst(board, [
    ...levels.map((y) => name(left as string, { x: bounds.left - NAME_SIDE, y }, 'end')),
    ...[0, -8, -16].map((dx) => name(left as string, { x: bounds.left + dx, y: top }, 'start')),
    ...[0, 6].map((dy) => name(left as string, { x: bounds.left, y: top - 8 - dy }, 'start')),
  ]);
  placeFirst(board, [
    // The lines' depths in both units stand at this side: beyond them if there is room.
    ...[NAME_SIDE + BOTH_UNITS, NAME_SIDE].flatMap((dx) =>
      levels.map((y) => name(right as string, { x: bounds.right + dx, y }, 'start')),
    ),
    ...[0, 8, 16].map((dx) => name(right as string, { x: bounds.right + dx, y: top }, 'end')),
    ...[0, 6].map((dy) => name(right as string, { x: bounds.right, y: top - 8 - dy }, 'end')),
  ]);
}
