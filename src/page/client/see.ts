import type { Drawing } from '../../guide/drawing.ts';
import { depthAt } from '../../kernel/plane.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { floorDrawing } from '../../preview/client/floorDrawing.ts';
import { stringsDrawing } from '../../preview/client/stringsDrawing.ts';
import type { Markup } from '../../preview/html.ts';
import { sceneOf } from '../../preview/scene.ts';
import { floorSheet, stringsSheet } from '../../preview/sheets.ts';
import type { PreviewTask, Station } from '../../preview/task.ts';
import { previewTaskOf } from '../../previewJob.ts';
import type { Outcome } from '../../report/outcome.ts';
import { answerMarkup, curesMarkup, figuresMarkup } from '../answer.ts';
import type { Words } from '../words.ts';

export interface See {
  /** The drawings alone, while somebody types: quick, and without the guide's own places. */
  readonly draft: (outcome: Outcome) => void;
  /** Everything, in words and figures as well. */
  readonly show: (outcome: Outcome, map: Drawing | undefined, invented: number) => void;
  /** The figures no longer belong to what is measured; `why` are refusals of a sound job. */
  readonly wait: (why: readonly string[]) => void;
  readonly draw: (printing: boolean) => void;
}

/** Puts new markup in the place of the old; what was set by hand in it, and where the hand is, stays. */
function renew(element: Element, markup: Markup): void {
  const set = new Map(
    [...element.querySelectorAll<HTMLInputElement | HTMLSelectElement>('input[id], select[id]')].map(({ id, value }) => [
      id,
      value,
    ]),
  );
  const focused = element.contains(document.activeElement) ? document.activeElement?.id : undefined;
  element.innerHTML = markup.markup;
  for (const [id, value] of set) {
    const again = element.querySelector<HTMLInputElement | HTMLSelectElement>(`#${id}`);
    if (again !== null) again.value = value;
    if (again instanceof HTMLSelectElement && again.selectedIndex < 0) again.selectedIndex = 0;
  }
  if (focused !== undefined && focused !== '') document.getElementById(focused)?.focus();
}

/** The sheet that moves with every change: the preview's own words and drawings. */
export function makeSee(words: Words): See {
  const part = (id: string): HTMLDivElement => byId(id, HTMLDivElement);
  const parts = ['answer', 'strings-part', 'floor-part', 'figures', 'cures'];
  const drawings: ((printing: boolean) => void)[] = [];
  const shown: { any: boolean; stations: readonly Station[] } = { any: false, stations: [] };
  const drawingsOf = (task: PreviewTask): void => {
    const scene = sceneOf(task);
    const isCut = task.floor.deepest > 0;
    drawings.length = 0;
    part('strings-part').classList.remove('hidden');
    renew(part('strings-body'), stringsSheet(task).body);
    drawings.push(stringsDrawing(scene));
    part('floor-part').classList.toggle('hidden', !isCut);
    if (isCut) {
      renew(part('floor-body'), floorSheet(task).body);
      drawings.push(floorDrawing(scene).draw);
    } else part('floor-body').replaceChildren();
    part('waiting').replaceChildren();
    byId('stale', HTMLParagraphElement).classList.add('hidden');
    for (const id of parts) part(id).classList.remove('old');
    shown.any = true;
  };
  return {
    draft: (outcome) => {
      const task = previewTaskOf(outcome, undefined, []);
      // The places of the last whole answer stay where they are until the next one.
      const stations = shown.stations.map(({ x, y }) => ({ x, y, depth: depthAt(outcome.solution.plane, x, y) }));
      drawingsOf({ ...task, stations });
    },
    show: (outcome, map, invented) => {
      const task = previewTaskOf(outcome, map, []);
      shown.stations = task.stations;
      drawingsOf(task);
      renew(part('answer'), answerMarkup(task, outcome, words, invented));
      renew(part('figures'), figuresMarkup(task, words));
      renew(part('cures'), curesMarkup(outcome, words));
    },
    wait: (why) => {
      byId('stale', HTMLParagraphElement).classList.toggle('hidden', !shown.any);
      for (const id of parts) part(id).classList.toggle('old', shown.any);
      const list = make('ul');
      list.append(...why.map((text) => make('li', text)));
      part('waiting').replaceChildren(
        ...(why.length > 0 ? [make('p', words.see.cannot), list] : shown.any ? [] : [make('p', words.see.waiting)]),
      );
    },
    draw: (printing) => {
      for (const each of drawings) each(printing);
    },
  };
}
