/** The client against the real service, over a real socket. */
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Client, createClient, ProblemResponse } from '../../src/client/index.ts';
import { start } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';

let service: Awaited<ReturnType<typeof start>>;
let client: Client;
beforeAll(async () => {
  service = await start(QUIET);
  client = createClient({ baseUrl: `${service.url}/` });
});
afterAll(async () => {
  await client.close();
  await service.app.close();
});

const example = async (path: string) =>
  JSON.parse(await readFile(new URL(`../../openapi/examples/${path}.json`, import.meta.url), 'utf8')).request;
const problem = async (call: Promise<unknown>): Promise<ProblemResponse> => {
  const error = await call.then(
    () => undefined,
    (e: unknown) => e,
  );
  expect(error).toBeInstanceOf(ProblemResponse);
  return error as ProblemResponse;
};

describe('each operation', () => {
  test('gives what the service gives', async () => {
    const request = await example('assess/01-high-head');
    const answer = await client.assess(request);
    const reply = await service.app.inject({ method: 'POST', url: '/v1/assessments', payload: request });
    expect(answer).toEqual(reply.json());
  });

  test('measures, compares, plans, groups, and weighs observers', async () => {
    expect((await client.measure(await example('measure/02-stopwatch'))).measurements.length).toBeGreaterThan(
      0,
    );
    expect((await client.compare(await example('compare/01-head-came-down'))).status).toBe('ok');
    expect((await client.plan(await example('plan/03-junior-squad'))).status).toBe('ok');
    expect((await client.agreement(await example('agree/01-two-coaches'))).redefine).toEqual([
      'catch-hurried',
    ]);
    expect(
      await client.blankRecord({ name: 'front-crawl', version: '1.0.0', views: ['overhead'] }),
    ).toHaveProperty('swimmer');
  });

  test('checks, tries, scores and fits a draft of the rules', async () => {
    const { cases } = await client.checkDraft(await example('checkDraft/01-stronger-link'));
    expect(cases.broken.map((c) => c.id)).toEqual(['cause-hand-only-pull']);
    const { causes } = await client.tryDraft(await example('tryDraft/01-stronger-link'));
    expect(causes.length).toBeGreaterThan(0);
    const { scores } = await client.scoreDraft(await example('scoreDraft/01-twenty-labelled-records'));
    expect(scores.overall.cases).toBe(20);
    const { fit } = await client.fitDraft(await example('fitDraft/01-sixty-labelled-records'));
    expect(fit.proposals.length).toBeGreaterThan(0);
  });

  test('writes a report for the swimmer', async () => {
    const page = await client.assessmentReport(await example('assess/01-high-head'), {
      form: 'text/html',
      audience: 'swimmer',
    });
    expect(page).toMatch(/^<!DOCTYPE html>/);
  });
});

describe('failures', () => {
  test('are problems with their list of mistakes', async () => {
    const {
      status,
      slug,
      problem: told,
    } = await problem(client.assess({ swimmer: { level: 'beginner' } } as never));
    expect({ status, slug }).toEqual({ status: 400, slug: 'invalid-request' });
    expect(told.errors?.map((e) => e.pointer)).toEqual(['/swimmer/level']);
  });

  test('an aborted call ends with the reason of its signal', async () => {
    const reason = new Error('the coach left');
    await expect(
      client.assess(await example('assess/01-high-head'), { signal: AbortSignal.abort(reason) }),
    ).rejects.toBe(reason);
  });
});

test('a batch is answered item by item, in order, fetched as it is taken', async () => {
  const request = { ...(await example('assess/03-one-weak-arm')), options: { nextLooks: 0 } };
  let fetched = 0;
  async function* items() {
    for (let i = 0; i < 20_000; i++) {
      fetched++;
      yield { id: `S-${i}`, request };
    }
  }
  const ids: (string | undefined)[] = [];
  let ahead = 0;
  for await (const line of client.assessMany(items())) {
    ids.push(line.id);
    expect(line).toHaveProperty('answer');
    ahead = Math.max(ahead, fetched - ids.length);
    if (ids.length === 150) break;
  }
  expect(ids).toEqual(Array.from({ length: 150 }, (_, i) => `S-${i}`));
  expect(fetched).toBeLessThan(20_000);
});
