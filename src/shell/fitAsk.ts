import { readDimension } from '../kernel/dimension.ts';
import type { Unit } from '../kernel/units.ts';
import type { FitOptions } from './fitAction.ts';
import { usage } from './jobs.ts';
import type { Asker } from './terminal.ts';

function gapOf(options: FitOptions): string | undefined {
  return options.gap ?? options.gapBass ?? options.gapTreble;
}

/** Which of a fit's needed readings the command line does not give, by what may be said for them. */
export function missingOf(options: FitOptions): string[] {
  const depth = options.depth ?? options.depthBass ?? options.depthTreble;
  // Gauged heights tell enough by themselves.
  const gap = gapOf(options) ?? options.lowest ?? options.highest;
  return [
    ...(depth === undefined ? ['--depth (or --depth-bass and --depth-treble)'] : []),
    ...(gap === undefined ? ['--gap (or --gap-bass and --gap-treble; or --lowest or --highest)'] : []),
  ];
}

/** Asks until the answer is a length of at least `least`; an empty answer is `undefined` where it may be. */
async function askLength(ask: Asker, question: string, unit: Unit, mayBeEmpty: boolean): Promise<string | undefined> {
  let why = '';
  for (;;) {
    const answer = (await ask.question(`${why}${question}: `))?.trim();
    if (answer === undefined)
      throw usage('the fit was not told to its end', 'nothing was changed; start again when the readings are there');
    if (answer === '' && mayBeEmpty) return undefined;
    const read = readDimension(answer, unit);
    if (read.ok && read.dimension.value >= 0) return answer;
    why = `  ${read.ok ? 'less than nothing' : read.why}; write it like 0.45, "0.45 ± 0.03" or "1/64 in"\n`;
  }
}

/** Leaf or rod, one of them at least. */
async function askGauged(ask: Asker, unit: Unit): Promise<FitOptions> {
  const leaf = 'Thickest leaf that goes under a string all along from fret 12, saddles all the way down (Enter: none tried)';
  const lowest = await askLength(ask, leaf, unit, true);
  if (lowest !== undefined) return { lowest };
  const rod = 'Thickest rod that goes under every string over the last fret, saddles all the way up';
  return { highest: (await askLength(ask, rod, unit, false)) as string };
}

/**
 * The fit's options with what is missing asked for, one by one. What was given is not asked again. Where they say what the last fit says
 * (`isLastAgain`) only a note takes them as a second reading.
 */
export async function askFit(
  options: FitOptions,
  unit: Unit,
  edge: 'mouth' | 'rear',
  ask: Asker,
  isLastAgain: (all: FitOptions) => boolean,
): Promise<FitOptions> {
  const missing = missingOf(options);
  if (missing.length === 0) return options;
  let all = options;
  // "In in" would be a slip to any reader.
  const units = unit === 'in' ? 'inches' : 'mm';
  const place = edge === 'rear' ? 'rear wall' : 'mouth';
  if (missing.some((each) => each.startsWith('--depth'))) {
    const bass = await askLength(
      ask,
      `Depth reached at the ${place}, bass side, in ${units} (0 before anything is cut)`,
      unit,
      false,
    );
    const treble = await askLength(ask, '  treble side (Enter: the same)', unit, true);
    all = treble === undefined ? { ...all, depth: bass as string } : { ...all, depthBass: bass as string, depthTreble: treble };
  }
  if (missing.some((each) => each.startsWith('--gap'))) {
    const question = `Gap over the last fret, bass string, in ${units} (Enter: only a leaf or a rod was tried)`;
    const bass = await askLength(ask, question, unit, true);
    if (bass === undefined) all = { ...all, ...(await askGauged(ask, unit)) };
    else {
      const treble = await askLength(ask, '  treble string', unit, false);
      all = { ...all, gapBass: bass, gapTreble: treble as string };
    }
  }
  if (all.raised === undefined && gapOf(all) !== undefined) {
    const raised = await askLength(ask, 'Saddles raised above their lowest by (Enter: not at all)', unit, true);
    if (raised !== undefined) all = { ...all, raised };
  }
  const isAgain = isLastAgain(all);
  if (all.note === undefined || isAgain) {
    const question = isAgain
      ? 'These are the very readings of the last fit. Were they read a second time? Then give a note that no other fit has (Enter: nothing is noted): '
      : 'A note, if you like: ';
    const note = (await ask.question(question))?.trim() ?? '';
    if (isAgain && note === '') throw usage('these readings are noted already', 'nothing was changed');
    if (note !== '') all = { ...all, note };
  }
  return all;
}
