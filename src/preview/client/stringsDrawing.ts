import { fromMm, toMm } from '../../kernel/units.ts';
import { beforeCut, long, niceAbove } from '../figures.ts';
import type { Scene, StringScene } from '../scene.ts';
import { STATES, type State } from '../states.ts';
import { add, byId, keyItem, make, onWidth, PAPER_WIDTH, path, placeIn, sheetOf } from './dom.ts';

const wordsOf = ({ isFiled }: Scene): Readonly<Record<State, string>> => ({
  nowLowest: `${beforeCut(isFiled)}, lowest`,
  nowHighest: `${beforeCut(isFiled)}, highest`,
  thenLowest: 'after the cut, lowest',
  thenHighest: 'after the cut, highest',
});
const DASHES: Readonly<Record<State, string>> = {
  nowLowest: '7 4',
  nowHighest: '2 4',
  thenLowest: 'none',
  thenHighest: '14 3 2 3',
};
/** Frets that carry a number; the last one always does. */
const NUMBERED = new Set([1, 3, 5, 7, 9, 12, 15, 17, 19, 21, 24]);
const LABELLED_FROM = 660;
const LINE = 16;

/** Texts down the right edge, each as near its own line as the others let it be. */
function spread(wanted: readonly number[]): number[] {
  const order = wanted.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y);
  let last = Number.NEGATIVE_INFINITY;
  for (const item of order) {
    item.y = Math.max(item.y, last + LINE);
    last = item.y;
  }
  return wanted.map((_, i) => order.find((item) => item.i === i)?.y ?? 0);
}

