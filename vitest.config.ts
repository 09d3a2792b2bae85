import { defineConfig } from 'vitest/config';
import { previewClientForVite } from './previewClient.mjs';

export default defineConfig({
  plugins: [previewClientForVite()],
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    passWithNoTests: false,
    // Two cores are what CI has: both work.
    maxWorkers: '100%',
    // Its ESM build imports a directory, which Node's loader refuses: vite must read it (the bundle does anyway).
    server: { deps: { inline: ['svg-builder'] } },
  },
});
