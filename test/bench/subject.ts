/** What is measured: the shipped rule set and invented records of a usual size. */
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { inventedRequests } from './records.ts';

export const [ruleSet] = (await loadAll(new URL('../../rules', import.meta.url).pathname)) as [RuleSet];

/** Fifteen looks and four measurements each; no next looks. */
export const requests = inventedRequests(ruleSet, 220, 15);
export const requestOf = (i: number) => requests[i % requests.length] as (typeof requests)[number];
