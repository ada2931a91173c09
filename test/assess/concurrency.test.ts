/** One record's answer never depends on what else is being answered. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import { requests } from './arbitraries.ts';
import { ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const OVERLAPPING = 200;

test('200 overlapping assessments answer as they do one after the other', async () => {
  const mixed = [
    // a few with next looks: these work the longest between two turns of the event loop
    ...workedCases.map((c) => c.request),
    ...workedCases.map((c) => withoutLooks(c.request)),
    ...fc.sample(requests(), { numRuns: OVERLAPPING - 2 * workedCases.length, seed: 42 }),
  ];
  expect(mixed).toHaveLength(OVERLAPPING);

  const oneByOne: string[] = [];
  for (const request of mixed) oneByOne.push(JSON.stringify(await assess(request, ruleSet)));
  expect(new Set(oneByOne).size).toBeGreaterThan(OVERLAPPING * 0.9);
  expect(new Set(oneByOne.map((json) => JSON.parse(json).status))).toEqual(
    new Set(['stop', 'refer', 'ask-more', 'ok']),
  );

  // started in step they would stay in step: each begins some turns later, so that every stage meets every other
  const started = mixed.map(async (request, i) => {
    for (let turn = 0; turn < (i * 7) % 23; turn++) await Promise.resolve();
    return assess(request, ruleSet);
  });
  const together = await Promise.all(started);
  expect(together.map((answer) => JSON.stringify(answer))).toEqual(oneByOne);
});

test('an assessment changes neither its request nor its rule set', async () => {
  const before = JSON.stringify(ruleSet.parts);
  for (const request of fc.sample(requests(), { numRuns: 20, seed: 7 })) {
    const typed = JSON.stringify(request);
    await assess(request, ruleSet);
    expect(JSON.stringify(request)).toBe(typed);
  }
  expect(JSON.stringify(ruleSet.parts)).toBe(before);
});
