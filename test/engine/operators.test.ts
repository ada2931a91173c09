import { describe, expect, test } from 'vitest';
import type { FactValue, Seen } from '../../src/engine/facts.ts';
import { OPERATOR_NAMES, OPERATORS, type OperatorSpec, type Truth } from '../../src/engine/operators.ts';

const seen = (severity: Seen['severity']): FactValue => ({ severity, certainty: 'sure' });
const measured = (value: number): FactValue => ({ value, certainty: 'sure' });
const pain = (score: number, ...features: string[]): FactValue => ({ score, features });

const words: ReadonlyMap<string, number> = new Map([
  ['very likely', 0.88],
  ['likely', 0.69],
  ['very unlikely', 0],
]);

type Row = readonly [actual: FactValue, value: unknown, truth: boolean];

/** Facts that are known; what an operator says of a fact that is not known is promised below for all at once. */
const ROWS: Readonly<Record<string, readonly Row[]>> = {
  isAssessed: [
    [seen(0), true, true],
    [seen(3), true, true],
  ],
  seenAtLeast: [
    [seen(2), 2, true],
    [seen(3), 2, true],
    [seen(1), 2, false],
    [seen(0), 1, false],
  ],
  seenAbsent: [
    [seen(0), true, true],
    [seen(1), true, false],
  ],
  notAssessed: [
    [seen(0), true, false],
    [measured(0), true, false],
  ],
  notSeen: [
    [seen(0), true, true],
    [seen(1), true, false],
  ],
  isMeasured: [
    [measured(0), true, true],
    [measured(-4), true, true],
  ],
  measuredAtLeast: [
    [measured(5), 5, true],
    [measured(4.999), 5, false],
  ],
  measuredAbove: [
    [measured(5.001), 5, true],
    [measured(5), 5, false],
  ],
  measuredAtMost: [
    [measured(5), 5, true],
    [measured(5.001), 5, false],
  ],
  painAtLeast: [
    [pain(3), 3, true],
    [pain(2), 3, false],
  ],
  painAbove: [
    [pain(4), 3, true],
    [pain(3), 3, false],
  ],
  painAtMost: [
    [pain(3), 3, true],
    [pain(0), 3, true],
    [pain(4), 3, false],
  ],
  painHasAnyOf: [
    [pain(1, 'fever', 'at-night'), ['at-night', 'locking'], true],
    [pain(1, 'fever'), ['at-night', 'locking'], false],
    [pain(1), ['fever'], false],
    [pain(1, 'at-night'), ['night'], false],
  ],
  is: [
    [true, true, true],
    [false, false, true],
    [true, false, false],
    [false, true, false],
  ],
  isNotConfirmed: [
    [false, true, true],
    [true, true, false],
  ],
  isUnknown: [
    [false, true, false],
    [0, true, false],
    ['', true, false],
    [[], true, false],
    [seen(0), true, false],
    [measured(0), true, false],
    [pain(0), true, false],
  ],
  atLeast: [
    [10, 10, true],
    [9, 10, false],
  ],
  above: [
    [11, 10, true],
    [10, 10, false],
  ],
  atMost: [
    [10, 10, true],
    [11, 10, false],
  ],
  isOneOf: [
    ['novice', ['novice', 'advanced'], true],
    ['intermediate', ['novice', 'advanced'], false],
    ['nov', ['novice'], false],
  ],
  isNoneOf: [
    ['intermediate', ['novice', 'advanced'], true],
    ['novice', ['novice', 'advanced'], false],
    ['nov', ['novice'], true],
  ],
  includesAnyOf: [
    [['fins', 'board'], ['paddles', 'fins'], true],
    [['board'], ['paddles', 'fins'], false],
    [[], ['fins'], false],
  ],
  includesNoneOf: [
    [['board'], ['paddles', 'fins'], true],
    [[], ['fins'], true],
    [['fins', 'board'], ['paddles', 'fins'], false],
  ],
  probabilityAtLeast: [
    [0.69, 'likely', true],
    [0.6899, 'likely', false],
    [0, 'very unlikely', true],
  ],
  probabilityBelow: [
    [0.6899, 'likely', true],
    [0.69, 'likely', false],
    [0, 'very unlikely', false],
  ],
};

const TOTAL = ['notAssessed', 'notSeen', 'isNotConfirmed', 'isUnknown'];
/** These ask only whether the fact is known, so the one answer of a known fact is fixed. */
const ONLY_TRUE = ['isAssessed', 'isMeasured'];
const ONLY_FALSE = ['notAssessed', 'isUnknown'];

function ask(name: string, actual: FactValue, value: unknown): Truth {
  return (OPERATORS[name] as OperatorSpec).test(actual, value as never, words);
}

describe('the operators of the rules', () => {
  test('every operator has rows in this file, and no row is of an operator that is gone', () => {
    expect(Object.keys(ROWS).sort()).toEqual([...OPERATOR_NAMES].sort());
  });

  test.each(OPERATOR_NAMES)('%s answers a known fact as its rows say', (name) => {
    for (const [actual, value, truth] of ROWS[name] ?? []) {
      expect(ask(name, actual, value), JSON.stringify({ actual, value })).toBe(truth);
    }
  });

  test.each(OPERATOR_NAMES)('the rows of %s hold every answer that it can give', (name) => {
    const answers = new Set((ROWS[name] ?? []).map(([, , truth]) => truth));
    expect(answers.has(true)).toBe(!ONLY_FALSE.includes(name));
    expect(answers.has(false)).toBe(!ONLY_TRUE.includes(name));
  });

  test.each(OPERATOR_NAMES)(
    '%s says of a fact that is not known: unknown, or true when it asks for that',
    (name) => {
      const answers = (ROWS[name] ?? []).map(([, value]) => ask(name, undefined, value));
      expect(new Set(answers)).toEqual(new Set([TOTAL.includes(name) ? true : undefined]));
    },
  );

  test.each([
    ['isAssessed', true, true],
    ['notAssessed', true, false],
    ['seenAtLeast', 1, undefined],
    ['seenAbsent', true, undefined],
    ['notSeen', true, true],
    ['isUnknown', true, false],
  ] as const)(
    '%s of what was looked at but is disputed, at any severity: %s gives %s',
    (name, value, truth) => {
      for (const severity of [0, 1, 2, 3] as const) {
        expect(ask(name, { severity, certainty: 'sure', disputed: true }, value)).toBe(truth);
      }
    },
  );

  test('exactly four operators always answer', () => {
    expect(OPERATOR_NAMES.filter((name) => OPERATORS[name]?.total === true).sort()).toEqual(
      [...TOTAL].sort(),
    );
  });

  test('the operators that need both sides are those that speak of absence', () => {
    expect(OPERATOR_NAMES.filter((name) => OPERATORS[name]?.onBothSides === true).sort()).toEqual(
      [...TOTAL, 'seenAbsent', 'probabilityBelow'].sort(),
    );
  });

  test('a probability word without a bound is never reached', () => {
    expect(ask('probabilityAtLeast', 1, 'certain')).toBe(false);
    expect(ask('probabilityBelow', 1, 'certain')).toBe(true);
  });

  test('the table cannot be changed at run time', () => {
    expect(Object.isFrozen(OPERATORS)).toBe(true);
  });
});
