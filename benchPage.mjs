import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { PAGE_SCRIPT, previewClientForEsbuild, scriptOf } from './previewClient.mjs';

// The bench page: the whole core bundled for a browser, in one HTML file.

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const CLIENT = fileURLToPath(new URL('./src/page/client/main.ts', import.meta.url));
const PAGE = fileURLToPath(new URL('./src/page/page.ts', import.meta.url));
const WORDS = fileURLToPath(new URL('./src/page/words.ts', import.meta.url));
/** Bytes; what the page may weigh on a shop's tablet. */
const MOST_BYTES = 2_500_000;

/**
 * The second reader of programs names modules of node for reading from streams and files, which nothing here asks of it; the SVG writer takes
 * the browser's own SVGElement for a base where there is one, and that cannot be made by `new`.
 */
const forBrowsers = {
  name: 'for-browsers',
  setup(context) {
    context.onResolve({ filter: /^(events|fs|stream|timers)$/ }, ({ path }) => ({ path, namespace: 'not-in-browsers' }));
    context.onLoad({ filter: /.*/, namespace: 'not-in-browsers' }, () => ({
      contents: 'class Nothing {}\nexport { Nothing as EventEmitter, Nothing as Transform };\nexport default {};',
    }));
    context.onLoad({ filter: /svg-builder\/dist\/[a-z]+\/elements\/element\.c?js$/ }, ({ path }) => {
      const text = readFileSync(path, 'utf8');
      const contents = text.replace("typeof SVGElement === 'undefined'", 'true');
      if (contents === text) throw new Error(`${path} has changed: look again at how it takes the browser's SVGElement`);
      return { contents };
    });
  },
};

/** The page's text, and what esbuild knows of the files in it. `licences` is the text that goes with the libraries. */
export async function benchPageText(licences) {
  const client = await build({
    entryPoints: [CLIENT],
    ...PAGE_SCRIPT,
    // Only for a file beside the PDF library that is never asked for.
    define: { 'import.meta.url': '"file:///"' },
    alias: {
      pdfkit: at('./node_modules/pdfkit/js/pdfkit.browser.mjs'),
      fontkit: at('./tools/notLoaded.cjs'),
      linebreak: at('./tools/notLoaded.cjs'),
    },
    plugins: [previewClientForEsbuild(), forBrowsers],
  });
  const script = scriptOf(client);
  // The page's text is made by the same sources as everything else, so they are bundled for here and called.
  const maker = await build({
    stdin: {
      contents: `export { benchPage } from ${JSON.stringify(PAGE)};\nexport { ENGLISH } from ${JSON.stringify(WORDS)};`,
      resolveDir: at('.'),
    },
    bundle: true,
    write: false,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    plugins: [previewClientForEsbuild()],
  });
  const { benchPage, ENGLISH } = await import(
    `data:text/javascript;base64,${Buffer.from(maker.outputFiles[0].text).toString('base64')}`
  );
  const folder = at('./templates');
  const starters = readdirSync(folder)
    .filter((name) => name.endsWith('.yaml'))
    .sort()
    .map((file) => {
      const text = readFileSync(`${folder}/${file}`, 'utf8');
      return { name: file.slice(0, -'.yaml'.length), about: /^# about: (.*)$/m.exec(text)?.[1] ?? '', text };
    });
  const page = benchPage({ script, starters, safety: readFileSync(at('./SAFETY.md'), 'utf8'), licences }, ENGLISH);
  const bytes = Buffer.byteLength(page);
  if (bytes > MOST_BYTES) throw new Error(`the bench page weighs ${bytes} bytes, more than ${MOST_BYTES}`);
  return { page, metafile: client.metafile };
}
