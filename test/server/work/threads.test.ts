/** The threads: same bytes as without them, one fault stays one fault, and no more is taken in than can be answered. */
import { once } from 'node:events';
import { setImmediate } from 'node:timers/promises';
import type { FastifyInstance, LightMyRequestResponse } from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createCatalogue } from '../../../src/knowledge/catalogue.ts';
import { loadAll } from '../../../src/knowledge/load.ts';
import { createPool, type Pool } from '../../../src/server/work/pool.ts';
import { readExampleFiles } from '../../openapi/read-examples.ts';
import { ASSESS, exampleRequest, problemOf, workedRequests } from '../app.ts';
import {
  appWith,
  BATCH,
  beginBatch,
  itemLine,
  linesOf,
  NDJSON,
  poolOf,
  QUICK,
  RULES,
} from '../batch/batches.ts';

const catalogue = createCatalogue(await loadAll(RULES));
const JSON_TYPE = { 'content-type': 'application/json' };

function poolWith(workers: number, worker?: URL): Pool {
  const more = worker === undefined ? {} : { worker };
  return createPool({ workers, queueLimit: 256, rules: RULES, catalogue, onError: () => undefined, ...more });
}

const single = (app: FastifyInstance, body: unknown, headers = {}): Promise<LightMyRequestResponse> =>
  app.inject({
    method: 'POST',
    url: ASSESS,
    headers: { ...JSON_TYPE, ...headers },
    payload: JSON.stringify(body),
  });
const batch = (app: FastifyInstance, payload: string): Promise<LightMyRequestResponse> =>
  app.inject({ method: 'POST', url: BATCH, headers: NDJSON, payload });

describe('with threads', () => {
  let threaded: FastifyInstance;
  let plain: FastifyInstance;
  beforeAll(async () => {
    [threaded, plain] = await Promise.all([appWith(poolWith(2)), appWith(poolWith(0))]);
  });
  afterAll(() => Promise.all([threaded.close(), plain.close()]));

  test('every example gets the bytes that it gets without them, as data and as report', async () => {
    const records = (await readExampleFiles()).map(({ request }) => ({
      ...request,
      options: { ...request.options, nextLooks: 0 },
    }));
    for (const headers of [{}, { accept: 'text/html' }, { accept: 'text/markdown' }]) {
      const of = (app: FastifyInstance) => Promise.all(records.map((record) => single(app, record, headers)));
      const [here, there] = [await of(plain), await of(threaded)];
      expect(there.map((r) => r.body)).toEqual(here.map((r) => r.body));
      expect(there.map((r) => r.headers['content-type'])).toEqual(here.map((r) => r.headers['content-type']));
    }
  });

  test('a wrong record gets the same problem', async () => {
    for (const record of [{}, { swimmer: { level: 'x' } }, { ...QUICK, ruleSet: 'y' }]) {
      const [here, there] = [await single(plain, record), await single(threaded, record)];
      expect(problemOf(there, 400, 'invalid-request').errors).toEqual(here.json().errors);
    }
  });

  test('200 singles among a batch of 300, all at once: each gets its own answer, byte for byte', async () => {
    const records = [await exampleRequest(), ...(await workedRequests()), QUICK].map((r, i) => ({
      ...r,
      requestId: `r${i}`,
      options: { nextLooks: 0 },
    }));
    const alone = await Promise.all(records.map(async (r) => (await single(plain, r)).body));
    const of = (i: number): number => (i * 7) % records.length;
    const lines = Array.from({ length: 300 }, (_, i) => itemLine(`i${i}`, records[of(i)]));
    const [many, ...singles] = await Promise.all([
      batch(threaded, lines.join('')),
      ...Array.from({ length: 200 }, (_, i) => single(threaded, records[of(i)])),
    ]);
    expect(singles.map((r) => r.body)).toEqual(Array.from({ length: 200 }, (_, i) => alone[of(i)]));
    expect(many.body).toBe(lines.map((_, i) => `{"id":"i${i}","answer":${alone[of(i)]}}\n`).join(''));
  });
});

test('without threads the event loop has a turn between two tasks, however many wait', async () => {
  const pool = poolWith(0);
  let turns = 0;
  let counting = true;
  const loop = (async () => {
    for (; counting; turns++) await setImmediate();
  })();
  const task = { kind: 'item', repeats: undefined, minimal: false } as const;
  const tasks = Array.from({ length: 50 }, (_, i) =>
    pool.run({ ...task, line: i, item: { id: `i${i}`, request: QUICK } }, 'batch'),
  );
  await Promise.all(tasks);
  counting = false;
  await loop;
  expect(turns).toBeGreaterThanOrEqual(tasks.length);
});

