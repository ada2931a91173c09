/** One case of each rule set, run through: a service that fails it must not be sent swimmers. */
import { type Case, faultsOf } from '../../authoring/cases.ts';
import { probe } from '../../authoring/probe.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { HttpProblem } from '../problems.ts';

export interface SelfTest {
  /** `name@version`. */
  readonly ruleSet: string;
  readonly case: Case;
}

export interface SelfTestTask {
  readonly kind: 'self-test';
  readonly tests: readonly SelfTest[];
}

/** @throws HttpProblem `not-ready` that names what failed. */
export function selfTestTask({ tests }: SelfTestTask, catalogue: Catalogue): string {
  const faults = tests.flatMap(({ ruleSet, case: c }) =>
    faultsOf(c.expect, probe(c.request, catalogue.resolve(ruleSet) as RuleSet)).map(
      (fault) => `${ruleSet}, case "${c.id}": ${fault}`,
    ),
  );
  if (faults.length > 0) throw new HttpProblem('not-ready', { detail: faults.join('; ') });
  return '';
}
