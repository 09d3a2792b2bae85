import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readShop } from '../../src/job/readShop.ts';
import { makeAll } from '../../src/pipeline.ts';
import { previewOf } from '../../src/previewJob.ts';
import { solveText } from '../../src/solveJob.ts';
import { ROOT, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

export const JOB = readFileSync(SAMPLE_JOB, 'utf8');
export const SHOP = readFileSync(SAMPLE_SHOP, 'utf8');

export function template(name: string): string {
  return readFileSync(join(ROOT, 'templates', `${name}.yaml`), 'utf8');
}

/** Everything `make` writes for a job, by name. */
export function made(job = JOB, shop: string | null = SHOP): ReadonlyMap<string, string> {
  const all = makeAll({ text: job, file: 'job' }, shop === null ? undefined : { text: shop, file: 'shop' });
  if (!all.ok) throw new Error(all.findings.map(({ message }) => message).join('; '));
  return new Map(all.value.artifacts.map(({ name, text }) => [name, text]));
}

export function textOf(all: ReadonlyMap<string, string>, name: string): string {
  const text = all.get(name);
  if (text === undefined) throw new Error(`make wrote no ${name}`);
  return text;
}

/** The workshop with a second cutter: a large one for the floor, a small one for what that leaves. */
export const TWO_CUTTERS = SHOP.replace(/^cutter: .*$/m, 'cutter: {diameter: 12, length: 26}\nrim: {diameter: 4, length: 26}');

/** The page for another's program; with `after` for a second cutter's, and the one before it. */
export function pageFor(program: string, job = JOB, name = 'theirs.nc', shopText = SHOP, after?: string): string {
  const solved = solveText({ text: job, file: 'job' });
  const shop = readShop(shopText, 'shop');
  if (!solved.ok || !shop.ok) throw new Error('the sample is not sound');
  const given =
    after === undefined
      ? ({ name, text: program, kind: 'floor' } as const)
      : ({ name, text: program, kind: 'rim', after: { name: 'before.nc', text: after } } as const);
  const preview = previewOf(solved.value, shop.value, given, []);
  if (!preview.ok) throw new Error(preview.findings.map(({ message }) => message).join('; '));
  return preview.value.page;
}

export interface Place {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** Where each line of one of our own programs ends (index 0: before the first), read here once more in the plainest way. */
export function endsOf(program: string): Place[] {
  let at: Place = { x: Number.NaN, y: Number.NaN, z: Number.NaN };
  return [
    at,
    ...program.split('\n').map((line) => {
      if (/^G[01] /.test(line)) {
        const word = (letter: string, old: number): number => Number(new RegExp(`${letter}(-?[0-9.]+)`).exec(line)?.[1] ?? old);
        at = { x: word('X', at.x), y: word('Y', at.y), z: word('Z', at.z) };
      }
      return at;
    }),
  ];
}
