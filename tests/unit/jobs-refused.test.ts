import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { drawingNamed, readJob } from '../../src/job/readJob.ts';

// Each file has one fault; its first line names the finding and the place it must raise.
const folder = join(dirname(fileURLToPath(import.meta.url)), '../jobs-refused');
const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));

describe('jobs that are refused', () => {
  it('are there', () => {
    expect(files.length).toBeGreaterThanOrEqual(25);
  });

  it.each(files)('%s raises its one finding at its place', (name) => {
    const text = readFileSync(join(folder, name), 'utf8');
    const head = /^# finding: (\S+) (\d+):(\d+)(?: in (\S+))?\n/.exec(text);
    expect(head, 'the first line names no finding').not.toBeNull();
    // A drawing that the job names stands beside it; its faults are told at their place in the drawing.
    const drawn = drawingNamed(text)?.name;
    const path = join(folder, drawn ?? '');
    const drawing = drawn !== undefined && existsSync(path) ? { text: readFileSync(path, 'utf8'), file: drawn } : undefined;
    const result = readJob(text, name, drawing);
    const findings = result.ok ? [] : result.findings;
    expect(findings.map(({ code, place }) => `${code} ${place?.file} ${place?.line}:${place?.column}`)).toEqual([
      `${head?.[1]} ${head?.[4] ?? name} ${head?.[2]}:${head?.[3]}`,
    ]);
    const [finding] = findings;
    expect(finding?.exit).toBe(2);
    expect(finding?.severity).toBe('error');
    expect(finding?.found, 'says what was found').toBeTruthy();
    expect(finding?.expected, 'says what would be right').toBeTruthy();
  });
});
