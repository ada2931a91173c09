/** Addresses and methods that do not exist. */
import { describe, expect, test } from 'vitest';
import { ASSESS, problemOf, sharedApp, VERSION } from './app.ts';

const app = sharedApp();

describe('unknown addresses', () => {
  test.each([
    '/nothing',
    '//',
    `${ASSESS}/`,
    `${ASSESS}/1`,
    '/v1',
    '/v2/assessments',
    `${VERSION}/observations/more`,
    '/docs/static/nothing.js',
    '/docs/static/..%2f..%2fpackage.json',
    '/docs/static/../../../package.json',
    '/package.json',
    '/constructor',
    '/__proto__',
    '/problems/nothing',
    '/problems/constructor',
  ])('%s is 404', async (url) => {
    problemOf(await app.ask(url), 404, 'not-found');
  });

  test.each(['/%zz', '/v1/rule-sets/%zz', '/%', '/%ff', `${VERSION}/%c0%af`])('%s is 400', async (url) => {
    problemOf(await app.ask(url), 400, 'bad-url');
  });

  test.each([101, 200, 5000])('a name of %d characters is the mistake of the client', async (length) => {
    const name = 'a'.repeat(length);
    for (const url of [`/v1/rule-sets/${name}`, `${VERSION}/${name}`, `/problems/${name}`]) {
      problemOf(await app.ask(url), 404, 'not-found');
    }
  });

  test('a body sent to an unknown address makes no difference', async () => {
    const reply = await app.ask({
      method: 'POST',
      url: '/nothing',
      payload: 'x',
      headers: { 'content-type': 'text/plain' },
    });
    problemOf(reply, 404, 'not-found');
  });
});

describe('methods (RFC 9110 section 15.5.6: Allow lists what the address takes)', () => {
  const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS', 'TRACE'] as const;
  const ADDRESSES: [string, string][] = [
    [ASSESS, 'POST'],
    ['/v1/rule-sets', 'GET, HEAD'],
    ['/v1/rule-sets/front-crawl', 'GET, HEAD'],
    [VERSION, 'GET, HEAD'],
    [`${VERSION}/observations`, 'GET, HEAD'],
    [`${VERSION}/blank-record?views=rear`, 'GET, HEAD'],
    ['/problems', 'GET, HEAD'],
    ['/problems/not-found', 'GET, HEAD'],
    ['/livez', 'GET, HEAD'],
    ['/readyz', 'GET, HEAD'],
    ['/openapi.json', 'GET, HEAD'],
    ['/', 'GET, HEAD'],
    ['/docs', 'GET, HEAD'],
  ];

  test.each(ADDRESSES)('%s takes %s and answers 405 to the rest', async (url, allow) => {
    for (const method of METHODS) {
      const reply = await app.ask({ method, url });
      if (method === 'OPTIONS') {
        // RFC 9110 section 9.3.7
        expect([reply.statusCode, reply.body]).toEqual([204, '']);
        expect(reply.headers.allow).toBe([...allow.split(', '), 'OPTIONS'].sort().join(', '));
        continue;
      }
      if (allow.split(', ').includes(method)) {
        expect([200, 302, 400]).toContain(reply.statusCode);
        continue;
      }
      expect(reply.headers.allow).toBe(allow);
      // an answer to HEAD has no body to read (RFC 9110 section 9.3.2)
      if (method === 'HEAD') expect([reply.statusCode, reply.body]).toEqual([405, '']);
      else problemOf(reply, 405, 'method-not-allowed');
    }
  });

  test('a body does not change the answer to a wrong method', async () => {
    const reply = await app.ask({
      method: 'PUT',
      url: ASSESS,
      payload: 'x',
      headers: { 'content-type': 'text/plain' },
    });
    problemOf(reply, 405, 'method-not-allowed');
  });
});
