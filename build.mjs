import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build } from 'esbuild';
import { benchPageText } from './benchPage.mjs';
import { previewClientForEsbuild } from './previewClient.mjs';

/**
 * Libraries that only combined readings or drawn pockets need, and that cost every other run a tenth of a start: each is a file of its
 * own that is read when it is first used. For each package the names that the sources import; esbuild stops at a name that is not given
 * here.
 */
const LATE = {
  'clipper2-ts': ['EndType', 'FillRule', 'JoinType', 'differenceD', 'inflatePathsD'],
  jstat: ['default'],
  'ml-matrix': ['LuDecomposition', 'Matrix', 'solve'],
  saxes: ['SaxesParser'],
  'svg-pathdata': ['SVGPathData'],
};

const lateFile = (name) => `late-${name}.cjs`;

const late = {
  name: 'late',
  setup({ onResolve, onLoad }) {
    const names = new RegExp(`^(${Object.keys(LATE).join('|')})$`);
    onResolve({ filter: names }, ({ path }) => ({ path, namespace: 'late' }));
    onLoad({ filter: /.*/, namespace: 'late' }, ({ path }) => {
      const file = JSON.stringify(`./${lateFile(path)}`);
      const of = (name) => (name === 'default' ? `pocketpitchLate(${file})` : `pocketpitchLate(${file}).${name}`);
      const traps = (name) =>
        `{ get: (_, key) => ${of(name)}[key], construct: (_, args) => new (${of(name)})(...args), apply: (_, self, args) => ${of(name)}.apply(self, args) }`;
      const lines = LATE[path].map((name) => {
        const made = `new Proxy(function () {}, ${traps(name)})`;
        return name === 'default' ? `export default ${made};` : `export const ${name} = ${made};`;
      });
      return { contents: lines.join('\n') };
    });
  },
};

// One bundle with lazily loaded parts: a bundled start costs half of an unbundled one, and what is installed needs nothing beside it.
// `node build.mjs <folder>` builds elsewhere.
const [folder = 'dist'] = process.argv.slice(2);
const shared = { bundle: true, platform: 'node', target: 'node20', minifySyntax: true, minifyWhitespace: true, metafile: true };
const lateBuilds = await Promise.all(
  Object.keys(LATE).map((name) =>
    build({
      ...shared,
      stdin: { contents: `module.exports = require(${JSON.stringify(name)});`, resolveDir: '.' },
      format: 'cjs',
      outfile: join(folder, lateFile(name)),
      legalComments: 'none',
    }),
  ),
);
// Names are kept: a fault report with readable names is worth more than the few kB.
const mainBuild = await build({
  ...shared,
  // A batch's worker threads start from a file of their own.
  entryPoints: { pocketpitch: 'src/main.ts', batchWorker: 'src/shell/batchWorker.ts' },
  splitting: true,
  format: 'esm',
  outdir: folder,
  banner: {
    js: "import { createRequire as pocketpitchRequire } from 'node:module'; const require = pocketpitchRequire(import.meta.url), pocketpitchLate = require;",
  },
  // Licences are gathered below, whole, in one file of their own.
  legalComments: 'none',
  plugins: [late, previewClientForEsbuild()],
  // The PDF library's browser half packs with a library of its own: the same bytes from every version of node, and on the bench page.
  // What it would load for fonts and line breaks stays out: the guide brings its own letters and never asks for either, and the
  // two cost half of the time that a PDF takes.
  alias: {
    pdfkit: './node_modules/pdfkit/js/pdfkit.browser.mjs',
    fontkit: './tools/notLoaded.cjs',
    linebreak: './tools/notLoaded.cjs',
  },
});
const outputs = Object.assign({}, ...[mainBuild, ...lateBuilds].map(({ metafile }) => metafile.outputs));
const entry = join(folder, 'pocketpitch.js');
writeFileSync(entry, `#!/usr/bin/env node\n${readFileSync(entry, 'utf8')}`);
chmodSync(entry, 0o755);
// Parts of an earlier build have other names and would be packed along.
const made = new Set(Object.keys(outputs).map((path) => basename(path)));
for (const name of readdirSync(folder)) if (/\.c?js$/.test(name) && !made.has(name)) rmSync(join(folder, name));

function packagesIn({ outputs }) {
  const folders = Object.values(outputs)
    .flatMap(({ inputs }) => Object.keys(inputs))
    .map((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0])
    .filter((path) => path !== undefined);
  return [...new Set(folders)];
}

/** The folders of the packages whose code stands in the bundle, in order of their names. */
function bundledPackages() {
  const folders = packagesIn({ outputs });
  // A package may carry its own dependencies inside its files, where no path tells of them.
  const all = new Set(folders);
  for (const path of all) {
    const { dependencies = {} } = JSON.parse(readFileSync(join(path, 'package.json'), 'utf8'));
    for (const name of Object.keys(dependencies)) {
      const own = join(path, 'node_modules', name);
      const shared = join('node_modules', name);
      if (existsSync(own)) all.add(own);
      else if (existsSync(shared)) all.add(shared);
    }
  }
  return [...all].sort();
}

/** A package's licence as its authors give it; a package without one may not be handed on and stops the build. */
function licenceOf(path) {
  const { name, version, license: one, licenses } = JSON.parse(readFileSync(join(path, 'package.json'), 'utf8'));
  // Older packages give a list.
  const license = one ?? licenses?.map(({ type }) => type).join(' or ');
  const files = readdirSync(path).filter((file) => /^(licen[cs]e|copying|notice)/i.test(file));
  const texts = files.map((file) => readFileSync(join(path, file), 'utf8').trim());
  const named = typeof license === 'string' ? license : texts[0]?.split('\n')[0];
  if (!named) throw new Error(`${name} ${version} names no licence in its package.json and brings no licence file`);
  const text = texts.length > 0 ? texts.join('\n\n') : `(no licence file in the package; its package.json says ${named})`;
  return `${name} ${version}\n${named}\n\n${text}\n`;
}

const RULE = `\n${'-'.repeat(78)}\n\n`;
const packages = bundledPackages();
if (packages.length === 0) throw new Error('no bundled package was found: the list of licences would be empty');
const head = 'pocketpitch is built with the packages below; their code is part of these files.\n';
const licences = [head, ...packages.map(licenceOf)].join(RULE);
writeFileSync(join(folder, 'LICENCES.txt'), licences);

// The bench page holds the same sources and with them the same libraries, so the same licences go with it.
const { page, metafile } = await benchPageText(licences);
const unlisted = packagesIn(metafile).filter((path) => !packages.includes(path));
if (unlisted.length > 0) throw new Error(`the bench page holds packages whose licences are not listed: ${unlisted.join(', ')}`);
writeFileSync(join(folder, 'bench-page.html'), page);

// The man page and the schemas are what the built command itself says.
for (const [file, ...args] of [
  ['pocketpitch.1', 'manual'],
  ['job.schema.json', 'schema', 'job'],
  ['shop.schema.json', 'schema', 'shop'],
]) {
  const said = spawnSync(process.execPath, [entry, ...args], { encoding: 'utf8' });
  if (said.status !== 0) throw new Error(`pocketpitch ${args.join(' ')}: exit ${said.status}\n${said.stderr}`);
  writeFileSync(join(folder, file), said.stdout);
}
