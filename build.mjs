import { chmodSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build } from 'esbuild';
import { previewClientForEsbuild } from './previewClient.mjs';

// One bundle with lazily loaded parts: a bundled start costs half of an unbundled one. `node build.mjs <folder>` builds elsewhere.
const [folder = 'dist'] = process.argv.slice(2);
const { metafile } = await build({
  entryPoints: { pocketpitch: 'src/main.ts' },
  bundle: true,
  splitting: true,
  platform: 'node',
  target: 'node20',
  format: 'esm',
  outdir: folder,
  banner: {
    js: "import { createRequire as pocketpitchRequire } from 'node:module'; const require = pocketpitchRequire(import.meta.url);",
  },
  minifySyntax: true,
  plugins: [previewClientForEsbuild()],
  metafile: true,
});
const entry = join(folder, 'pocketpitch.js');
writeFileSync(entry, `#!/usr/bin/env node\n${readFileSync(entry, 'utf8')}`);
chmodSync(entry, 0o755);
// Parts of an earlier build have other names and would be packed along.
const made = new Set(Object.keys(metafile.outputs).map((path) => basename(path)));
for (const name of readdirSync(folder)) if (name.endsWith('.js') && !made.has(name)) rmSync(join(folder, name));
