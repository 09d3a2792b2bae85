import { depthAt } from '../kernel/plane.ts';
import { feedText, type Grid, gridNear, gridText } from './grid.ts';
import type { Pass, Plan } from './passes.ts';
import { WHOLE_FLOOR } from './stays.ts';
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
  /** mm. How much higher every move is than that of the program that cuts; only in the air. */
  readonly lift?: number;
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

/** What `leave` keeps on the floor, and how far down the file takes it. */
function fileLines({ standing, shop }: ReadyTask, grid: Grid): string[] {
  if (shop.leave === 0) return [];
  const kept = `stays for the file: ${gridText(grid, shop.leave)} ${unitName(grid)} on the whole floor`;
  const to = standing?.toFile;
  if (to === undefined) return [kept];
  const line = to.fit === undefined ? '' : `, the double line ${to.fit} of the guide`;
  return [kept, `file that floor flat to ${depthText(grid, to.deepest)} ${to.where}${line}, and fit the neck`];
}

/** What stays after a program, and who is to take it. */
function staysLines(kind: Kind, task: ReadyTask, facts: Facts, grid: Grid): string[] {
  const hasRim = task.shop.rim !== undefined;
  const who = kind === 'floor' && hasRim ? 'the rim cutter or the chisel' : 'the chisel';
  const stays = facts.stays.filter(({ where }) => where !== WHOLE_FLOOR);
  return [
    stays.length === 0 ? `nothing stays for ${who}` : `stays for ${who}, height and width:`,
    ...stays.map((stay) => `- ${stay.where}: ${gridText(grid, stay.height)} and ${lengthText(grid, stay.width)}`),
    ...(kind === 'floor' && hasRim
      ? [
          'a program for the rim cutter may follow: before this one is started',
          'touch the body top beside the pocket and note the Z there',
        ]
      : []),
    ...fileLines(task, grid),
  ];
}

/** Programs that cut; the others run in the air, spindle off. */
function isCut(kind: Kind): kind is 'floor' | 'rim' {
  return kind === 'floor' || kind === 'rim';
}

/** What to do first, said before everything else. */
function standingLines({ standing, body }: ReadyTask, grid: Grid, kind: Kind): string[] {
  if (standing === undefined) return [];
  const { isFromDrawing, isContradicted, firstStop } = standing;
  const lines = [
    ...(isFromDrawing ? ['from the drawing alone: to plan, not to cut, fit the neck first'] : []),
    ...(isContradicted === true ? ['the readings contradict each other: measure again before you cut'] : []),
  ];
  if (firstStop === undefined || !isCut(kind)) return lines;
  const { isNext, deepest, cutsTo, whole, leave } = firstStop;
  const where = body.plane.gy === 0 ? '' : ' on the centreline';
  lines.push(`in one run this cuts to ${whole ? 'the whole depth: ' : ''}${depthText(grid, cutsTo)}${where}`);
  if (deepest === 0) lines.push('the plan cuts nothing yet: do first what it says, see the report');
  else {
    lines.push(`the plan stops ${isNext ? 'next' : 'first'} at ${depthText(grid, deepest)}${where} to fit the neck`);
    if (leave !== undefined) lines.push(`with leave: ${leave}, written so in the shop file, it cuts to there`);
  }
  return lines;
}

/** How deep a program cuts and how low it goes; one in the air cuts nothing. */
function depthLines({ body, shop }: ReadyTask, facts: Facts, grid: Grid, kind: Kind): string[] {
  const unit = unitName(grid);
  const clear = gridText(grid, facts.clearZ);
  const z = `least Z ${gridText(grid, facts.leastZ)}, clear Z ${clear}`;
  if (isCut(kind)) {
    // Of the figures as they stand here, so that they come out.
    const deepest = gridNear(grid, body.deepest) - gridNear(grid, shop.leave);
    const cut = `deepest cut ${gridText(grid, deepest)} ${unit}`;
    return shop.leave === 0 ? [`${cut}, ${z}`] : [`${cut}, ${gridText(grid, shop.leave)} left on the floor`, z];
  }
  if (facts.lift === undefined) return [`nothing is cut: every move at Z ${clear}`];
  const other = kind === 'rim-air' ? 'rim' : 'floor';
  return [`nothing is cut: the ${other} program ${gridText(grid, facts.lift)} ${unit} higher`, z];
}

/** What a person at the machine must know, each on comment lines of its own. */
export function header(plan: Plan, kind: Kind, facts: Facts): string[] {
  const { task, grid, region } = plan;
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
  const time = `about ${Math.max(1, Math.ceil(facts.minutes))} minutes`;
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
    ...depthLines(task, facts, grid, kind),
    `box of the cutter: X ${span('x')},`,
    `Y ${span('y')}`,
    `free space before the mouth: ${short(task.body.clearBefore ?? 0)}, over ${across} ${bare(-widest)} to ${bare(widest)}`,
    ...(kind === 'trace' ? [] : [`levels ${facts.passes}${isRim(kind) ? ', each only where wood was left' : ''}, ${time}`]),
  ];
  if (isCut(kind)) {
    lines.push(...staysLines(kind, task, facts, grid));
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
