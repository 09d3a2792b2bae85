// Makes the disk fail at one operation of many. Tests alone load it: in their own process, or before the built command by
// `node --import`; nothing in the shipped program knows of it.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join, sep } from 'node:path';

/** Every operation of node:fs that the file module may use, by what its first argument is. */
const BY_PATH = [
  'accessSync',
  'appendFileSync',
  'chmodSync',
  'copyFileSync',
  'existsSync',
  'linkSync',
  'lstatSync',
  'mkdirSync',
  'openSync',
  'opendirSync',
  'readFileSync',
  'readdirSync',
  'realpathSync',
  'renameSync',
  'rmSync',
  'rmdirSync',
  'statSync',
  'symlinkSync',
  'truncateSync',
  'unlinkSync',
  'writeFileSync',
];
const BY_FILE = ['closeSync', 'fchmodSync', 'fstatSync', 'fsyncSync', 'ftruncateSync', 'readSync', 'writeSync'];

function failure(code, name, path) {
  return Object.assign(new Error(`${code}: injected, ${name} '${path}'`), { code, syscall: name, path });
}

/**
 * Counts the operations below `folder` from 1 and lets the one with number `at` go wrong:
 * - an error code: it fails once with it, and nothing is done;
 * - `still <code>`: it and all after it fail with it;
 * - `half`: a write writes half of its bytes and fails for want of room;
 * - `gone`: the file it names is taken away first;
 * - `away <path>` and `edited <path>`: another file below the folder is taken away, or gets one more line, first;
 * - `dead`: it and all after it do nothing at all, as if the process had ended before it;
 * - `kill`: the process ends there.
 * Gives what was counted, and `restore`.
 */
export function failingDisk(folder, at, kind) {
  const whole = { ...fs };
  const files = new Map();
  const operations = [];
  let inside = 0;
  const below = (path) => typeof path === 'string' && path.startsWith(folder + sep);
  const [first, second] = kind.split(' ');
  const code = first === 'still' ? second : first;

  const wrap = (name, pathOf) => {
    const original = whole[name];
    const wrapped = (...args) => {
      const path = inside > 0 ? undefined : pathOf(args[0]);
      // Node builds some operations out of others: only what the program asks for counts.
      if (path === undefined) return original(...args);
      operations.push(`${name} ${path.slice(folder.length + 1)}`);
      const number = operations.length;
      const hit = number === at || (number > at && (first === 'still' || first === 'dead'));
      inside += 1;
      try {
        if (hit) {
          if (first === 'kill') process.kill(process.pid, 'SIGKILL');
          if (first === 'gone') whole.rmSync(path, { force: true, recursive: true });
          else if (first === 'away') whole.rmSync(join(folder, second));
          else if (first === 'edited') whole.appendFileSync(join(folder, second), '# edited\n');
          else if (name === 'existsSync') return false;
          else {
            if (first === 'half' && name === 'writeSync') original(args[0], args[1].subarray(0, args[1].length >> 1));
            // A file that is closed badly is closed all the same, and a process that ended has closed its files.
            if (name === 'closeSync') original(...args);
            throw failure(first === 'half' ? 'ENOSPC' : first === 'dead' ? 'EIO' : code, name, path);
          }
        }
        // These tests look at what is written in which order; to wait for the disk each time would take minutes.
        const result = name === 'fsyncSync' ? undefined : original(...args);
        if (name === 'openSync') files.set(result, path);
        if (name === 'closeSync') files.delete(args[0]);
        return result;
      } finally {
        inside -= 1;
      }
    };
    fs[name] = Object.assign(wrapped, original);
  };
  for (const name of BY_PATH) wrap(name, (path) => (below(path) ? path : undefined));
  for (const name of BY_FILE) wrap(name, (file) => files.get(file));
  syncBuiltinESMExports();
  return {
    operations,
    restore: () => {
      for (const name of [...BY_PATH, ...BY_FILE]) fs[name] = whole[name];
      syncBuiltinESMExports();
    },
  };
}

const told = process.env.POCKETPITCH_TEST_DISK;
if (told !== undefined) {
  const { folder, at, kind } = JSON.parse(told);
  failingDisk(folder, at, kind);
}
