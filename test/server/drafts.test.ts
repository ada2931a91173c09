/** Drafts are hostile input: precise problems, bounded cost, and nobody else waits. */
import { readFile } from 'node:fs/promises';
import type { FastifyInstance, LightMyRequestResponse } from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { LIMITS } from '../../src/authoring/draft/limits.ts';
import type { CheckAnswer } from '../../src/contract/drafts.ts';
import { createCatalogue } from '../../src/knowledge/catalogue.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import { createPool, type Pool } from '../../src/server/work/pool.ts';
import { ASSESS, problemOf } from './app.ts';
import { appWith, QUICK, RULES } from './batch/batches.ts';

const BASE = 'front-crawl@1.0.0';
const catalogue = createCatalogue(await loadAll(RULES));
const poolWith = (workers: number, longestMs?: number): Pool =>
  createPool({
    workers,
    queueLimit: 256,
    rules: RULES,
    catalogue,
    onError: () => undefined,
    ...(longestMs === undefined ? {} : { longestMs }),
  });

let app: FastifyInstance;
beforeAll(async () => {
  app = await appWith(poolWith(0));
});
afterAll(() => app.close());

const post = (path: string, body: unknown, to = app): Promise<LightMyRequestResponse> =>
  to.inject({
    method: 'POST',
    url: path,
    headers: { 'content-type': 'application/json' },
    payload: typeof body === 'string' ? body : JSON.stringify(body),
  });
const check = (body: unknown, to = app): Promise<LightMyRequestResponse> =>
  post('/v1/drafts/check', body, to);
const pointers = (reply: LightMyRequestResponse): string[] =>
  (problemOf(reply, 400, 'invalid-request').errors ?? []).map((e) => e.pointer);

describe('a wrong draft', () => {
  test('names every mistake at once, by its place in the request', async () => {
    const reply = await check({
      base: BASE,
      draft: {
        upsert: {
          links: [{ id: 'head-held-high--head-high-habit', event: { params: { shows: 'mostly' } } }],
          linkz: [],
        },
        remove: { drills: ['no-such-drill'] },
      },
    });
    expect(pointers(reply).sort()).toEqual([
      '/draft/remove/drills/0',
      '/draft/upsert/links/0/event/params/shows',
      '/draft/upsert/linkz',
    ]);
  });

  test('on a base that is not served', async () => {
    expect(pointers(await check({ base: 'front-crawl@9.9.9', draft: {} }))).toEqual(['/base']);
  });

  test('without a base that is said', async () => {
    expect(pointers(await check({ draft: {} }))).toEqual(['/base']);
  });

  test('records are read with the words of the draft', async () => {
    const draft = { remove: { observations: ['fear-signs-in-water'] } };
    const record = { ...QUICK, observations: [{ code: 'fear-signs-in-water', severity: 1 }] };
    const reply = await post('/v1/drafts/try', { base: BASE, draft, records: [record] });
    expect(pointers(reply).length).toBeGreaterThan(0);
  });

  test.each([
    [
      'a rule that asks for a path',
      {
        links: [
          {
            id: 'head-held-high--head-high-habit',
            conditions: { all: [{ fact: 'level', operator: 'isOneOf', value: ['novice'], path: '$.a' }] },
          },
        ],
      },
    ],
    [
      'an operator of the caller',
      {
        links: [
          {
            id: 'head-held-high--head-high-habit',
            conditions: { all: [{ fact: 'level', operator: 'matches', value: '(a+)+$' }] },
          },
        ],
      },
    ],
  ])('%s is refused', async (_, upsert) => {
    expect(pointers(await check({ base: BASE, draft: { upsert } })).length).toBeGreaterThan(0);
  });
});

