/** Threads that do the work, so that the event loop stays free to take requests in and send answers out. */
import { setImmediate } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import { HttpProblem } from '../problems.ts';
import { type Done, doTask, type Outcome, type Task } from '../tasks/tasks.ts';
import { createTurns, type Rank as QuickRank } from './turns.ts';
import type { WorkerData } from './worker.ts';

/** A record of the largest size stays far below; a thread that needs more is ended, not the service. */
const HEAP_MB = 512;

/**
 * Quick tasks that a thread has in hand. With one, thread and event loop wait for each other after every answer, which
 * costs a third of the throughput on one core (`npm run bench -- http`); more than four gain nothing.
 */
const IN_HAND = 4;

/** A long task that takes more is ended with its thread: what a draft costs cannot be known before it is run. */
const LONGEST_MS = 60_000;

/**
 * `single` is one person waiting for one answer, `batch` one item of many: both are quick. `long` is an answer that may
 * take seconds; such tasks have threads of their own, so that no quick one stands behind them.
 */
export type Rank = QuickRank | 'long';

export interface Pool {
  /** How many quick tasks are in hand at one time. */
  readonly places: number;
  /**
   * @returns the answer.
   * @throws HttpProblem when the task is refused, `overloaded` when too many of its rank wait; Error when it ends the
   *   thread that does it alone.
   */
  run(task: Task, rank: Rank): Promise<Done>;
  /** Resolves once every thread has loaded its rule sets. */
  ready(): Promise<void>;
  /** Ends the threads. Nothing may be running. */
  close(): Promise<void>;
}

export interface PoolOptions {
  /** Threads for quick tasks, and half as many more for long ones; 0 does the work on the event loop. */
  readonly workers: number;
  /** Singles that may wait, and as many long ones. */
  readonly queueLimit: number;
  /** Folder of the rule sets, for the threads. */
  readonly rules: string;
  readonly catalogue: Catalogue;
  /** Told of a thread that failed while it had nothing to do. */
  readonly onError: (error: Error) => void;
  /** Milliseconds after which a long task is ended; not without threads. */
  readonly longestMs?: number;
  /** Another file to run in the threads. */
  readonly worker?: URL;
}

type Threads = Piscina<Task, Outcome>;

function startThreads(threads: number, inHand: number, { rules, onError, worker }: PoolOptions): Threads {
  const started = new Piscina<Task, Outcome>({
    filename: fileURLToPath(worker ?? new URL('worker.ts', import.meta.url)),
    workerData: { rules } satisfies WorkerData,
    minThreads: threads,
    maxThreads: threads,
    concurrentTasksPerWorker: inHand,
    idleTimeout: Number.POSITIVE_INFINITY,
    resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
    recordTiming: false,
  });
  started.on('error', onError);
  return started;
}

interface Doers {
  readonly places: number;
  readonly longPlaces: number;
  perform(task: Task, rank: Rank): Promise<Outcome>;
  ready(): Promise<void>;
  close(): Promise<void>;
}

function inThreads(options: PoolOptions): Doers {
  const { workers, longestMs = LONGEST_MS } = options;
  const longPlaces = Math.max(1, Math.floor(workers / 2));
  const quick = startThreads(workers, IN_HAND, options);
  const long = startThreads(longPlaces, 1, options);
  async function inTime(task: Task): Promise<Outcome> {
    const signal = AbortSignal.timeout(longestMs);
    try {
      return await long.run(task, { signal });
    } catch (error) {
      if (signal.aborted) throw new HttpProblem('too-costly');
      throw error;
    }
  }
  /** One task for each thread: none of them is free for a second one before it is loaded. */
  const loaded = (threads: Threads, n: number): Promise<unknown> =>
    Promise.all(Array.from({ length: n }, () => threads.run({ kind: 'nothing' })));
  return {
    places: workers * IN_HAND,
    longPlaces,
    async perform(task, rank) {
      if (rank === 'long') return inTime(task);
      try {
        return await quick.run(task);
      } catch {
        // a thread that ends takes with it what it has in hand: each is done once more, alone, and only the culprit fails
        return inTime(task);
      }
    },
    ready: async () => {
      await Promise.all([loaded(quick, workers * IN_HAND), loaded(long, longPlaces)]);
    },
    close: async () => {
      await Promise.all([quick.destroy(), long.destroy()]);
    },
  };
}

const onTheLoop = ({ catalogue, rules }: PoolOptions): Doers => ({
  places: 1,
  longPlaces: 1,
  async perform(task) {
    // between two tasks the loop takes in and sends what has come meanwhile; a batch would stop it otherwise
    await setImmediate();
    return doTask(task, catalogue, rules);
  },
  ready: async () => undefined,
  close: async () => undefined,
});

export function createPool(options: PoolOptions): Pool {
  const doers = options.workers === 0 ? onTheLoop(options) : inThreads(options);
  const quickTurns = createTurns(doers.places, options.queueLimit);
  const longTurns = createTurns(doers.longPlaces, options.queueLimit);
  return {
    places: doers.places,
    async run(task, rank) {
      const job = () => doers.perform(task, rank);
      const outcome = await (rank === 'long' ? longTurns.take('single', job) : quickTurns.take(rank, job));
      if ('bytes' in outcome) return outcome;
      const { slug, ...more } = outcome;
      throw new HttpProblem(slug, more);
    },
    ready: () => doers.ready(),
    close: () => doers.close(),
  };
}
