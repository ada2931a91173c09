/** What changed between two films: the examples, the verdicts, and what must not be believed. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { compare } from '../../src/compare/compare.ts';
import {
  type ComparisonAnswer,
  ComparisonRequest,
  ComparisonAnswer as Shape,
} from '../../src/contract/comparison.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const FOLDER = new URL('../../openapi/examples/compare/', import.meta.url);
const files = (await readdir(FOLDER)).sort();

async function answerTo(request: unknown): Promise<ComparisonAnswer> {
  const answer = await compare(ComparisonRequest.parse(request), ruleSet);
  if ('stopped' in answer) throw new Error('no health sign was given');
  return answer;
}

const verdictOf = (answer: ComparisonAnswer, key: string): string | undefined => {
  const [kind, code] = key.split(':');
  return answer.changes.find((c) => c.kind === kind && c.code === code)?.verdict;
};

describe.each(files)('the example %s', async (file) => {
  const { request, expect: expected, invented } = JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'));
  const answer = await answerTo(request);

  test('is marked invented and answers in the shape of the contract', () => {
    expect(invented).toBe(true);
    expect(Shape.safeParse(answer).error).toBeUndefined();
  });

  test('gets the expected verdicts', () => {
    for (const [key, verdict] of Object.entries(expected.verdicts))
      expect(verdictOf(answer, key), key).toBe(verdict);
    if (expected.focus !== undefined) expect(answer.focus[0]?.advice).toBe(expected.focus);
  });
});

/** Two films of one swimmer: a finding by eye and the number that can stand in for it. */
function pair(
  severities: readonly [number, number],
  depths: readonly [number, number],
  more: { pace?: [number, number]; observers?: [string, string]; views?: [string, string] } = {},
) {
  const film = (i: 0 | 1) => ({
    at: i === 0 ? '2026-01-05T10:00:00Z' : '2026-02-16T10:00:00Z',
    request: {
      swimmer: { level: 'intermediate' },
      recording: { views: ['side-under', 'rear'], paceSecondsPer100: more.pace?.[i] ?? 100 },
      observations: [
        {
          code: 'hips-low',
          severity: severities[i],
          certainty: 'sure',
          view: more.views?.[i] ?? 'side-under',
          observer: more.observers?.[i] ?? 'A',
        },
      ],
      measurements: [{ code: 'hip-depth', value: depths[i], standardDeviation: 1 }],
    },
  });
  return { records: [film(0), film(1)] };
}

describe('a verdict', () => {
  test.each([
    ['the eye and the number agree', pair([3, 1], [14, 4]), 'clear-change'],
    ['only the eye says so', pair([2, 1], [9, 9]), 'possible-change'],
    ['neither says so', pair([2, 2], [9, 8]), 'no-change-seen'],
    ['both say worse', pair([1, 3], [5, 14]), 'worse'],
    ['another pace', pair([3, 1], [14, 4], { pace: [100, 92] }), 'not-comparable'],
    ['another view', pair([3, 1], [14, 4], { views: ['side-under', 'rear'] }), 'not-comparable'],
    ['one step between two judges', pair([2, 1], [9, 4], { observers: ['A', 'B'] }), 'no-change-seen'],
    ['two steps between two judges', pair([3, 1], [14, 4], { observers: ['A', 'B'] }), 'clear-change'],
  ])('%s', async (_, request, verdict) => {
    expect(verdictOf(await answerTo(request), 'finding:hips-low')).toBe(verdict);
  });

  test('the smallest believable change is the larger of the table and 1.96 standard errors of the difference', async () => {
    const { changes } = await answerTo(pair([2, 2], [9, 9]));
    // table 3 cm; 1.96 * sqrt(1 + 1) = 2.77 cm
    expect(changes.find((c) => c.code === 'hip-depth')?.smallestBelievable).toBe(3);
    const wide = pair([2, 2], [9, 9]);
    for (const r of wide.records) r.request.measurements[0]!.standardDeviation = 2;
    const { changes: wider } = await answerTo(wide);
    expect(wider.find((c) => c.code === 'hip-depth')?.smallestBelievable).toBeCloseTo(
      1.96 * Math.SQRT2 * 2,
      10,
    );
  });

  test('any rise of pain counts at once', async () => {
    const request = pair([2, 2], [9, 9]);
    const pain = (value: number) => ({ code: 'pain', side: 'left', value });
    (request.records[0]!.request.measurements as object[]).push(pain(1));
    (request.records[1]!.request.measurements as object[]).push(pain(2));
    expect(verdictOf(await answerTo(request), 'measurement:pain')).toBe('worse');
  });

  test('there is no single figure of improvement', async () => {
    expect(JSON.stringify(await answerTo(pair([3, 1], [14, 4])))).not.toMatch(/improvement|percent better/i);
  });
});

test('a film whose health gate stops is named', async () => {
  const request = ComparisonRequest.parse(pair([3, 1], [14, 4]));
  request.records[1]!.request.health = { asked: true, signs: ['chest-pain'] };
  expect(await compare(request, ruleSet)).toEqual({ stopped: 1 });
});

test('three films give a trend in time order', async () => {
  const request = pair([3, 2], [14, 10]);
  const third = structuredClone(request.records[1]!);
  third.at = '2026-04-06T10:00:00Z';
  third.request.measurements[0]!.value = 6;
  const { trends } = await answerTo({ records: [...request.records, third] });
  expect(trends.find((t) => t.code === 'hip-depth')?.values.map((v) => v.value)).toEqual([14, 10, 6]);
});
