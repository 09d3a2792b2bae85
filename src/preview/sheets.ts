import { toDegrees } from '../kernel/units.ts';
import { WHOLE_FLOOR } from '../program/stays.ts';
import { bare, beforeCut, long } from './figures.ts';
import { html, type Markup, NOTHING } from './html.ts';
import { stringName } from './scene.ts';
import type { PreviewProgram, PreviewTask } from './task.ts';

/** A sheet before it is numbered. */
export interface Sheet {
  readonly id: string;
  readonly title: string;
  readonly body: Markup;
}

export function tableOf(caption: string, head: readonly string[], rows: readonly (readonly string[])[]): Markup {
  const cell = (text: string, i: number): Markup => (i === 0 ? html`<th scope="row">${text}</th>` : html`<td>${text}</td>`);
  const title = (text: string): Markup => (text === '' ? html`<td></td>` : html`<th scope="col">${text}</th>`);
  return html`<h3>${caption}</h3><div class="wide" tabindex="0" role="region" aria-label="${caption}"><table><thead><tr>${head.map(title)}</tr></thead><tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>`)}</tbody></table></div>`;
}

export function stampOf({ verdict, name }: PreviewProgram): Markup {
  const count = verdict.faults.length;
  return verdict.proved
    ? html`<p><span class="stamp">PROVED</span> ${name}</p>`
    : html`<p><span class="stamp no">NOT PROVED</span> ${name}: ${count} ${count === 1 ? 'fault' : 'faults'}, marked on the drawing. Do not run it.</p>`;
}

function stamps({ programs, noProgram }: PreviewTask): readonly Markup[] {
  return programs.length > 0 ? programs.map(stampOf) : [html`<p>${noProgram}</p>`];
}

export function depthsTable(task: PreviewTask): Markup {
  const { floor, units } = task;
  const d = floor.depths;
  const rows = [
    ['mouth', d.mouthBass, d.mouthCentre, d.mouthTreble],
    ['rear wall', d.rearBass, d.rearCentre, d.rearTreble],
  ].map(([name, ...depths]) => [String(name), ...depths.map((depth) => bare(Number(depth), units))]);
  return tableOf(`Depth below the floor as found, ${units}`, ['', 'bass', 'centre', 'treble'], rows);
}

export function stopsList(task: PreviewTask): Markup {
  if (task.stops.length === 0) return NOTHING;
  const { units } = task;
  const items = task.stops.map(({ edge, at, why }) => {
    const [bass, treble] = [long(at.bass, units), long(at.treble, units)];
    const depth = bass === treble ? bass : `${bass} bass, ${treble} treble`;
    return html`<li><strong>${depth}</strong> at the ${edge === 'rear' ? 'rear wall' : 'mouth'}: ${why}</li>`;
  });
  return html`<h3>Where to stop and fit</h3><ol>${items}</ol>`;
}

export function figuresTable(task: PreviewTask): Markup {
  const { solution, floor, units, setting } = task;
  const { crowns, saddles } = setting;
  const angle = (radians: number): string => `${Math.abs(toDegrees(radians)).toFixed(2)} degrees`;
  const saddle = (name: string, { up, within }: { up: number; within: boolean }): string[] => [
    `${name} saddle above its lowest`,
    within ? long(up, units) : 'out of its travel',
  ];
  const rows = [
    ...(floor.deepest > 0
      ? [
          ['deepest', `${long(floor.deepest, units)} ±${bare(task.deepestUncertainty, units)}`],
          ['slope', `${angle(solution.pitch)}${solution.pitch === 0 ? '' : solution.pitch > 0 ? ', back' : ', forward'}`],
          ...(solution.roll === 0
            ? []
            : [['roll', `${angle(solution.roll)}, ${solution.roll > 0 ? 'treble' : 'bass'} side deeper`]]),
          [solution.nutDrop >= 0 ? 'nut goes down' : 'nut comes up', long(Math.abs(solution.nutDrop), units)],
          ['thinnest wood under the pocket', long(floor.thinnest, units)],
        ]
      : []),
    [`fret tops over the body at the mouth, ${beforeCut(task.isFiled)}`, long(crowns.mouthBefore, units)],
    ...(floor.deepest > 0 ? [['fret tops there, after the cut', long(crowns.mouthAfter, units)]] : []),
    saddle('bass', saddles.bass),
    saddle('treble', saddles.treble),
  ];
  return html`${tableOf('For the bench card', ['what', 'figure'], rows)}<p>The saddle figures are for a playing height of ${long(task.action, units)} over the 12th fret.</p>`;
}

export function screwsTable(task: PreviewTask): Markup {
  const { floor, units } = task;
  if (floor.screws.length === 0) return NOTHING;
  const rows = floor.screws.map((screw) => [
    `${bare(screw.x, units, -1)}, ${bare(screw.y, units, -1)}`,
    bare(screw.holdBefore, units),
    bare(screw.hold, units),
    screw.tip === undefined ? 'not given' : bare(screw.tip, units),
  ]);
  return tableOf(
    `Screws in the neck, ${units}`,
    ['x, y', `${task.isFiled ? 'held' : 'holds'} ${beforeCut(task.isFiled)}`, 'then', 'wood over tip'],
    rows,
  );
}

/** What is left for the chisel, and before it what the first of two cutters leaves for the second. */
function staysTables({ stays, staysForRim, units }: PreviewTask): Markup[] {
  const isSecond = staysForRim.length > 0;
  const forWhom = stays.some(({ where }) => where === WHOLE_FLOOR) ? 'for chisel and file' : 'for the chisel';
  return [
    { left: staysForRim, caption: 'What the first cutter leaves' },
    {
      left: stays,
      caption: `${isSecond ? 'What the rim cutter leaves of it' : 'What the cutter leaves'} ${forWhom}`,
    },
  ]
    .filter(({ left }) => left.length > 0)
    .map(({ left, caption }) => {
      const rows = left.map((stay) => [stay.where, long(stay.height, units), long(stay.width, units)]);
      return tableOf(caption, ['where', 'height', 'width'], rows);
    });
}

function fitNotes(task: PreviewTask): Markup {
  if (task.fitNotes.length === 0) return NOTHING;
  return html`<h3>Notes of the test fits</h3><ul>${task.fitNotes.map((note) => html`<li>${note}</li>`)}</ul>`;
}

export function answerSheet(task: PreviewTask): Sheet {
  const isCut = task.floor.deepest > 0;
  const tables = isCut ? [depthsTable(task), figuresTable(task), screwsTable(task), ...staysTables(task)] : [figuresTable(task)];
  return {
    id: 'answer',
    title: 'What to take off',
    body: html`<div class="pair"><div class="told"><p class="lead">${task.lead}</p>${stamps(task)}</div>
