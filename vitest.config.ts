import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    passWithNoTests: false,
    // Its ESM build imports a directory, which Node's loader refuses: vite must read it (the bundle does anyway).
    server: { deps: { inline: ['svg-builder'] } },
  },
});
