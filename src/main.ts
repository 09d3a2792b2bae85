import { run } from './shell/commands.ts';
import { reasonOf } from './shell/reason.ts';
import { terminalAsker } from './shell/terminal.ts';

/** Who reads may stop reading (`| head -1`): that is no fault. Anything else, such as a full disk, is said. */
process.stdout.on('error', (error: { readonly code?: string }) => {
  if (error.code !== 'EPIPE') {
    process.stderr.write(`error cannot-write: standard output cannot be written: ${reasonOf(error)}\n`);
    process.exitCode = 2;
  }
});
// Where nobody hears there is nobody to tell.
process.stderr.on('error', () => undefined);

const exitCode = await run(process.argv.slice(2), {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  isErrTerminal: process.stderr.isTTY === true,
  ask: terminalAsker(),
});
process.exitCode = Math.max(exitCode, Number(process.exitCode ?? 0));
