/** Random facts, conditions and rules for the properties of the engine. */
import fc from 'fast-check';
import type { Condition, Group, Leaf } from '../../src/engine/conditions.ts';
import type { FactKind, FactValue } from '../../src/engine/facts.ts';
import { OPERATORS, type WordBounds } from '../../src/engine/operators.ts';
import type { RuleInstance } from '../../src/engine/stage.ts';

export const WORDS: WordBounds = new Map([
  ['likely', 0.7],
  ['possible', 0.4],
]);

/** Two facts of each kind are enough for rules that share facts and rules that do not. */
export const FACTS: Readonly<Record<string, FactKind>> = Object.fromEntries(
  (['seen', 'measured', 'pain', 'flag', 'number', 'text', 'list', 'probability'] as const).flatMap(
    (kind): [string, FactKind][] => [
      [`${kind}-a`, kind],
      [`${kind}-b@left`, kind],
    ],
  ),
);

const code = fc.constantFrom('red', 'green', 'blue', 'gre');
const codes = fc.uniqueArray(code, { minLength: 1, maxLength: 3 });
const small = fc.integer({ min: 0, max: 4 });
const certainty = fc.constantFrom('sure' as const, 'likely' as const, 'unsure' as const);

const KNOWN: Readonly<Record<FactKind, fc.Arbitrary<FactValue>>> = {
  seen: fc.record(
    {
      severity: fc.constantFrom(0 as const, 1 as const, 2 as const, 3 as const),
      certainty,
      disputed: fc.constant(true as const),
    },
    { requiredKeys: ['severity', 'certainty'] },
  ),
  measured: fc.record({ value: small, certainty }),
  pain: fc.record({ score: small, features: fc.uniqueArray(code, { maxLength: 3 }) }),
  flag: fc.boolean(),
  number: small,
  text: code,
  list: fc.uniqueArray(code, { maxLength: 3 }),
  probability: fc.constantFrom(0, 0.3999, 0.4, 0.5, 0.7, 1),
};

/** A value for each fact; about one in three is not known. */
export const factValues: fc.Arbitrary<Readonly<Record<string, FactValue>>> = fc.record(
  Object.fromEntries(
    Object.entries(FACTS).map(([fact, kind]) => [fact, fc.option(KNOWN[kind], { nil: undefined, freq: 2 })]),
  ),
);

function valueFor(operator: string): fc.Arbitrary<unknown> {
  if (/AnyOf$|NoneOf$|OneOf$/.test(operator)) return codes;
  if (operator.startsWith('probability')) return fc.constantFrom('likely', 'possible');
  if (operator === 'is') return fc.boolean();
  if (operator === 'seenAtLeast') return fc.integer({ min: 1, max: 3 });
  return OPERATORS[operator]?.value.safeParse(true).success ? fc.constant(true) : small;
}

export const leaf: fc.Arbitrary<Leaf> = fc.constantFrom(...Object.keys(FACTS)).chain((fact) => {
  const fitting = Object.keys(OPERATORS).filter((name) =>
    OPERATORS[name]?.kinds.includes(FACTS[fact] as FactKind),
  );
  return fc
    .constantFrom(...fitting)
    .chain((operator) => valueFor(operator).map((value) => ({ fact, operator, value })));
});

function groupOf(part: fc.Arbitrary<Condition>): fc.Arbitrary<Group> {
  const parts = fc.array(part, { minLength: 1, maxLength: 4 });
  return fc.oneof(
    parts.map((all): Group => ({ all })),
    parts.map((any): Group => ({ any })),
  );
}

/** Trees of up to four levels of groups. */
export const group: fc.Arbitrary<Group> = (() => {
  let deeper: fc.Arbitrary<Group> = groupOf(leaf);
  for (let depth = 1; depth < 4; depth++)
    deeper = groupOf(fc.oneof({ weight: 2, arbitrary: leaf }, { weight: 1, arbitrary: deeper }));
  return deeper;
})();

/** Rules with ids in an order that is neither their file order nor its reverse. */
export const rules: fc.Arbitrary<RuleInstance<{ readonly n: number }>[]> = fc
  .array(group, { minLength: 1, maxLength: 12 })
  .map((conditions) =>
    conditions.map((each, n) => ({
      id: `rule-${(n * 7) % 13}-${n}`,
      side: (['body', 'left', 'right'] as const)[n % 3] as 'body' | 'left' | 'right',
      conditions: each,
      event: { type: 'random', params: { n } },
    })),
  );
