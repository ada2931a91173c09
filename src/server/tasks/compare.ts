/** Records of one swimmer to what changed. */
import { compare } from '../../compare/compare.ts';
import { ComparisonRequest } from '../../contract/comparison.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { comparisonReport } from '../../report/comparison.ts';
import { type Asked, write } from '../forms.ts';
import { invalid, readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { acrossRecords, rulesForAll } from './comparison-input.ts';
import type { Posted } from './posted.ts';

export interface CompareTask extends Posted, Asked {
  readonly kind: 'compare';
}

export async function compareTask(task: CompareTask, catalogue: Catalogue): Promise<string> {
  const sent = parseJson(task.bytes);
  const { ruleSet, errors } = rulesForAll(sent, catalogue);
  const body = readBody(ComparisonRequest, sent, ruleSet, errors);
  const across = acrossRecords(body);
  if (across.length > 0) throw invalid(across);
  const answer = await compare(body, ruleSet as RuleSet);
  if ('stopped' in answer) {
    const message = 'a health sign stops this record, so there is nothing to compare';
    throw invalid([{ pointer: `/records/${answer.stopped}/request/health`, code: 'health-stop', message }]);
  }
  const remarks = body.records.at(-1)?.request.coach?.remarks;
  return write(task, answer, () => comparisonReport(answer, task.audience, remarks, ruleSet as RuleSet));
}
