import { byId, make } from '../../preview/client/dom.ts';
import type { Words } from '../words.ts';

export interface PlaceRows {
  readonly values: () => { readonly x: string; readonly y: string }[];
  readonly fill: (places: readonly { readonly x: string; readonly y: string }[]) => void;
}

/** Rows of x and y, as many as there are holes. Rows without either do not count. */
export function placeRows(id: string, words: Words, changed: () => void): PlaceRows {
  const box = byId(id, HTMLElement);
  const inputs = (): HTMLInputElement[] => [...box.querySelectorAll('input')];
  const addRow = (x: string, y: string): HTMLInputElement => {
    const row = make('span');
    row.className = 'place-row';
    const count = box.children.length + 1;
    const made = [
      [words.placeX, x],
      [words.placeY, y],
    ].map(([name = '', value = '']) => {
      const input = make('input');
      input.value = value;
      input.autocomplete = 'off';
      input.setAttribute('aria-label', `${name} ${count}`);
      input.setAttribute('aria-describedby', `${id}-how ${id}-said`);
      input.addEventListener('input', changed);
      row.append(make('span', `${name} ${count}`), input);
      return input;
    });
    box.append(row);
    return made[0] as HTMLInputElement;
  };
  byId(`${id}-add`, HTMLButtonElement).addEventListener('click', () => addRow('', '').focus());
  byId(`${id}-less`, HTMLButtonElement).addEventListener('click', () => {
    box.lastElementChild?.remove();
    changed();
  });
  return {
    values: () =>
      inputs()
        .filter((_, i) => i % 2 === 0)
        .map((x, i) => ({ x: x.value.trim(), y: inputs()[2 * i + 1]?.value.trim() ?? '' }))
        .filter(({ x, y }) => x !== '' || y !== ''),
    fill: (places) => {
      if (box.contains(document.activeElement)) return;
      box.replaceChildren();
      for (const { x, y } of places) addRow(x, y);
    },
  };
}