describe('a thread that fails', () => {
  let app: FastifyInstance;
  beforeAll(async () => {
    app = await appWith(poolWith(2, new URL('crashing-worker.ts', import.meta.url)));
  });
  afterAll(() => app.close());

  test.each(['end', 'throw'])('%s: is a problem of its item only', async (wish) => {
    const lines = Array.from({ length: 40 }, (_, i) =>
      itemLine(`i${i}`, i % 10 === 5 ? { ...QUICK, requestId: wish } : QUICK),
    );
    const out = linesOf((await batch(app, lines.join(''))).body);
    expect(out.map((l) => l.id)).toEqual(lines.map((_, i) => `i${i}`));
    const failed = out.filter((l) => l.problem !== undefined);
    expect(failed.map((l) => [l.line, l.problem?.type, l.problem?.status])).toEqual(
      [6, 16, 26, 36].map((line) => [line, '/problems/internal-error', 500]),
    );
  });

  test('a single gets a 500, and the next one its answer', async () => {
    const good = (await single(app, QUICK)).body;
    for (const requestId of ['end', 'throw', 'end', 'end']) {
      problemOf(await single(app, { ...QUICK, requestId }), 500, 'internal-error');
      expect((await single(app, QUICK)).body).toBe(good);
    }
  });
});

describe('overload', () => {
  test('singles beyond the queue get 503 at once and the time to come back; all others are answered', async () => {
    const app = await appWith(
      createPool({ workers: 2, queueLimit: 50, rules: RULES, catalogue, onError: () => undefined }),
    );
    const replies = await Promise.all(Array.from({ length: 300 }, () => single(app, QUICK)));
    const answered = replies.filter((r) => r.statusCode === 200);
    const refused = replies.filter((r) => r.statusCode !== 200);
    expect(answered.length).toBeGreaterThanOrEqual(52);
    expect(new Set(answered.map((r) => r.body)).size).toBe(1);
    expect(refused.length).toBeGreaterThan(0);
    for (const reply of refused) {
      problemOf(reply, 503, 'overloaded');
      expect(reply.headers['retry-after']).toBe('1');
    }
    // once it is over, it is over
    expect((await single(app, QUICK)).statusCode).toBe(200);
    await app.close();
  });

  test('a batch beyond the limit gets 503, and is welcome after one has ended', async () => {
    const app = await appWith(poolWith(0), { BATCH_LIMIT: 1 });
    const first = await beginBatch(app);
    const head = await first.response;
    const second = await batch(app, itemLine('a'));
    problemOf(second, 503, 'overloaded');
    expect(second.headers['retry-after']).toBe('1');
    first.request.end();
    head.resume();
    await once(head, 'close');
    expect(linesOf((await batch(app, itemLine('a'))).body)).toHaveLength(1);
    await app.close();
  });

  test('lines beyond the limit are refused one by one', async () => {
    const app = await appWith(poolWith(0), { BATCH_LINES: 3 });
    const out = linesOf(
      (await batch(app, Array.from({ length: 5 }, (_, i) => itemLine(`i${i}`)).join(''))).body,
    );
    expect(out.map((l) => [l.id, l.problem?.type])).toEqual([
      ['i0', undefined],
      ['i1', undefined],
      ['i2', undefined],
      ['i3', '/problems/too-many-lines'],
      ['i4', '/problems/too-many-lines'],
    ]);
    await app.close();
  });
});

describe('shutting down', () => {
  test('what was begun is answered, the rest of a batch is told so line by line, and the end waits for both', async () => {
    const waiting: (() => void)[] = [];
    const pool = poolOf(1, async ({ item }) => {
      await new Promise<void>((resolve) => waiting.push(resolve));
      const { id } = item as { id: string };
      return new TextEncoder().encode(`${JSON.stringify({ id, answer: {} })}\n`);
    });
    const app = await appWith(pool);
    const { request, response } = await beginBatch(app);
    const head = await response;
    for (let i = 0; i < 4; i++) request.write(itemLine(`i${i}`));
    while (waiting.length < 4) await setImmediate();
    const closed = app.close();
    while (!app.closing.begun) await setImmediate();
    for (const finish of waiting) finish();
    request.end(itemLine('i4') + itemLine('i5'));
    let text = '';
    for await (const chunk of head.setEncoding('utf8')) text += chunk;
    await closed;
    expect(linesOf(text).map((l) => [l.id, l.problem?.type])).toEqual([
      ...['i0', 'i1', 'i2', 'i3'].map((id) => [id, undefined]),
      ...['i4', 'i5'].map((id) => [id, '/problems/shutting-down']),
    ]);
  });
});
