/**
 * Our evaluation against json-rules-engine's own, on random rules and facts: 10,000 pairs with our operators, then the
 * operators that the library brings itself. Where the library would coerce, or take what is not known for an answer,
 * the last part says what it does and what we define instead.
 */
import fc from 'fast-check';
import { Engine, Fact, type TopLevelCondition } from 'json-rules-engine';
import { describe, expect, test } from 'vitest';
import { type Condition, FactTable, type Group, isLeaf, type Leaf } from '../../src/engine/conditions.ts';
import type { FactValue } from '../../src/engine/facts.ts';
import { OPERATORS } from '../../src/engine/operators.ts';
import { createStage, type RuleInstance, refusePath } from '../../src/engine/stage.ts';
import { factValues, rules, WORDS } from './arbitrary.ts';

type Values = Readonly<Record<string, FactValue>>;

const nameOf = (rule: RuleInstance<unknown>): string => `${rule.id}@${rule.side}`;

/** What the compiled stage selects, and what its run on the engine fires. */
function ours(list: readonly RuleInstance<unknown>[]): (values: Values) => Promise<[string[], string[]]> {
  const table = new FactTable();
  const stage = createStage('differential', list, table, WORDS);
  return async (values) => {
    const slots = table.facts.map((fact) => values[fact]);
    const names = (fired: readonly { rule: RuleInstance<unknown> }[]): string[] =>
      fired.map(({ rule }) => nameOf(rule)).sort();
    return [names(stage.select(slots)), names(await stage.run(slots))];
  };
}

/** The library's own evaluation of the same rules; a fact that is not known is undefined. */
function library(
  list: readonly RuleInstance<unknown>[],
  conditionsOf: (conditions: Group) => unknown = (conditions) => conditions,
): (values: Values) => Promise<string[]> {
  const engine = new Engine([], { allowUndefinedFacts: true, pathResolver: refusePath });
  for (const [name, spec] of Object.entries(OPERATORS)) {
    engine.addOperator(name, (actual: never, value: never) => spec.test(actual, value, WORDS) === true);
  }
  engine.addOperator('isKnown', (actual: unknown) => actual !== undefined);
  for (const rule of list) {
    const conditions = structuredClone(conditionsOf(rule.conditions)) as TopLevelCondition;
    engine.addRule({ name: nameOf(rule), conditions, event: { type: 'fired' } });
  }
  return async (values) => {
    for (const [fact, value] of Object.entries(values)) {
      const given = value === undefined ? () => undefined : (value as never);
      engine.addFact(new Fact(fact, given, { cache: false }));
    }
    const { results } = await engine.run();
    return results.map((result) => result.name).sort();
  };
}

const RULE_SETS = 500;
const RECORDS = 20;

test(`${RULE_SETS * RECORDS} random pairs of rules and facts: the same rules fire`, async () => {
  const met = { pairs: 0, fired: 0, silent: 0, unknown: 0 };
  await fc.assert(
    fc.asyncProperty(
      rules,
      fc.array(factValues, { minLength: RECORDS, maxLength: RECORDS }),
      async (list, records) => {
        const [compiled, own] = [ours(list), library(list)];
        for (const values of records) {
          const [selected, ran] = await compiled(values);
          const expected = await own(values);
          expect(selected).toEqual(expected);
          expect(ran).toEqual(expected);
          met.pairs++;
          met.fired += expected.length;
          met.silent += list.length - expected.length;
          if (Object.values(values).includes(undefined)) met.unknown++;
        }
      },
    ),
    { numRuns: RULE_SETS, seed: 41 },
  );
  expect(met.pairs).toBeGreaterThanOrEqual(10_000);
  expect(met.unknown).toBeGreaterThan(9_000);
  expect(Math.min(met.fired, met.silent)).toBeGreaterThan(5_000);
});

/** Our operators in the library's own words, where it has some. */
const ITS_OWN: Readonly<Record<string, { readonly operator: string; readonly kind: string }>> = {
  atLeast: { operator: 'greaterThanInclusive', kind: 'number' },
  above: { operator: 'greaterThan', kind: 'number' },
  atMost: { operator: 'lessThanInclusive', kind: 'number' },
  is: { operator: 'equal', kind: 'flag' },
  isOneOf: { operator: 'in', kind: 'text' },
  isNoneOf: { operator: 'notIn', kind: 'text' },
};

/** The same conditions with the library's operators; its `notIn` is guarded, because it takes "not known" for "none of". */
function inItsOwnWords(condition: Condition): unknown {
  if (!isLeaf(condition)) {
    return 'all' in condition
      ? { all: condition.all.map(inItsOwnWords) }
      : { any: condition.any.map(inItsOwnWords) };
  }
  const { fact, operator, value } = condition;
  const leaf = { fact, operator: ITS_OWN[operator]?.operator, value };
  return operator === 'isNoneOf' ? { all: [{ fact, operator: 'isKnown', value: true }, leaf] } : leaf;
}

const leafOf = ([operator, { kind }]: [string, { kind: string }]): fc.Arbitrary<Leaf> =>
  fc.record({
    fact: fc.constantFrom(`${kind}-a`, `${kind}-b@left`),
    operator: fc.constant(operator),
    value:
      kind === 'number'
        ? fc.integer({ min: 0, max: 4 })
        : kind === 'flag'
          ? fc.boolean()
          : fc.uniqueArray(fc.constantFrom('red', 'green', 'blue', 'gre'), { minLength: 1, maxLength: 3 }),
  });
