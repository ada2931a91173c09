/** A record to an assessment. */
import { assess } from '../../assess/assess.ts';
import type { AssessmentAnswer } from '../../contract/answer.ts';
import { minimalOf } from '../../contract/minimal-answer.ts';
import { AssessmentRequest } from '../../contract/request.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { assessmentReport } from '../../report/assessment.ts';
import { type Decision, decisionOf } from '../decision-log.ts';
import { type Asked, write } from '../forms.ts';
import { readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import type { Posted } from './posted.ts';

export interface AssessTask extends Posted, Asked {
  readonly kind: 'assess';
  /** The short answer is enough; reports are always whole. */
  readonly minimal: boolean;
}

/** The text of an answer, and what stands of it in the log of decisions. */
export interface Written {
  readonly text: string;
  readonly decision?: Decision;
}

/** @returns what is sent of an answer. */
export const shortened = (answer: AssessmentAnswer, minimal: boolean): unknown =>
  minimal ? minimalOf(answer) : answer;

export async function assessTask(task: AssessTask, catalogue: Catalogue): Promise<Written> {
  const sent = parseJson(task.bytes);
  const { ruleSet, errors } = ruleSetOf(sent, catalogue);
  const body = readBody(AssessmentRequest, sent, ruleSet, errors);
  const answer = await assess(body, ruleSet as RuleSet);
  const text = write(task, shortened(answer, task.minimal), () =>
    assessmentReport(answer, task.audience, body.coach?.remarks, ruleSet as RuleSet),
  );
  return { text, decision: decisionOf(answer) };
}