test('a text that asks for a held breath is told by the lint, with its page', async () => {
  const drills = [{ code: 'fingertip-drag', text: { name: 'Hold your breath for 25 m' } }];
  const reply = await check({ base: BASE, draft: { upsert: { drills } } });
  const [finding] = reply.json<CheckAnswer>().lint;
  expect(finding).toMatchObject({ id: 'breath-holding-task', part: 'drills', entry: 'fingertip-drag' });
  expect(finding?.pointer).toMatch(/^\/draft\/upsert\/drills\/0/);
  expect((await app.inject(finding?.page ?? '')).statusCode).toBe(200);
});

describe('a hostile draft', () => {
  const many = (n: number, entry: (i: number) => object): object[] =>
    Array.from({ length: n }, (_, i) => entry(i));

  test.each([
    [
      'with more entries than a part may hold',
      { upsert: { drills: many(LIMITS.entries + 1, (i) => ({ code: `d${i}` })) } },
    ],
    [
      'with drivers in a ring',
      {
        upsert: {
          drivers: [
            {
              id: 'ring-1',
              scope: 'body',
              event: {
                type: 'driver',
                params: { from: 'head-high-habit', to: 'head-dig-habit', strength: 'often' },
              },
            },
            {
              id: 'ring-2',
              scope: 'body',
              event: {
                type: 'driver',
                params: { from: 'head-dig-habit', to: 'head-high-habit', strength: 'often' },
              },
            },
          ],
        },
      },
    ],
    ['with numbers at the edge', { upsert: { constants: { words: { shows: { often: 1e308 } } } } }],
    ['with lists for objects', { upsert: [], remove: [] }],
    ['with names of a prototype', { upsert: { toString: [], constructor: [] } }],
  ])('%s is a problem', async (_, draft) => {
    expect(pointers(await check({ base: BASE, draft })).length).toBeGreaterThan(0);
  });

  test('deeper than any rule is', async () => {
    const deep = `${'{"a":'.repeat(60)}1${'}'.repeat(60)}`;
    problemOf(await check(`{"base":null,"draft":{"upsert":${deep}}}`), 400, 'too-deep');
  });

  test('with prototype keys', async () => {
    problemOf(await check(`{"base":"${BASE}","draft":{"upsert":{"__proto__":{}}}}`), 400, 'malformed-json');
  });
});

describe('the cost of a draft', () => {
  /** Rules that all fit, up to the limit: each is checked against every case. */
  async function largest(): Promise<object> {
    const links = JSON.parse(await readFile(`${RULES}/front-crawl/1.0.0/modifiers.json`, 'utf8')) as {
      id: string;
      rationale: string;
    }[];
    const modifiers = Array.from({ length: 1300 }, (_, i) => {
      const one = links[i % links.length] as { id: string; rationale: string };
      return { ...one, id: `${one.id}-copy-${i}`, text: `${one.rationale}, copy ${i}` };
    });
    return { base: BASE, draft: { upsert: { modifiers } } };
  }

  test('while a draft as large as may be is checked, singles and probes are answered', async () => {
    const threaded = await appWith(poolWith(1));
    const draft = await largest();
    let running = true;
    const checked = check(draft, threaded).finally(() => {
      running = false;
    });
    let answered = 0;
    while (running) {
      expect((await post(ASSESS, QUICK, threaded)).statusCode).toBe(200);
      expect((await threaded.inject('/livez')).statusCode).toBe(200);
      answered++;
    }
    expect((await checked).statusCode).toBe(200);
    expect(answered).toBeGreaterThan(20);
    await threaded.close();
  });

  test('that takes too long is ended, says so, and the next one is answered', async () => {
    const hurried = await appWith(poolWith(1, 150));
    problemOf(await check(await largest(), hurried), 422, 'too-costly');
    const wrong = await check({ base: 'no-such@1.0.0', draft: {} }, hurried);
    expect([400, 422]).toContain(wrong.statusCode);
    expect((await post(ASSESS, QUICK, hurried)).statusCode).toBe(200);
    await hurried.close();
  });
});
