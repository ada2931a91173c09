/** Bytes that a piece of work allocates, counted between two collections. */
import { PerformanceObserver } from 'node:perf_hooks';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { median } from './harness.ts';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

/** Collections are reported a little later. */
const pause = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 5));

/** @returns the median of some rounds in which nothing was collected. */
export async function allocatedBy(work: (i: number) => unknown, runs: number): Promise<number> {
  let collections = 0;
  const observer = new PerformanceObserver((list) => {
    collections += list.getEntries().length;
  });
  observer.observe({ entryTypes: ['gc'] });
  const rounds: number[] = [];
  for (let round = 0; round < 40 && rounds.length < 15; round++) {
    collect();
    await pause();
    collections = 0;
    const before = process.memoryUsage();
    for (let i = 0; i < runs; i++) await work(round * runs + i);
    const after = process.memoryUsage();
    await pause();
    const bytes = after.heapUsed - before.heapUsed + (after.arrayBuffers - before.arrayBuffers);
    if (collections === 0) rounds.push(bytes / runs);
  }
  observer.disconnect();
  return median(rounds);
}