const ownLeaf = fc.oneof(...Object.entries(ITS_OWN).map(leafOf));
const ownGroup = (part: fc.Arbitrary<Condition>): fc.Arbitrary<Group> =>
  fc
    .tuple(fc.boolean(), fc.array(part, { minLength: 1, maxLength: 3 }))
    .map(([every, parts]): Group => (every ? { all: parts } : { any: parts }));
const ownRules = fc
  .array(ownGroup(fc.oneof(ownLeaf, ownGroup(ownLeaf))), { minLength: 1, maxLength: 8 })
  .map((list) =>
    list.map(
      (conditions, n): RuleInstance<object> => ({
        id: `rule-${n}`,
        side: 'body',
        conditions,
        event: { type: 'random', params: {} },
      }),
    ),
  );

test("the library's own operators fire the same, once its `notIn` is guarded", async () => {
  await fc.assert(
    fc.asyncProperty(
      ownRules,
      fc.array(factValues, { minLength: 5, maxLength: 5 }),
      async (list, records) => {
        const [compiled, own] = [ours(list), library(list, inItsOwnWords)];
        for (const values of records) expect((await compiled(values))[0]).toEqual(await own(values));
      },
    ),
    { numRuns: 300, seed: 42 },
  );
});

describe('where the library coerces, throws or guesses, and what we define instead', () => {
  /** Whether the library fires on one condition of its own; `throws` when the run is rejected. */
  async function libraryOn(
    leaf: Leaf,
    value: unknown,
    allowUndefinedFacts = true,
  ): Promise<boolean | 'throws'> {
    const engine = new Engine([], { allowUndefinedFacts });
    engine.addRule({ conditions: { all: [leaf] } as TopLevelCondition, event: { type: 'fired' } });
    const facts = value === undefined ? {} : { [leaf.fact]: value };
    try {
      return (await engine.run(facts)).results.length > 0;
    } catch {
      return 'throws';
    }
  }

  const truthOf = (operator: string, value: unknown, actual: FactValue): boolean | undefined =>
    OPERATORS[operator]?.test(actual, value as never, WORDS);

  test.each([
    ['none of a list', 'notIn', ['red'], 'isNoneOf', ['red'], true],
    ['not equal', 'notEqual', true, 'is', false, true],
    ['one of a list', 'in', ['red'], 'isOneOf', ['red'], false],
    ['at least', 'greaterThanInclusive', 0, 'atLeast', 0, false],
    ['contains', 'contains', 'red', 'includesAnyOf', ['red'], false],
    ['does not contain', 'doesNotContain', 'red', 'includesNoneOf', ['red'], false],
  ])(
    'not known, %s: the library decides, we say "unknown"',
    async (_, its, value, operator, asked, guess) => {
      expect(await libraryOn({ fact: 'f', operator: its, value }, undefined)).toBe(guess);
      expect(truthOf(operator, asked, undefined)).toBeUndefined();
    },
  );

  test('not known, as the library stands by default: one fact rejects the whole run; here the other rules still fire', async () => {
    expect(await libraryOn({ fact: 'f', operator: 'equal', value: true }, undefined, false)).toBe('throws');
    const leaf = (fact: string): Group => ({ all: [{ fact, operator: 'is', value: true }] });
    const both = ['unheard', 'known'].map(
      (id): RuleInstance<object> => ({
        id,
        side: 'body',
        conditions: leaf(id),
        event: { type: 'any', params: {} },
      }),
    );
    expect((await ours(both)({ known: true }))[0]).toEqual(['known@body']);
  });

  test('a number in quotes is less than 10 to the library; rules here may only compare a number with a number', async () => {
    expect(await libraryOn({ fact: 'f', operator: 'lessThan', value: 10 }, '5')).toBe(true);
    expect(OPERATORS.atMost?.value.safeParse('10').success).toBe(false);
    expect(OPERATORS.atMost?.kinds).toEqual(['number']);
  });

  test('part of a word is "in" a word to the library; a list of codes is asked for here, and only a whole code counts', async () => {
    expect(await libraryOn({ fact: 'f', operator: 'in', value: 'green' }, 'gre')).toBe(true);
    expect(OPERATORS.isOneOf?.value.safeParse('green').success).toBe(false);
    expect(truthOf('isOneOf', ['green'], 'gre')).toBe(false);
  });

  test('"in" a number rejects the run of the library; such a rule is refused here when it is loaded', async () => {
    expect(await libraryOn({ fact: 'f', operator: 'in', value: 5 }, 'x')).toBe('throws');
    expect(OPERATORS.isOneOf?.value.safeParse(5).success).toBe(false);
  });

  test('a disputed look is neither seen nor absent: two truth values would have to choose', () => {
    const disputed = { severity: 0, certainty: 'unsure', disputed: true } as const;
    expect(truthOf('seenAtLeast', 1, disputed)).toBeUndefined();
    expect(truthOf('seenAbsent', true, disputed)).toBeUndefined();
    expect(truthOf('notSeen', true, disputed)).toBe(true);
  });
});
