/** The blank record holds exactly what the views in hand can show, and is itself a request. */
import { readFile } from 'node:fs/promises';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { VIEWS } from '../../src/contract/common.ts';
import { problemOf, sharedApp, VERSION } from './app.ts';

const app = sharedApp();
const file = new URL('../../rules/front-crawl/1.0.0/observations.json', import.meta.url);
const known = JSON.parse(await readFile(file, 'utf8')) as {
  code: string;
  sided: boolean;
  views: string[];
}[];

interface Blank {
  recording: { views?: string[] };
  observations: { code: string; side?: string; severity: number; view: string }[];
}
const blank = async (views?: readonly string[]): Promise<Blank> => {
  const reply = await app.ask(`${VERSION}/blank-record${views ? `?views=${views.join(',')}` : ''}`);
  expect(reply.statusCode).toBe(200);
  return reply.json();
};

describe('blank record', () => {
  test('two views: only what they can show, in one of these views, and every such observation', async () => {
    const views = ['overhead', 'rear'];
    const record = await blank(views);
    const wanted = known.filter((o) => o.views.some((v) => views.includes(v)));
    expect(wanted.length).toBeGreaterThan(0);
    expect(wanted.length).toBeLessThan(known.length);
    expect(record.recording.views).toEqual(views);
    expect(record.observations.map((o) => o.code)).toEqual(wanted.map((o) => o.code));
    for (const [i, entry] of record.observations.entries()) {
      expect(views).toContain(entry.view);
      expect(wanted[i]?.views).toContain(entry.view);
      expect(entry.severity).toBe(0);
      expect(entry.side).toBe(wanted[i]?.sided ? 'both' : undefined);
    }
  });

  test('no views: everything that can be observed', async () => {
    const record = await blank();
    expect(record.observations.map((o) => o.code)).toEqual(known.map((o) => o.code));
    expect(record.recording.views).toBeUndefined();
  });

  test('spaces around the commas do not matter', async () => {
    const reply = await app.ask(`${VERSION}/blank-record?views=rear%20,%20overhead`);
    expect(reply.json()).toEqual(await blank(['rear', 'overhead']));
  });

  test('for any views it is a valid request that finds nothing', async () => {
    await fc.assert(
      fc.asyncProperty(fc.subarray([...VIEWS], { minLength: 1 }), async (views) => {
        const reply = await app.assess(await blank(views));
        expect(reply.statusCode).toBe(200);
        const { findings } = reply.json() as { findings: { severity: number }[] };
        expect(findings.every((f) => f.severity === 0)).toBe(true);
      }),
      { numRuns: 40, seed: 11 },
    );
    expect((await app.assess(await blank())).statusCode).toBe(200);
  });

  test.each([
    ['moon', ['"moon" is not a view']],
    ['rear,moon,sun', ['"moon" is not a view', '"sun" is not a view']],
    ['', ['"" is not a view']],
    ['Rear', ['"Rear" is not a view']],
    ['constructor', ['"constructor" is not a view']],
  ])('views=%s is refused with the views that exist', async (views, messages) => {
    const reply = await app.ask(`${VERSION}/blank-record?views=${views}`);
    const { errors = [] } = problemOf(reply, 400, 'invalid-request');
    expect(errors.map((e) => e.message)).toEqual(messages);
    for (const error of errors) {
      expect(error.pointer).toBe('views');
      expect(error.suggestions).toEqual([...VIEWS]);
    }
  });

  test('views given twice are refused', async () => {
    const reply = await app.ask(`${VERSION}/blank-record?views=rear&views=overhead`);
    problemOf(reply, 400, 'invalid-request');
  });
});
