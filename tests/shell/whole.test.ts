import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { builtCommand, type Command, desk, SAMPLE_JOB, SAMPLE_SHOP, watched } from '../support/command.ts';

let command: Command;
const room = desk();
const OTHER = room.path('other.yaml');
const INTO = room.path('results');
const NAMES = [
  'report.txt',
  'report.json',
  'guide.svg',
  'guide-2.svg',
  'guide.pdf',
  'rails-left.stl',
  'floor.nc',
  'air.nc',
  'trace.nc',
  'preview.html',
];
const makeFrom = (job: string): string[] => ['make', job, '--shop', SAMPLE_SHOP, '--into', INTO];
const texts = (): Map<string, string> => new Map(NAMES.map((name) => [name, room.text('results', name)]));

/** What each file holds after a whole run of one job and of the other. */
let ours: Map<string, string>;
let others: Map<string, string>;
let took = 0;

beforeAll(() => {
  command = builtCommand();
  writeFileSync(OTHER, readFileSync(SAMPLE_JOB, 'utf8').replace('bass: 1.2 ± 0.05', 'bass: 1.3 ± 0.05'));
  expect(command.run(makeFrom(SAMPLE_JOB)).code).toBe(0);
  ours = texts();
  const start = performance.now();
  expect(command.run(makeFrom(OTHER)).code).toBe(0);
  took = performance.now() - start;
  others = texts();
});
afterAll(() => {
  room.remove();
});

describe('a file is never seen half-written', () => {
  it('while it is replaced again and again', async () => {
    for (const name of NAMES) expect(ours.get(name), name).not.toBe(others.get(name));
    let looks = 0;
    const seen = new Set<string>();
    const watch = (): void => {
      for (const name of NAMES) {
        const text = room.text('results', name);
        expect([ours.get(name), others.get(name)], `${name} at look ${looks}`).toContain(text);
        seen.add(text === ours.get(name) ? 'ours' : 'others');
      }
      looks += 1;
    };
    for (const job of [SAMPLE_JOB, OTHER, SAMPLE_JOB]) {
      const { code, err } = await watched(command, makeFrom(job), { watch });
      expect(code, err).toBe(0);
    }
    expect(looks).toBeGreaterThan(10);
    expect([...seen].sort()).toEqual(['others', 'ours']);
  });

  it('when the run is killed at any moment', async () => {
    const KILLS = 7;
    let killed = 0;
    for (let i = 0; i < KILLS; i++) {
      const job = i % 2 === 0 ? OTHER : SAMPLE_JOB;
      // The second half of a run is where files are written.
      const { signal } = await watched(command, makeFrom(job), { killAfter: took * (0.5 + (0.6 * i) / KILLS) });
      if (signal !== null) killed += 1;
      // The run it was timed by may have been a slow one.
      else took *= 0.7;
      for (const name of NAMES) {
        expect(existsSync(room.path('results', name))).toBe(true);
        expect([ours.get(name), others.get(name)], name).toContain(room.text('results', name));
      }
    }
    expect(killed).toBeGreaterThan(0);
  });

  it('and two runs at once leave whole files of one or the other', async () => {
    const both = await Promise.all([watched(command, makeFrom(SAMPLE_JOB)), watched(command, makeFrom(OTHER))]);
    for (const { code, err } of both) expect(code, err).toBe(0);
    for (const name of NAMES) expect([ours.get(name), others.get(name)], name).toContain(room.text('results', name));
  });
});
