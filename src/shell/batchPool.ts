import { availableParallelism } from 'node:os';
import { dirname, join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { pool as startPool } from 'workerpool';
import { type Done, faultRow, type Task, workOn } from './batchWork.ts';

/** Beside the bundle's other files; run from the sources there is none, and the work is done here. */
function workerFile(): string | undefined {
  const here = dirname(fileURLToPath(import.meta.url));
  return here.endsWith('shell') ? undefined : join(here, 'batchWorker.js');
}

/** Does tasks one after another here, or several at once in threads of their own. */
interface Hands {
  readonly count: number;
  readonly work: (task: Task) => Promise<Done>;
  readonly end: () => Promise<void>;
}

function hands(most: number): Hands {
  const file = workerFile();
  if (file === undefined || most <= 1)
    return {
      count: 1,
      work: async (task) => {
        // A signal is heard between two jobs only if the loop turns.
        await nextTurn();
        return workOn(task);
      },
      end: () => Promise.resolve(),
    };
  const threads = startPool(file, { workerType: 'thread', maxWorkers: most });
  return {
    count: most,
    work: async (task) => {
      try {
        return (await threads.exec('workOn', [task])) as Done;
      } catch (error) {
        // The thread itself died, such as of want of memory: the job's own fault row, and a new thread for the next one.
        return { row: faultRow(task, error), kept: false, notes: [] };
      }
    },
    end: async () => {
      await threads.terminate();
    },
  };
}

/**
 * Works on every task, as many at once as there are cores (or `workers`). The answers stand in the tasks' order; undefined where
 * `isStopped` said so before the task was begun. What is begun is always ended.
 */
export async function workOnAll(
  tasks: readonly Task[],
  workers: number | undefined,
  isStopped: () => boolean,
  each: (done: Done, index: number) => void,
): Promise<(Done | undefined)[]> {
  const all = new Array<Done | undefined>(tasks.length).fill(undefined);
  const { count, work, end } = hands(Math.min(workers ?? availableParallelism(), tasks.length));
  const entries = tasks.entries();
  const lane = async (): Promise<void> => {
    // The lanes share one iterator, so that each task is taken once.
    for (const [index, task] of entries) {
      if (isStopped()) return;
      const done = await work(task);
      all[index] = done;
      each(done, index);
    }
  };
  try {
    await Promise.all(Array.from({ length: count }, lane));
  } finally {
    await end();
  }
  return all;
}
