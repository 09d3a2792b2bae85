import { build } from 'esbuild';

// One bundle with lazily loaded parts: a bundled start costs half of an unbundled one.
await build({
  entryPoints: { pocketpitch: 'src/main.ts' },
  bundle: true,
  splitting: true,
  platform: 'node',
  target: 'node20',
  format: 'esm',
  outdir: 'dist',
  banner: {
    js: "import { createRequire as pocketpitchRequire } from 'node:module'; const require = pocketpitchRequire(import.meta.url);",
  },
  minifySyntax: true,
});
const { chmodSync, readFileSync, writeFileSync } = await import('node:fs');
const entry = 'dist/pocketpitch.js';
writeFileSync(entry, `#!/usr/bin/env node\n${readFileSync(entry, 'utf8')}`);
chmodSync(entry, 0o755);
