/** One record under one rule set, seen from inside: the answer, what it was concluded from, and the rules of a plan. */
import { type Considered, examine } from '../assess/assess.ts';
import { type Ask, type Flow, fire, runFlowNow } from '../assess/pipeline.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export type Probed = Pick<Considered, 'answer' | 'study'> & {
  /** Rules that a plan for this record would go by. */
  readonly planRules: readonly string[];
};

function* flow(request: AssessmentRequest, ruleSet: RuleSet): Flow<Probed> {
  const { answer, study } = yield* examine(request, ruleSet);
  if (study.status === 'stop') return { answer, study, planRules: [] };
  const fired = yield* fire(ruleSet.stages.plan, study.slots);
  return { answer, study, planRules: fired.map(({ rule }) => rule.id) };
}

/** No expectation and no comparison of rule sets is about the next look, which is by far the slowest stage. */
const withoutLooks = (request: AssessmentRequest): AssessmentRequest => ({
  ...request,
  options: { ...request.options, nextLooks: 0 },
});

/**
 * @param request must be valid for this rule set; it is answered without next looks.
 * @param watch sees every stage with the facts that are known when it runs.
 */
export function probe(request: AssessmentRequest, ruleSet: RuleSet, watch?: (ask: Ask) => void): Probed {
  return runFlowNow(flow(withoutLooks(request), ruleSet), watch);
}
