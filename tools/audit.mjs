// `npm run audit`: known advisories against any package that builds, tests or is bundled here. Not every registry answers; then it says
// so, and that is no fault of the project. No part of `verify`, which must run without a network.
import { spawnSync } from 'node:child_process';

const { stdout } = spawnSync('npm', ['audit', '--json'], { encoding: 'utf8' });
let told;
try {
  told = JSON.parse(stdout);
} catch {
  told = {};
}
const counts = told.metadata?.vulnerabilities;
if (counts === undefined)
  process.stdout.write(`The registry does not answer: ${told.message ?? 'nothing came back'}. Nothing is known.\n`);
else {
  process.stdout.write(`Known advisories: ${JSON.stringify(counts)}\n`);
  for (const [name, { severity, range }] of Object.entries(told.vulnerabilities ?? {}))
    process.stdout.write(`${severity} ${name} ${range}\n`);
  if (counts.high + counts.critical > 0) process.exitCode = 1;
}
