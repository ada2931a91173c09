/** Counts, record by record, which rules fired and how each of their conditions came out. */
import type { Ask } from '../../assess/pipeline.ts';
import type { Slots } from '../../engine/facts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { OUTCOMES, type Outcome, outcomeOf, type RuleTarget, STAGE_OF, targetsOf } from './targets.ts';

const BIT: Readonly<Record<Outcome, number>> = { true: 1, false: 2, unknown: 4 };

export type Counts = { readonly [O in Outcome]: number };

export interface Counted {
  readonly target: RuleTarget;
  /** Records in which the rule fired, by their place in the order of counting. */
  readonly firedIn: readonly number[];
  /** For each condition, the records in which it came out so, on some arm or for something. */
  readonly conditions: readonly Counts[];
}

export interface Counter {
  /** Begins a record; give the result to the runner as its watcher. */
  record(): (ask: Ask) => void;
  counted(): readonly Counted[];
}

/** @param targets the rules to count; all of the rule set unless given. */
export function createCounter(
  ruleSet: RuleSet,
  targets: readonly RuleTarget[] = targetsOf(ruleSet),
): Counter {
  const byStage = Map.groupBy(
    targets.map((target, index) => ({ target, index })),
    ({ target }) => STAGE_OF[target.part],
  );
  const firedIn = targets.map((): number[] => []);
  const counts = targets.map((t) => t.conditions.map(() => ({ true: 0, false: 0, unknown: 0 })));
  let records = 0;

  function count(stage: string, slots: Slots, record: number): void {
    for (const { target, index } of byStage.get(stage) ?? []) {
      if (target.tests.some((test) => test(slots) === true)) firedIn[index]?.push(record);
      target.conditions.forEach(({ tests }, k) => {
        let seen = 0;
        for (const test of tests) seen |= BIT[outcomeOf(test(slots))];
        const own = counts[index]?.[k] as { [O in Outcome]: number };
        for (const outcome of OUTCOMES) if (seen & BIT[outcome]) own[outcome]++;
      });
    }
  }

  return {
    record() {
      const record = records++;
      return ({ stage, slots }) => count(stage.name, slots, record);
    },
    counted: () =>
      targets.map((target, i) => ({
        target,
        firedIn: firedIn[i] as number[],
        conditions: counts[i] as Counts[],
      })),
  };
}
