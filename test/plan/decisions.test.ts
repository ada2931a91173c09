/** The decisions of a checkpoint: one for every outcome of a film, and the same that a comparison gives. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ComparisonRequest, FocusAdvice } from '../../src/contract/comparison.ts';
import type { PlanDecision } from '../../src/knowledge/parts.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { comparePair, type Shot } from '../compare/films.ts';

type Facts = Readonly<Record<string, number | boolean>>;
type Leaf = Extract<PlanDecision['when'], { all: unknown }>['all'][number];

function holds({ fact, operator, value }: Leaf, facts: Facts): boolean {
  const known = facts[fact];
  if (known === undefined) return false;
  switch (operator) {
    case 'is':
      return known === value;
    case 'atLeast':
      return known >= value;
    case 'above':
      return known > value;
    case 'atMost':
      return known <= value;
    case 'below':
      return known < value;
  }
}

function firstOf(facts: Facts, kind: 'work' | 'keep' | 'wait' | 'hold', film: 'none' | 'half' | 'full') {
  return ruleSet.parts['plan-decisions'].find(
    (d) =>
      d.kinds.includes(kind) &&
      d.films.includes(film) &&
      ('all' in d.when ? d.when.all.every((l) => holds(l, facts)) : d.when.any.some((l) => holds(l, facts))),
  );
}

const well: Facts = {
  'pain-score': 0,
  'pain-change': 0,
  'ache-weeks': 0,
  'warning-sign': false,
  comparable: true,
};

describe('after a film', () => {
  test('there is one decision, whatever it shows', () => {
    fc.assert(
      fc.property(
        fc.record({
          'signs-better': fc.nat({ max: 4 }),
          'signs-worse': fc.nat({ max: 4 }),
          'signs-left': fc.nat({ max: 4 }),
          'sessions-swum': fc.nat({ max: 40 }),
          tries: fc.nat({ max: 4 }),
          'pain-score': fc.nat({ max: 10 }),
          'pain-change': fc.integer({ min: -5, max: 5 }),
          'ache-weeks': fc.nat({ max: 8 }),
          'warning-sign': fc.boolean(),
          comparable: fc.boolean(),
        }),
        (facts) => {
          expect(firstOf(facts, 'work', 'full')).toBeDefined();
        },
      ),
    );
  });

  test.each([
    ['pain above 3 of 10', { 'pain-score': 4 }, 'refer'],
    ['any warning sign', { 'warning-sign': true, 'signs-better': 3 }, 'refer'],
    ['an ache of two weeks', { 'pain-score': 1, 'ache-weeks': 2 }, 'refer'],
    ['any rise of pain', { 'pain-score': 2, 'pain-change': 1 }, 'pause'],
    ['another pace', { comparable: false, 'signs-better': 3 }, 'film-again'],
  ] as const)('%s comes before every sign', (_, facts, outcome) => {
    const signs = { 'signs-better': 1, 'signs-worse': 0, 'signs-left': 0, 'sessions-swum': 20, tries: 1 };
    expect(firstOf({ ...well, ...signs, ...facts }, 'work', 'full')?.outcome).toBe(outcome);
  });

  test('the least number of sessions is that of comparisons', () => {
    const few = ruleSet.parts['plan-decisions'].find((d) => d.code === 'too-few-sessions');
    const when = few !== undefined && 'all' in few.when ? few.when.all : [];
    expect(when.find((l) => l.fact === 'sessions-swum')?.value).toBe(
      ruleSet.parts.constants.change.honestTrySessions,
    );
  });
});

describe('a comparison of the same two films', () => {
  type Between = NonNullable<ComparisonRequest['between']>;
  const head = (severity: 0 | 1 | 2 | 3, neck: number, hips: 0 | 1 | 2 | 3): Shot => ({
    seen: [{ code: 'head-held-high', severity }, { severity: hips }, { code: 'knee-bend-kick', severity: 0 }],
    measured: [{ code: 'neck-extension', value: neck, standardDeviation: 1 }],
  });
  const practised = (...sessions: number[]): Between =>
    sessions.map((n) => ({ focus: { cause: 'head-high-habit' }, sessions: n }));
  const told = (a: FocusAdvice): string =>
    a.advice === 'close'
      ? 'close'
      : a.change === 'drill'
        ? 'change-drill'
        : a.change === 'cause'
          ? 'doubt-cause'
          : 'keep';

  test.each([
    ['all signs gone', head(0, 5, 0), practised(8), { better: 2, worse: 0, left: 0 }],
    ['a sign that moves', head(2, 36, 2), practised(8), { better: 1, worse: 0, left: 2 }],
    ['too few sessions', head(3, 36, 2), practised(2), { better: 0, worse: 0, left: 2 }],
    ['one try in vain', head(3, 36, 2), practised(6), { better: 0, worse: 0, left: 2 }],
    ['two tries in vain', head(3, 36, 2), practised(6, 6), { better: 0, worse: 0, left: 2 }],
    ['a sign that is worse', head(3, 36, 3), practised(8), { better: 0, worse: 1, left: 2 }],
  ] as const)('%s: decides alike', async (_, after, between, signs) => {
    const { focus } = await comparePair(head(3, 36, 2), after, { between: between as Between });
    const [advice] = focus as [FocusAdvice];
    const decision = firstOf(
      {
        ...well,
        'signs-better': signs.better,
        'signs-worse': signs.worse,
        'signs-left': signs.left,
        'sessions-swum': advice.sessions,
        tries: advice.tries,
      },
      'work',
      'full',
    );
    expect(decision?.outcome).toBe(told(advice));
  });
});
