import { type Drawing, textBox } from './drawing.ts';
import { BAR_COLUMN, BAR_ROW, bars, HEAD_TEXT, heading, MARGIN, NOTE_TEXT, noteBlock, PAPERS } from './frame.ts';
import { layMap, mapNeeds } from './mapMarks.ts';
import { mapAt } from './sheetMap.ts';
import { pausesOf } from './stages.ts';
import type { GuideTask } from './task.ts';
import { type Held, notes, sentences } from './words.ts';

interface MapPage extends Drawing {
  readonly held: Held;
}

/** What makes the longest notes. */
function mostHeld(task: GuideTask): Held {
  const paused = pausesOf(task).map(({ stage }) => ({ stage, isDrawn: true }));
  const most = { hiddenScrews: task.screws.length, strips: 1, hasRim: true, underTop: 1, contourStep: task.deepest };
  return { ...most, paused, before: { full: 10, last: task.deepest }, step: task.deepest, even: task.plane.skim };
}

function mapPage(task: GuideTask, noted: 'here' | 'next'): MapPage | undefined {
  const { width, height } = PAPERS[task.sheet.paper];
  const head = heading(task, width, MARGIN - 1, 'Pocket floor, true to size', sentences(task));
  const top = MARGIN + head.height + 2;
  const needs = mapNeeds(task);
  const area = { left: MARGIN + BAR_COLUMN, right: width - MARGIN, top };
  const texts = (held: Held): string[] => {
    const all = notes(task, held);
    return noted === 'here' ? all : ['How to print, read and use this sheet: see the second one.'];
  };
  // Laid out for the longest notes, so that the map's place does not depend on what the map turns out to hold.
  const noteHeight = noteBlock(texts(mostHeld(task)), width, 0, NOTE_TEXT).height;
  const foot = height - MARGIN - noteHeight - 1;
  const bottom = foot - BAR_ROW;
  const barNeeds = 10000 / task.sheet.measuredY + 8 + 12;
  if (needs.height > bottom - top || barNeeds > foot - top || needs.width > area.right - area.left) return undefined;
  const { bounds } = needs;
  const origin = {
    x: (area.left + area.right - bounds.left - bounds.right) / 2,
    y: (top + bottom - bounds.top - bounds.bottom) / 2,
  };
  const checkBars = bars(task, foot);
  const taken = checkBars.flatMap((mark) => (mark.kind === 'text' ? [textBox(mark)] : []));
  const map = layMap(task, mapAt(task.sheet, origin), { ...area, bottom }, taken);
  const note = noteBlock(texts(map), width, foot + 2, NOTE_TEXT);
  const marks = [...head.marks, ...map.marks, ...checkBars, ...note.marks];
  return { width, height, marks, held: map };
}

function notePage(task: GuideTask, held: Held): Drawing {
  const { width, height } = PAPERS[task.sheet.paper];
  const head = heading(task, width, MARGIN - 1, 'Pocket floor, true to size', sentences(task));
  const note = noteBlock(notes(task, held), width, MARGIN + head.height + 6, HEAD_TEXT, MARGIN + BAR_COLUMN);
  return { width, height, marks: [...head.marks, ...note.marks, ...bars(task, height - MARGIN)] };
}

/** The guide's sheets, the map on the first; none where the paper is too small for the map. */
export function layGuide(task: GuideTask): Drawing[] | undefined {
  const single = mapPage(task, 'here');
  if (single !== undefined) return [single];
  const first = mapPage(task, 'next');
  return first === undefined ? undefined : [first, notePage(task, first.held)];
}
