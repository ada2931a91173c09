/** A line of a batch to a line of its answer. */
import { assess } from '../../assess/assess.ts';
import { BatchItem } from '../../contract/batch.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { idOf, problemLine } from '../batch/item.ts';
import { readBody } from '../input.ts';
import { HttpProblem } from '../problems.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import { shortened } from './assess.ts';

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
): Promise<string> {
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
    return `{"id":${JSON.stringify(id)},"answer":${JSON.stringify(shortened(answer, minimal))}}\n`;
  } catch (error) {
    if (error instanceof HttpProblem) return problemLine(line, id, error);
    throw error;
  }
}
