// The second part of `npm run bench`: what the worst files cost, in seconds of the processor and in memory, and as ratios to a bare start
// of node. No part of `npm test`. The figures are kept in .bench/worst.json and the next run is compared with them.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../..');
const KEPT = join(ROOT, '.bench/worst.json');
/** Seconds of the processor and MB that a refused file may cost. */
const MOST = { seconds: 2, megabytes: 512 };
const WORSE_BY = 1.3;

const room = mkdtempSync(join(tmpdir(), 'pocketpitch-bench-'));
const entry = join(ROOT, 'dist/pocketpitch.js');
const [job, shop] = ['reedling', 'marshlight-shop'].map((name) => join(ROOT, `samples/${name}.yaml`));
const sample = readFileSync(job, 'utf8');
const lines = (count, line) => Array.from({ length: count }, (_, i) => line(i)).join('');
const wave = (i, by, of) => ((Math.sin(i * by) * 43758.5453) % of).toFixed(3);

/** `judged` ones are sound texts that the whole proof looks at: said, not held to MOST. */
const CASES = [
  { name: 'bare.mjs', text: '' },
  { name: 'commas.yaml', text: `a: [${','.repeat(19_900)}]` },
  { name: 'quotes.yaml', text: '"'.repeat(39_000) },
  { name: 'same-key.yaml', text: 'a: 1\n'.repeat(2800) },
  { name: 'unknown-keys.yaml', text: sample + lines(2400, (i) => `k${i}: 1\n`) },
  { name: 'tags.yaml', text: 'a: !!str !!int !x 1\n'.repeat(1400) },
  { name: 'deep.yaml', text: `a: ${'['.repeat(32_000)}` },
  { name: 'fifty-fits.yaml', text: `${sample}fits:\n${'  - {depth: 0.5, lastFretGap: 0.5}\n'.repeat(50)}`, fine: true },
  { name: 'line-ends.nc', text: '\n'.repeat(16 * 1024 * 1024 - 1) },
  { name: 'comments.nc', text: `${'('.repeat(70)}\n`.repeat(200_000) },
  { name: 'arcs.nc', text: 'G2\n'.repeat(199_999) },
  {
    name: 'to-and-fro.nc',
    text: `G21 G17 G90 G94\nG0 Z25\nG0 X-20 Y0\nS16000 M3\nG4 P4\n${lines(199_000, (i) => `G1 X${wave(i, 12.9898, 30)} Y${wave(i, 78.233, 25)} Z-17.5 F1200\n`)}M5\nM2\n`,
    judged: true,
  },
];

/** Told by the process itself when it ends: node alone is there everywhere. */
const meter = join(room, 'meter.mjs');
writeFileSync(
  meter,
  `import { writeFileSync } from 'node:fs';
process.on('exit', () => {
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  writeFileSync(${JSON.stringify(join(room, 'cost.json'))}, JSON.stringify({ seconds: (userCPUTime + systemCPUTime) / 1e6, megabytes: maxRSS / 1024 }));
});
`,
);

function costOf({ name, text, fine, judged }) {
  const file = join(room, name);
  writeFileSync(file, text);
  const args = name.endsWith('.mjs')
    ? [file]
    : name.endsWith('.nc')
      ? [entry, 'prove', file, '--job', job, '--shop', shop]
      : [entry, 'solve', file];
  const ran = spawnSync(process.execPath, ['--max-old-space-size=512', '--import', pathToFileURL(meter).href, ...args], {
    cwd: room,
  });
  const expected = fine || name.endsWith('.mjs') ? 0 : name.endsWith('.nc') ? 4 : 2;
  if (ran.status !== expected) throw new Error(`${name}: exit ${ran.status}\n${ran.stderr.toString().slice(0, 500)}`);
  const cost = JSON.parse(readFileSync(join(room, 'cost.json'), 'utf8'));
  return { ...cost, over: judged !== true && (cost.seconds > MOST.seconds || cost.megabytes > MOST.megabytes) };
}

const before = existsSync(KEPT) ? JSON.parse(readFileSync(KEPT, 'utf8')).ratios : {};
const ratios = {};
let bare;
let failed = false;
for (const each of CASES) {
  const { seconds, megabytes, over } = costOf(each);
  bare ??= seconds;
  const ratio = Number((seconds / bare).toFixed(2));
  ratios[each.name] = ratio;
  const last = before[each.name];
  const words = [
    `${each.name.padEnd(18)} ${seconds.toFixed(2).padStart(6)} s, ${megabytes.toFixed(0).padStart(4)} MB, ${ratio} times a bare start`,
    ...(over ? [`OVER ${MOST.seconds} s or ${MOST.megabytes} MB`] : []),
    ...(last === undefined ? [] : [`last time ${last}${ratio > last * WORSE_BY ? ': SLOWER' : ''}`]),
  ];
  process.stdout.write(`${words.join('; ')}\n`);
  if (over) failed = true;
}
rmSync(room, { recursive: true, force: true });
mkdirSync(dirname(KEPT), { recursive: true });
writeFileSync(KEPT, `${JSON.stringify({ node: process.version, ratios }, null, 2)}\n`);
if (failed) {
  process.stderr.write('a file costs more than it may\n');
  process.exitCode = 1;
}
