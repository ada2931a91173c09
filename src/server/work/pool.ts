/** Threads that do the work, so that the event loop stays free to take requests in and send answers out. */
import { setImmediate } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import { HttpProblem } from '../problems.ts';
import { doTask, type Outcome, type Task } from '../tasks/tasks.ts';
import { createTurns, type Rank } from './turns.ts';
import type { WorkerData } from './worker.ts';

/** A record of the largest size stays far below; a thread that needs more is ended, not the service. */
const HEAP_MB = 512;

export interface Pool {
  /** How many tasks are done at one time. */
  readonly places: number;
  /**
   * @returns the bytes of the answer.
   * @throws HttpProblem when the task is refused, `overloaded` when too many wait; Error when its thread fails.
   */
  run(task: Task, rank: Rank): Promise<Uint8Array<ArrayBuffer>>;
  /** Resolves once every thread has loaded its rule sets. */
  ready(): Promise<void>;
  /** Ends the threads. Nothing may be running. */
  close(): Promise<void>;
}

export interface PoolOptions {
  /** Threads; 0 does the work on the event loop. */
  readonly workers: number;
  /** Singles that may wait, and as many long ones. */
  readonly queueLimit: number;
  /** Folder of the rule sets, for the threads. */
  readonly rules: string;
  readonly catalogue: Catalogue;
  /** Told of a thread that failed while it had nothing to do. */
  readonly onError: (error: Error) => void;
  /** Another file to run in the threads. */
  readonly worker?: URL;
}

function startThreads({ workers, rules, onError, worker }: PoolOptions): Piscina<Task, Outcome> {
  const threads = new Piscina<Task, Outcome>({
    filename: fileURLToPath(worker ?? new URL('worker.ts', import.meta.url)),
    workerData: { rules } satisfies WorkerData,
    minThreads: workers,
    maxThreads: workers,
    idleTimeout: Number.POSITIVE_INFINITY,
    resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
    recordTiming: false,
  });
  threads.on('error', onError);
  return threads;
}

export function createPool(options: PoolOptions): Pool {
  const { workers, queueLimit, catalogue } = options;
  const threads = workers === 0 ? undefined : startThreads(options);
  const places = Math.max(1, workers);
  const turns = createTurns(places, queueLimit);

  async function perform(task: Task): Promise<Outcome> {
    // the bytes change hands without a copy
    if (threads !== undefined)
      return threads.run(task, { transferList: 'bytes' in task ? [task.bytes.buffer] : [] });
    // between two tasks the loop takes in and sends what has come meanwhile; a batch would stop it otherwise
    await setImmediate();
    return doTask(task, catalogue);
  }

  return {
    places,
    async run(task, rank) {
      const outcome = await turns.take(rank, () => perform(task));
      if (outcome instanceof Uint8Array) return outcome;
      const { slug, ...more } = outcome;
      throw new HttpProblem(slug, more);
    },
    async ready() {
      // one task for each thread: none of them is free for a second one before it is loaded
      if (threads === undefined) return;
      await Promise.all(Array.from({ length: workers }, () => threads.run({ kind: 'nothing' })));
    },
    close: async () => threads?.destroy(),
  };
}
