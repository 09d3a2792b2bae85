import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';

/** Builds the command once for a whole run, into a folder of its own, and again before tests that are watched run again. */
export function setup(project: TestProject): (() => void) | undefined {
  // Called for every project of vitest.config.ts and for the root, whose word all of them hear: once is enough.
  if (!project.isRootProject()) return undefined;
  const folder = mkdtempSync(join(tmpdir(), 'pocketpitch-built-'));
  const build = (): void => {
    const built = spawnSync(process.execPath, ['build.mjs', join(folder, 'dist')], { encoding: 'utf8' });
    if (built.status !== 0) throw new Error(`the build failed: ${built.stderr}`);
    cpSync('templates', join(folder, 'templates'), { recursive: true });
  };
  build();
  project.onTestsRerun(async () => build());
  project.provide('built', join(folder, 'dist/pocketpitch.js'));
  return () => rmSync(folder, { recursive: true, force: true });
}
