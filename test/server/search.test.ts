/** Searching the vocabulary over HTTP: what matches, with its words, and what cannot be searched. */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { problemOf, sharedApp, VERSION } from './app.ts';

const app = sharedApp();
const file = new URL('../../rules/front-crawl/1.0.0/observations.json', import.meta.url);
const known = JSON.parse(await readFile(file, 'utf8')) as { code: string; views: string[] }[];

async function found(part: string, query: string): Promise<{ code: string; views?: string[] }[]> {
  const reply = await app.ask(`${VERSION}/${part}?${query}`);
  expect(reply.statusCode, reply.body).toBe(200);
  return reply.json().found;
}

describe('search', () => {
  test('every word must occur, in any order and case', async () => {
    const codes = (await found('observations', 'q=elbow%20dropped')).map((e) => e.code);
    expect(codes[0]).toBe('dropped-elbow-catch');
    expect((await found('observations', 'q=DROPPED+Elbow')).map((e) => e.code)).toEqual(codes);
    for (const entry of await found('observations', 'q=elbow%20dropped')) {
      expect(JSON.stringify(entry).toLowerCase()).toMatch(/(?=.*elbow)(?=.*dropped)/);
    }
  });

  test('an entry comes with its words', async () => {
    for (const part of ['observations', 'measurements', 'causes', 'drills']) {
      const [entry] = await found(part, 'q=');
      const words = (await app.ask(`${VERSION}/texts`)).json()[part][entry?.code ?? ''];
      expect(Object.keys(words).length).toBeGreaterThan(0);
      expect(entry).toMatchObject(words);
    }
  });

  test('a view leaves only what it can show', async () => {
    const wanted = known.filter((o) => o.views.includes('rear')).map((o) => o.code);
    expect((await found('observations', 'view=rear')).map((e) => e.code).sort()).toEqual(wanted.sort());
    for (const entry of await found('observations', 'view=rear&q=kick'))
      expect(entry.views).toContain('rear');
  });

  test('nothing found is an empty list', async () => {
    expect(await found('observations', 'q=zzzz')).toEqual([]);
  });

  test.each([
    ['links', 'q=elbow'],
    ['texts', 'view=rear'],
    ['observations', 'view=moon'],
    ['observations', `q=${'a'.repeat(201)}`],
    ['observations', 'q=a&q=b'],
  ])('%s?%s is refused', async (part, query) => {
    const { errors = [] } = problemOf(await app.ask(`${VERSION}/${part}?${query}`), 400, 'invalid-request');
    expect(errors.map((e) => e.pointer.replace('/', ''))).toEqual([query.split('=')[0]]);
  });
});
