import { worker } from 'workerpool';
import { type Done, type Task, workOn } from './batchWork.ts';

// The bundle has this as a file of its own beside the command's: a worker thread is started from it (build.mjs, batchPool.ts).
worker({ workOn: (task: Task): Promise<Done> => workOn(task) });
