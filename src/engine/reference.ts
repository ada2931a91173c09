/**
 * The library's own evaluation of the same rules: slow, and independent of our compiler. Tests and the
 * readiness self-test compare the two; production never answers from it.
 */
import { Engine, Fact, type TopLevelCondition } from 'json-rules-engine';
import type { FactTable } from './conditions.ts';
import type { Slots } from './facts.ts';
import { OPERATORS, type WordBounds } from './operators.ts';
import { type RuleInstance, refusePath } from './stage.ts';

/** @returns `id@side` of every rule that fires, sorted. */
export async function referenceRun(
  rules: readonly RuleInstance<unknown>[],
  table: FactTable,
  words: WordBounds,
  slots: Slots,
): Promise<string[]> {
  const engine = new Engine([], { allowUndefinedFacts: true, pathResolver: refusePath });
  for (const [name, spec] of Object.entries(OPERATORS)) {
    engine.addOperator(name, (actual: never, value: never) => spec.test(actual, value, words) === true);
  }
  for (const rule of rules) {
    engine.addRule({
      name: `${rule.id}@${rule.side}`,
      conditions: structuredClone(rule.conditions) as unknown as TopLevelCondition,
      event: { type: 'fired' },
    });
  }
  for (const fact of table.facts) {
    const value = slots[table.find(fact) ?? -1];
    engine.addFact(
      new Fact(fact, value === undefined ? () => undefined : (value as never), { cache: false }),
    );
  }
  const { results } = await engine.run();
  return results.map((result) => result.name).sort();
}
