/** One thread: it loads the rule sets once and then does one task after the other. */
import { workerData } from 'node:worker_threads';
import { createCatalogue } from '../../knowledge/catalogue.ts';
import { loadAll } from '../../knowledge/load.ts';
import { doTask, type Outcome, type Task } from '../tasks/tasks.ts';

export interface WorkerData {
  /** Folder of the rule sets. */
  readonly rules: string;
}

async function prepare({ rules }: WorkerData): Promise<(task: Task) => Promise<Outcome>> {
  const catalogue = createCatalogue(await loadAll(rules));
  return (task) => doTask(task, catalogue, rules);
}

/** The pool takes a promise of the handler: a thread is ready once its rule sets are. */
export default prepare(workerData as WorkerData);
