import { seen } from '../html.ts';
import type { FaultScene } from '../scene.ts';
import { make } from './dom.ts';

/** Lines shown before and after the one at hand. */
const AROUND = 3;

/** The strip with the program's line at a moment and its neighbours; text is set as text, whatever it says. */
export function listing(list: HTMLOListElement, lines: readonly string[], faults: readonly FaultScene[]): (line: number) => void {
  const faultsAt = new Map<number, string[]>();
  for (const { line, rule, message } of faults) faultsAt.set(line, [...(faultsAt.get(line) ?? []), `${rule}: ${message}`]);
  return (line) => {
    // The strip keeps its length at both ends of the text, so that nothing below it moves.
    const first = Math.max(1, Math.min(line - AROUND, lines.length - 2 * AROUND));
    const items: HTMLLIElement[] = [];
    for (let n = first; n <= Math.min(lines.length, first + 2 * AROUND); n++) {
      const item = make('li');
      const why = faultsAt.get(n) ?? [];
      if (n === line) item.setAttribute('aria-current', 'step');
      const number = make('span', String(n));
      number.className = 'number';
      item.append(make('span', why.length > 0 ? '✕' : n === line ? '▶' : ''), number, make('span', seen(lines[n - 1] ?? '')));
      for (const text of why) {
        const reason = make('span', text);
        reason.className = 'why';
        item.append(reason);
      }
      items.push(item);
    }
    list.replaceChildren(...items);
  };
}
