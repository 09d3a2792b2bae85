import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { fingerprintOf } from '../kernel/fingerprint.ts';

/** An output on its way: `beside` holds its bytes, `kept` what stood at `path`, until all have taken their names. */
export interface Waiting {
  readonly path: string;
  readonly beside: string;
  readonly kept: string;
}

const hereTag = (): string => fingerprintOf(hostname()).slice(0, 6);

/**
 * A name of its own for every run, so that no other run, here or on another machine, writes the same file. It says by which machine and
 * process it is written, so that what a killed run left is known again.
 */
export function waitingFor(path: string): Waiting {
  const mark = `${randomUUID().slice(0, 8)}-${hereTag()}-${process.pid}`;
  const hidden = join(dirname(path), `.${basename(path)}.${mark}`);
  return { path, beside: `${hidden}.part`, kept: `${hidden}.kept` };
}

function isRunning(id: number): boolean {
  try {
    process.kill(id, 0);
    return true;
  } catch (error) {
    // One that may not be asked runs as somebody else.
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}

/**
 * Whether a name is that of an output that never took its own, written on this machine by a process that no longer runs. What a run put
 * aside (`.kept`) is none: it may be the last copy of a file.
 */
export function isLeftBehind(name: string): boolean {
  const [, tag, id] = /^\..+\.[0-9a-f]{8}-([0-9a-f]{6})-(\d{1,10})\.part$/.exec(name) ?? [];
  return tag === hereTag() && id !== undefined && Number(id) > 0 && !isRunning(Number(id));
}
