/** POST /v1/agreement over HTTP. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { problemOf, sharedApp } from './app.ts';

const app = sharedApp();
const FOLDER = new URL('../../openapi/examples/agree/', import.meta.url);
const files = (await readdir(FOLDER)).sort();
const example = async (file: string) => JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;
const post = (body: unknown) => app.ask({ method: 'POST', url: '/v1/agreement', payload: body as object });
const rating = { observer: 'A', swim: 'S-1', code: 'catch-hurried', side: 'left', severity: 1 };

describe('agreement', () => {
  test('two coaches agree on a high head and not on a hurried catch', async () => {
    const answer = (await post(await example(files[0] as string))).json();
    expect(answer.redefine).toEqual(['catch-hurried']);
    expect(answer.observations.map((o: { code: string; verdict: string }) => [o.code, o.verdict])).toEqual([
      ['catch-hurried', 'redefine'],
      ['head-held-high', 'holds'],
    ]);
  });

  test('a rare thing is not blamed on its definition', async () => {
    const answer = (await post(await example(files[1] as string))).json();
    const rare = answer.observations.find((o: { code: string }) => o.code === 'kick-frantic-shallow');
    expect(rare.verdict).toBe('one-sided');
    expect(answer.redefine).toEqual([]);
  });

  test('names every mistake by its place', async () => {
    const reply = await post({
      ratings: [
        { ...rating, code: 'catch-hurryed' },
        { ...rating, side: undefined },
        { ...rating, severity: 4 },
        { ...rating, name: 'x' },
      ],
    });
    const { errors = [] } = problemOf(reply, 400, 'invalid-request');
    expect(errors.map((e) => e.pointer).sort()).toEqual([
      '/ratings/0/code',
      '/ratings/1/side',
      '/ratings/2/severity',
      '/ratings/3/name',
    ]);
  });

  test('refuses a second rating of the same thing, also as one side of both', async () => {
    const reply = await post({ ratings: [rating, { ...rating, side: 'both', severity: 2 }] });
    expect(problemOf(reply, 400, 'invalid-request').errors).toMatchObject([
      { pointer: '/ratings/1', code: 'rated-twice', message: expect.stringContaining('/ratings/0') },
    ]);
  });

  test('refuses a study that is too large, and says by how much', async () => {
    const ratings = Array.from({ length: 13 }, (_, i) => ({ ...rating, observer: `O-${i}` }));
    const swims = Array.from({ length: 201 }, (_, i) => ({ ...rating, swim: `S-${i}` }));
    const reply = await post({ ratings: [...ratings, ...swims] });
    const { errors = [] } = problemOf(reply, 400, 'invalid-request');
    expect(errors).toMatchObject([
      { pointer: '/ratings', code: 'too-big', message: expect.stringContaining('14 observers') },
      { pointer: '/ratings', code: 'too-big', message: expect.stringContaining('201 swims') },
    ]);
  });

  test('refuses a rule set that is not served', async () => {
    const { errors = [] } = problemOf(
      await post({ ruleSet: 'nobody', ratings: [rating] }),
      400,
      'invalid-request',
    );
    expect(errors.map((e) => e.pointer)).toEqual(['/ruleSet']);
  });
});
