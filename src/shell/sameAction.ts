import { join } from 'node:path';
import { VERSION } from '../kernel/version.ts';
import { type MakeRecord, otherInputs, outputOf, RECORD_NAME, type RecordedOutput, readRecord } from '../report/record.ts';
import { table } from '../report/text.ts';
import type { Named } from '../solveJob.ts';
import { bytesOf, isThere, readText } from './files.ts';
import { jobAndShopTexts, usage } from './jobs.ts';
import { leftOver } from './makeAction.ts';
import { inputTexts, makeSet } from './makeSet.ts';
import { InputProblem } from './problem.ts';
import type { Said } from './said.ts';

export interface SameOptions {
  readonly job?: string;
  readonly shop?: string;
  readonly json?: boolean;
}

/** What keeps a folder's files from being those of their job. */
export interface Difference {
  readonly what: 'changed' | 'missing' | 'of-another-run' | 'other-inputs' | 'not-from-record';
  readonly name: string;
  readonly why: string;
}

/** A folder's record, or a finding that says why there is none to go by. */
function recordIn(folder: string): MakeRecord {
  const path = join(folder, RECORD_NAME);
  if (!isThere(path))
    throw new InputProblem([
      {
        code: 'no-record',
        severity: 'error',
        exit: 2,
        message: `'${path}' is not there: no make or batch left it, or an older pocketpitch did`,
        remedy: 'make it again, or name the folder that make or batch wrote into',
      },
    ]);
  const record = readRecord(readText(path));
  if (record !== undefined) return record;
  throw new InputProblem([
    {
      code: 'record-unsound',
      severity: 'error',
      exit: 4,
      message: `'${path}' is no record as make leaves it, or it was changed by hand`,
      remedy: 'make it again',
    },
  ]);
}

/** The outputs of a record that are not there, or not as they were written. */
export function changedOutputs(folder: string, outputs: readonly RecordedOutput[]): Difference[] {
  return outputs.flatMap(({ name, bytes, sha256 }): Difference[] => {
    const now = bytesOf(join(folder, name));
    if (now === undefined) return [{ what: 'missing', name, why: 'is missing' }];
    if (now.length === bytes && outputOf(name, now).sha256 === sha256) return [];
    return [{ what: 'changed', name, why: 'was changed after it was made' }];
  });
}

const WORDS = { job: 'the job', base: 'a job it is like', drawing: 'its drawing', shop: 'the shop file' } as const;

/** Where the texts given now are not those of the record. A shop file that is not given is not asked after. */
function differingInputs(record: MakeRecord, options: SameOptions): Difference[] {
  if (options.job === undefined && options.shop === undefined) return [];
  const { job, shop } = jobAndShopTexts(options.job ?? '', options.shop);
  const now = inputTexts(job, shop);
  const asked = options.shop === undefined ? { ...now, shop: record.inputs.shop } : now;
  return otherInputs(record.inputs, asked).map((which): Difference => {
    const name =
      which === 'job' ? options.job : which === 'shop' ? options.shop : which === 'drawing' ? job.drawing?.file : undefined;
    const isAbsent = (which === 'drawing' && record.inputs.drawing === null) || (which === 'shop' && record.inputs.shop === null);
    const why = isAbsent
      ? `was not there when these were made: ${WORDS[which]}`
      : `is not the text these were made from: ${WORDS[which]}`;
    return { what: 'other-inputs', name: name ?? job.bases?.map(({ file }) => file).join(', ') ?? which, why };
  });
}

/** Makes the set again from the record's own texts: what does not come out the same was not made from them, or by another version. */
async function notFromRecord(record: MakeRecord, text: string): Promise<Difference[]> {
  const named = (said: string, file: string): Named => ({ text: said, file });
  const { inputs, outputs, version } = record;
  const job: Named = {
    ...named(inputs.job, 'job'),
    bases: inputs.bases.map((base, i) => named(base, `base ${i + 1}`)),
    drawing: inputs.drawing === null ? undefined : named(inputs.drawing, 'drawing'),
  };
  const set = await makeSet(job, inputs.shop === null ? undefined : named(inputs.shop, 'shop'));
  const by = version === VERSION ? '' : `; it is of version ${version}, and this is ${VERSION}`;
  if (!set.ok) return [{ what: 'not-from-record', name: RECORD_NAME, why: `its texts can no longer be made${by}` }];
  const again = new Map(set.value.files.map((file) => [file.name, file.bytes]));
  const names = new Set([...again.keys(), ...outputs.map(({ name }) => name)]);
  names.delete(RECORD_NAME);
  const differing = [...names].filter((name) => {
    const [bytes, recorded] = [again.get(name), outputs.find((output) => output.name === name)];
    return bytes === undefined || recorded === undefined || outputOf(name, bytes).sha256 !== recorded.sha256;
  });
  // What else the record says follows from its texts as well.
  if (differing.length === 0 && version === VERSION && again.get(RECORD_NAME) !== text) differing.push(RECORD_NAME);
  return differing.map((name) => ({
    what: 'not-from-record',
    name,
    why: `does not come out the same when made again from its record${by}`,
  }));
}

/** Whether the files that `make` left in a folder are still those of their job. */
export async function sameAction(folder: string, options: SameOptions): Promise<Said & { readonly same: boolean }> {
  if (options.shop !== undefined && options.job === undefined)
    throw usage('a shop file is compared together with its job', 'give --job <file> as well');
  if (options.job === '-' && options.shop === '-')
    throw usage('only one file can come from standard input', 'give the other by its name');
  const record = recordIn(folder);
  const differences: Difference[] = [
    ...differingInputs(record, options),
    ...changedOutputs(folder, record.outputs),
    ...leftOver(folder, new Set(record.outputs.map(({ name }) => name))).map(
      (name): Difference => ({ what: 'of-another-run', name, why: 'is not of this set: another run left it' }),
    ),
    ...(await notFromRecord(record, readText(join(folder, RECORD_NAME)))),
  ];
  const same = differences.length === 0;
  if (options.json === true)
    return {
      out: `${JSON.stringify({ same, version: record.version, outputs: record.outputs.length, differences }, null, 2)}\n`,
      notes: [],
      same,
    };
  const isShopUnasked = options.job !== undefined && options.shop === undefined && record.inputs.shop !== null;
  const notes = isShopUnasked ? ['these were made with a shop file: give --shop to have it compared too'] : [];
  if (same) {
    const from = options.job === undefined ? 'the texts in their record' : `'${options.job}'`;
    return { out: `The same: all ${record.outputs.length} files in '${folder}' are as they come from ${from}.\n`, notes, same };
  }
  const rows = differences.map(({ name, why }) => [name, why]);
  const lines = ['Not the same:', ...table(['file', ''], rows).slice(1)];
  const programs = differences.some(({ name, what }) => name.endsWith('.nc') || what === 'other-inputs');
  return {
    out: `${lines.join('\n')}\n${programs ? 'Do not run a program from this folder before it is made again.\n' : ''}`,
    notes,
    same,
  };
}
