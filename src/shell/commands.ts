import { Argument, Command } from 'commander';
import { VERSION } from '../kernel/version.ts';
import type { GuideOptions, PreviewOptions, ProveOptions, RouteOptions } from './actions.ts';
import type { BatchOptions } from './batchAction.ts';
import type { CompareOptions } from './compareAction.ts';
import { EXITS, exitOf, JobsFailed, NotProved } from './exits.ts';
import type { FitOptions } from './fitAction.ts';
import type { MakeOptions } from './makeAction.ts';
import type { PageOptions } from './pageAction.ts';
import type { Said } from './said.ts';
import type { SameOptions } from './sameAction.ts';
import type { SolveOptions } from './solveAction.ts';
import type { Asker } from './terminal.ts';

const CAUTION = 'Read SAFETY.md before you cut. Local codes, the machine manual and licensed practice come first.';

const ABOUT = "Works out, guides and proves the slight slope to give a neck pocket's floor.";

interface Streams {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Whether `err` is a terminal, where a bar may redraw itself. */
  readonly isErrTerminal?: boolean;
  /** Asks a person at a terminal; absent where nobody is there. */
  readonly ask?: (() => Asker) | undefined;
}

/** Command bodies are imported only when asked for, so that help and solve start quickly. */
function commands(streams: Streams): Command {
  const program = new Command('pocketpitch')
    .description(ABOUT)
    .version(VERSION, '-V, --version', 'say the version')
    .helpOption('-h, --help', 'show help')
    .addHelpText('after', `\nExit codes: ${EXITS.map(([code, text]) => `${code} ${text}`).join('; ')}.\n\n${CAUTION}`)
    .exitOverride()
    .configureOutput({ writeOut: streams.out, writeErr: streams.err });
  program
    .command('start')
    .description('write a commented job file to begin with; without a name, list the starters')
    .argument('[starter]', 'name of the starter')
    .argument('[file]', 'file to write; without it the text goes to standard output')
    .option('--replace', 'replace the file if it is there')
    .addHelpText('after', '\nExample: pocketpitch start six-string-25-5 my-job.yaml')
    .action(async (name: string | undefined, file: string | undefined, options: { replace?: boolean }) => {
      const { start } = await import('./start.ts');
      streams.out(start(name, file, options.replace === true));
    });
  const say = (said: Said): void => {
    for (const note of said.first ?? []) streams.err(`${note}\n`);
    streams.out(said.out);
    for (const note of said.notes) streams.err(`${note}\n`);
  };
  /** Does a command's work and says it, and then which figures are still a starter's: its files are looked at before anything is written. */
  const sayOf = async (files: readonly (string | undefined)[], work: () => Said | Promise<Said>): Promise<void> => {
    const { starterNotes } = await import('./starterFigures.ts');
    const own = starterNotes(files);
    say(await work());
    for (const note of own) streams.err(`${note}\n`);
  };
  program
    .command('solve')
    .description('say what to take off, where, and what it does')
    .argument('<job>', 'job file, or - for standard input')
    .option('--json', 'write the JSON for scripts')
    .option('--action <height>', 'show the saddles set for this height over the 12th fret')
    .option('--sampled <draws>', 'check the ± by solving the job again with every reading drawn within its own')
    .addHelpText('after', '\nExample: pocketpitch solve my-job.yaml --action "5/64 in"')
    .action(async (job: string, options: SolveOptions) => {
      const { solveAction } = await import('./solveAction.ts');
      const { progressOn } = await import('./terminal.ts');
      const progress = progressOn(streams.err, streams.isErrTerminal === true, 'sampling');
      await sayOf([job], () => solveAction(job, options, progress));
    });
  program
    .command('compare')
    .description('the other ways to make the same correction, side by side')
    .argument('<job>', 'job file, or - for standard input')
    .option('--json', 'write the JSON for scripts')
    .option('--wedge <file>', 'write the wedge shim as a solid, .stl')
    .option('--flat <file>', 'write the flat shim as a solid, .stl')
    .option('--replace', 'replace a file that is not such a solid')
    .addHelpText('after', '\nExample: pocketpitch compare my-job.yaml --wedge wedge.stl')
    .action(async (job: string, options: CompareOptions) => {
      const { compareAction } = await import('./compareAction.ts');
      await sayOf([job], () => compareAction(job, options));
    });
  program
    .command('fit')
    .description(
      'note a test fit into the job file and say what is left to take off; at a terminal it asks for what is not given',
    )
    .argument('<job>', 'job file')
    .option('--depth <d>', "the floor's depth reached at its deepest edge, both sides")
    .option('--depth-bass <d>', 'the same at the bass side')
    .option('--depth-treble <d>', 'the same at the treble side')
    .option('--gap <g>', 'gap under both outer strings over the last fret')
    .option('--gap-bass <g>', 'the same under the bass string')
    .option('--gap-treble <g>', 'the same under the treble string')
    .option('--raised <r>', 'how far the saddles stood above their lowest')
    .option('--lowest <t>', 'saddles all the way down: the thickest leaf that goes under a string all along from fret 12')
    .option('--highest <t>', 'saddles all the way up: the thickest rod that goes under every string over the last fret')
    .option('--shim <t>', 'thickness at the deepest edge of a shim that lay over the whole floor, the depth being that filed')
    .option('--note <text>', 'a note of your own')
    .option('--on <date>', 'the day, like 2026-03-14')
    .option('--undo', 'take the last fit out again, instead of noting one')
    .option('--json', 'write the JSON for scripts')
    .addHelpText(
      'after',
      '\nExample: pocketpitch fit my-job.yaml --depth "0.5 ± 0.03 mm" --gap-bass "0.32 mm" --gap-treble "0.25 mm"',
    )
    .action(async (job: string, options: FitOptions) => {
      const { fitAction } = await import('./fitAction.ts');
      await sayOf([job], () => fitAction(job, options, streams.ask));
    });
  program
    .command('guide')
    .description('write the printable true-to-size guide')
    .argument('<job>', 'job file, or - for standard input')
    .requiredOption('--out <file>', 'the guide to write, .svg or .pdf')
    .option('--only <part>', 'one part alone: map, strip, gauge, rails or card')
    .option('--shop <file>', 'shop file: paper, and the check bars as they were printed')
    .option('--replace', 'replace a file that is not a guide')
    .addHelpText('after', '\nExample: pocketpitch guide my-job.yaml --out guide.svg')
    .action(async (job: string, options: GuideOptions) => {
      const { guideAction } = await import('./actions.ts');
      await sayOf([job], () => guideAction(job, options));
    });
  program
    .command('route')
    .description('write the router program, once it is proved')
    .argument('<job>', 'job file, or - for standard input')
    .requiredOption('--out <file>', 'the program to write')
    .option('--shop <file>', 'shop file: cutter, feeds, clearances (needed)')
    .option('--rim <file>', "the second cutter's program to write (rim in the shop file)")
    .option('--replace', 'replace a file that is not such a program')
    .addHelpText('after', '\nExample: pocketpitch route my-job.yaml --shop my-shop.yaml --out floor.nc')
    .action(async (job: string, options: RouteOptions) => {
      const { routeAction } = await import('./actions.ts');
      await sayOf([job, options.shop], () => routeAction(job, options));
    });
  program
    .command('prove')
    .description("prove any router program against the job's floor")
    .argument('<program>', 'program file, or - for standard input')
    .requiredOption('--job <file>', 'job file')
    .requiredOption('--shop <file>', 'shop file')
    .option('--as <kind>', 'floor, rim, air or trace', 'floor')
    .option('--after <file>', 'of a rim program: the floor program that is run before it')
    .option('--json', 'write the JSON for scripts')
    .option('--report', "write the rule table with its figures, for the shop's records")
    .addHelpText('after', '\nExample: pocketpitch prove floor.nc --job my-job.yaml --shop my-shop.yaml')
    .action(async (file: string, options: ProveOptions) => {
      const { proveAction } = await import('./actions.ts');
      const said = proveAction(file, options);
      await sayOf([options.job, options.shop], () => said);
      if (!said.proved) throw new NotProved();
    });
  program
    .command('preview')
    .description('write one offline page to look at before cutting')
    .argument('<job>', 'job file, or - for standard input')
    .requiredOption('--out <file>', 'the page to write, .html')
    .option('--shop <file>', 'shop file: shows the router programs as well')
    .option('--program <file>', 'shows this program instead, proved or not, its faults marked; needs --shop')
    .option('--as <kind>', 'what that program is: floor, rim, air or trace', 'floor')
    .option('--after <file>', 'the program that a rim program comes after: shown before it')
    .option('--replace', 'replace a file that is not a preview')
    .addHelpText('after', '\nExample: pocketpitch preview my-job.yaml --shop my-shop.yaml --out preview.html')
    .action(async (job: string, options: PreviewOptions) => {
      const { previewAction } = await import('./actions.ts');
      await sayOf([job, options.shop], () => previewAction(job, options));
    });
  program
    .command('page')
    .description('write the bench page: the same tool without a terminal, one HTML file that needs no network')
    .requiredOption('--out <file>', 'the page to write, .html')
    .option('--replace', 'replace a file that is not a bench page')
    .addHelpText('after', '\nExample: pocketpitch page --out pocketpitch.html')
    .action(async (options: PageOptions) => {
      const { pageAction } = await import('./pageAction.ts');
      say(pageAction(options));
    });
  program
    .command('make')
    .description('write everything into a folder: report, guide, preview and, with a shop file, the proved programs')
    .argument('<job>', 'job file, or - for standard input')
    .requiredOption('--into <folder>', 'folder for the results')
    .option('--shop <file>', 'shop file: machine and printer')
    .option('--replace', 'replace files that are not such results')
    .addHelpText('after', '\nExample: pocketpitch make my-job.yaml --shop my-shop.yaml --into results')
    .action(async (job: string, options: MakeOptions) => {
      const { makeAction } = await import('./makeAction.ts');
      await sayOf([job, options.shop], () => makeAction(job, options));
    });
  program
    .command('batch')
    .description('make every job of a folder, or every neck of a table, each into its own subfolder, with one summary')
    .argument('<from>', 'folder of job files, or a table of necks (.csv) over the job that --like names')
    .requiredOption('--into <folder>', 'folder for the results')
    .option('--shop <file>', 'shop file: machine and printer')
    .option('--like <job>', 'the job that every row of a table is like')
    .option('--workers <count>', 'so many jobs at once; without it one for each core')
    .option('--json', 'write the summary as JSON')
    .option('--replace', 'replace files that are not such results')
    .addHelpText(
      'after',
      "\nThe exit code is the worst job's: 1 before 2 before 3 before 4.\n\nExample: pocketpitch batch jobs --shop my-shop.yaml --into all-results",
    )
    .action(async (from: string, options: BatchOptions) => {
      const { batchAction } = await import('./batchAction.ts');
      const { signalStopper } = await import('./terminal.ts');
      const { err, isErrTerminal } = streams;
      const said = await batchAction(from, options, { err, isErrTerminal: isErrTerminal === true, stopper: signalStopper() });
      say(said);
      // Whoever started it sees that a signal ended it.
      if (said.stoppedBy !== undefined) process.kill(process.pid, said.stoppedBy);
      if (said.exit !== 0) throw new JobsFailed(said.exit);
    });
  program
    .command('same')
    .description('say whether the files that make left in a folder are still those of their job')
    .argument('<folder>', 'folder that make wrote into')
    .option('--job <file>', 'compare with this job too, and what it names; without it only with the record')
    .option('--shop <file>', 'compare with this shop file too')
    .option('--json', 'write the JSON for scripts')
    .addHelpText('after', '\nExample: pocketpitch same results --job my-job.yaml --shop my-shop.yaml')
    .action(async (folder: string, options: SameOptions) => {
      const { sameAction } = await import('./sameAction.ts');
      const said = await sameAction(folder, options);
      say(said);
      if (!said.same) throw new NotProved();
    });
  program
    .command('schema')
    .description('write the JSON Schema of a kind of file, by which an editor completes and checks it')
    .addArgument(new Argument('<kind>', 'kind of file').choices(['job', 'shop']))
    .addHelpText('after', '\nExample: pocketpitch schema job')
    .action(async (kind: 'job' | 'shop') => {
      const { jsonSchemaOf } = await import('../job/jsonSchema.ts');
      streams.out(`${JSON.stringify(jsonSchemaOf(kind), null, 2)}\n`);
    });
  program
    .command('completion')
    .description('write the script by which a shell completes commands and options')
    .addArgument(new Argument('<shell>', 'your shell').choices(['bash', 'zsh', 'fish']))
    .addHelpText('after', '\nExample: pocketpitch completion bash')
    .action(async (shell: 'bash' | 'zsh' | 'fish') => {
      const { completionOf } = await import('./completion.ts');
      const { spokenOf } = await import('./spoken.ts');
      streams.out(completionOf(shell, spokenOf(program)));
    });
  program
    .command('manual')
    .description('write the man page')
    .addHelpText('after', '\nExample: pocketpitch manual')
    .action(async () => {
      const { manualText } = await import('./manual.ts');
      const { spokenOf } = await import('./spoken.ts');
      streams.out(manualText(spokenOf(program), { version: VERSION, about: ABOUT, caution: CAUTION, exits: EXITS }));
    });
  return program;
}

/** Runs one command line (without node and script); the answer is the exit code. */
export async function run(args: readonly string[], streams: Streams): Promise<number> {
  try {
    await commands(streams).parseAsync(args, { from: 'user' });
    return 0;
  } catch (error) {
    return exitOf(error, streams.err);
  }
}
