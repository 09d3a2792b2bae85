import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Made, makeAll } from '../../src/pipeline.ts';
import { ROOT } from '../support/command.ts';

// `RENEW_GOLDENS=1 npx vitest run tests/golden` writes the goldens anew; then look at `git diff` as a maker would, line by line.

/** Each sample job with its shop file; its goldens stand in a folder of the job's name. */
const SAMPLES = [{ name: 'reedling', shop: 'marshlight-shop' }] as const;

const isRenewing = process.env.RENEW_GOLDENS !== undefined && process.env.RENEW_GOLDENS !== '';
const isInCi = process.env.CI !== undefined && process.env.CI !== '';
/** What did not match is left beside the golden under this ending, to be compared by hand. */
const NEW = '.new';

const sample = (name: string): { text: string; file: string } => {
  const file = `samples/${name}.yaml`;
  return { text: readFileSync(join(ROOT, file), 'utf8'), file };
};

describe('the goldens', () => {
  it('are never renewed where nobody looks at them', () => {
    expect(isRenewing && isInCi, 'RENEW_GOLDENS is set in CI').toBe(false);
  });
});

describe.each(SAMPLES)('$name, byte for byte', ({ name, shop }) => {
  const folder = join(ROOT, 'tests/golden', name);
  let made: Made;

  beforeAll(() => {
    const result = makeAll(sample(name), sample(shop));
    if (!result.ok) throw new Error(result.findings.map(({ message }) => message).join('; '));
    made = result.value;
    if (!isRenewing || isInCi) return;
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
    for (const artifact of made.artifacts) writeFileSync(join(folder, artifact.name), artifact.text);
  });

  it('has a golden for every file that is made, and a file for every golden', () => {
    const names = made.artifacts.map((artifact) => artifact.name).sort();
    expect(names.length).toBeGreaterThanOrEqual(6);
    expect(existsSync(folder), `${folder} is missing`).toBe(true);
    expect(
      readdirSync(folder)
        .filter((each) => !each.endsWith(NEW))
        .sort(),
    ).toEqual(names);
  });

  it('is what is made now', () => {
    const differing: string[] = [];
    for (const artifact of made.artifacts) {
      const path = join(folder, artifact.name);
      const isSame = existsSync(path) && readFileSync(path).equals(Buffer.from(artifact.text, 'utf8'));
      if (isSame) {
        rmSync(path + NEW, { force: true });
        continue;
      }
      mkdirSync(folder, { recursive: true });
      writeFileSync(path + NEW, artifact.text);
      differing.push(artifact.name);
    }
    const hint = differing.map((each) => `diff tests/golden/${name}/${each} tests/golden/${name}/${each}${NEW}`).join('\n');
    expect(differing, `other than the golden:\n${hint}`).toEqual([]);
  });
});
