/** The knowledge over HTTP: what is served, in which parts, and cached by content. */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { digestOf } from '../../src/knowledge/digest.ts';
import { problemOf, type Reply, sharedApp, VERSION } from './app.ts';

const app = sharedApp();
const RULES = new URL('../../rules/front-crawl/1.0.0/', import.meta.url);
const fromFile = async (name: string): Promise<unknown> =>
  JSON.parse(await readFile(new URL(name, RULES), 'utf8'));
const manifest = (await fromFile('rule-set.json')) as { parts: string[]; status: string; title: string };

function jsonOf(reply: Reply): unknown {
  expect(reply.statusCode).toBe(200);
  expect(reply.headers['content-type']).toBe('application/json; charset=utf-8');
  return reply.json();
}

describe('what is served', () => {
  const SUMMARY = {
    name: 'front-crawl',
    version: '1.0.0',
    status: manifest.status,
    title: manifest.title,
    digest: expect.stringMatching(/^sha-256:[0-9a-f]{64}$/),
    parts: ['rule-set', ...manifest.parts, 'texts', 'glossary'],
  };

  test('the list', async () => {
    const { ruleSets } = jsonOf(await app.ask('/v1/rule-sets')) as { ruleSets: { name: string }[] };
    expect(ruleSets[0]).toEqual(SUMMARY);
    expect(ruleSets.map((set) => set.name)).toEqual(['front-crawl', 'short-backstroke']);
  });

  test('the versions of one', async () => {
    expect(jsonOf(await app.ask('/v1/rule-sets/front-crawl'))).toEqual({ versions: [SUMMARY] });
  });

  test('one version', async () => {
    expect(jsonOf(await app.ask(VERSION))).toEqual(SUMMARY);
  });

  test('every part is what the rule author wrote', async () => {
    for (const part of SUMMARY.parts) {
      if (part === 'glossary') continue;
      const file = part === 'texts' ? 'texts/en.json' : `${part}.json`;
      expect(jsonOf(await app.ask(`${VERSION}/${part}`)), part).toEqual(await fromFile(file));
    }
  });

  test('the glossary is the one of the language file, and can be searched', async () => {
    const { glossary } = (await fromFile('texts/en.json')) as { glossary: { [term: string]: string } };
    expect(jsonOf(await app.ask(`${VERSION}/glossary`))).toEqual(glossary);
    expect(jsonOf(await app.ask(`${VERSION}/glossary?q=stroke%20rate`))).toMatchObject({
      found: [{ code: 'stroke rate', meaning: glossary['stroke rate'] }],
    });
  });
});

describe('404s say what exists', () => {
  test.each([
    ['/v1/rule-sets/back-crawl', 'front-crawl'],
    ['/v1/rule-sets/back-crawl/1.0.0', 'front-crawl'],
    ['/v1/rule-sets/back-crawl/1.0.0/observations', 'front-crawl'],
    ['/v1/rule-sets/back-crawl/1.0.0/blank-record', 'front-crawl'],
    ['/v1/rule-sets/__proto__', 'front-crawl'],
    ['/v1/rule-sets/front-crawl/9.9.9', '1.0.0'],
    ['/v1/rule-sets/front-crawl/1', '1.0.0'],
    ['/v1/rule-sets/front-crawl/constructor', '1.0.0'],
    [`${VERSION}/feelings`, manifest.parts.join(', ')],
    [`${VERSION}/constructor`, manifest.parts.join(', ')],
  ])('%s', async (url, existing) => {
    const { detail = '' } = problemOf(await app.ask(url), 404, 'not-found');
    // the asked name is repeated in the detail and must not count as an answer
    expect(detail.replaceAll(/"[^"]*"|front-crawl@(9.9.9|1|constructor)\b(?!\.)/g, '')).toContain(existing);
  });
});

describe('cached by content (RFC 9110 sections 8.8.3 and 13.1.2)', () => {
  const ADDRESSES = [
    '/v1/rule-sets',
    '/v1/rule-sets/front-crawl',
    VERSION,
    `${VERSION}/observations`,
    `${VERSION}/texts`,
    `${VERSION}/blank-record?views=rear`,
  ];

  test.each(ADDRESSES)('%s has a strong tag of its content and is 304 for it', async (url) => {
    const first = await app.ask(url);
    const tag = String(first.headers.etag);
    expect(tag).toBe(`"${digestOf(first.json())}"`);
    for (const given of [tag, `W/${tag}`, `"other", ${tag}`, `${tag},"other"`, '*']) {
      const again = await app.ask({ url, headers: { 'if-none-match': given } });
      expect([given, again.statusCode, again.body, again.headers.etag]).toEqual([given, 304, '', tag]);
      expect(again.headers['cache-control']).toBe(first.headers['cache-control']);
    }
    for (const given of ['"other"', tag.slice(0, -2), tag.replaceAll('"', ''), '']) {
      const again = await app.ask({ url, headers: { 'if-none-match': given } });
      expect([given, again.statusCode, again.body]).toEqual([given, 200, first.body]);
    }
  });

  test('different contents have different tags', async () => {
    const tags = await Promise.all(ADDRESSES.map(async (url) => (await app.ask(url)).headers.etag));
    expect(new Set(tags).size).toBe(ADDRESSES.length);
  });

  test('a draft is revalidated; only a published version may be kept for good', async () => {
    const wanted = manifest.status === 'published' ? 'public, max-age=31536000, immutable' : 'no-cache';
    for (const url of [VERSION, `${VERSION}/observations`, `${VERSION}/blank-record`]) {
      expect((await app.ask(url)).headers['cache-control']).toBe(wanted);
    }
    for (const url of ['/v1/rule-sets', '/v1/rule-sets/front-crawl']) {
      expect((await app.ask(url)).headers['cache-control']).toBe('no-cache');
    }
  });
});
