/** Who may call what: every operation of the contract by every kind of credential. All keys are made for the test. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { newKey, SCOPES, type Scope } from '../../../src/server/access/keys.ts';
import { readSettings } from '../../../src/server/config.ts';
import { createApp } from '../../../src/server/start.ts';
import { problemOf } from '../app.ts';

const CONTRACT = JSON.parse(
  await readFile(new URL('../../../openapi/openapi.json', import.meta.url), 'utf8'),
);
type Operation = { operationId: string; security: { accessKey?: Scope[] }[] };
const OPERATIONS = Object.entries(CONTRACT.paths as Record<string, Record<string, Operation>>).flatMap(
  ([path, methods]) =>
    Object.entries(methods).map(([method, { operationId, security }]) => ({
      operationId,
      method: method.toUpperCase() as 'GET' | 'POST',
      url: path
        .replace('{name}', 'front-crawl')
        .replace('{version}', '1.0.0')
        .replace('{part}', 'causes')
        .replace('{slug}', 'not-found'),
      scope: security[0]?.accessKey?.[0] ?? ('open' as const),
    })),
);

const PAST = '2020-01-01T00:00:00Z';
const keys = Object.fromEntries([...SCOPES, 'expired', 'slow'].map((name) => [name, newKey()])) as Record<
  Scope | 'expired' | 'slow',
  ReturnType<typeof newKey>
>;
const FILE = [
  ...SCOPES.map((scope) => ({ id: scope, sha256: keys[scope].sha256, scopes: [scope] })),
  { id: 'expired', sha256: keys.expired.sha256, scopes: [...SCOPES], expires: PAST },
  { id: 'slow', sha256: keys.slow.sha256, scopes: [...SCOPES], perMinute: 2 },
];

let folder: string;
let app: Awaited<ReturnType<typeof createApp>>;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'keys-'));
  const path = join(folder, 'keys.json');
  await writeFile(path, JSON.stringify(FILE));
  app = await createApp(readSettings({ PORT: '0', LOG_LEVEL: 'silent', ACCESS_KEYS_FILE: path }));
});
afterAll(async () => {
  await app.close();
  await rm(folder, { recursive: true });
});

const call = ({ method, url }: { method: 'GET' | 'POST'; url: string }, authorization?: string) =>
  app.inject({ method, url, headers: authorization === undefined ? {} : { authorization } });
const bearer = (key: string): string => `Bearer ${key}`;
const CLOSED = OPERATIONS.filter((o) => o.scope !== 'open');

test('the contract names a scope for all that is not a probe, documentation or a problem page', () => {
  expect(
    OPERATIONS.filter((o) => o.scope === 'open')
      .map((o) => o.operationId)
      .sort(),
  ).toEqual(['getContract', 'getLive', 'getProblem', 'getReady', 'listProblems']);
  expect(CLOSED.length).toBeGreaterThan(7);
});

describe.each(CLOSED)('$operationId', (operation) => {
  test.each(SCOPES)('a key for "%s" is judged by its scope', async (scope) => {
    const reply = await call(operation, bearer(keys[scope].key));
    if (scope === operation.scope) {
      expect([401, 403, 429]).not.toContain(reply.statusCode);
    } else {
      problemOf(reply, 403, 'not-allowed');
      expect(reply.headers['www-authenticate']).toContain(`scope="${operation.scope}"`);
    }
  });

  test.each([
    ['no header', undefined, 'Bearer'],
    ['a key that nobody has', bearer(newKey().key), 'Bearer error="invalid_token"'],
    ['an expired key', bearer(keys.expired.key), 'Bearer error="invalid_token"'],
    ['the digest instead of the key', bearer(keys.assess.sha256), 'Bearer error="invalid_token"'],
    ['an empty key', 'Bearer ', 'Bearer error="invalid_request"'],
    ['another scheme', `Basic ${Buffer.from('a:b').toString('base64')}`, 'Bearer error="invalid_request"'],
    ['two keys', bearer(`${keys.assess.key} ${keys.read.key}`), 'Bearer error="invalid_request"'],
  ])('%s is refused', async (_name, authorization, challenge) => {
    const reply = await call(operation, authorization);
    problemOf(reply, 401, 'not-authenticated');
    expect(reply.headers['www-authenticate']).toBe(challenge);
  });
});

test.each(OPERATIONS.filter((o) => o.scope === 'open'))('$operationId needs no key', async (operation) => {
  expect((await call(operation)).statusCode).toBe(200);
});

test('the documentation page needs no key', async () => {
  expect((await call({ method: 'GET', url: '/docs/' })).statusCode).toBe(200);
});

test('a key that is used up waits, as the fields say; other keys do not', async () => {
  const list = { method: 'GET', url: '/v1/rule-sets' } as const;
  const first = await call(list, bearer(keys.slow.key));
  expect(first.headers['ratelimit-limit']).toBe('2');
  expect(first.headers['ratelimit-remaining']).toBe('1');
  await call(list, bearer(keys.slow.key));
  const third = await call(list, bearer(keys.slow.key));
  problemOf(third, 429, 'too-many-requests');
  expect(third.headers['ratelimit-remaining']).toBe('0');
  expect(Number(third.headers['retry-after'])).toBeGreaterThan(0);
  expect((await call(list, bearer(keys.read.key))).statusCode).toBe(200);
});
