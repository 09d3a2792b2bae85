import { depthAt } from '../kernel/plane.ts';
import { feedText, type Grid, gridText } from './grid.ts';
import type { Pass, Plan } from './passes.ts';
import { axesOf, lengthwise, onTable } from './table.ts';
import type { ReadyTask, Stay } from './task.ts';
import { depthText, lengthText, rimZeroLines, unitName, zeroLines } from './zero.ts';

/** Characters a line: the limit of the dialect. */
const LONGEST = 70;

export type Kind = 'floor' | 'air' | 'trace' | 'rim' | 'rim-air';

/** Programs of the second cutter. */
export function isRim(kind: Kind): boolean {
  return kind === 'rim' || kind === 'rim-air';
}

/** The text as comments on lines of their own. What some controllers act on inside a comment is left out, whoever wrote it. */
export function comments(text: string): string[] {
  const clean = text.replace(/[^A-Za-z0-9 .,\-_:=]/g, ' ').replace(/ +/g, ' ');
  const lines: string[] = [];
  let line = '';
  for (const word of clean.trim().split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (longer.length + 2 <= LONGEST) line = longer;
    else {
      lines.push(`(${line})`);
      line = word;
    }
  }
  lines.push(`(${line})`);
  return lines;
}

/** A stop: what to do comes as a message and, where it is longer, as comments before it. */
export function stop(message: string, ...before: readonly string[]): string[] {
  return [...before.flatMap(comments), `(MSG, ${message})`, 'M0'];
}

export function modes(grid: Grid): string[] {
  return [grid.unit === 'mm' ? 'G21' : 'G20', 'G17', 'G90', 'G94', 'G40', 'G54', 'G80'];
}

export interface Facts {
  readonly minutes: number;
  readonly leastZ: number;
  readonly clearZ: number;
  readonly passes: number;
  readonly stays: readonly Stay[];
}

function deepestEnd({ body }: ReadyTask, grid: Grid): string {
  const { plane, outline, hand } = body;
  const alongX = plane.gx === 0 ? '' : plane.gx < 0 ? 'the mouth' : 'the rear';
  const alongY = plane.gy === 0 ? '' : `the ${plane.gy > 0 === (hand === 'right') ? 'treble' : 'bass'} side`;
  const both = [alongX, alongY].filter((part) => part !== '').join(', ');
  if (both === '') return 'equally deep everywhere';
  const middle = depthAt(plane, plane.gx < 0 ? 0 : outline.length, 0);
  return `deepest at ${both}: ${depthText(grid, middle)} on the centreline`;
}

/** How the header's line about the body's turn begins. */
export const TURNED = 'body turned';

export const KINDS: readonly Kind[] = ['floor', 'air', 'rim', 'rim-air', 'trace'];

export const WHAT: { readonly [K in Kind]: string } = {
  floor: 'neck pocket floor',
  air: 'neck pocket floor, dry run in the air, spindle off',
  rim: 'neck pocket rim, second cutter, after the floor program',
  'rim-air': 'neck pocket rim, second cutter, dry run in the air, spindle off',
  trace: 'walk round the pocket at clear height, spindle off',
};

/** What stays after a program, and who is to take it. */
function staysLines(kind: Kind, { stays }: Facts, hasRim: boolean, grid: Grid): string[] {
  const who = kind === 'floor' && hasRim ? 'the rim cutter or the chisel' : 'the chisel';
  return [
    stays.length === 0 ? `nothing stays for ${who}` : `stays for ${who}, height and width:`,
    ...stays.map((stay) => `- ${stay.where}: ${gridText(grid, stay.height)} and ${lengthText(grid, stay.width)}`),
    ...(kind === 'floor' && hasRim
      ? [
          'a program for the rim cutter may follow: before this one is started',
          'touch the body top beside the pocket and note the Z there',
        ]
      : []),
  ];
}

/** What to do first, said before everything else. */
function standingLines({ standing }: ReadyTask, grid: Grid, kind: Kind): string[] {
  if (standing === undefined) return [];
  const { isFromDrawing, firstStop } = standing;
  const lines = isFromDrawing ? ['from the drawing alone: to plan, not to cut, fit the neck first'] : [];
  if (firstStop === undefined || kind === 'trace') return lines;
  const { deepest, cutsTo, whole, leave } = firstStop;
  lines.push(`in one run this cuts to ${whole ? 'the whole depth' : depthText(grid, cutsTo)}`);
  if (deepest === 0) lines.push('the plan cuts nothing yet: do first what it says, see the report');
  else {
    lines.push(`the plan stops first at ${depthText(grid, deepest)} to fit the neck`);
    if (leave !== undefined) lines.push(`with leave: ${leave}, written so in the shop file, it cuts to there`);
  }
  return lines;
}

