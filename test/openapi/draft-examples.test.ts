/** The named examples of drafts do what their stories say. */
import { readdir, readFile } from 'node:fs/promises';
import type { FastifyInstance } from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CheckAnswer, FitAnswer, ScoreAnswer, TryAnswer } from '../../src/contract/drafts.ts';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';

const EXAMPLES = new URL('../../openapi/examples/', import.meta.url);

interface Story {
  readonly name: string;
  readonly summary: string;
  readonly description: string;
  readonly request: object;
  readonly expect: { readonly [what: string]: unknown };
}

async function stories(operation: string): Promise<Story[]> {
  const folder = new URL(`${operation}/`, EXAMPLES);
  const files = (await readdir(folder)).sort();
  return Promise.all(
    files.map(async (name) => ({ name, ...JSON.parse(await readFile(new URL(name, folder), 'utf8')) })),
  );
}

const [check, trial, score, fit] = (await Promise.all(
  ['checkDraft', 'tryDraft', 'scoreDraft', 'fitDraft'].map(stories),
)) as [Story[], Story[], Story[], Story[]];

let app: FastifyInstance;
beforeAll(async () => {
  app = await createApp(QUIET);
});
afterAll(() => app.close());

async function answerTo<T>(path: string, { request }: Story): Promise<T> {
  const reply = await app.inject({ method: 'POST', url: `/v1/drafts/${path}`, payload: request });
  expect(reply.statusCode, reply.body).toBe(200);
  return reply.json();
}

test('there is an example for each thing that an author wants to do', () => {
  expect(check.map((s) => s.name.replace(/^\d+-|\.json$/g, ''))).toEqual([
    'stronger-link',
    'new-observation',
    'new-drill',
    'junior-priors',
    'new-stroke',
  ]);
  for (const { description } of [...check, ...trial, ...score, ...fit])
    expect(description.length).toBeGreaterThan(40);
});

describe('check', () => {
  test.each(check)('$name: $summary', async (story) => {
    const answer = await answerTo<CheckAnswer>('check', story);
    const {
      broken = [],
      difference,
      lint,
    } = story.expect as {
      broken?: string[];
      difference: string[];
      lint?: string[];
    };
    expect(answer.cases.broken.map((c) => c.id)).toEqual(broken);
    expect(answer.cases.failing).toEqual([]);
    expect(answer.cases.failed).toBe(broken.length);
    const changed = answer.difference.filter((d) => d.part !== 'texts').map((d) => d.entry);
    expect([...new Set(changed)].sort()).toEqual([...difference].sort());
    if (lint !== undefined) expect(answer.lint.map((l) => l.id)).toEqual(lint);
  });

  test('a stronger link is echoed in counts of swimmers, and its impact is counted and told', async () => {
    const answer = await answerTo<CheckAnswer>('check', check[0] as Story);
    expect(answer.difference[0]?.text).toMatch(/of 20 whose only fault is this 19; seen \+9\.8 dB/);
    const { impact } = answer;
    expect(impact?.records).toBe(answer.cases.passed + answer.cases.failed);
    expect(impact?.changed).toBeGreaterThan(0);
    expect(impact?.changes.length).toBe((impact?.changed as number) - (impact?.notTold as number));
    expect(impact?.counts.causes).toBeGreaterThan(0);
  });
});

describe('try', () => {
  test.each(trial)('$name: $summary', async (story) => {
    const answer = await answerTo<TryAnswer>('try', story);
    const { moved } = story.expect as { moved: string[] };
    expect(answer.causes.map((c) => c.cause)).toEqual(expect.arrayContaining(moved));
    expect(answer.base === null).toBe(moved.length === 0);
  });

  test('the lines that moved account for the whole move of a cause', async () => {
    const { causes } = await answerTo<TryAnswer>('try', trial[0] as Story);
    const both = causes.filter((c) => c.before !== null && c.after !== null);
    expect(both.length).toBeGreaterThan(0);
    for (const { before, after, lines } of both) {
      const moved = lines.reduce((sum, l) => sum + (l.after ?? 0) - (l.before ?? 0), 0);
      // lines that moved by less than 0.05 dB each are not told
      expect(Math.abs((after as number) - (before as number) - moved)).toBeLessThan(0.5);
    }
  });
});

test.each(score)('score, $name: $summary', async (story) => {
  const { base, scores } = await answerTo<ScoreAnswer>('score', story);
  const better = scores.overall.brier.value < (base?.overall.brier.value as number);
  expect(better).toBe(story.expect.better);
  expect(scores.because.map((b) => b.code)).toContain('few-cases');
});

test.each(fit)('fit, $name: $summary', async (story) => {
  const { fit: fitted } = await answerTo<FitAnswer>('fit', story);
  expect(fitted.proposals.map((p) => p.id)).toEqual(
    expect.arrayContaining(story.expect.proposed as string[]),
  );
});

test('what a fit proposes can be checked as it stands', async () => {
  const [story] = fit as [Story];
  const { fit: fitted } = await answerTo<FitAnswer>('fit', story);
  const request = { base: 'front-crawl@1.0.0', draft: fitted.draft };
  const { difference } = await answerTo<CheckAnswer>('check', { ...story, request });
  expect(difference.map((d) => d.entry).sort()).toEqual(fitted.proposals.map((p) => p.id).sort());
});
