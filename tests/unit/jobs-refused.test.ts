import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readJob } from '../../src/job/readJob.ts';

// Each file has one fault; its first line names the finding and the place it must raise.
const folder = join(dirname(fileURLToPath(import.meta.url)), '../jobs-refused');
const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));

describe('jobs that are refused', () => {
  it('are there', () => {
    expect(files.length).toBeGreaterThanOrEqual(25);
  });

  it.each(files)('%s raises its one finding at its place', (name) => {
    const text = readFileSync(join(folder, name), 'utf8');
    const head = /^# finding: (\S+) (\d+):(\d+)\n/.exec(text);
    expect(head, 'the first line names no finding').not.toBeNull();
    const result = readJob(text, name);
    const findings = result.ok ? [] : result.findings;
    expect(findings.map(({ code, place }) => `${code} ${place?.file} ${place?.line}:${place?.column}`)).toEqual([
      `${head?.[1]} ${name} ${head?.[2]}:${head?.[3]}`,
    ]);
    const [finding] = findings;
    expect(finding?.exit).toBe(2);
    expect(finding?.severity).toBe('error');
    expect(finding?.found, 'says what was found').toBeTruthy();
    expect(finding?.expected, 'says what would be right').toBeTruthy();
  });
});
