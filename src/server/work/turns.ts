/** Whose turn it is: a bounded queue in front of a fixed number of places. */
import { HttpProblem } from '../problems.ts';

/** `single` is one person waiting for one answer; `batch` is one item of many. */
export type Rank = 'single' | 'batch';

/** Singles go first, but a batch is not starved: it has every fourth turn. */
const SINGLES_IN_A_ROW = 3;

export interface Turns {
  /**
   * Does a job as soon as there is a place for it.
   * @throws HttpProblem `overloaded` at once when too many singles wait already; items of a batch always wait.
   */
  take<T>(rank: Rank, job: () => Promise<T>): Promise<T>;
}

/**
 * @param places jobs done at one time
 * @param limit singles that may wait for a place
 */
export function createTurns(places: number, limit: number): Turns {
  const waiting: { readonly [rank in Rank]: (() => void)[] } = { single: [], batch: [] };
  let free = places;
  let inARow = 0;

  function next(): (() => void) | undefined {
    const batch = waiting.batch.length > 0 && (waiting.single.length === 0 || inARow >= SINGLES_IN_A_ROW);
    inARow = batch ? 0 : inARow + 1;
    return waiting[batch ? 'batch' : 'single'].shift();
  }

  function leave(): void {
    free++;
    const start = next();
    if (start === undefined) return;
    free--;
    start();
  }

  return {
    async take(rank, job) {
      if (free > 0) free--;
      else if (rank === 'single' && waiting.single.length >= limit)
        throw new HttpProblem('overloaded', { headers: { 'retry-after': '1' } });
      else await new Promise<void>((resolve) => waiting[rank].push(resolve));
      try {
        return await job();
      } finally {
        leave();
      }
    },
  };
}
