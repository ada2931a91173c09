import { describe, expect, test } from 'vitest';
import { type Condition, compile, FactTable, leavesOf } from '../../src/engine/conditions.ts';
import type { FactValue } from '../../src/engine/facts.ts';
import { OPERATORS } from '../../src/engine/operators.ts';
import { expand } from '../../src/knowledge/expand.ts';
import type { AuthoredCondition, AuthoredRule } from '../../src/knowledge/parts.ts';
import { facts, leaf, rule } from './authored.ts';
import { shipped } from './shipped.ts';

const written = (scope: AuthoredRule['scope'], conditions: AuthoredCondition) =>
  expand([rule(scope, conditions)], shipped.parts, facts).map(
    ({ side, conditions: c }) => [side, c] as const,
  );

describe('a rule of one arm', () => {
  test('is written out for the left and for the right, with the facts of that arm', () => {
    expect(written('arm', { all: [leaf('elbow-low'), leaf('hips-low')] })).toEqual([
      ['left', { all: [leaf('elbow-low@left'), leaf('hips-low')] }],
      ['right', { all: [leaf('elbow-low@right'), leaf('hips-low')] }],
    ]);
  });

  test('asks the opposite arm by @other', () => {
    expect(written('arm', { all: [leaf('elbow-low'), leaf('elbow-low@other', 'seenAbsent', true)] })).toEqual(
      [
        ['left', { all: [leaf('elbow-low@left'), leaf('elbow-low@right', 'seenAbsent', true)] }],
        ['right', { all: [leaf('elbow-low@right'), leaf('elbow-low@left', 'seenAbsent', true)] }],
      ],
    );
  });

  test('keeps its groups, their order and its id', () => {
    const nested: AuthoredCondition = {
      any: [
        leaf('hips-low'),
        { all: [leaf('elbow-low'), { any: [leaf('elbow-low@other'), leaf('hips-low')] }] },
      ],
    };
    const [left] = expand([rule('arm', nested)], shipped.parts, facts);
    expect(left?.id).toBe('a-rule');
    expect(left?.conditions).toEqual({
      any: [
        leaf('hips-low'),
        { all: [leaf('elbow-low@left'), { any: [leaf('elbow-low@right'), leaf('hips-low')] }] },
      ],
    });
  });

  test('is not changed by being written out', () => {
    const authored = rule('arm', { all: [leaf('elbow-low')] });
    const before = structuredClone(authored);
    expand([authored], shipped.parts, facts);
    expect(authored).toEqual(before);
  });
});

describe('a rule of the whole body', () => {
  test('is written once, and facts without sides stay as they are', () => {
    expect(written('body', { all: [leaf('hips-low')] })).toEqual([['body', { all: [leaf('hips-low')] }]]);
  });

  test('asks either side for something that is there', () => {
    expect(written('body', { all: [leaf('elbow-low')] })).toEqual([
      ['body', { all: [{ any: [leaf('elbow-low@left'), leaf('elbow-low@right')] }] }],
    ]);
  });

  const onSided: Readonly<Record<string, string>> = {
    seen: 'elbow-low',
    pain: 'shoulder-pain',
    probability: 'cause:weak-arm',
    flag: 'focus:weak-arm',
  };
  const sidedOperators = Object.entries(OPERATORS).flatMap(([name, spec]) => {
    const kind = spec.kinds.find((k) => k in onSided);
    return kind === undefined ? [] : [[name, onSided[kind] as string] as const];
  });
  const BOTH = ['seenAbsent', 'notAssessed', 'notSeen', 'isUnknown', 'isNotConfirmed', 'probabilityBelow'];

  test.each(sidedOperators)(
    'asks for %s on one side, or on both when it speaks of absence',
    (operator, fact) => {
      const parts = [leaf(`${fact}@left`, operator), leaf(`${fact}@right`, operator)];
      expect(written('body', { all: [leaf(fact, operator)] })).toEqual([
        ['body', { all: [BOTH.includes(operator) ? { all: parts } : { any: parts }] }],
      ]);
    },
  );

  test.each<[string, FactValue, FactValue, boolean | undefined, boolean | undefined]>([
    ['neither side looked at', undefined, undefined, undefined, undefined],
    [
      'there on the right only',
      { severity: 0, certainty: 'sure' },
      { severity: 2, certainty: 'sure' },
      true,
      false,
    ],
    [
      'absent on the left, right not looked at',
      { severity: 0, certainty: 'sure' },
      undefined,
      undefined,
      undefined,
    ],
    ['absent on both', { severity: 0, certainty: 'sure' }, { severity: 0, certainty: 'sure' }, false, true],
  ])('means the body: %s', (_, left, right, there, absent) => {
    const truth = (condition: AuthoredCondition) => {
      const [instance] = expand([rule('body', { all: [condition] })], shipped.parts, facts);
      const table = new FactTable();
      const test = compile(instance?.conditions as Condition, table, new Map());
      return test(table.facts.map((f) => (f.endsWith('@left') ? left : right)));
    };
    expect(truth(leaf('elbow-low'))).toBe(there);
    expect(truth(leaf('elbow-low', 'seenAbsent', true))).toBe(absent);
  });
});

describe('the shipped rules, written out', () => {
  const stages = Object.values(shipped.stages) as {
    name: string;
    rules: { id: string; side: string; conditions: Condition; event: unknown }[];
  }[];

  test.each(stages)('$name: no variable is left over, and ids are unique per side', ({ rules }) => {
    expect(JSON.stringify(rules)).not.toContain('$');
    expect(new Set(rules.map((r) => `${r.id}@${r.side}`)).size).toBe(rules.length);
  });

  test.each(stages)('$name: a sided fact names its side, and no other fact does', ({ rules }) => {
    for (const { fact } of rules.flatMap((r) => leavesOf(r.conditions))) {
      const [base, side] = fact.split('@') as [string, string?];
      const sided = shipped.catalogue.get(base)?.sided;
      expect(sided === true ? ['left', 'right'] : [undefined], fact).toContain(side);
    }
  });
});
