/** json-rules-engine as its guide shows it: one engine, all rules, flat facts, its own evaluation. */
import { Engine, type TopLevelCondition } from 'json-rules-engine';
import type { Slots } from '../../../src/engine/facts.ts';
import { OPERATORS } from '../../../src/engine/operators.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';
import { ruleName } from './flat.ts';

/** Facts by their own names; what is not known is not there. */
export function factsByName(slots: Slots, { facts }: RuleSet): { [fact: string]: unknown } {
  const known = facts.facts.map((fact) => [fact, slots[facts.find(fact) as number]] as const);
  return Object.fromEntries(known.filter(([, value]) => value !== undefined));
}

/** @returns names of the rules that fire, in the order in which the library is done with them. */
export function plainEngine(
  rules: readonly RuleInstance<unknown>[],
  { words }: RuleSet,
): (facts: { [fact: string]: unknown }) => Promise<string[]> {
  const engine = new Engine([], { allowUndefinedFacts: true });
  for (const [name, spec] of Object.entries(OPERATORS)) {
    engine.addOperator(name, (actual: never, value: never) => spec.test(actual, value, words) === true);
  }
  for (const rule of rules) {
    engine.addRule({
      name: ruleName(rule),
      conditions: structuredClone(rule.conditions) as unknown as TopLevelCondition,
      event: { type: 'fired' },
    });
  }
  return async (facts) => (await engine.run(facts)).results.map((result) => result.name);
}
