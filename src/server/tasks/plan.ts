/** A record to weeks of sessions. */
import { PlanRequest } from '../../contract/plan.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { plan } from '../../plan/plan.ts';
import { planReport } from '../../report/plan.ts';
import { type Asked, write } from '../forms.ts';
import { readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import type { Posted } from './posted.ts';

export interface PlanTask extends Posted, Asked {
  readonly kind: 'plan';
}

export async function planTask(task: PlanTask, catalogue: Catalogue): Promise<string> {
  const sent = parseJson(task.bytes);
  const { ruleSet, errors } = ruleSetOf(sent, catalogue);
  const body = readBody(PlanRequest, sent, ruleSet, errors);
  const answer = await plan(body, ruleSet as RuleSet);
  return write(task, answer, () =>
    planReport(answer, task.audience, body.coach?.remarks, ruleSet as RuleSet),
  );
}
