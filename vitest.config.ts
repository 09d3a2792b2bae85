import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    passWithNoTests: false,
    // Two cores are what CI has: both work.
    maxWorkers: '100%',
    // Its ESM build imports a directory, which Node's loader refuses: vite must read it (the bundle does anyway).
    server: { deps: { inline: ['svg-builder'] } },
  },
});
