/**
 * Many assessments over one stream. A connection that breaks is opened again, and the items that have no answer yet are
 * sent again, in their order: in the end each has exactly one answer.
 */

import { setTimeout as wait } from 'node:timers/promises';
import type { BatchItem, BatchLine } from '../contract/batch.ts';
import type { Http } from './http.ts';
import { linesOf } from './lines.ts';
import type { CallOptions } from './options.ts';
import { ProblemResponse } from './problem.ts';

export interface BatchOptions extends CallOptions {
  /** input: in the order of the items; any: each as soon as it is ready. @default 'input' */
  readonly order?: 'input' | 'any';
}

type Items = Iterable<BatchItem> | AsyncIterable<BatchItem>;

const FIRST_WAIT = 200;
const LONGEST_WAIT = 30_000;

/** Items still to be answered, and those still to be fetched from the caller. */
class Queue {
  readonly pending = new Map<string, BatchItem>();
  drained = false;
  readonly #source: AsyncIterator<BatchItem>;
  #ahead: Promise<IteratorResult<BatchItem>> | undefined;

  constructor(items: Items) {
    this.#source = (async function* () {
      yield* items;
    })();
  }

  /** Lines of one connection: what was sent before without an answer, then what is new. */
  async *lines(): AsyncGenerator<Uint8Array, void, void> {
    // those that are added meanwhile are not sent twice
    for (const item of Array.from(this.pending.values())) yield lineOf(item);
    while (!this.drained) {
      // a connection may break while the caller's next item is on its way; the next connection then takes it
      this.#ahead ??= this.#source.next();
      const { done, value } = await this.#ahead;
      this.#ahead = undefined;
      if (done) {
        this.drained = true;
        return;
      }
      if (this.pending.has(value.id)) throw new TypeError(`the id "${value.id}" stands twice in the batch`);
      this.pending.set(value.id, value);
      yield lineOf(value);
    }
  }

  get done(): boolean {
    return this.drained && this.pending.size === 0;
  }

  async close(): Promise<void> {
    await this.#source.return?.();
  }
}

const lineOf = (item: BatchItem): Uint8Array => Buffer.from(`${JSON.stringify(item)}\n`);

/** A wrong request or key stays wrong; a broken connection or an overloaded service may not. */
function mayPass(error: unknown): boolean {
  if (error instanceof ProblemResponse) return error.status === 429 || error.status >= 502;
  return error instanceof Error && 'code' in error && error.name !== 'AbortError';
}

export async function* assessMany(
  http: Http,
  retries: number,
  items: Items,
  { order = 'input', signal }: BatchOptions,
): AsyncGenerator<BatchLine, void, void> {
  const queue = new Queue(items);
  let failures = 0;
  try {
    while (!queue.done) {
      let error: unknown;
      let body: Awaited<ReturnType<Http['stream']>> | undefined;
      try {
        body = await http.stream({
          path: `/v1/assessments/batch?order=${order}`,
          body: queue.lines(),
          type: 'application/x-ndjson',
          ...(signal === undefined ? {} : { signal }),
        });
        for await (const line of linesOf(body)) {
          const answer = JSON.parse(line) as BatchLine;
          if (answer.id !== undefined && !queue.pending.delete(answer.id)) continue;
          failures = 0;
          yield answer;
        }
      } catch (caught) {
        error = caught;
      } finally {
        // also when the caller stops taking answers
        body?.destroy();
      }
      if (queue.done) return;
      signal?.throwIfAborted();
      if (error !== undefined && !mayPass(error)) throw error;
      if (++failures > retries)
        throw error ?? new Error(`the service ended the batch with ${queue.pending.size} items unanswered`);
      const seconds = error instanceof ProblemResponse ? error.retryAfter : undefined;
      const pause = seconds === undefined ? FIRST_WAIT * 2 ** (failures - 1) : seconds * 1000;
      await wait(Math.min(LONGEST_WAIT, pause), undefined, signal === undefined ? {} : { signal });
    }
  } finally {
    await queue.close();
  }
}
