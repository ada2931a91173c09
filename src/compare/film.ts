/** One film of the comparison, read once: its record, its findings and its answer. */
import { assess } from '../assess/assess.ts';
import { runFlow } from '../assess/pipeline.ts';
import { type Record, toRecord } from '../assess/record.ts';
import { type Concluded, study } from '../assess/study.ts';
import type { FullAnswer, StopAnswer } from '../contract/answer.ts';
import type { ComparisonRequest } from '../contract/comparison.ts';
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
  readonly label: string | null;
  readonly stopped: StopAnswer;
}

/** @param looks how many next looks to work out: they cost most of the time. */
export async function readFilm(
  { at, label, request }: ComparisonRequest['records'][number],
  looks: number,
  ruleSet: RuleSet,
): Promise<Film | StoppedFilm> {
  const asked = { ...request, options: { ...request.options, nextLooks: looks } };
  const answer = await assess(asked, ruleSet);
  if (answer.status === 'stop') return { at, label: label ?? null, stopped: answer };
  const record = toRecord(asked, ruleSet);
  const concluded = (await runFlow(study(record, ruleSet))) as Concluded;
  return { at, label: label ?? null, record, study: concluded, answer };
}