export function stringsDrawing(scene: Scene): (printing: boolean) => void {
  const svg = byId('strings-drawing', SVGSVGElement);
  const choice = byId('string', HTMLSelectElement);
  const tall = byId('tall', HTMLInputElement);
  const fretField = byId('fret', HTMLInputElement);
  const states = scene.deepest > 0 ? STATES : (['nowLowest', 'nowHighest'] as const);
  const { units } = scene;
  const words = wordsOf(scene);
  let fretAt: readonly number[] = [];
  let screenWidth = 0;

  const chosen = (): StringScene => scene.strings[Number(choice.value)] as StringScene;
  const frets = chosen().crowns.length;
  const fretNow = (): number => Math.max(1, Math.min(frets, Math.round(Number(fretField.value)) || frets));

  const sayGaps = (): void => {
    const fret = fretNow();
    const table = make('table');
    table.createCaption().textContent = `${chosen().name}: gap over fret ${fret}`;
    const body = table.createTBody();
    for (const state of states) {
      const row = body.insertRow();
      const name = make('th', words[state]);
      name.scope = 'row';
      row.append(name, make('td', long(chosen().gaps[state][fret - 1] ?? 0, units)));
    }
    byId('fret-gaps', HTMLDivElement).replaceChildren(table);
  };

  const draw = (printing: boolean): void => {
    if (screenWidth === 0) return;
    const width = printing ? PAPER_WIDTH : screenWidth;
    const string = chosen();
    const times = Number(tall.value);
    const labelled = width >= LABELLED_FROM;
    const [left, right] = [16, labelled ? 190 : 22];
    const ends = states.map((state) => string.seats[state]);
    const xs = [...ends, string.nut].map(({ x }) => x);
    const zs = [...ends, string.nut, ...string.crowns].map(({ z }) => z);
    const k = (width - left - right) / (Math.max(...xs) - string.nut.x);
    // Bars to measure by: lengths and heights have scales of their own.
    const along = toMm(niceAbove(fromMm(60 / k, units)), units);
    const up = toMm(niceAbove(fromMm(22 / (k * times), units)), units);
    const top = 28 + up * k * times;
    const [low, high] = [Math.min(...zs), Math.max(...zs)];
    const X = (x: number): number => left + (x - string.nut.x) * k;
    const Y = (z: number): number => top + (high - z) * k * times;
    const foot = Y(low) + 14;
    sheetOf(svg, width, foot + 26);
    fretAt = string.crowns.map(({ x }) => X(x));
    add(svg, 'line', {
      x1: X(string.nut.x),
      x2: X(string.crowns.at(-1)?.x ?? 0) + 6,
      y1: foot,
      y2: foot,
      class: 'ink',
      'stroke-width': 1.5,
    });
    let lastText = X(string.nut.x) + 4;
    string.crowns.forEach(({ x, z }, i) => {
      const fret = i + 1;
      const on = fret === fretNow();
      add(svg, 'line', {
        x1: X(x),
        x2: X(x),
        y1: foot,
        y2: Y(z),
        class: on ? 'mark' : 'ink',
        'stroke-width': on ? 5 : 2.2,
        'data-fret': fret,
      });
      if (on)
        add(svg, 'line', {
          x1: X(x),
          x2: X(x),
          y1: top - 20,
          y2: Y(z),
          class: 'mark',
          'stroke-width': 1,
          'stroke-dasharray': '2 3',
        });
      if (
        (NUMBERED.has(fret) || fret === frets) &&
        X(x) - lastText > 24 &&
        (fret === frets || X(string.crowns.at(-1)?.x ?? 0) - X(x) > 24)
      ) {
        lastText = X(x);
        add(svg, 'text', { x: X(x), y: foot + 17, 'text-anchor': 'middle', class: 'soft' }, String(fret));
      }
    });
    add(svg, 'line', {
      x1: X(string.nut.x),
      x2: X(string.nut.x),
      y1: foot,
      y2: Y(string.nut.z),
      class: 'ink',
      'stroke-width': 5,
    });
    add(svg, 'text', { x: X(string.nut.x) - 6, y: foot + 17, class: 'soft' }, 'nut');
    for (const state of states) {
      const seat = string.seats[state];
      add(svg, 'path', {
        d: path(
          [string.nut, seat].map(({ x, z }) => ({ x: X(x), y: Y(z) })),
          false,
        ),
        class: 'ink',
        'stroke-width': state.startsWith('then') ? 2.4 : 1.3,
        'stroke-dasharray': DASHES[state],
      });
      add(svg, 'circle', { cx: X(seat.x), cy: Y(seat.z), r: 3.5, fill: 'currentColor' });
    }
    if (labelled) {
      const levels = spread(ends.map(({ z }) => Y(z) + 4.5));
      states.forEach((state, i) => {
        const seat = string.seats[state];
        add(svg, 'line', {
          x1: X(seat.x) + 5,
          x2: X(seat.x) + 16,
          y1: Y(seat.z),
          y2: (levels[i] ?? 0) - 4.5,
          class: 'soft-line',
        });
        add(svg, 'text', { x: X(seat.x) + 20, y: levels[i] ?? 0 }, words[state]);
      });
    }
    add(svg, 'path', { d: `M${left} ${12}v8M${left} ${16}h${along * k}m0 -4v8`, class: 'ink', 'stroke-width': 1.5 });
    add(svg, 'text', { x: left + along * k + 8, y: 21 }, long(along, units));
    const upX = left + along * k + 110;
    add(svg, 'path', { d: `M${upX - 4} 8h8m-4 0v${up * k * times}m-4 0h8`, class: 'ink', 'stroke-width': 1.5 });
    add(svg, 'text', { x: upX + 10, y: 21 }, long(up, units));
    byId('tall-said', HTMLOutputElement).textContent = times === 1 ? 'as they are, 1:1' : `${times}:1`;
    const said = times === 1 ? 'Lengths and heights have the same scale' : `Heights are drawn ${times} times as large as lengths`;
    byId('strings-scale', HTMLParagraphElement).textContent =
      `${said}; the bars show ${long(along, units)} along and ${long(up, units)} up.`;
  };

  const key = byId('strings-key', HTMLUListElement);
  for (const state of states)
    keyItem(key, words[state], (sample) => {
      const stroke = state.startsWith('then') ? 2.4 : 1.3;
      add(sample, 'path', { d: 'M0 8H34', stroke: 'currentColor', 'stroke-width': stroke, 'stroke-dasharray': DASHES[state] });
    });
  const all = (): void => {
    draw(false);
    sayGaps();
  };
  for (const field of [choice, tall, fretField]) field.addEventListener('input', all);
  const follow = (event: PointerEvent): void => {
    const { x } = placeIn(svg, event);
    const distance = (at: number): number => Math.abs(at - x);
    const nearest = fretAt.reduce((best, at, i) => (distance(at) < distance(fretAt[best] ?? 0) ? i : best), 0);
    if (distance(fretAt[nearest] ?? 0) > 24 || nearest + 1 === fretNow()) return;
    fretField.value = String(nearest + 1);
    all();
  };
  // A finger comes down without having moved.
  for (const kind of ['pointermove', 'pointerdown'] as const) svg.addEventListener(kind, follow);
  onWidth(svg, (now) => {
    screenWidth = now;
    draw(false);
  });
  sayGaps();
  return draw;
}
