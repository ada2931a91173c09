/** One film of the comparison, read once: its record, its findings and its answer. */
import { assess } from '../assess/assess.ts';
import { runFlow } from '../assess/pipeline.ts';
import { type Record, toRecord } from '../assess/record.ts';
import { type Concluded, study } from '../assess/study.ts';
import type { FullAnswer } from '../contract/answer.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export interface Film {
  readonly at: string;
  readonly label: string | null;
  readonly record: Record;
  readonly study: Concluded;
  readonly answer: FullAnswer;
}

/** A film whose health gate stops has nothing to compare. */
export interface StoppedFilm {
  readonly at: string;
  readonly stopped: true;
}

export async function readFilm(
  at: string,
  label: string | null,
  request: AssessmentRequest,
  ruleSet: RuleSet,
): Promise<Film | StoppedFilm> {
  const quiet = { ...request, options: { ...request.options, nextLooks: 0 } };
  const answer = await assess(quiet, ruleSet);
  if (answer.status === 'stop') return { at, stopped: true };
  const record = toRecord(quiet, ruleSet);
  return { at, label, record, study: (await runFlow(study(record, ruleSet))) as Concluded, answer };
}
