import { spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';

// Runs npm scripts beside each other, as many at once as there are cores: node tools/checks.mjs <script> ...
// What each says comes out whole once it has ended; all of them run to their ends, and one that fails makes this fail.

const waiting = process.argv.slice(2);
const failed = [];

function run(script) {
  return new Promise((done) => {
    const child = spawn('npm', ['run', '--silent', script], {
      stdio: ['ignore', 'pipe', 'pipe'],
      shell: process.platform === 'win32',
    });
    const said = [];
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (bytes) => said.push(bytes));
    const end = (how) => {
      process.stdout.write(`${how === 'passed' ? '' : '\n'}${script}: ${how}\n${Buffer.concat(said)}`);
      if (how !== 'passed') failed.push(script);
      done();
    };
    child.on('error', (error) => end(`not run: ${error.message}`));
    child.on('close', (code, signal) => end(code === 0 ? 'passed' : `FAILED (${signal ?? `exit ${code}`})`));
  });
}

async function runNext() {
  for (let script = waiting.shift(); script !== undefined; script = waiting.shift()) await run(script);
}

if (waiting.length === 0) throw new Error('no script was named');
await Promise.all(Array.from({ length: Math.max(2, availableParallelism()) }, runNext));
if (failed.length > 0) {
  process.stdout.write(`\nfailed: ${failed.join(', ')}\n`);
  process.exitCode = 1;
}
