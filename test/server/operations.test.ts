/** What an operator relies on: readiness, the log of decisions, other origins. */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readCases } from '../../src/authoring/library.ts';
import { createCatalogue } from '../../src/knowledge/catalogue.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { buildApp } from '../../src/server/app.ts';
import { readSettings } from '../../src/server/config.ts';
import { createApp } from '../../src/server/start.ts';
import { createPool } from '../../src/server/work/pool.ts';
import { QUIET } from '../settings.ts';
import { ASSESS, problemOf } from './app.ts';
import { BATCH, itemLine, NDJSON, QUICK, RULES } from './batch/batches.ts';

const quiet = (more: object) => readSettings({ PORT: '0', LOG_LEVEL: 'silent', WORKERS: '0', ...more });

describe('readiness', () => {
  test('fails where a case of a rule set does not come out as it must, and names it', async () => {
    const catalogue = createCatalogue(await loadAll(RULES));
    const ruleSet = catalogue.resolve(undefined) as RuleSet;
    const [first] = await readCases(RULES, ruleSet);
    if (first === undefined) throw new Error('there is no case');
    const app = await buildApp({
      settings: QUIET,
      keys: [],
      catalogue,
      pool: createPool({ workers: 0, queueLimit: 9, rules: RULES, catalogue, onError: () => undefined }),
      selfTests: [
        {
          ruleSet: 'front-crawl@1.0.0',
          case: { ...first, id: 'spoilt', expect: { firstCause: 'no-such-cause' } },
        },
      ],
      examples: {},
      version: '0.0.0',
    });
    const reply = await app.inject('/readyz');
    expect(problemOf(reply, 503, 'not-ready').detail).toContain('front-crawl@1.0.0, case "spoilt"');
    expect((await app.inject('/livez')).statusCode).toBe(200);
    expect((await app.inject('/problems/not-ready')).statusCode).toBe(200);
    await app.close();
  });
});

describe('the log of decisions', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'decisions-'));
  });
  afterAll(() => rm(folder, { recursive: true }));

  const record = {
    ...QUICK,
    requestId: 'zq-request',
    metadata: { 'zq-key': 'zq-value' },
    swimmer: { ...QUICK.swimmer, ref: 'zq-swimmer' },
  };

  test('holds a line of ids and digests for each assessment, single or of a batch, and nothing else', async () => {
    const path = join(folder, 'decisions.ndjson');
    const app = await createApp(quiet({ DECISION_LOG: path }));
    const single = await app.inject({ method: 'POST', url: ASSESS, payload: record });
    const wrong = await app.inject({ method: 'POST', url: ASSESS, payload: {} });
    const lines = `${itemLine('zq-a', record)}${itemLine('zq-b', {})}${itemLine('zq-c', QUICK)}`;
    const many = await app.inject({ method: 'POST', url: BATCH, headers: NDJSON, payload: lines });
    await app.close();
    expect([single.statusCode, wrong.statusCode, many.statusCode]).toEqual([200, 400, 200]);
    let text = '';
    await expect.poll(async () => (text = await readFile(path, 'utf8'))).toMatch(/(.+\n){3}/);
    expect(text).not.toContain('zq-');
    const [first, ...rest] = text
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    const { decisionId, ruleSet, status } = single.json();
    expect(first).toEqual({
      time: expect.stringMatching(/^\d{4}-\d\d-\d\dT/),
      requestId: single.headers['x-request-id'],
      decisionId,
      ruleSet: `${ruleSet.name}@${ruleSet.version}`,
      digest: ruleSet.digest,
      status,
    });
    expect(rest).toHaveLength(2);
    expect(rest[0]).toMatchObject({ requestId: many.headers['x-request-id'], decisionId });
  });

  test('that cannot be written costs no answer', async () => {
    const app = await createApp(quiet({ DECISION_LOG: '/dev/full' }));
    for (let i = 0; i < 20; i++) {
      expect((await app.inject({ method: 'POST', url: ASSESS, payload: record })).statusCode).toBe(200);
    }
    await app.close();
  });
});

describe('other origins', () => {
  const preflight = (origin: string) =>
    ({
      method: 'OPTIONS',
      url: ASSESS,
      headers: {
        origin,
        'access-control-request-method': 'POST',
        'access-control-request-headers': 'authorization,content-type',
      },
    }) as const;

  test('those that the settings name may call, others may not', async () => {
    const app = await createApp(quiet({ CORS_ORIGINS: 'https://club.example, http://127.0.0.1:5173' }));
    const friend = await app.inject(preflight('https://club.example'));
    expect(friend.statusCode).toBe(204);
    expect(friend.headers['access-control-allow-origin']).toBe('https://club.example');
    expect(friend.headers['access-control-allow-methods']).toContain('POST');
    expect(friend.headers['access-control-allow-headers']).toContain('authorization');
    expect(friend.headers['access-control-allow-credentials']).toBeUndefined();
    const stranger = await app.inject(preflight('https://elsewhere.example'));
    expect(stranger.headers['access-control-allow-origin']).toBeUndefined();
    const answer = await app.inject({
      method: 'POST',
      url: ASSESS,
      headers: { origin: 'https://club.example' },
      payload: QUICK,
    });
    expect(answer.headers['access-control-allow-origin']).toBe('https://club.example');
    expect(answer.headers.vary).toMatch(/Origin/i);
    expect(answer.headers.vary).toMatch(/Accept, Prefer/);
    await app.close();
  });

  test.each(['club.example', 'https://club.example/', '*', 'null', ''])('"%s" is no origin', (origin) => {
    expect(() => quiet({ CORS_ORIGINS: origin })).toThrow(/CORS_ORIGINS/);
  });
});
