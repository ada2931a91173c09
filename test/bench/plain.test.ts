/**
 * The bench compares speeds of the service and of the same maths written plainly: they have to answer the same. The
 * plain version shares no code with the service, so it is a second opinion on every number as well.
 */
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { differences } from '../assess/differences.ts';
import { ruleSet, workedCases } from '../assess/front-crawl.ts';
import { assessPlainly } from './plain/assess.ts';
import { readRuleBook } from './plain/rule-book.ts';
import { numbersOf } from './plain/same-answer.ts';
import { inventedRequests } from './records.ts';

/** Both loops stop when no line moves by more than 1e-9 dB. */
const SETTLED = 1e-7;

const book = readRuleBook(ruleSet);

async function faultsOf(request: AssessmentRequest): Promise<string[]> {
  const ours = numbersOf(await assess(request, ruleSet));
  return differences(ours, assessPlainly(request, book), SETTLED);
}

describe('the same maths written plainly gives the same numbers', () => {
  test('of 220 invented records', async () => {
    const statuses = new Set<string>();
    for (const request of inventedRequests(ruleSet, 220, 15)) {
      expect(await faultsOf(request)).toEqual([]);
      statuses.add((await assess(request, ruleSet)).status);
    }
    expect(statuses.size).toBeGreaterThan(2);
  });

  test('of records with few and with many looks', async () => {
    for (const looks of [1, 5, 50, 100]) {
      for (const request of inventedRequests(ruleSet, 10, looks)) expect(await faultsOf(request)).toEqual([]);
    }
  });

  test('of next looks', async () => {
    for (const request of inventedRequests(ruleSet, 12, 15)) {
      expect(await faultsOf({ ...request, options: { nextLooks: 10 } })).toEqual([]);
    }
  });

  test.each(workedCases.map((c) => [c.id, c.request] as const))(
    'of the worked case %s',
    async (_, request) => {
      expect(await faultsOf({ ...request, options: { ...request.options, nextLooks: 2 } })).toEqual([]);
    },
  );
});
