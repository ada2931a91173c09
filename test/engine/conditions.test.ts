import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Condition,
  compile,
  explain,
  FactTable,
  type Group,
  isLeaf,
  leavesOf,
  placeLeaves,
} from '../../src/engine/conditions.ts';
import type { FactValue, Slots } from '../../src/engine/facts.ts';
import { OPERATORS, type Truth } from '../../src/engine/operators.ts';
import { factValues, group, leaf, WORDS } from './arbitrary.ts';

const flag = (fact: string): Condition => ({ fact, operator: 'is', value: true });

function slotsOf(table: FactTable, values: Readonly<Record<string, FactValue>>): Slots {
  return table.facts.map((fact) => values[fact]);
}

function evaluate(condition: Condition, values: Readonly<Record<string, FactValue>>): Truth {
  const table = new FactTable();
  const compiled = compile(condition, table, WORDS);
  return compiled(slotsOf(table, values));
}

/** Kleene's strong logic as numbers, false < unknown < true: `all` is the least part, `any` the greatest. */
const RANK = new Map<Truth, number>([
  [false, 0],
  [undefined, 1],
  [true, 2],
]);
const TRUTHS: readonly Truth[] = [false, undefined, true];

function naive(condition: Condition, values: Readonly<Record<string, FactValue>>): Truth {
  if (isLeaf(condition)) {
    const { fact, operator, value } = condition;
    return OPERATORS[operator]?.test(values[fact], value as never, WORDS);
  }
  const parts = 'all' in condition ? condition.all : condition.any;
  const ranks = parts.map((part) => RANK.get(naive(part, values)) as number);
  return TRUTHS['all' in condition ? Math.min(...ranks) : Math.max(...ranks)];
}

const T = true;
const F = false;
const U = undefined;

describe('three-valued conditions', () => {
  // Kleene, Introduction to Metamathematics, 1952, § 64: strong tables of "and" and "or"
  test.each([
    [T, T, T, T],
    [T, U, U, T],
    [T, F, F, T],
    [U, T, U, T],
    [U, U, U, U],
    [U, F, F, U],
    [F, T, F, T],
    [F, U, F, U],
    [F, F, F, F],
  ] as const)('%s with %s: all is %s, any is %s', (a, b, all, any) => {
    const parts = [flag('a'), flag('b')];
    expect(evaluate({ all: parts }, { a, b })).toBe(all);
    expect(evaluate({ any: parts }, { a, b })).toBe(any);
  });

  test.each([T, U, F])('a group of one part is that part: %s', (a) => {
    expect(evaluate({ all: [flag('a')] }, { a })).toBe(a);
    expect(evaluate({ any: [flag('a')] }, { a })).toBe(a);
  });

  test('compiled conditions say what a naive evaluator says', () => {
    const met = new Set<Truth>();
    fc.assert(
      fc.property(group, factValues, (condition, values) => {
        const truth = evaluate(condition, values);
        met.add(truth);
        expect(truth).toBe(naive(condition, values));
      }),
      { numRuns: 2000, seed: 1 },
    );
    expect(met).toEqual(new Set(TRUTHS));
  });

  test('what is learnt later never turns a yes into a no, where no operator asks about not knowing', () => {
    const plain = group.filter((g) => leavesOf(g).every((l) => OPERATORS[l.operator]?.total !== true));
    fc.assert(
      fc.property(plain, factValues, factValues, (condition, before, more) => {
        const after = Object.fromEntries(
          Object.keys(before).map((fact) => [fact, before[fact] ?? more[fact]]),
        );
        const early = evaluate(condition, before);
        if (early !== undefined) expect(evaluate(condition, after)).toBe(early);
      }),
      { numRuns: 500, seed: 2 },
    );
  });

  test.each(['looksLike', 'equal', '', 'toString', '__proto__'])(
    'the operator "%s" is refused',
    (operator) => {
      expect(() => compile({ all: [{ fact: 'a', operator, value: 1 }] }, new FactTable(), WORDS)).toThrow(
        `unknown operator ${operator}`,
      );
    },
  );
});

describe('leaves', () => {
  const condition: Group = {
    all: [
      flag('first'),
      { any: [flag('second'), { all: [flag('third'), flag('first')] }] },
      { fact: 'fourth', operator: 'atLeast', value: 3 },
    ],
  };

  test('come in the order they are written, repeated ones too', () => {
    expect(leavesOf(condition).map((l) => l.fact)).toEqual(['first', 'second', 'third', 'first', 'fourth']);
  });

  test('explain shows each with the value it met, also behind a part that decided', () => {
    const table = new FactTable();
    compile(condition, table, WORDS);
    const slots = slotsOf(table, { first: false, third: true, fourth: 3 });
    expect(explain(placeLeaves(condition, table), WORDS, slots)).toStrictEqual([
      { fact: 'first', operator: 'is', value: true, actual: false, truth: false },
      { fact: 'second', operator: 'is', value: true, actual: undefined, truth: undefined },
      { fact: 'third', operator: 'is', value: true, actual: true, truth: true },
      { fact: 'first', operator: 'is', value: true, actual: false, truth: false },
      { fact: 'fourth', operator: 'atLeast', value: 3, actual: 3, truth: true },
    ]);
  });

  test('explain of a fact that has no slot says that it is not known', () => {
    expect(explain(placeLeaves(flag('nowhere'), new FactTable()), WORDS, [true])).toStrictEqual([
      { fact: 'nowhere', operator: 'is', value: true, actual: undefined, truth: undefined },
    ]);
  });

  test('the truths that explain shows give the truth of the whole', () => {
    fc.assert(
      fc.property(group, factValues, (condition, values) => {
        const table = new FactTable();
        const compiled = compile(condition, table, WORDS);
        const slots = slotsOf(table, values);
        const shown = explain(placeLeaves(condition, table), WORDS, slots).map((l) => l.truth);
        const whole = (c: Condition): Truth => {
          if (isLeaf(c)) return shown.shift();
          const ranks = ('all' in c ? c.all : c.any).map((part) => RANK.get(whole(part)) as number);
          return TRUTHS['all' in c ? Math.min(...ranks) : Math.max(...ranks)];
        };
        expect(whole(condition)).toBe(compiled(slots));
        expect(shown).toEqual([]);
      }),
      { numRuns: 500, seed: 3 },
    );
  });
});

describe('fact slots', () => {
  test('are handed out in the order facts are first asked for, and kept', () => {
    const table = new FactTable();
    expect(['x', 'y', 'x', 'z'].map((fact) => table.slotOf(fact))).toEqual([0, 1, 0, 2]);
    expect(table.facts).toEqual(['x', 'y', 'z']);
    expect(table.size).toBe(3);
    expect(table.find('y')).toBe(1);
    expect(table.find('nowhere')).toBeUndefined();
    expect(table.size).toBe(3);
  });

  test('every fact of a condition gets one', () => {
    fc.assert(
      fc.property(fc.array(leaf, { minLength: 1, maxLength: 20 }), (all) => {
        const table = new FactTable();
        compile({ all }, table, WORDS);
        expect(new Set(table.facts)).toEqual(new Set(all.map((l) => l.fact)));
      }),
      { numRuns: 100, seed: 4 },
    );
  });
});
