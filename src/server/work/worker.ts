/** One thread: it loads the rule sets once and then does one task after the other. */
import { workerData } from 'node:worker_threads';
import { move } from 'piscina';
import { createCatalogue } from '../../knowledge/catalogue.ts';
import { loadAll } from '../../knowledge/load.ts';
import { doTask, type Task } from '../tasks/tasks.ts';

export interface WorkerData {
  /** Folder of the rule sets. */
  readonly rules: string;
}

async function prepare({ rules }: WorkerData): Promise<(task: Task) => Promise<unknown>> {
  const catalogue = createCatalogue(await loadAll(rules));
  return async (task) => {
    const outcome = await doTask(task, catalogue);
    // bytes change hands without a copy
    return outcome instanceof Uint8Array ? move(outcome) : outcome;
  };
}

/** The pool takes a promise of the handler: a thread is ready once its rule sets are. */
export default prepare(workerData as WorkerData);
