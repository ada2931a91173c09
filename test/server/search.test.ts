/** Searching the vocabulary over HTTP: what matches, with its words, and what cannot be searched. */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { VIEWS } from '../../src/contract/common.ts';
import { problemOf, sharedApp, VERSION } from './app.ts';

const app = sharedApp();
const file = new URL('../../rules/front-crawl/1.0.0/observations.json', import.meta.url);
const known = JSON.parse(await readFile(file, 'utf8')) as { code: string; views: string[] }[];

const shownBy = (view: string): Set<string> =>
  new Set(known.filter((o) => o.views.includes(view)).map((o) => o.code));

interface Hit {
  code: string;
  label?: string;
  name?: string;
  views?: string[];
}

async function found(part: string, query: string): Promise<Hit[]> {
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

  test('an elbow on film from the side under water: the dropped elbow of the catch comes first', async () => {
    const entries = await found('observations', 'q=elbow&view=side-under');
    expect(entries[0]).toMatchObject({ code: 'dropped-elbow-catch', sided: true });
    for (const entry of entries) {
      expect(entry.views).toContain('side-under');
      expect(JSON.stringify(entry).toLowerCase()).toContain('elbow');
    }
    const all = (await found('observations', 'q=elbow')).map((e) => e.code);
    expect(entries.map((e) => e.code)).toEqual(all.filter((code) => shownBy('side-under').has(code)));
  });

  test.each(VIEWS)('the view %s leaves the entries that it can show, and no other', async (view) => {
    const codes = (await found('observations', `view=${view}`)).map((e) => e.code);
    expect(new Set(codes)).toEqual(shownBy(view));
    expect(codes).toHaveLength(new Set(codes).size);
  });

  test.each(['observations', 'measurements', 'causes', 'drills', 'glossary'])(
    '%s: every entry is found by its own code, and an empty query finds all',
    async (part) => {
      const all = await found(part, 'q=');
      const whole = (await app.ask(`${VERSION}/${part}`)).json();
      const codes = Array.isArray(whole) ? whole.map((e: { code: string }) => e.code) : Object.keys(whole);
      expect(all.map((e) => e.code).sort()).toEqual(codes.sort());
      for (const code of codes) {
        const hits = (await found(part, `q=${encodeURIComponent(code)}`)).map((e) => e.code);
        expect(hits).toContain(code);
      }
    },
  );

  test('an entry whose title has the word stands before one that has it in its text only', async () => {
    for (const [part, word] of [
      ['observations', 'kick'],
      ['causes', 'head'],
      ['drills', 'scull'],
      ['glossary', 'kick'],
    ] as const) {
      const inTitle = (await found(part, `q=${word}`)).map((e) =>
        `${e.code} ${e.label ?? e.name}`.toLowerCase().includes(word),
      );
      expect(new Set(inTitle), part).toEqual(new Set([true, false]));
      expect(inTitle, part).toEqual([...inTitle].sort((a, b) => Number(b) - Number(a)));
    }
  });

  test('a part that does not exist is not found, with a query as without', async () => {
    for (const query of ['', '?q=elbow', '?view=rear']) {
      const { detail } = problemOf(await app.ask(`${VERSION}/no-such-part${query}`), 404, 'not-found');
      expect(detail).toContain('observations');
    }
  });

  test.each(['elbow left', 'dropped elbow on the right', 'elbow drops on the left', 'dropping elbow'])(
    'as a coach would say it: "%s"',
    async (words) => {
      const [first] = await found('observations', `q=${encodeURIComponent(words)}&view=side-under`);
      expect(first).toMatchObject({ code: 'dropped-elbow-catch', sided: true });
    },
  );

  test('nothing found is an empty list', async () => {
    expect(await found('observations', 'q=zzzz')).toEqual([]);
  });

  test.each([
    ['links', 'q=elbow'],
    ['texts', 'view=rear'],
    ['glossary', 'view=rear'],
    ['drills', 'view=rear'],
    ['observations', 'view=moon'],
    ['observations', `q=${'a'.repeat(201)}`],
    ['observations', 'q=a&q=b'],
  ])('%s?%s is refused', async (part, query) => {
    const { errors = [] } = problemOf(await app.ask(`${VERSION}/${part}?${query}`), 400, 'invalid-request');
    expect(errors.map((e) => e.pointer.replace('/', ''))).toEqual([query.split('=')[0]]);
  });
});
