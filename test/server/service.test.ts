/** Probes, the contract, the documentation page, and the headers that every answer carries. */
import { describe, expect, test } from 'vitest';
import { ASSESS, MINIMAL, sharedApp, VERSION } from './app.ts';

const app = sharedApp();

describe('probes', () => {
  test('/livez', async () => {
    const reply = await app.ask('/livez');
    expect([reply.statusCode, reply.json(), reply.headers['cache-control']]).toEqual([
      200,
      { status: 'ok' },
      'no-store',
    ]);
  });

  test('/readyz names the rule sets that can be asked', async () => {
    const reply = await app.ask('/readyz');
    expect([reply.statusCode, reply.json(), reply.headers['cache-control']]).toEqual([
      200,
      { status: 'ok', ruleSets: ['front-crawl@1.0.0', 'short-backstroke@1.0.0'] },
      'no-store',
    ]);
    for (const ruleSet of reply.json().ruleSets) {
      // the words of a record are those of its rule set
      const record = { ...MINIMAL, observations: [], ruleSet };
      expect((await app.assess(record)).statusCode, ruleSet).toBe(200);
    }
  });
});

describe('documentation', () => {
  test('/ leads to /docs', async () => {
    const reply = await app.ask('/');
    expect([reply.statusCode, reply.headers.location]).toEqual([302, '/docs']);
  });

  test('/openapi.json is OpenAPI 3.1 and the same as the page reads', async () => {
    const reply = await app.ask('/openapi.json');
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(reply.headers['cache-control']).toBe('no-cache');
    const contract = reply.json();
    expect(contract.openapi).toMatch(/^3\.1\.\d+$/);
    expect(Object.keys(contract.paths)).toEqual(
      expect.arrayContaining([ASSESS, '/v1/rule-sets', '/livez', '/readyz', '/openapi.json']),
    );
    expect((await app.ask('/docs/json')).json()).toEqual(contract);
  });

  test('every named example of the contract is a valid request', async () => {
    const contract = (await app.ask('/openapi.json')).json();
    const { examples } = contract.paths[ASSESS].post.requestBody.content['application/json'];
    expect(Object.keys(examples)).toContain('high-head');
    for (const [name, example] of Object.entries<{ value: unknown }>(examples)) {
      expect((await app.assess(example.value)).statusCode, name).toBe(200);
    }
  });

  test('every address of the contract that takes GET answers', async () => {
    const { paths } = (await app.ask('/openapi.json')).json();
    const values: { [name: string]: string } = {
      name: 'front-crawl',
      version: '1.0.0',
      part: 'drills',
      slug: 'not-found',
    };
    for (const [path, methods] of Object.entries<object>(paths)) {
      if (!('get' in methods)) continue;
      const url = path.replace(/\{(\w+)\}/g, (_, name) => values[name] as string);
      expect((await app.ask(url)).statusCode, url).toBe(200);
    }
  });

  test('/docs asks for nothing from elsewhere and every file that it names is there', async () => {
    const page = await app.ask('/docs');
    expect(page.statusCode).toBe(200);
    const files = [...page.body.matchAll(/(?:src|href)="([^"]+)"/g)].map((m) => m[1] as string);
    expect(files.length).toBeGreaterThan(3);
    for (const file of files) {
      expect(file).toMatch(/^\/docs\//);
      expect((await app.ask(file)).statusCode, file).toBe(200);
    }
  });
});

describe('security headers', () => {
  // what each one prevents: OWASP HTTP Headers Cheat Sheet
  const EXPECTED = {
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-opener-policy': 'same-origin',
    'cross-origin-resource-policy': 'same-origin',
  };

  test.each([
    '/docs',
    '/docs/static/swagger-ui.css',
    '/docs/json',
    '/livez',
    '/problems',
    '/problems/not-found',
    '/openapi.json',
    VERSION,
    '/nothing',
    '/%zz',
    ASSESS,
  ])('%s', async (url) => {
    const { headers } = await app.ask(url);
    expect(headers).toMatchObject(EXPECTED);
    const policy = String(headers['content-security-policy']).split(';');
    for (const directive of [
      "default-src 'none'",
      "script-src 'self'",
      "connect-src 'self'",
      "frame-ancestors 'none'",
      "base-uri 'none'",
    ]) {
      expect(policy).toContain(directive);
    }
    expect(policy.join(';')).not.toMatch(/unsafe-eval|script-src[^;]*unsafe-inline|https?:|\*/);
    expect(headers['x-powered-by']).toBeUndefined();
    expect(headers.server).toBeUndefined();
    // loopback speaks plain HTTP; a browser must not be told to insist on TLS
    expect(headers['strict-transport-security']).toBeUndefined();
  });

  test('an answer carries them too', async () => {
    const good = await app.assess(MINIMAL);
    const bad = await app.assess({});
    expect(good.headers).toMatchObject(EXPECTED);
    expect(bad.headers).toMatchObject(EXPECTED);
  });

  test('no other origin is let in', async () => {
    const headers = { origin: 'http://elsewhere.test', 'access-control-request-method': 'POST' };
    for (const method of ['OPTIONS', 'POST', 'GET'] as const) {
      const reply = await app.ask({ method, url: ASSESS, headers });
      expect(Object.keys(reply.headers).filter((h) => h.startsWith('access-control'))).toEqual([]);
    }
  });
});
