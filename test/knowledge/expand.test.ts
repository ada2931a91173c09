import { describe, expect, test } from 'vitest';
import { type Condition, compile, FactTable, type Leaf, leavesOf } from '../../src/engine/conditions.ts';
import type { FactValue } from '../../src/engine/facts.ts';
import { OPERATORS } from '../../src/engine/operators.ts';
import { expand } from '../../src/knowledge/expand.ts';
import type { FactSpec } from '../../src/knowledge/fact-catalogue.ts';
import type { AuthoredCondition, AuthoredRule } from '../../src/knowledge/parts.ts';
import { copyOfParts, shipped } from './shipped.ts';

const facts: ReadonlyMap<string, FactSpec> = new Map([
  ['elbow-low', { kind: 'seen', sided: true }],
  ['hips-low', { kind: 'seen', sided: false }],
  ['shoulder-pain', { kind: 'pain', sided: true }],
  ['cause:weak-arm', { kind: 'probability', sided: true }],
  ['focus:weak-arm', { kind: 'flag', sided: true }],
]);

function rule(scope: AuthoredRule['scope'], conditions: AuthoredCondition): AuthoredRule {
  return {
    id: 'a-rule',
    scope,
    conditions,
    event: { type: 'any', params: {} },
    rationale: 'why',
    mark: 'judgement',
  };
}
const leaf = (fact: string, operator = 'seenAtLeast', value: Leaf['value'] = 1): AuthoredCondition =>
  ({ fact, operator, value }) as AuthoredCondition;

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

describe('templates', () => {
  const template = (
    each: NonNullable<AuthoredRule['forEach']>['each'],
    conditions: AuthoredCondition,
    more: Partial<AuthoredRule> = {},
  ): AuthoredRule => ({ ...rule('body', conditions), forEach: { each }, ...more });

  const parts = copyOfParts();
  parts.drills = parts.drills.slice(0, 3);
  const [plain, geared, loading] = parts.drills.map((d) =>
    Object.assign(d, { needsAnyOf: [], loads: [], avoid: [], tags: [] }),
  );
  if (plain === undefined || geared === undefined || loading === undefined) throw new Error('three drills');
  geared.needsAnyOf.push(...(['fins', 'board'] as never[]));
  geared.tags.push('hard' as never);
  loading.loads.push(...(['shoulder', 'knee'] as never[]));
  loading.avoid.push({ cause: 'weak-arm', from: 'likely' } as never);
  const drill = (d: { code: string }) => `a-rule--${d.code}`;

  test('over drills: one rule a drill, in file order, with its code and its levels filled in', () => {
    const rules = expand(
      [
        template(
          'drill',
          { all: [leaf('level', 'isNoneOf', '$levels'), leaf('refused-drill:$drill', 'is', true)] },
          {
            event: { type: 'exclude', params: { drill: '$drill', reason: 'level' } },
          },
        ),
      ],
      parts,
      facts,
    );
    expect(rules.map((r) => r.id)).toEqual(parts.drills.map(drill));
    expect(rules.map((r) => r.event.params)).toEqual(
      parts.drills.map((d) => ({ drill: d.code, reason: 'level' })),
    );
    expect(rules.map((r) => r.conditions)).toEqual(
      parts.drills.map((d) => ({
        all: [leaf('level', 'isNoneOf', d.levels as never), leaf(`refused-drill:${d.code}`, 'is', true)],
      })),
    );
  });

  test('over the drills of one tag', () => {
    const tagged = template(
      'drill',
      { all: [leaf('hips-low')] },
      { forEach: { each: 'drill', tag: 'hard' } },
    );
    expect(expand([tagged], parts, facts).map((r) => r.id)).toEqual([drill(geared)]);
  });

  test('over drills that need equipment: the whole list is the value', () => {
    const rules = expand(
      [template('drill-with-equipment', { all: [leaf('equipment', 'includesNoneOf', '$needsAnyOf')] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual([
      [drill(geared), { all: [leaf('equipment', 'includesNoneOf', ['fins', 'board'] as never)] }],
    ]);
  });

  test('over the body parts that drills load: one rule each', () => {
    const rules = expand(
      [template('drill-load', { all: [leaf('restricted:$bodyPart', 'is', true)] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual(
      ['shoulder', 'knee'].map((part) => [
        `${drill(loading)}--${part}`,
        { all: [leaf(`restricted:${part}`, 'is', true)] },
      ]),
    );
  });

  test('over the causes that drills avoid: the word is filled in but is not part of the id', () => {
    const rules = expand(
      [template('drill-avoid', { all: [leaf('cause:$cause', 'probabilityAtLeast', '$from')] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual([
      [
        `${drill(loading)}--weak-arm`,
        {
          all: [
            {
              any: [
                leaf('cause:weak-arm@left', 'probabilityAtLeast', 'likely'),
                leaf('cause:weak-arm@right', 'probabilityAtLeast', 'likely'),
              ],
            },
          ],
        },
      ],
    ]);
  });

  test('over observed findings: the sides are those of the finding', () => {
    const own = copyOfParts();
    own.findings = own.findings
      .slice(0, 2)
      .map((f, i) => ({ ...f, code: ['elbow-low', 'hips-low'][i] as string, sided: i === 0 }));
    own.findings.push({ ...own.findings[0], code: 'measured-only' } as never);
    own.observations = own.observations
      .slice(0, 2)
      .map((o, i) => ({ ...o, code: ['hips-low', 'elbow-low'][i] as string }));
    const rules = expand(
      [template('observed-finding', { all: [leaf('$code', 'isAssessed', true)] }, { scope: '$scope' })],
      own,
      facts,
    );
    expect(rules.map((r) => [r.id, r.side, leavesOf(r.conditions).map((l) => l.fact)])).toEqual([
      ['a-rule--elbow-low', 'left', ['elbow-low@left']],
      ['a-rule--elbow-low', 'right', ['elbow-low@right']],
      ['a-rule--hips-low', 'body', ['hips-low']],
    ]);
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
