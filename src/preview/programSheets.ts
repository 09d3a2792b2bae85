import type { Unit } from '../kernel/units.ts';
import { endingOf } from './ending.ts';
import { long } from './figures.ts';
import { html, type Markup, NOTHING } from './html.ts';
import { type RuleRow, ruleRows } from './rules.ts';
import { type Sheet, stampOf } from './sheets.ts';
import type { PreviewProgram, PreviewTask } from './task.ts';

/** Which of several programs a sheet is of; nothing where there is only one. */
const WHOSE = ["The first cutter's", "The second cutter's"];

function faultList(program: PreviewProgram, end: string): Markup {
  const { faults } = program.verdict;
  if (faults.length === 0) return NOTHING;
  const items = faults.map(
    ({ rule, line, message }) =>
      html`<li><button type="button" data-line="${line}">Line ${line}</button><span><strong>${rule}</strong>: ${message}</span></li>`,
  );
  return html`<h3>Faults</h3><ol class="faults" id="faults${end}">${items}</ol>`;
}

/** How a body that does not lie as it is drawn lies on the machine. */
function lieSaid({ shop, mounted }: PreviewProgram): Markup {
  const { turn } = shop.program;
  if (turn === 0 && mounted === undefined) return NOTHING;
  const turned = turn === 0 ? '' : ` turned by ${turn} degrees`;
  const lies = [...(turned === '' ? [] : [turned]), ...(mounted === undefined ? [] : [' out of level'])].join(' and');
  return html`<p>The body lies${lies} on the table; it is drawn with its mouth on the left all the same, as seen along the spindle. X, Y and Z below are the machine's own, as its display shows them; the arrows at the zero are its axes.${mounted === undefined ? '' : ' Heights in the drawings are counted from the floor as found.'}</p>`;
}

/** What a second cutter's program begins with. */
function woodSaid(program: PreviewProgram, before: PreviewProgram | undefined, units: Unit): Markup {
  if (before === undefined) return NOTHING;
  const { higher = 0 } = program;
  return html`<p>${before.name} comes before, and the wood is drawn as that leaves it. Each cutter's zero is set by itself, so the wood may stand up to ${long(higher, units)} higher than drawn; the proof allows for that.</p>`;
}

function whose({ programs }: PreviewTask, at: number): string {
  return programs.length > 1 ? (WHOSE[at] ?? `Cutter ${at + 1}'s`) : "The cutter's";
}

function saidOf({ said = [] }: PreviewProgram): readonly Markup[] {
  return said.map((text) => html`<p><strong>${text}</strong></p>`);
}

function routeSheet(task: PreviewTask, at: number, program: PreviewProgram): Sheet {
  const end = endingOf(at);
  return {
    id: `route${end}`,
    title: `${whose(task, at)} way`,
    body: html`<p>${program.name}, drawn from its text. Rapids are counted at the cutting feed; stops are not counted.</p>
${woodSaid(program, task.programs[at - 1], task.units)}${lieSaid(program)}
<div class="controls">
<button type="button" id="run${end}">Run</button>
<button type="button" id="back${end}">Step back</button>
<button type="button" id="on${end}">Step on</button>
<label>Pace <select id="pace${end}"><option value="1">as at the machine</option><option value="10" selected>10 times as fast</option><option value="60">60 times as fast</option></select></label>
<label>Show <select id="level${end}"></select></label>
<label>Program line <input type="number" id="line${end}" min="0" step="1" value="0"></label>
</div>
<div class="controls"><label class="through" for="time${end}"><span>Time <output id="time-said${end}"></output></span><input type="range" id="time${end}" min="0" max="1000" step="any" value="0"></label>
<label class="through" for="lines-through${end}"><span>By program line <output id="line-said${end}"></output></span><input type="range" id="lines-through${end}" min="0" max="1000" step="1" value="0"></label></div>
<div class="beside views"><div class="first"><dl class="readout" id="state${end}"></dl></div>
<div class="drawn"><canvas id="above${end}" role="img" aria-label="${whose(task, at)} way and the wood from above"></canvas>
<canvas id="side${end}" role="img" aria-label="${whose(task, at)} way and the wood from the side, under the cutter"></canvas>
<h3 class="lines-title" id="lines-title${end}">The program at this moment</h3>
<ol class="lines" id="lines${end}" aria-labelledby="lines-title${end}"></ol></div>
<div class="notes"><ul class="key" id="route-key${end}"></ul>
<p id="route-scale${end}"></p>
<p class="said" id="route-said${end}" aria-live="polite"></p>
${faultList(program, end)}</div></div>`,
  };
}

const SIGNS: Readonly<Record<RuleRow['holds'], string>> = { holds: '✓', broken: '✕', 'not judged': '?', 'not asked': '–' };

/** What a program was judged as, where it is no ordinary one. */
function judgedAs({ kind, higher = 0 }: PreviewProgram, units: Unit): string {
  if (kind === 'floor') return '';
  if (kind === 'rim')
    return `, in the wood that the program before it leaves, taken to stand up to ${long(higher, units)} higher`;
  return `, as a program for ${kind === 'air' ? 'the air' : 'walking round the pocket'}`;
}

function verdictSheet(task: PreviewTask, at: number, program: PreviewProgram): Sheet {
  const rows = ruleRows(program, task.units).map(({ rule, asks, figure, holds, lines }) => {
    const at = lines.length === 0 ? '' : `, line ${lines.slice(0, 5).join(', ')}${lines.length > 5 ? ' …' : ''}`;
    return html`<tr><th scope="row"><span class="rule">${rule}</span> <span class="asks">${asks}</span></th><td class="words">${SIGNS[holds]} ${holds}${at}</td><td class="words">${figure}</td></tr>`;
  });
  const { shop } = program;
  const cutter =
    shop.cutter.diameter === undefined
      ? 'a cutter of unknown width'
      : `a flat cutter of ${long(shop.cutter.diameter, task.units)}`;
  return {
    id: `verdict${endingOf(at)}`,
    title: `${task.programs.length > 1 ? `${whose(task, at)} verdict` : 'The verdict'}, rule by rule`,
    body: html`${stampOf(program)}${saidOf(program)}<p>Judged from the program's text alone, against this job and ${cutter}${judgedAs(program, task.units)}.</p>
<table class="rules"><thead><tr><th scope="col">rule</th><th scope="col" class="words">verdict</th><th scope="col" class="words">figure</th></tr></thead><tbody>${rows}</tbody></table>
<p>The proof speaks about the text, the job and the shop file: not about a slipped clamp, a wrong zero, a wrong cutter or a machine that loses steps.</p>`,
  };
}

/** The way and the verdict of each program, in the order in which they are run. */
export function programSheets(task: PreviewTask): Sheet[] {
  return task.programs.flatMap((program, at) => [routeSheet(task, at, program), verdictSheet(task, at, program)]);
}