<section class="cautions" aria-labelledby="cautions"><h3 id="cautions">Mind this</h3><ul>${task.cautions.map((caution) => html`<li>${caution}</li>`)}</ul></section></div>
<div class="columns"><div>${stopsList(task)}${tables.slice(0, 1)}${fitNotes(task)}</div>${tables.slice(1).map((table) => html`<div>${table}</div>`)}</div>`,
  };
}

export function stringsSheet(task: PreviewTask): Sheet {
  const { asFound, afterCut, instrument } = task.solution;
  const count = instrument.plans.length;
  const isCut = task.floor.deepest > 0;
  const { units } = task;
  const rows = afterCut.low.map((low, i) => [
    stringName(i, count).replace('String ', ''),
    bare(asFound.low[i]?.gap ?? 0, units),
    bare(asFound.high[i] ?? 0, units),
    ...(isCut ? [bare(low.gap, units), String(low.fret), bare(afterCut.high[i] ?? 0, units)] : []),
  ]);
  const head = [
    'string',
    `lowest ${beforeCut(task.isFiled)}`,
    `highest ${beforeCut(task.isFiled)}`,
    ...(isCut ? ['lowest then', 'at fret', 'highest then'] : []),
  ];
  const options = instrument.plans.map((_, i) => html`<option value="${i}">${stringName(i, count)}</option>`);
  return {
    id: 'strings',
    title: 'Strings over the frets',
    body: html`<p>From the side, nut on the left, bridge on the right; the neck is drawn lying still, so what the cut changes shows as saddles that stand lower or higher behind it.</p>
<div class="controls">
<label>String <select id="string">${options}</select></label>
<label for="tall"><span>Heights drawn <output id="tall-said"></output></span><input type="range" id="tall" min="1" max="40" step="1" value="20"></label>
<label>Fret <input type="number" id="fret" min="1" max="${instrument.crowns.frets}" step="1" value="${instrument.crowns.frets}"></label>
</div>
<svg class="draw" id="strings-drawing" role="img" aria-label="The string and the fret crowns from the side"></svg>
<p id="strings-scale"></p>
<ul class="key" id="strings-key"></ul>
<div class="pair"><div class="wide" id="fret-gaps" aria-live="polite"></div>
<div>${tableOf(`All strings, ${units}`, head, rows)}
<p>Lowest: over the nearest fret from the 12th up; highest: over the last fret. Below 0 the string lies on the frets there: its saddle is simply set higher.</p></div></div>`,
  };
}

/** The drawing's figures as a table: for who cannot see them, and on a small screen not all find room. */
function stationsTable({ stations, units }: PreviewTask): Markup {
  if (stations.length === 0) return NOTHING;
  const rows = stations.map(({ x, y, depth }) => [bare(x, units, -1), bare(y, units, -1), bare(depth, units)]);
  return html`<div class="stations">${tableOf(`Stations, ${units}`, ['from the mouth', 'from the centreline', 'depth'], rows)}</div>`;
}

export function floorSheet(task: PreviewTask): Sheet {
  const { outline } = task.solution;
  const half = Math.max(outline.mouthHalf, outline.rearHalf);
  return {
    id: 'floor',
    title: 'The floor from above',
    body: html`<p>Depth below the floor as found: the darker, the deeper. Mouth on the left, bridge on the right, ${task.hand === 'right' ? 'treble' : 'bass'} side up.</p>
<div class="beside"><div><svg class="draw" id="floor-drawing" role="img" aria-label="The floor from above with its sections along and across"></svg></div>
<div class="notes"><ul class="key" id="floor-key" aria-label="Depths by shade"></ul>
<div class="controls">
<label for="cut-x"><span>Section B, across at <output id="cut-x-said"></output></span><input type="range" id="cut-x" min="0" max="${outline.length}" step="0.1" value="${outline.length / 4}"></label>
<label for="cut-y"><span>Section A, along at <output id="cut-y-said"></output></span><input type="range" id="cut-y" min="${-half}" max="${half}" step="0.1" value="0"></label>
</div>
<p id="floor-scale"></p>
<p id="floor-at" aria-live="polite"></p>
<p id="floor-left"></p>
${stationsTable(task)}</div></div>`,
  };
}
