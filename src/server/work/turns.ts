/** Whose turn it is: a bounded queue in front of a fixed number of places. */
import { HttpProblem } from '../problems.ts';

/**
 * `single` is one person waiting for one answer; `long` is one answer that may take seconds; `batch` is one item of many.
 */
export type Rank = 'single' | 'long' | 'batch';

/** Singles go first, but the others are not starved: they have every fourth turn, and take turns among themselves. */
const SINGLES_IN_A_ROW = 3;

export interface Turns {
  /**
   * Does a job as soon as there is a place for it.
   * @throws HttpProblem `overloaded` at once when too many of its rank wait already; items of a batch always wait.
   */
  take<T>(rank: Rank, job: () => Promise<T>): Promise<T>;
}

/**
 * @param places jobs done at one time; long ones leave one of them free for the others, where there is more than one
 * @param limit singles that may wait for a place, and as many long ones
 */
export function createTurns(places: number, limit: number): Turns {
  const waiting: { readonly [rank in Rank]: (() => void)[] } = { single: [], long: [], batch: [] };
  const longPlaces = Math.max(1, places - 1);
  let free = places;
  let long = 0;
  let inARow = 0;
  let lastOther: Rank = 'batch';

  const mayBegin = (rank: Rank): boolean => free > 0 && (rank !== 'long' || long < longPlaces);

  function begin(rank: Rank): void {
    free--;
    if (rank === 'long') long++;
  }

  function nextRank(): Rank | undefined {
    const others: Rank[] = lastOther === 'long' ? ['batch', 'long'] : ['long', 'batch'];
    const other = others.find((rank) => waiting[rank].length > 0 && mayBegin(rank));
    if (waiting.single.length > 0 && (other === undefined || inARow < SINGLES_IN_A_ROW)) return 'single';
    return other;
  }

  function leave(rank: Rank): void {
    free++;
    if (rank === 'long') long--;
    // a long job that ends may let another one begin beside the place that it held
    for (let next = nextRank(); next !== undefined && mayBegin(next); next = nextRank()) {
      inARow = next === 'single' ? inARow + 1 : 0;
      if (next !== 'single') lastOther = next;
      begin(next);
      waiting[next].shift()?.();
    }
  }

  return {
    async take(rank, job) {
      if (mayBegin(rank)) begin(rank);
      else if (rank !== 'batch' && waiting[rank].length >= limit)
        throw new HttpProblem('overloaded', { headers: { 'retry-after': '1' } });
      else await new Promise<void>((resolve) => waiting[rank].push(resolve));
      try {
        return await job();
      } finally {
        leave(rank);
      }
    },
  };
}
