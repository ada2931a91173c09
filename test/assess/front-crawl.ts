/** The rule set under test, its worked cases, and short ways to ask about one answer. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { assess } from '../../src/assess/assess.ts';
import { probabilityOfNode } from '../../src/assess/causes.ts';
import { keyOf } from '../../src/assess/findings.ts';
import { runFlow } from '../../src/assess/pipeline.ts';
import { toRecord } from '../../src/assess/record.ts';
import { type Concluded, study } from '../../src/assess/study.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';

const ROOT = new URL('../../rules', import.meta.url).pathname;

export const ruleSet = (await loadAll(ROOT)).find((r) => r.manifest.name === 'front-crawl') as RuleSet;

const casesFile = join(ROOT, ruleSet.manifest.name, ruleSet.manifest.version, 'cases', 'worked-cases.json');
export const workedCases = JSON.parse(await readFile(casesFile, 'utf8')) as readonly {
  readonly id: string;
  readonly request: AssessmentRequest;
}[];

/** Next looks run the record again dozens of times; they are left out where they are not the question. */
export function withoutLooks(request: AssessmentRequest): AssessmentRequest {
  return { ...request, options: { ...request.options, nextLooks: 0 } };
}

/** @throws when the answer is a stop. */
export async function fullAnswer(request: AssessmentRequest): Promise<FullAnswer> {
  const answer = await assess(request, ruleSet);
  if (answer.status === 'stop') throw new Error('stopped by the health gate');
  return answer;
}

/** The stages behind an answer. @throws when the record stops. */
export async function concluded(request: AssessmentRequest): Promise<Concluded> {
  const result = await runFlow(study(toRecord(request, ruleSet), ruleSet));
  if (result.status === 'stop') throw new Error('stopped by the health gate');
  return result;
}

/** Probability of every cause and mechanism, listed or not, by `code` or `code@side`. */
export function probabilities(c: Concluded): Map<string, number> {
  return new Map(
    c.weighed.network.nodes.map((node, n) => [
      keyOf(node.code, node.side),
      probabilityOfNode(n, c.weighed, ruleSet),
    ]),
  );
}
