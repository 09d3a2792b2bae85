import { createHash } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

// The preview page's own script is bundled while building (or testing), and reaches the pure core as one text: no generated file.

const NAME = 'virtual:preview-client';
const MAIN = fileURLToPath(new URL('./src/preview/client/main.ts', import.meta.url));

/** How a page's own script is bundled, for the preview and the bench page alike. */
export const PAGE_SCRIPT = {
  bundle: true,
  write: false,
  minify: true,
  format: 'iife',
  platform: 'browser',
  // What a shop's computer of about 2022 has.
  target: ['chrome103', 'firefox102', 'safari15.4'],
  charset: 'ascii',
  legalComments: 'none',
  metafile: true,
};

/** A bundle's text; nothing in it may end the element it stands in. */
export function scriptOf(made) {
  const script = made.outputFiles[0].text.trim();
  if (/<\/script|<!--/i.test(script)) throw new Error("a page's script would end its own element");
  return script;
}

async function clientModule() {
  const made = await build({ entryPoints: [MAIN], ...PAGE_SCRIPT });
  const files = Object.keys(made.metafile.inputs).map((file) => fileURLToPath(new URL(file, `file://${process.cwd()}/`)));
  const script = scriptOf(made);
  const hash = `sha256-${createHash('sha256').update(script, 'utf8').digest('base64')}`;
  const code = `export const clientScript = ${JSON.stringify(script)};\nexport const clientHash = ${JSON.stringify(hash)};`;
  return { code, files };
}

/** For build.mjs. */
export function previewClientForEsbuild() {
  return {
    name: 'preview-client',
    setup(context) {
      context.onResolve({ filter: /^virtual:preview-client$/ }, () => ({ path: NAME, namespace: 'preview-client' }));
      context.onLoad({ filter: /.*/, namespace: 'preview-client' }, async () => {
        const { code, files } = await clientModule();
        return { contents: code, loader: 'js', watchFiles: files };
      });
    },
  };
}

/** For vitest.config.ts. */
export function previewClientForVite() {
  return {
    name: 'preview-client',
    resolveId: (id) => (id === NAME ? `\0${NAME}` : undefined),
    async load(id) {
      if (id !== `\0${NAME}`) return undefined;
      const { code, files } = await clientModule();
      for (const file of files) this.addWatchFile(file);
      return code;
    },
  };
}
