import { defineConfig } from 'vitest/config';

// Tests that need poppler-utils: CI has them, a maker who runs `npm run verify` need not.
export default defineConfig({
  test: {
    include: ['tests/poppler/**/*.poppler.ts'],
    testTimeout: 60_000,
    passWithNoTests: false,
    server: { deps: { inline: ['svg-builder'] } },
  },
});
