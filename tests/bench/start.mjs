// `npm run bench`: what a whole command costs beside a bare start of node, as ratios, since machines differ. No part of `npm test`:
// a busy machine would fail a sound program. The figures are kept in .bench/start.json and the next run is compared with them.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../..');
const KEPT = join(ROOT, '.bench/start.json');
/** Rounds; the commands take turns, so that a slow moment of the machine falls on all of them. */
const ROUNDS = 25;
/** A ratio that grew by more than this since the last run is worth a look. */
const WORSE_BY = 1.15;

const room = mkdtempSync(join(tmpdir(), 'pocketpitch-bench-'));
const empty = join(room, 'empty.mjs');
writeFileSync(empty, '');
const entry = join(ROOT, 'dist/pocketpitch.js');
const [job, shop] = ['reedling', 'marshlight-shop'].map((name) => join(ROOT, `samples/${name}.yaml`));
const make = [entry, 'make', job, '--shop', shop, '--into', join(room, 'results')];
// `most` fails the bench; `aim` is said.
const CASES = [
  { name: 'node', args: [empty] },
  { name: 'help', args: [entry, '--help'], aim: 1.5 },
  { name: 'solve', args: [entry, 'solve', job], aim: 2 },
  { name: 'make', args: make, aim: 6, most: 8 },
];

function once(args) {
  const start = process.hrtime.bigint();
  const { status, stderr } = spawnSync(process.execPath, args, { cwd: room });
  if (status !== 0) throw new Error(`${args.join(' ')}: exit ${status}\n${stderr}`);
  return Number(process.hrtime.bigint() - start) / 1e6;
}

const times = new Map(CASES.map(({ name }) => [name, []]));
for (let round = -1; round < ROUNDS; round++)
  for (const { name, args } of CASES) {
    const took = once(args);
    // The first round warms the disk's cache.
    if (round >= 0) times.get(name)?.push(took);
  }
rmSync(room, { recursive: true, force: true });

const middle = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const before = existsSync(KEPT) ? JSON.parse(readFileSync(KEPT, 'utf8')).ratios : {};
const ratios = {};
let failed = false;
for (const { name, aim, most } of CASES) {
  // The middle of the rounds' own ratios: both of a pair were measured in the same moment.
  const ratio = middle(times.get(name).map((took, i) => took / times.get('node')[i]));
  ratios[name] = Number(ratio.toFixed(3));
  const last = before[name];
  const words = [
    `${name.padEnd(6)} ${middle(times.get(name)).toFixed(0).padStart(5)} ms, ${ratio.toFixed(2)} times a bare start`,
    ...(aim === undefined ? [] : [ratio <= aim ? `within the aim of ${aim}` : `OVER THE AIM of ${aim}`]),
    ...(last === undefined ? [] : [`last time ${last}${ratio > last * WORSE_BY ? ': SLOWER' : ''}`]),
  ];
  process.stdout.write(`${words.join('; ')}\n`);
  if (most !== undefined && ratio > most) failed = true;
}
mkdirSync(dirname(KEPT), { recursive: true });
writeFileSync(KEPT, `${JSON.stringify({ node: process.version, rounds: ROUNDS, ratios }, null, 2)}\n`);
if (failed) {
  process.stderr.write('a command costs more than it may\n');
  process.exitCode = 1;
}
