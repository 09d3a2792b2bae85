import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readJob } from '../../src/job/readJob.ts';
import { readTable } from '../../src/job/table.ts';
import { SAMPLE_JOB } from '../support/command.ts';

const base = { text: readFileSync(SAMPLE_JOB, 'utf8'), file: 'model.yaml' };
const rows = (text: string) => {
  const read = readTable(text, 'necks.csv', 'model.yaml');
  if (!read.ok) throw new Error(read.findings.map(({ message }) => message).join('; '));
  return read.value;
};
const faults = (text: string): string[] => {
  const read = readTable(text, 'necks.csv', 'model.yaml');
  return read.ok ? [] : read.findings.map(({ code, place }) => `${code} ${place?.line}:${place?.column}`);
};

describe('a table of necks', () => {
  it('gives each row as a job that is like the base; empty cells leave it to the base', () => {
    const [one, two] = rows(
      'name,neck.seatToCrown,asFound.lastFretGap.bass,asFound.lastFretGap.treble,neck.relief\na,23.4 ± 0.1,1.1,"0.9 mm",\nb,,1.2,1,null\n',
    );
    expect(one?.text).toBe(
      'job: 1\nlike: "model.yaml"\ntitle: "a"\nneck:\n  seatToCrown: "23.4 ± 0.1"\nasFound:\n  lastFretGap:\n    bass: 1.1\n    treble: "0.9 mm"\n',
    );
    for (const row of [one, two]) {
      const job = readJob(row?.text ?? '', 'row', undefined, [base]);
      if (!job.ok) throw new Error(job.findings[0]?.message);
      expect(job.value.title).toBe(row?.name);
      expect(job.value.neck.seatToCrown.value).toBe(row === one ? 23.4 : 23.5);
      // 0 is the default where the base's relief is dropped.
      expect(job.value.neck.relief.value).toBe(row === one ? 0.15 : 0);
    }
  });

  it('knows the cell that each line came from: quotes, line breaks and letters of two bytes counted', () => {
    const [, row] = rows('title,name,neck.seatToCrown\r\n"a, ""b""\nc",k1,1\r\n\r\nÄöü,k2,"23.4"\r\n');
    const lines = (row?.text ?? '').split('\n');
    const at = (line: string): string => {
      const cell = row?.cells[lines.findIndex((each) => each.includes(line))];
      return `${cell?.file} ${cell?.line}:${cell?.column}`;
    };
    expect(at('title')).toBe('necks.csv 5:1');
    expect(at('job: 1')).toBe('necks.csv 5:5');
    expect(at('seatToCrown')).toBe('necks.csv 5:8');
    expect(row?.cells.length).toBe(lines.length - 1);
  });

  it.each([
    [';', 'name;neck.relief\na;0.1\n'],
    ['a tab', 'name\tneck.relief\na\t0.1\n'],
    ['no last line break', 'name,neck.relief\na,0.1'],
    ['empty rows', 'name,neck.relief\n,\na,0.1\n,,\n'.replace(',,', ',')],
  ])('is read with %s', (_, text) => {
    expect(rows(text).map(({ text: job }) => job)).toEqual(['job: 1\nlike: "model.yaml"\ntitle: "a"\nneck:\n  relief: 0.1\n']);
  });

  it('takes a title of digits, and one that would be a formula, as the text it is', () => {
    const titles = rows('name,title\na,007\nb,=1+1\n').map(({ text }) => {
      const job = readJob(text, 'row', undefined, [base]);
      return job.ok ? job.value.title : job.findings.map(({ code }) => code);
    });
    // The base's readings are never a neck's own, and its bridge.lowest is the model's.
    expect(titles).toEqual(['007', '=1+1']);
  });

  it.each([
    ['no name', 'name,neck.relief\n,0.1\nz,1\n', ['name-unusable 2:1']],
    [
      'names that are no folder',
      'name,neck.relief\n../a,1\n/b,1\nc.,1\nNUL,1\n.d,1\nz,1\n',
      [2, 3, 4, 5, 6].map((n) => `name-unusable ${n}:1`),
    ],
    ['one folder twice', 'name,neck.relief\nÄ-1,1\nä-1,2\nz,1\n', ['same-subfolder 2:1', 'same-subfolder 3:1']],
  ])('refuses %s at its place, and the other necks not', (_, text, wanted) => {
    const read = rows(text);
    const told = read.flatMap(({ refused }) => (refused === undefined ? [] : [refused]));
    expect(told.map(({ code, place }) => `${code} ${place?.line}:${place?.column}`)).toEqual(wanted);
    expect(read.at(-1)?.refused).toBeUndefined();
  });

  it.each([
    ['no column for the names', 'neck.relief\n0.1\n', ['no-name-column 1:1']],
    ['a misspelt key', 'name,neck.releif\na,1\n', ['unknown-column 1:6']],
    [
      'what a table cannot say',
      'name,fits.depth,like,pocket.screws\na,1,b,c\n',
      ['unknown-column 1:6', 'unknown-column 1:17', 'unknown-column 1:22'],
    ],
    ['a key that every object has', 'name,constructor,__proto__.x\na,1,2\n', ['unknown-column 1:6', 'unknown-column 1:18']],
    ['a column twice', 'name,neck.relief,neck.relief\na,1,2\n', ['column-twice 1:18']],
    ['a key and a part of it', 'name,neck.nutGap,neck.nutGap.bass\na,1,2\n', ['columns-overlap 1:18']],
    ['a cell too many', 'name,neck.relief\na,0.1\nb,0,1\n', ['row-length 3:5']],
    ['a cell too few', 'name,neck.relief\na\n', ['row-length 2:1']],
    ['no rows', 'name,neck.relief\n', ['empty-table 1:1']],
    ['nothing', '', ['empty-table 1:1']],
    ['an open quote', 'name,neck.relief\na,"0.1\n', ['table-syntax 2:1']],
    ['a quote in a cell', 'name,neck.relief\na,1"\n', ['table-syntax 2:1']],
  ])('refuses %s at its place', (_, text, wanted) => {
    expect(faults(text)).toEqual(wanted);
  });
});
