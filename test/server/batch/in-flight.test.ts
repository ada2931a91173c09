/** Work on several things at once: order, bounds in both directions, and an end that stops the rest. */
import { setImmediate } from 'node:timers/promises';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { inFlight, type Order } from '../../../src/server/batch/in-flight.ts';

interface Bench {
  /** Things that were taken in so far. */
  taken: number;
  begun: number[];
  finish(thing: number): void;
  out: AsyncGenerator<number, void, void>;
}

/** A run over 0, 1, 2, … whose work is finished by hand. */
function bench(length: number, most: number, order: Order): Bench {
  const finishers = new Map<number, () => void>();
  async function* things(): AsyncGenerator<number> {
    for (let i = 0; i < length; i++) {
      state.taken++;
      yield i;
    }
  }
  const state: Bench = {
    taken: 0,
    begun: [],
    finish: (thing) => finishers.get(thing)?.(),
    out: inFlight(
      things(),
      (thing) => {
        state.begun.push(thing);
        return new Promise<number>((resolve) => finishers.set(thing, () => resolve(thing)));
      },
      most,
      order,
    ),
  };
  return state;
}

/** Lets everything happen that can happen by itself. */
async function settle(): Promise<void> {
  for (let i = 0; i < 20; i++) await setImmediate();
}

describe('bounds', () => {
  test.each<Order>(['input', 'any'])('%s: nothing is taken in before somebody reads', async (order) => {
    const { begun, ...b } = bench(10, 3, order);
    await settle();
    expect([b.taken, begun]).toEqual([0, []]);
  });

  test.each<Order>(['input', 'any'])(
    '%s: no more is worked on than allowed, and one waits',
    async (order) => {
      const b = bench(10, 3, order);
      void b.out.next();
      await settle();
      expect(b.begun).toEqual([0, 1, 2]);
      expect(b.taken).toBeLessThanOrEqual(4);
    },
  );

  test.each<Order>(['input', 'any'])(
    '%s: what is ready and not read takes the place of new work',
    async (order) => {
      const b = bench(10, 3, order);
      const first = b.out.next();
      await settle();
      for (const thing of [0, 1, 2]) b.finish(thing);
      expect((await first).value).toBe(0);
      await settle();
      // two results wait for their reader: nothing new is begun until it asks
      expect(b.begun).toEqual([0, 1, 2]);
      void b.out.next();
      await settle();
      expect(b.begun.length).toBeLessThanOrEqual(4);
    },
  );
});

describe('order', () => {
  test('input: a later one waits for the earlier', async () => {
    const b = bench(3, 3, 'input');
    const first = b.out.next();
    await settle();
    b.finish(2);
    b.finish(1);
    await settle();
    let settled = false;
    void first.then(() => {
      settled = true;
    });
    await settle();
    expect(settled).toBe(false);
    b.finish(0);
    expect([(await first).value, (await b.out.next()).value, (await b.out.next()).value]).toEqual([0, 1, 2]);
    expect((await b.out.next()).done).toBe(true);
  });

  test('any: what is ready is given out', async () => {
    const b = bench(3, 3, 'any');
    const first = b.out.next();
    await settle();
    b.finish(2);
    expect((await first).value).toBe(2);
    b.finish(0);
    expect((await b.out.next()).value).toBe(0);
    b.finish(1);
    expect((await b.out.next()).value).toBe(1);
    expect((await b.out.next()).done).toBe(true);
  });

  test('a result is given out although the next thing is late', async () => {
    for (const order of ['input', 'any'] as const) {
      let late: (value: number) => void = () => undefined;
      async function* things(): AsyncGenerator<number> {
        yield 1;
        yield await new Promise<number>((resolve) => {
          late = resolve;
        });
      }
      const out = inFlight(things(), async (x) => x, 4, order);
      expect((await out.next()).value).toBe(1);
      const second = out.next();
      await settle();
      late(2);
      expect((await second).value).toBe(2);
      expect((await out.next()).done).toBe(true);
    }
  });

  test('any number of things, any times, any bound: each comes out once, in order where asked', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.nat({ max: 5 }), { maxLength: 40 }),
        fc.integer({ min: 1, max: 9 }),
        fc.constantFrom<Order>('input', 'any'),
        async (turns, most, order) => {
          let running = 0;
          let highest = 0;
          const wait = async (i: number): Promise<number> => {
            highest = Math.max(highest, ++running);
            for (let t = 0; t < (turns[i] as number); t++) await setImmediate();
            running--;
            return i;
          };
          const seen: number[] = [];
          for await (const i of inFlight(
            (async function* () {
              yield* turns.keys();
            })(),
            wait,
            most,
            order,
          ))
            seen.push(i);
          const expected = [...turns.keys()];
          expect(order === 'input' ? seen : seen.toSorted((a, b) => a - b)).toEqual(expected);
          expect(highest).toBeLessThanOrEqual(most);
        },
      ),
      { numRuns: 200, seed: 3 },
    );
  });
});

describe('ends', () => {
  test('a reader that stops: nothing more is begun, and the source is told', async () => {
    let told = false;
    let begun = 0;
    async function* things(): AsyncGenerator<number> {
      try {
        for (let i = 0; ; i++) yield i;
      } finally {
        told = true;
      }
    }
    const out = inFlight(
      things(),
      async (x) => {
        begun++;
        return x;
      },
      4,
      'input',
    );
    await out.next();
    await out.return();
    const then = begun;
    await settle();
    expect([told, begun]).toEqual([true, then]);
    expect(begun).toBeLessThanOrEqual(5);
  });

  test('a source that fails while nobody reads fails the next read, and nothing else', async () => {
    let fail: () => void = () => undefined;
    async function* things(): AsyncGenerator<number> {
      yield 1;
      await new Promise<void>((resolve) => {
        fail = resolve;
      });
      throw new Error('gone');
    }
    const out = inFlight(things(), async (x) => x, 4, 'input');
    expect((await out.next()).value).toBe(1);
    // an unhandled rejection here would end the run
    fail();
    await settle();
    await expect(out.next()).rejects.toThrow('gone');
  });
});