/** What a person at the machine must know, each on comment lines of its own. */
export function header(plan: Plan, kind: Kind, facts: Facts): string[] {
  const { task, grid, region } = plan;
  const at = (mm: number): string => `${gridText(grid, mm)} ${unitName(grid)}`;
  const short = (mm: number): string => lengthText(grid, mm);
  const bare = (mm: number): string => short(mm).replace(/ .*/, '');
  const { radius } = task;
  const { outline } = task.body;
  const { turn } = task.shop.program;
  const box = [
    onTable(turn, { x: region.least.x - radius, y: region.least.y - radius }),
    onTable(turn, { x: region.most.x + radius, y: region.most.y + radius }),
  ] as const;
  const span = (axis: 'x' | 'y'): string =>
    `${gridText(grid, Math.min(box[0][axis], box[1][axis]))} to ${gridText(grid, Math.max(box[0][axis], box[1][axis]))}`;
  const { across } = axesOf(turn);
  const widest = Math.max(outline.mouthHalf, outline.rearHalf);
  const lines = [
    `pocketpitch: ${WHAT[kind]}`,
    ...standingLines(task, grid, kind),
    `job ${task.fingerprint}`,
    `all numbers in ${unitName(grid)}, ${lengthwise(turn).replace('+', '').replace('-', 'minus ')} from the mouth towards the bridge, Z up`,
    ...(turn === 0 ? [] : [`${TURNED} ${turn} degrees anticlockwise seen from above`]),
    ...(task.clamped === undefined ? [] : ['body clamped out of level: all numbers are the machine as it stands']),
    `cutter: flat, diameter ${short(2 * radius)}, stick-out ${short(task.cutterLength)}`,
    ...(isRim(kind) ? rimZeroLines(plan, short) : zeroLines(plan)),
    `floor ${deepestEnd(task, grid)}`,
    `deepest cut ${at(task.body.deepest)}, least Z ${gridText(grid, facts.leastZ)}, clear Z ${gridText(grid, facts.clearZ)}`,
    `box of the cutter: X ${span('x')},`,
    `Y ${span('y')}`,
    `free space before the mouth: ${short(task.body.clearBefore ?? 0)}, over ${across} ${bare(-widest)} to ${bare(widest)}`,
    ...(kind === 'trace' ? [] : [`levels ${facts.passes}, about ${Math.max(1, Math.ceil(facts.minutes))} minutes`]),
  ];
  if (kind === 'floor' || kind === 'rim') {
    lines.push(...staysLines(kind, facts, task.shop.rim !== undefined, grid));
    lines.push('eyes and lungs covered, body clamped on what it cannot slide from');
    lines.push('try it in the air and in scrap first');
  }
  lines.push('start only from the top, not from a line in the middle');
  if (isRim(kind)) lines.push('proved from its text and from the floor program as it was written');
  lines.push('written only after it was proved against the job and the shop file');
  return lines.flatMap(comments);
}

/** The moves of one pass as lines; `lift` takes them into the air. */
export function passLines(plan: Plan, pass: Pass, lift: number): string[] {
  const { task, grid } = plan;
  const feeds = { cut: feedText(grid, task.shop.feed.cut), plunge: feedText(grid, task.shop.feed.plunge) };
  const lines: string[] = [];
  let feed = '';
  const { turn } = task.shop.program;
  let here = { ...onTable(turn, pass.start), z: pass.start.z };
  const word = (letter: string, to: number, from: number): string[] =>
    gridText(grid, to) === gridText(grid, from) ? [] : [`${letter}${gridText(grid, to)}`];
  lines.push(`G1 Z${gridText(grid, pass.start.z + lift)} F${feeds.plunge}`);
  feed = 'plunge';
  for (const move of pass.moves) {
    const to = { ...onTable(turn, move), z: move.z };
    const places = [...word('X', to.x, here.x), ...word('Y', to.y, here.y), ...word('Z', to.z + lift, here.z + lift)];
    if (places.length > 0) {
      lines.push(['G1', ...places, ...(move.feed === feed ? [] : [`F${feeds[move.feed]}`])].join(' '));
      feed = move.feed;
    }
    here = to;
  }
  return lines;
}
