// `npm run build && node tests/bench/batch.mjs 200 2000`: what a batch of so many jobs costs beside one job, as ratios. No part of
// `npm test`: a busy machine would fail a sound program. The disk is asked for about 0.7 MB a job.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../..');
const KEPT = join(ROOT, '.bench/batch.json');
const counts = process.argv.slice(2).map(Number);
if (counts.length === 0 || counts.some((count) => !(count >= 1))) throw new Error('give numbers of jobs, such as 200');
const room = mkdtempSync(join(tmpdir(), 'pocketpitch-bench-'));
const entry = join(ROOT, 'dist/pocketpitch.js');
const sample = readFileSync(join(ROOT, 'samples/reedling.yaml'), 'utf8');
const shop = join(ROOT, 'samples/marshlight-shop.yaml');

// Every job is another: a gap of its own.
function folderOf(count) {
  const folder = join(room, `jobs-${count}`);
  mkdirSync(folder);
  for (let i = 0; i < count; i++)
    writeFileSync(join(folder, `neck-${i}.yaml`), sample.replace('bass: 1.2', `bass: ${(1.1 + (0.2 * i) / count).toFixed(5)}`));
  return folder;
}

// `resourceUsage` of the child itself is asked for inside of it, at its end: the most memory it ever held.
const PRELUDE = join(room, 'memory.mjs');
writeFileSync(PRELUDE, "process.on('exit', () => process.stderr.write('\\nMOST ' + process.resourceUsage().maxRSS + '\\n'));\n");

function run(folder, into) {
  const start = process.hrtime.bigint();
  const args = ['--import', PRELUDE, entry, 'batch', folder, '--shop', shop, '--into', into, '--json'];
  const { status, stderr } = spawnSync(process.execPath, args, { maxBuffer: 1e9, encoding: 'utf8' });
  if (status !== 0) throw new Error(`exit ${status}\n${stderr.slice(-2000)}`);
  return {
    seconds: Number(process.hrtime.bigint() - start) / 1e9,
    // Worker threads say it too; the process's figure is the same for all.
    megabytes: Math.max(...[...stderr.matchAll(/MOST (\d+)/g)].map(([, kb]) => Number(kb))) / 1024,
  };
}

const one = run(folderOf(1), join(room, 'out-1'));
process.stdout.write(`   1 job: ${one.seconds.toFixed(2)} s, ${one.megabytes.toFixed(0)} MB\n`);
const before = existsSync(KEPT) ? JSON.parse(readFileSync(KEPT, 'utf8')) : {};
const ratios = {};
for (const count of counts) {
  const folder = folderOf(count);
  const out = join(room, `out-${count}`);
  const made = run(folder, out);
  const kept = run(folder, out);
  const ratio = {
    timePerJob: made.seconds / one.seconds / count,
    memory: made.megabytes / one.megabytes,
    againPerJob: kept.seconds / one.seconds / count,
  };
  ratios[count] = Object.fromEntries(Object.entries(ratio).map(([name, value]) => [name, Number(value.toFixed(4))]));
  const last = before[count] === undefined ? '' : `; last time ${JSON.stringify(before[count])}`;
  process.stdout.write(
    `${String(count).padStart(4)} jobs: ${made.seconds.toFixed(1)} s, each ${ratio.timePerJob.toFixed(3)} of one alone; ${made.megabytes.toFixed(0)} MB, ${ratio.memory.toFixed(2)} times one; again with nothing changed ${kept.seconds.toFixed(1)} s${last}\n`,
  );
  rmSync(out, { recursive: true, force: true });
}
rmSync(room, { recursive: true, force: true });
mkdirSync(dirname(KEPT), { recursive: true });
writeFileSync(KEPT, `${JSON.stringify({ ...before, ...ratios }, null, 2)}\n`);
