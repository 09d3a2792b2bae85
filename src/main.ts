import { setFlagsFromString } from 'node:v8';
import { run } from './shell/commands.ts';
import { reasonOf } from './shell/reason.ts';
import { terminalAsker } from './shell/terminal.ts';

/**
 * Bytes of code that a function runs through before the engine looks whether to optimise it; its own is an eighth of that. Most commands
 * are over before what was optimised pays: so they take a fifth less of the processor, and those of many seconds a few in a hundred more.
 * Measured with the sample job on Node 20; an engine that does not know the flag would say so aloud, so only those tried are told.
 */
const OPTIMISED_AFTER_BYTES = 528_000;
if (/^v20\./.test(process.version)) setFlagsFromString(`--interrupt-budget=${OPTIMISED_AFTER_BYTES}`);

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
