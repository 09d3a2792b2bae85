import { basename, dirname, join } from 'node:path';
import { BASE_NAME, baseNamed } from '../job/family.ts';
import { folderKey, readTable } from '../job/table.ts';
import { readYaml, valueAt } from '../job/yamlText.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Named } from '../solveJob.ts';
import type { Task } from './batchWork.ts';
import { namesIn, readText } from './files.ts';
import { namedJob, unwrap, usage } from './jobs.ts';
import { InputProblem } from './problem.ts';

export interface Gathered {
  readonly tasks: readonly Task[];
  readonly notes: readonly string[];
}

interface Where {
  readonly into: string;
  readonly shop: Named | undefined;
  readonly replace: boolean;
}

const JOB_FILE = /^[^.].*\.(?:ya?ml|json)$/i;

/** What a file of the folder is by its keys; a text that cannot be read as such is a job whose fault will be told. */
function kindOf(path: string): { kind: 'job' | 'shop' | 'ours' | 'model'; like: string | undefined } {
  let text: string;
  try {
    text = readText(path);
  } catch (error) {
    if (error instanceof InputProblem) return { kind: 'job', like: undefined };
    throw error;
  }
  const yaml = readYaml(text, path);
  if (!yaml.ok) return { kind: 'job', like: undefined };
  const { data } = yaml.value;
  const like = baseNamed(text);
  if (data.job !== undefined)
    return { kind: valueAt(data, ['asFound']) === undefined && data.fits === undefined ? 'model' : 'job', like };
  if (data.shop !== undefined) return { kind: 'shop', like };
  return { kind: data.summary !== undefined || data.record !== undefined ? 'ours' : 'job', like };
}

/**
 * Every job of a folder, each with a subfolder of its name. Shop files are not jobs, and a job that others are like and that has no
 * readings of its own is their model, not a neck.
 */
function fromFolder(folder: string, { into, shop, replace }: Where): Gathered {
  const files = namesIn(folder).filter((name) => JOB_FILE.test(name));
  const kinds = new Map(files.map((name) => [name, kindOf(join(folder, name))]));
  const bases = [...kinds.values()].map(({ like }) => like);
  const shops = files.filter((name) => kinds.get(name)?.kind === 'shop');
  const models = files.filter((name) => kinds.get(name)?.kind === 'model' && bases.includes(name));
  const jobs = files.filter((name) => !shops.includes(name) && !models.includes(name) && kinds.get(name)?.kind !== 'ours');
  if (jobs.length === 0)
    throw new InputProblem([
      {
        code: 'no-jobs',
        severity: 'error',
        exit: 2,
        message: `there is no job in '${folder}'`,
        found: files.length === 0 ? 'no .yaml, .yml or .json file' : files.join(', '),
        expected: 'job files in the folder itself',
      },
    ]);
  const nameOf = (file: string): string => file.replace(/\.[^.]+$/, '');
  const sharing = (file: string): string[] => jobs.filter((each) => folderKey(nameOf(each)) === folderKey(nameOf(file)));
  const tasks = jobs.map((file): Task => {
    const twins = sharing(file).filter((each) => each !== file);
    const refused: Finding | undefined =
      twins.length === 0
        ? undefined
        : {
            code: 'same-subfolder',
            severity: 'error',
            exit: 2,
            message: `'${[file, ...twins].sort().join("' and '")}' would write into the same subfolder, so neither is made`,
            remedy: 'give one another name',
          };
    const name = twins.length === 0 ? nameOf(file) : file;
    const path = join(folder, file);
    return { name, file, path, refused: refused && [refused], folder: join(into, nameOf(file)), shop, replace };
  });
  const unused =
    shop === undefined && shops.length > 0 ? `: give --shop ${join(folder, shops[0] ?? '')} to make programs by it` : '';
  return {
    tasks,
    notes: [
      ...shops.map((name) => `${name} is a shop file${unused}`),
      ...models.map((name) => `${name} has no readings of its own and others are like it: it is their model, and is not made`),
    ],
  };
}

/** Every row of a table of measured necks over one job. */
function fromTable(path: string, like: string, { into, shop, replace }: Where): Gathered {
  const base = basename(like);
  if (!BASE_NAME.test(base)) throw usage(`'${like}' is no job file to be like`, 'name a .yaml, .yml or .json file');
  // A base that is not there is said once, not at every row.
  namedJob(like);
  const rows = unwrap(readTable(readText(path), path, base));
  // The rows' texts stand, as it were, beside the base: what it names is found from there.
  const beside = join(dirname(like), basename(path));
  const tasks = rows.map(({ name, text, cells, refused }): Task => {
    const file = `${basename(path)}:${cells[0]?.line ?? 1}`;
    const row = { text, cells };
    if (refused !== undefined) return { name: file, file, path: beside, row, refused: [refused], folder: into, shop, replace };
    return { name, file, path: beside, row, folder: join(into, name), shop, replace };
  });
  return { tasks, notes: [] };
}

export function gather(from: string, like: string | undefined, where: Where): Gathered {
  const isTable = /\.(?:csv|tsv|txt)$/i.test(from);
  if (isTable && like === undefined) throw usage('a table of necks needs the job that they are like', 'give --like <file>');
  if (!isTable && like !== undefined)
    throw usage('--like goes with a table of necks (.csv)', 'in a job file write like: model.yaml instead');
  return isTable && like !== undefined ? fromTable(from, like, where) : fromFolder(from, where);
}
