/** Every answer keeps the contract, to the letter. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import { AssessmentAnswer } from '../../src/contract/answer.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { checkVocabulary } from '../../src/knowledge/vocabulary.ts';
import { requests } from './arbitraries.ts';
import { ruleSet, workedCases } from './front-crawl.ts';

const sentences = (text: string): number => text.match(/[.!?](?=\s|$)/g)?.length ?? 0;

/** Paths of what JSON would drop or turn into null. */
function lostInJson(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return [];
  if (typeof value !== 'object') return [path];
  return Object.entries(value).flatMap(([key, v]) => lostInJson(v, `${path}/${key}`));
}

test('the random records are valid for the contract and for the rule set', () => {
  fc.assert(
    fc.property(requests(), (request) => {
      expect(AssessmentRequest.parse(request)).toEqual(request);
      expect(checkVocabulary(request, ruleSet)).toEqual([]);
    }),
  );
});

describe('the answer', () => {
  test('to any record has the shape of the contract and no field beside it', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        // parsing drops what the contract does not name
        expect(AssessmentAnswer.parse(answer)).toEqual(answer);
      }),
      { numRuns: 60 },
    );
  });

  test.each(workedCases.map((c) => [c.id, c.request] as const))(
    'to %s, with next looks and the full trail, keeps the contract',
    async (_, request) => {
      const options = { ...request.options, explain: 'full' as const };
      const answer = await assess({ ...request, options }, ruleSet);
      expect(AssessmentAnswer.parse(answer)).toEqual(answer);
    },
  );

  test('survives JSON unchanged', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        expect(lostInJson(await assess(request, ruleSet))).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  test('is summed up in at most three sentences', async () => {
    const records = [
      ...workedCases.map((c) => c.request),
      ...fc.sample(requests(), { numRuns: 60, seed: 5 }),
    ];
    for (const request of records) {
      const { summary } = await assess(request, ruleSet);
      expect(sentences(summary), summary).toBeGreaterThanOrEqual(1);
      expect(sentences(summary), summary).toBeLessThanOrEqual(3);
      expect(summary).not.toMatch(/[{}]|undefined|NaN/);
    }
  });

  test('names its rule set, version and digest', async () => {
    const { name, version } = ruleSet.manifest;
    for (const { request } of workedCases) {
      const answer = await assess({ ...request, options: { nextLooks: 0 } }, ruleSet);
      expect(answer.ruleSet).toEqual({ name, version, digest: ruleSet.digest });
    }
  });

  test('keeps the floors of the lists: shares within 0 and 1, ranges around their probability', async () => {
    const { listing } = ruleSet.parts.constants;
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        for (const cause of [...answer.causes, ...answer.mechanisms]) {
          expect(cause.probability).toBeGreaterThanOrEqual(listing.probability);
          expect(cause.range.low).toBeLessThanOrEqual(cause.probability);
          expect(cause.range.high).toBeGreaterThanOrEqual(cause.probability);
        }
      }),
      { numRuns: 40 },
    );
  });
});
