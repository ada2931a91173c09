/** A line of a batch to a line of its answer. */
import { assess } from '../../assess/assess.ts';
import { BatchItem } from '../../contract/batch.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { idOf, problemLine } from '../batch/item.ts';
import { decisionOf } from '../decision-log.ts';
import { readBody } from '../input.ts';
import { HttpProblem } from '../problems.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import { shortened, type Written } from './assess.ts';

export interface ItemTask {
  readonly kind: 'item';
  readonly line: number;
  readonly item: unknown;
  /** The line that had this id before. */
  readonly repeats: number | undefined;
  /** The short answer is enough. */
  readonly minimal: boolean;
}

const recordOf = (item: unknown): unknown => (item as { request?: unknown } | null)?.request;

export async function itemTask(
  { line, item, repeats, minimal }: ItemTask,
  catalogue: Catalogue,
): Promise<Written> {
  const id = idOf(item);
  const repeated =
    repeats === undefined
      ? []
      : [{ pointer: '/id', code: 'repeated', message: `line ${repeats} has this id already` }];
  try {
    const { ruleSet, errors } = ruleSetOf(recordOf(item), catalogue, '/request');
    const { request } = readBody(BatchItem, item, ruleSet, [...repeated, ...errors], {
      find: (value) => [{ record: recordOf(value), at: '/request' }],
    });
    const answer = await assess(request, ruleSet as RuleSet);
    const text = `{"id":${JSON.stringify(id)},"answer":${JSON.stringify(shortened(answer, minimal))}}\n`;
    return { text, decision: decisionOf(answer) };
  } catch (error) {
    if (error instanceof HttpProblem) return { text: problemLine(line, id, error) };
    throw error;
  }
}
