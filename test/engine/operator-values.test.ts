import { describe, expect, test } from 'vitest';
import type { FactKind } from '../../src/engine/facts.ts';
import { OPERATOR_NAMES, OPERATORS, type OperatorSpec } from '../../src/engine/operators.ts';

/** Values of every shape that JSON can hold, with the neighbours that a coercing comparison mixes up. */
const CANDIDATES: readonly unknown[] = [
  true,
  false,
  null,
  0,
  1,
  3,
  4,
  -1,
  1.5,
  '',
  '1',
  'true',
  'likely',
  [],
  ['a'],
  ['a', 'b'],
  [1],
  [['a']],
  [null],
  {},
  { value: 1 },
];
const isNumber = (v: unknown): boolean => typeof v === 'number';
const TAKES: Readonly<Record<string, (v: unknown) => boolean>> = {
  yes: (v) => v === true,
  'yes or no': (v) => typeof v === 'boolean',
  grade: (v) => v === 1 || v === 3,
  number: isNumber,
  text: (v) => typeof v === 'string',
  codes: (v) => Array.isArray(v) && v.length > 0 && v.every((part) => typeof part === 'string'),
};

const ALL: readonly FactKind[] = [
  'seen',
  'measured',
  'pain',
  'flag',
  'number',
  'text',
  'list',
  'probability',
];
const FITS: Readonly<Record<string, readonly [readonly FactKind[], keyof typeof TAKES]>> = {
  isAssessed: [['seen'], 'yes'],
  seenAtLeast: [['seen'], 'grade'],
  seenAbsent: [['seen'], 'yes'],
  notAssessed: [['seen', 'measured'], 'yes'],
  notSeen: [['seen'], 'yes'],
  isMeasured: [['measured'], 'yes'],
  measuredAtLeast: [['measured'], 'number'],
  measuredAbove: [['measured'], 'number'],
  measuredAtMost: [['measured'], 'number'],
  painAtLeast: [['pain'], 'number'],
  painAbove: [['pain'], 'number'],
  painAtMost: [['pain'], 'number'],
  painHasAnyOf: [['pain'], 'codes'],
  is: [['flag'], 'yes or no'],
  isNotConfirmed: [['flag'], 'yes'],
  isUnknown: [ALL, 'yes'],
  atLeast: [['number'], 'number'],
  above: [['number'], 'number'],
  atMost: [['number'], 'number'],
  isOneOf: [['text'], 'codes'],
  isNoneOf: [['text'], 'codes'],
  includesAnyOf: [['list'], 'codes'],
  includesNoneOf: [['list'], 'codes'],
  probabilityAtLeast: [['probability'], 'text'],
  probabilityBelow: [['probability'], 'text'],
};

describe('what an operator may be used on and with', () => {
  test('every operator is listed here', () => {
    expect(Object.keys(FITS).sort()).toEqual([...OPERATOR_NAMES].sort());
  });

  test.each(OPERATOR_NAMES)('%s fits its kinds of fact and no other', (name) => {
    expect(new Set((OPERATORS[name] as OperatorSpec).kinds)).toEqual(new Set(FITS[name]?.[0]));
  });

  test.each(OPERATOR_NAMES)('%s refuses a value of another type, and changes none that it takes', (name) => {
    const { value } = OPERATORS[name] as OperatorSpec;
    const takes = TAKES[FITS[name]?.[1] ?? ''] as (v: unknown) => boolean;
    for (const candidate of CANDIDATES) {
      const parsed = value.safeParse(candidate);
      expect(parsed.success, JSON.stringify(candidate)).toBe(takes(candidate));
      if (parsed.success) expect(parsed.data).toStrictEqual(candidate);
    }
  });

  test('a flag is compared without coercion', () => {
    const is = OPERATORS.is as OperatorSpec;
    for (const lookalike of [1, 'true', ['a']] as const) {
      expect(is.test(lookalike, true as never, new Map())).toBe(false);
    }
    for (const lookalike of [0, '', []] as const) {
      expect(is.test(lookalike, false as never, new Map())).toBe(false);
    }
  });

  test('zero, an empty text and an empty list are known, not missing', () => {
    const unknown = OPERATORS.isUnknown as OperatorSpec;
    for (const actual of [0, '', [], false] as const) {
      expect(unknown.test(actual, true as never, new Map())).toBe(false);
    }
  });
});
