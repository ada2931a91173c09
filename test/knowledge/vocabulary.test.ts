import { describe, expect, test } from 'vitest';
import { leavesOf } from '../../src/engine/conditions.ts';
import type { Stage } from '../../src/engine/stage.ts';
import type { AuthoredCondition, AuthoredRule } from '../../src/knowledge/parts.ts';
import { RULE_PARTS } from '../../src/knowledge/parts.ts';
import { shipped } from './shipped.ts';

const { parts } = shipped;
const written = (Object.values(shipped.stages) as Stage<unknown>[]).flatMap((stage) => stage.rules);
/** Facts that the written-out rules ask for, without their side. */
const asked = written.flatMap((rule) => leavesOf(rule.conditions).map((l) => l.fact.split('@')[0] as string));

function authoredLeaves(condition: AuthoredCondition): { fact: string; operator: string }[] {
  if ('fact' in condition) return [condition];
  return ('all' in condition ? condition.all : condition.any).flatMap(authoredLeaves);
}

describe('the vocabulary holds', () => {
  test.each([
    ['observations', 110],
    ['quality-flags', 9],
    ['measurements', 50],
    ['causes', 55],
    ['links', 156],
    ['drills', 66],
  ] as const)('of %s at least the promised %i', (part, promised) => {
    expect(parts[part].length).toBeGreaterThanOrEqual(promised);
  });

  test('7 mechanisms and at least 2 causes about the record itself', () => {
    const ofRole = (role: string): number => parts.causes.filter((c) => c.role === role).length;
    expect(ofRole('mechanism')).toBe(7);
    expect(ofRole('meta')).toBeGreaterThanOrEqual(2);
  });
});

describe('what a rule names exists', () => {
  const seen = new Set<string>(['isAssessed', 'seenAtLeast', 'seenAbsent', 'notSeen', 'notAssessed']);
  const observations = new Set(parts.observations.map((o) => o.code));
  const measurements = new Set(parts.measurements.map((m) => m.code));
  const findings = new Set(parts.findings.map((f) => f.code));

  test.each(RULE_PARTS)('every observation, finding and measurement that a rule of %s looks at', (part) => {
    const named = (parts[part] as readonly AuthoredRule[]).flatMap((rule) => authoredLeaves(rule.conditions));
    const unknown = named
      .filter(({ fact, operator }) => seen.has(operator) && !fact.includes('$'))
      .map(({ fact }) => fact.replace(/@other$/, ''))
      .filter((fact) =>
        fact.startsWith('finding:')
          ? !findings.has(fact.slice('finding:'.length))
          : !observations.has(fact) && !measurements.has(fact),
      );
    expect(unknown).toEqual([]);
  });

  test('every fact of every rule, once it is written out', () => {
    expect(asked.length).toBeGreaterThan(1000);
    expect(asked.filter((fact) => !shipped.catalogue.has(fact))).toEqual([]);
  });

  test('every observation is looked at by some rule: none is recorded for nothing', () => {
    const looked = new Set(asked);
    expect([...observations].filter((code) => !looked.has(code))).toEqual([]);
  });

  test('every cause but those about the record has a finding that shows it, or a driver', () => {
    const reached = new Set([
      ...parts.links.map((l) => l.event.params.cause),
      ...parts.drivers.filter((d) => d.infer).map((d) => d.driven),
    ]);
    expect(parts.causes.filter((c) => c.role !== 'meta' && !reached.has(c.code)).map((c) => c.code)).toEqual(
      [],
    );
  });
});
