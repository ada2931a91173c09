/** Whose turn it is: bounded, singles first, batches not starved. */
import { setImmediate } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import { HttpProblem } from '../../../src/server/problems.ts';
import { createTurns, type Rank, type Turns } from '../../../src/server/work/turns.ts';

interface Recorder {
  readonly add: (rank: Rank, name: string) => Promise<void>;
  /** Names in the order in which their jobs began. */
  readonly order: string[];
  /** Ends the oldest job that runs. */
  readonly step: () => Promise<void>;
}

function recorder(turns: Turns): Recorder {
  const order: string[] = [];
  const ends: (() => void)[] = [];
  return {
    order,
    add: (rank, name) =>
      turns.take(rank, async () => {
        order.push(name);
        await new Promise<void>((resolve) => ends.push(resolve));
      }),
    step: async () => {
      ends.shift()?.();
      await setImmediate();
    },
  };
}

describe('turns', () => {
  test('no more jobs at one time than places', async () => {
    const turns = createTurns(3, 100);
    let running = 0;
    let highest = 0;
    const job = async (): Promise<void> => {
      highest = Math.max(highest, ++running);
      await setImmediate();
      running--;
    };
    await Promise.all(Array.from({ length: 50 }, (_, i) => turns.take(i % 2 ? 'single' : 'batch', job)));
    expect([highest, running]).toEqual([3, 0]);
  });

  test('singles go before a batch, which has every fourth turn', async () => {
    const { add, order, step } = recorder(createTurns(1, 100));
    const all = [add('single', 'now')];
    for (let i = 0; i < 4; i++) all.push(add('batch', `b${i}`));
    for (let i = 0; i < 8; i++) all.push(add('single', `s${i}`));
    for (let i = 0; i < all.length; i++) await step();
    await Promise.all(all);
    expect(order).toEqual('now s0 s1 s2 b0 s3 s4 s5 b1 s6 s7 b2 b3'.split(' '));
  });

  test('a single too many is refused at once, with the time to come back; a batch waits', async () => {
    const { add, order, step } = recorder(createTurns(1, 2));
    const kept = [add('single', 'a'), add('single', 'b'), add('single', 'c')];
    const refused = add('single', 'd');
    await expect(refused).rejects.toBeInstanceOf(HttpProblem);
    await expect(refused).rejects.toMatchObject({ slug: 'overloaded', headers: { 'retry-after': '1' } });
    for (let i = 0; i < 10; i++) kept.push(add('batch', `x${i}`));
    for (let i = 0; i < kept.length; i++) await step();
    await Promise.all(kept);
    expect(order.filter((name) => !name.startsWith('x'))).toEqual(['a', 'b', 'c']);
    expect(order).toHaveLength(13);
  });

  test('a job that fails gives its place back and passes its error on', async () => {
    const turns = createTurns(1, 0);
    const fail = (): Promise<void> => Promise.reject(new Error('no'));
    await expect(turns.take('single', fail)).rejects.toThrow('no');
    await expect(turns.take('single', async () => 7)).resolves.toBe(7);
  });
});
