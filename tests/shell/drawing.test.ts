import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { builtCommand, type Command, desk, ROOT, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

let command: Command;
const room = desk();
const JOB = room.path('bench', 'job.yaml');
const text = readFileSync(SAMPLE_JOB, 'utf8').replace(
  / {2}length: 71\.5.*\n {2}width:.*\n {2}cornerRadius:.*\n/,
  '  outline: drawings/bowed.svg\n',
);

beforeAll(() => {
  command = builtCommand();
  mkdirSync(room.path('bench', 'drawings'), { recursive: true });
  cpSync(join(ROOT, 'tests/drawings/bowed.svg'), room.path('bench', 'drawings', 'bowed.svg'));
  writeFileSync(JOB, text);
});
afterAll(() => {
  room.remove();
});

describe('a job that names a drawing', () => {
  it('finds it beside the job file, wherever the command runs, and makes everything from it', () => {
    const made = command.run(['make', JOB, '--shop', SAMPLE_SHOP, '--into', room.path('results')], { cwd: room.path() });
    expect(made.code, made.err).toBe(0);
    expect(room.text('results', 'floor.nc')).toContain('rear wall on the centreline');
    const proved = command.run(['prove', room.path('results', 'floor.nc'), '--job', JOB, '--shop', SAMPLE_SHOP]);
    expect(proved.code, proved.err).toBe(0);
  });

  it('takes it from the current folder for a job from standard input', () => {
    const args = ['solve', '-', '--json'];
    expect(command.run(args, { cwd: room.path('bench'), input: text }).code).toBe(0);
    const lost = command.run(args, { cwd: room.path(), input: text });
    expect(lost.code).toBe(2);
    expect(lost.err).toContain("'drawings/bowed.svg' cannot be read: there is no such file or folder");
  });

  it('notes a fit into such a job, and tells a fault of the drawing at its place there', () => {
    const fit = command.run(['fit', JOB, '--depth', '0.3 ± 0.03', '--gap', '0.7']);
    expect(fit.code, fit.err).toBe(0);
    writeFileSync(room.path('bench', 'drawings', 'bowed.svg'), readFileSync(join(ROOT, 'tests/jobs-refused/drawings/open.svg')));
    const refused = command.run(['solve', JOB]);
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/drawings.bowed\.svg:2:3: error outline-open: /);
  });
});
