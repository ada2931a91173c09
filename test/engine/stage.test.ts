import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FactTable } from '../../src/engine/conditions.ts';
import type { FactValue, Slots } from '../../src/engine/facts.ts';
import { referenceRun } from '../../src/engine/reference.ts';
import { createStage, type Fired, type RuleInstance } from '../../src/engine/stage.ts';
import { factValues, rules, WORDS } from './arbitrary.ts';

function slotsOf(table: FactTable, values: Readonly<Record<string, FactValue>>): Slots {
  return table.facts.map((fact) => values[fact]);
}

const names = (fired: readonly Fired<unknown>[]): string[] =>
  fired.map(({ rule }) => `${rule.id}@${rule.side}`);

/** Rule n fires on every number that n divides. */
const dividers: readonly RuleInstance<{ readonly n: number }>[] = [9, 2, 7, 3, 8, 5, 4, 6].map((n) => ({
  id: `divides-${n}`,
  side: 'body',
  conditions: { all: [{ fact: 'multiples', operator: 'includesAnyOf', value: [String(n)] }] },
  event: { type: 'divides', params: { n } },
}));
const multiples = (i: number): FactValue =>
  dividers
    .map((d) => d.event.params.n)
    .filter((n) => i % n === 0)
    .map(String);

describe('a stage', () => {
  test('fires in file order, whatever the ids', async () => {
    const table = new FactTable();
    const stage = createStage('dividers', dividers, table, WORDS);
    const fired = await stage.run([multiples(72)]);
    expect(fired.map(({ params }) => params.n)).toEqual([9, 2, 3, 8, 4, 6]);
    expect(fired.map(({ rule }) => rule)).toEqual(
      dividers.filter((d) => [9, 2, 3, 8, 4, 6].includes(d.event.params.n)),
    );
  });

  test('run, select and truths agree, and fire exactly what is true', async () => {
    let most = 0;
    await fc.assert(
      fc.asyncProperty(rules, factValues, async (list, values) => {
        const table = new FactTable();
        const stage = createStage('random', list, table, WORDS);
        const slots = slotsOf(table, values);
        const ran = await stage.run(slots);
        const truths = stage.truths(slots);
        expect(truths.map(({ rule }) => rule)).toEqual(list);
        expect(ran.map(({ rule }) => rule)).toEqual(
          truths.filter((t) => t.truth === true).map((t) => t.rule),
        );
        expect(names(stage.select(slots))).toEqual(names(ran));
        expect(ran.map(({ params }) => params)).toEqual(ran.map(({ rule }) => rule.event.params));
        most = Math.max(most, ran.length);
      }),
      { numRuns: 300, seed: 5 },
    );
    expect(most).toBeGreaterThan(5);
  });

  test('fires what the library itself fires, on random rules', async () => {
    await fc.assert(
      fc.asyncProperty(rules, factValues, async (list, values) => {
        const table = new FactTable();
        const stage = createStage('random', list, table, WORDS);
        const slots = slotsOf(table, values);
        expect(names(stage.select(slots)).sort()).toEqual(await referenceRun(list, table, WORDS, slots));
      }),
      { numRuns: 200, seed: 6 },
    );
  });

  test('that has nothing to fire answers with nothing, and still works afterwards', async () => {
    const stage = createStage('dividers', dividers, new FactTable(), WORDS);
    expect(await stage.run([undefined])).toEqual([]);
    expect(await stage.run([[]])).toEqual([]);
    expect((await stage.run([multiples(7)])).map(({ params }) => params.n)).toEqual([7]);
  });

  test('tells the leaves of a fired rule with the values they met', async () => {
    const stage = createStage('dividers', dividers, new FactTable(), WORDS);
    const [fired] = await stage.run([['7']]);
    expect(fired?.leaves()).toEqual([
      { fact: 'multiples', operator: 'includesAnyOf', value: ['7'], actual: ['7'], truth: true },
    ]);
    expect(stage.truths([undefined])[0]?.leaves()[0]?.truth).toBeUndefined();
  });

  test('leaves the rules that it was given as they were', async () => {
    const before = structuredClone(dividers);
    const frozen = structuredClone(dividers) as RuleInstance<{ n: number }>[];
    for (const rule of frozen) {
      Object.freeze(rule.conditions);
      for (const part of 'all' in rule.conditions ? rule.conditions.all : []) Object.freeze(part);
    }
    const stage = createStage('dividers', frozen, new FactTable(), WORDS);
    await stage.run([multiples(72)]);
    expect(frozen).toEqual(before);
  });

  test('an event type that the library gives a meaning of its own is only a word here', async () => {
    const loud = ['error', 'success', 'failure', '__defineGetter__'].map((type, n) => ({
      id: `loud-${n}`,
      side: 'body' as const,
      conditions: { all: [{ fact: 'on', operator: 'is', value: true }] },
      event: { type, params: { n } },
    }));
    const stage = createStage('loud', loud, new FactTable(), WORDS);
    expect((await stage.run([true])).map(({ params }) => params.n)).toEqual([0, 1, 2, 3]);
  });
});

describe('overlapping runs of one stage', () => {
  const RUNS = 200;
  const later = async (ticks: number): Promise<void> => {
    for (let i = 0; i < ticks; i++) await Promise.resolve();
  };

  test(`${RUNS} runs with different slots, begun one after another in mid-run, equal ${RUNS} serial runs`, async () => {
    const stage = createStage('dividers', dividers, new FactTable(), WORDS);
    const serial: number[][] = [];
    for (let i = 0; i < RUNS; i++) serial.push((await stage.run([multiples(i)])).map((f) => f.params.n));

    let running = 0;
    let most = 0;
    const overlapping = await Promise.all(
      serial.map(async (_, i) => {
        await later((i * 7) % 61);
        running++;
        most = Math.max(most, running);
        const fired = await stage.run([multiples(i)]);
        running--;
        return fired.map((f) => f.params.n);
      }),
    );
    expect(overlapping).toEqual(serial);
    expect(most).toBeGreaterThan(10);
    expect(new Set(serial.map(String)).size).toBeGreaterThan(20);
  });

  test('also when two stages share one table of slots', async () => {
    const table = new FactTable();
    const one = createStage('one', dividers, table, WORDS);
    const two = createStage('two', [...dividers].reverse(), table, WORDS);
    const both = await Promise.all(
      Array.from({ length: 50 }, async (_, i) => {
        const slots = [multiples(i)];
        await later(i % 17);
        const [a, b] = await Promise.all([one.run(slots), two.run(slots)]);
        return [names(a), names(b).reverse()];
      }),
    );
    for (const [a, b] of both) expect(b).toEqual(a);
    expect(both.some(([a]) => (a ?? []).length > 1)).toBe(true);
  });
});
