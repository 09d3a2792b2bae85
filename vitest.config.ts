import { defineConfig } from 'vitest/config';
import { previewClientForVite } from './previewClient.mjs';

const ALONE = ['tests/shell/diskFaults.test.ts'];
const ALL = ['tests/**/*.test.ts'];

export default defineConfig({
  plugins: [previewClientForVite()],
  test: {
    globalSetup: 'tests/support/buildOnce.ts',
    testTimeout: 60_000,
    hookTimeout: 60_000,
    passWithNoTests: false,
    // Two cores are what CI has: both work.
    maxWorkers: '100%',
    // Its ESM build imports a directory, which Node's loader refuses: vite must read it (the bundle does anyway).
    server: { deps: { inline: ['svg-builder'] } },
    projects: [
      // The core keeps nothing between two calls, so test files may share it: to read it anew for each would take a minute.
      { extends: true, test: { name: 'shared', include: ALL, exclude: ALONE, isolate: false } },
      // Puts other modules in the place of the core's, and a failing disk beneath them.
      { extends: true, test: { name: 'alone', include: ALONE } },
    ],
  },
});
