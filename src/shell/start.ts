import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { begunWith } from '../page/starter.ts';
import { namesIn, readText, writeWhole } from './files.ts';
import { InputProblem } from './problem.ts';

/** The package's own folder, from `src/shell` as well as from the bundle in `dist`. */
export function templatesFolder(): string {
  const here = dirname(fileURLToPath(import.meta.url));
  return join(here, here.endsWith('shell') ? '../../templates' : '../templates');
}

function starters(): string[] {
  return namesIn(templatesFolder())
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => name.slice(0, -'.yaml'.length));
}

function about(text: string): string {
  return /^# about: (.*)$/m.exec(text)?.[1] ?? '';
}

/** Lists the starters, or writes one to a file (or to standard output). */
export function start(name: string | undefined, file: string | undefined, replace: boolean): string {
  const names = starters();
  if (name === undefined) {
    const widest = Math.max(...names.map((each) => each.length));
    const lines = names.map((each) => `  ${each.padEnd(widest)}  ${about(readText(join(templatesFolder(), `${each}.yaml`)))}`);
    return `Starters (pocketpitch start <starter> <file>):\n${lines.join('\n')}\n`;
  }
  if (!names.includes(name))
    throw new InputProblem([
      {
        code: 'unknown-starter',
        severity: 'error',
        exit: 2,
        message: `there is no starter '${name}'`,
        expected: `one of ${names.join(', ')}`,
      },
    ]);
  // The line by which its invented figures are known as long as nobody has put others in their place.
  const text = begunWith(name, readText(join(templatesFolder(), `${name}.yaml`)));
  if (file === undefined) return text;
  // A job file is the maker's own work as soon as it is there: it is never taken for our output.
  writeWhole([{ path: file, bytes: text, mark: undefined }], replace);
  return name === 'shop'
    ? `Wrote ${file}. Put in your own cutter, machine and printer, then: pocketpitch make my-job.yaml --shop ${file} --into results\n`
    : `Wrote ${file}. Put in your own measurements, then: pocketpitch solve ${file}\n`;
}
