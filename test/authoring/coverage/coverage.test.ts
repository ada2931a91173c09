/** What the cases reach of the shipped rule set, and that nothing which is called impossible ever occurs. */
import { describe, expect, test } from 'vitest';
import { audit } from '../../../src/authoring/audit.ts';
import { summarize } from '../../../src/authoring/coverage/summary.ts';
import { OUTCOMES, targetsOf } from '../../../src/authoring/coverage/targets.ts';
import { deleteEach } from '../../../src/authoring/deletions.ts';
import { at, shipped } from '../../knowledge/shipped.ts';
import { addClue, leaf, ruleSetAfter, shippedCases } from '../lint/linted.ts';

const { counted, verdicts } = audit({ ruleSet: shipped, cases: shippedCases });
const summary = summarize(counted);

describe('the cases of the shipped rule set', () => {
  test('all hold', () => {
    expect(verdicts.filter((v) => v.faults.length > 0)).toEqual([]);
  });

  test('make at least 95 % of the rules fire and bring about at least 85 % of the outcomes of conditions', () => {
    expect(summary.rules.share).toBeGreaterThanOrEqual(0.95);
    expect(summary.outcomes.share).toBeGreaterThanOrEqual(0.85);
  });

  test('never bring about what is called impossible', () => {
    const strange = counted.flatMap(({ target, conditions }) =>
      target.conditions.flatMap(({ leaf: l, possible }, k) =>
        OUTCOMES.filter((o) => !possible.has(o) && (conditions[k]?.[o] ?? 0) > 0).map((o) => [
          target.rule.id,
          l,
          o,
        ]),
      ),
    );
    expect(strange).toEqual([]);
  });
});

describe('the figures', () => {
  test('of the parts add up to those of the whole', () => {
    for (const figure of ['rules', 'outcomes'] as const)
      for (const field of ['all', 'seen'] as const)
        expect(summary.parts.reduce((sum, p) => sum + p[figure][field], 0)).toBe(summary[figure][field]);
  });

  test('and the gaps tell the same', () => {
    expect(summary.gaps.filter((g) => g.missing === 'fired')).toHaveLength(
      summary.rules.all - summary.rules.seen,
    );
    expect(summary.gaps.filter((g) => g.missing !== 'fired')).toHaveLength(
      summary.outcomes.all - summary.outcomes.seen,
    );
  });

  test('are nothing without cases, and every outcome is then a gap', () => {
    const none = summarize(audit({ ruleSet: shipped, cases: [] }).counted);
    expect([none.rules.seen, none.outcomes.seen]).toEqual([0, 0]);
    expect(none.gaps).toHaveLength(none.rules.all + none.outcomes.all);
  });
});

describe('possible outcomes of a condition', () => {
  const outcomes = (fact: string, operator: string, value: unknown): string[] => {
    const ruleSet = ruleSetAfter((parts, texts) =>
      addClue(parts, texts, { all: [leaf(fact, operator, value)] }),
    );
    const target = targetsOf(ruleSet).find((t) => t.rule.id === 'added');
    return [...(target?.conditions[0]?.possible ?? [])].sort();
  };
  test.each([
    ['seenAtLeast, of something seen', 'hips-low', 'seenAtLeast', 1, ['false', 'true', 'unknown']],
    ['isAssessed, which is never denied', 'hips-low', 'isAssessed', true, ['true', 'unknown']],
    ['notAssessed, which always answers', 'hips-low', 'notAssessed', true, ['false', 'true']],
    ['the level, which is always known', 'level', 'isOneOf', ['novice'], ['false', 'true']],
    ['all levels, which is always so', 'level', 'isOneOf', ['novice', 'intermediate', 'advanced'], ['true']],
    ['what is concluded later', 'focus:water-anxiety', 'is', true, ['unknown']],
  ])('%s', (_, fact, operator, value, expected) => {
    expect(outcomes(fact, operator, value)).toEqual(expected);
  });
});

describe('deleting each rule in turn', () => {
  const few = shippedCases.filter((c) => c.id.startsWith('plan-'));
  const own = audit({ ruleSet: shipped, cases: few }).counted;
  const deletions = deleteEach(shipped, few, own);

  test('tells every rule once, in the order of the parts', () => {
    expect(deletions.map((d) => d.rule)).toEqual(own.map((c) => c.target.rule.id));
  });

  test('finds that a case notices the rule that it is about', () => {
    expect(deletions.find((d) => d.rule === 'hold-until-seen')?.noticedBy).toBe('plan-pain');
  });

  test('says that nobody notices a rule that fires in no case', () => {
    const never = at(
      own.filter((c) => c.firedIn.length === 0),
      0,
    ).target.rule.id;
    expect(deletions.find((d) => d.rule === never)?.noticedBy).toBeNull();
  });
});
