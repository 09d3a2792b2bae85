import { depthAt } from '../../kernel/plane.ts';
import { fromMm, type Unit } from '../../kernel/units.ts';
import type { Point3 } from '../../kernel/vector.ts';
import { clock, long } from '../figures.ts';
import { asSaid } from '../lie.ts';
import { CUT, RAPID, type Timeline } from '../timeline.ts';
import { add, keyItem, make } from './dom.ts';
import type { Extent, SideFrame } from './frames.ts';
import type { SceneUnder } from './run.ts';

/** A moment in figures; mm, as drawn, NaN where the program has not said yet. */
export interface Reading {
  readonly line: number;
  readonly at: Point3;
  /** The step under way, or the last one that is over. */
  readonly step: number;
  readonly seconds: number;
  readonly level: string;
  /** The drawing has not caught up with the moment. */
  readonly behind: boolean;
}

/**
 * Keeps the row of figures under the controls: X, Y and Z as the machine shows them. Its data attributes say the same in plain millimetres.
 */
export function readout(list: HTMLDListElement, scene: SceneUnder, timeline: Timeline): (reading: Reading) => void {
  const { units, plane, program } = scene;
  const cells = new Map<string, HTMLElement>();
  for (const name of [
    'line',
    'X',
    'Y',
    'Z',
    'below the floor as found',
    'over the floor to cut',
    'feed',
    'spindle',
    'level',
    'time left',
  ]) {
    const group = make('div');
    const value = make('dd', '');
    group.append(make('dt', name), value);
    list.append(group);
    cells.set(name, value);
  }
  const put = (name: string, text: string): void => {
    const cell = cells.get(name);
    if (cell !== undefined && cell.textContent !== text) cell.textContent = text;
  };
  const length = (mm: number): string => (Number.isNaN(mm) ? 'not said' : long(mm, units));
  return ({ line, at, step, seconds, level, behind }) => {
    put('line', `${line} of ${timeline.lines}`);
    const said = asSaid(program.lie, at);
    put('X', length(said.x));
    put('Y', length(said.y));
    put('Z', length(said.z));
    put('below the floor as found', Number.isNaN(at.x + at.y + at.z) ? 'not said' : at.z < 0 ? long(-at.z, units) : 'above it');
    const over = at.z + depthAt(plane, at.x, at.y);
    put('over the floor to cut', length(over));
    const feed = timeline.feed[step] ?? Number.NaN;
    const kind = timeline.kind[step];
    put(
      'feed',
      kind === CUT && !Number.isNaN(feed)
        ? `${fromMm(feed, units).toFixed(units === 'mm' ? 0 : 1)} ${units}/min`
        : kind === RAPID
          ? 'rapid'
          : 'none',
    );
    put('spindle', timeline.spindle[step] === 1 ? 'turning' : 'off');
    put('level', level);
    put('time left', clock(timeline.seconds - seconds));
    const plain = (value: number): string => (Number.isNaN(value) ? '' : value.toFixed(4));
    Object.assign(list.dataset, {
      line: String(line),
      x: plain(said.x),
      y: plain(said.y),
      z: plain(said.z),
      behind: String(behind),
    });
  };
}

export function routeKey(key: HTMLUListElement, { program }: SceneUnder, showsLeft: boolean): void {
  keyItem(key, 'done', (svg) => add(svg, 'path', { d: 'M0 8H34', stroke: 'currentColor', 'stroke-width': 1.6 }));
  keyItem(key, 'still to come', (svg) => add(svg, 'path', { d: 'M0 8H34', stroke: 'var(--rule)', 'stroke-width': 1 }));
  keyItem(key, 'rapid, or above the floor as found', (svg) =>
    add(svg, 'path', { d: 'M0 8H34', stroke: 'currentColor', 'stroke-width': 1, 'stroke-dasharray': '2 4' }),
  );
  keyItem(key, 'the cutter, its middle and its way', (svg) => {
    add(svg, 'circle', { cx: 17, cy: 8, r: 7, stroke: 'var(--mark)', 'stroke-width': 2, fill: 'none' });
    add(svg, 'circle', { cx: 17, cy: 8, r: 3, fill: 'var(--mark)' });
  });
  keyItem(key, "the program's zero, its X and Y", (svg) => {
    add(svg, 'path', {
      d: 'M7 13H24m-4 -3l4 3l-4 3M7 13V2m-3 3l3 -3l3 3',
      stroke: 'currentColor',
      'stroke-width': 1.6,
      fill: 'none',
    });
    add(svg, 'circle', { cx: 7, cy: 13, r: 2.6, stroke: 'currentColor', fill: 'var(--paper)' });
  });
  keyItem(key, 'from the side: floor as found', (svg) =>
    add(svg, 'path', { d: 'M0 8H34', stroke: 'currentColor', 'stroke-dasharray': '6 4' }),
  );
  keyItem(key, 'floor to cut', (svg) =>
    add(svg, 'path', { d: 'M0 8H34', stroke: 'currentColor', 'stroke-width': 1.6, 'stroke-dasharray': '14 3 2 3' }),
  );
  if (program.faults.length > 0)
    keyItem(key, 'a fault', (svg) => {
      add(svg, 'circle', { cx: 17, cy: 8, r: 7, stroke: 'var(--fault)', 'stroke-width': 2, fill: 'none' });
      add(svg, 'path', { d: 'M13 4l8 8m0-8l-8 8', stroke: 'var(--fault)', 'stroke-width': 2 });
    });
  if (showsLeft)
    keyItem(key, 'wood above the floor to cut', (svg) => {
      add(svg, 'rect', { x: 0.5, y: 0.5, width: 33, height: 15, fill: 'var(--wash)', stroke: 'currentColor' });
      add(svg, 'path', { d: 'M1 8L8 1M1 15L15 1M8 15L22 1M15 15L29 1M22 15L33 4M29 15L33 11', stroke: 'currentColor' });
    });
  keyItem(key, 'cut too deep', (svg) => {
    add(svg, 'rect', { x: 0.5, y: 0.5, width: 33, height: 15, fill: 'var(--paper)', stroke: 'currentColor' });
    for (let i = 0; i < 8; i++)
      add(svg, 'rect', { x: 1 + i * 4, y: i % 2 === 0 ? 1 : 8, width: 4, height: 7, fill: 'var(--fault)' });
  });
}

export function sideScaleSaid(frame: SideFrame, extent: Extent, units: Unit): string {
  const heights = frame.times === 1 ? 'to the same scale as lengths' : `${frame.times} times as large as lengths`;
  return `The lower drawing shows the same moment from the side, cut open under the cutter; heights are drawn ${heights}, those above the broken line squeezed up to ${long(extent.z1, units)}.`;
}
