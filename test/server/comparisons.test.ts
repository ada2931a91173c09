/** POST /v1/comparisons over HTTP. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { problemOf, sharedApp } from './app.ts';

const app = sharedApp();
const FOLDER = new URL('../../openapi/examples/compare/', import.meta.url);
const example = async (file: string) => JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;
const files = (await readdir(FOLDER)).sort();
const post = (body: unknown) =>
  app.ask({
    method: 'POST',
    url: '/v1/comparisons',
    headers: { 'content-type': 'application/json' },
    payload: JSON.stringify(body),
  });

describe('comparisons', () => {
  test.each(files)('%s is answered', async (file) => {
    const reply = await post(await example(file));
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['cache-control']).toBe('no-store');
  });

  test('names mistakes in each record by their place', async () => {
    const body = await example(files[0] as string);
    body.records[1].request.observations[0].code = 'hips-lo';
    body.records[0].request.swimmer.levels = 'novice';
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors.map((e) => e.pointer).sort()).toEqual([
      '/records/0/request/swimmer/levels',
      '/records/1/request/observations/0/code',
    ]);
  });

  test('refuses records out of time order', async () => {
    const body = await example(files[0] as string);
    body.records.reverse();
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors).toMatchObject([{ pointer: '/records/1/at', code: 'out-of-order' }]);
  });

  test.each([
    [undefined, 'not-allowed'],
    [5, 'not-allowed'],
    [4.5, 'not-allowed'],
  ])('a next plan of %s weeks is refused', async (weeks, code) => {
    const body = { ...(await example(files[0] as string)), sessionsPerWeek: 3, weeks };
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors).toMatchObject([{ pointer: '/weeks', code }]);
  });

  test('a next plan comes with the comparison when it is asked for', async () => {
    const body = { ...(await example(files[0] as string)), sessionsPerWeek: 3, weeks: 6 };
    expect((await post(body)).json().nextPlan.plan.asked).toMatchObject({ weeks: 6, sessionsPerWeek: 3 });
  });

  test('a health sign in the last record stops: cautions and nothing else', async () => {
    const body = await example(files[0] as string);
    body.records[1].request.health = { asked: true, signs: ['fainting'] };
    const answer = (await post(body)).json();
    expect(answer).toMatchObject({ status: 'stop', cautions: [{ code: expect.any(String) }] });
    expect(answer).not.toHaveProperty('changes');
  });

  test('refuses an earlier record that a health sign stops: there is nothing to compare with', async () => {
    const body = await example(files[0] as string);
    body.records[0].request.health = { asked: true, signs: ['fainting'] };
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors).toMatchObject([{ pointer: '/records/0/request/health', code: 'health-stop' }]);
  });

  test('refuses records of two swimmers', async () => {
    const body = await example(files[0] as string);
    body.records[1].request.swimmer.ref = 'EX-99';
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors).toMatchObject([{ pointer: '/records/1/request/swimmer/ref', code: 'other-swimmer' }]);
  });

  test('names unknown causes, sides and drills of what was practised, and weeks that no plan has', async () => {
    const body = await example(files[0] as string);
    body.between = [
      { focus: { cause: 'head-high-habits' }, sessions: 3 },
      { focus: { cause: 'head-high-habit', side: 'left' }, drills: ['front-scul'], sessions: 3 },
    ];
    body.sessionsPerWeek = 3;
    body.weeks = 5;
    const { errors = [] } = problemOf(await post(body), 400, 'invalid-request');
    expect(errors.map((e) => [e.pointer, e.code] as const).sort(([a], [b]) => (a < b ? -1 : 1))).toEqual([
      ['/between/0/focus/cause', 'unknown-code'],
      ['/between/1/drills/0', 'unknown-code'],
      ['/between/1/focus/side', 'impossible-side'],
      ['/weeks', 'not-allowed'],
    ]);
  });
});

describe('comparisons in writing', () => {
  const ask = async (accept: string, query = '') =>
    app.ask({
      method: 'POST',
      url: `/v1/comparisons${query}`,
      headers: { 'content-type': 'application/json', accept },
      payload: JSON.stringify(await example(files[0] as string)),
    });

  test.each([
    ['text/html', 'coach', 'html'],
    ['text/html', 'swimmer', 'html'],
    ['text/markdown', 'coach', 'md'],
    ['text/markdown', 'swimmer', 'md'],
  ])('as %s for the %s are a download', async (type, audience, ending) => {
    const reply = await ask(type, `?audience=${audience}`);
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['content-type']).toBe(`${type}; charset=utf-8`);
    expect(reply.headers['content-disposition']).toBe(
      `attachment; filename="comparison-${audience}.${ending}"`,
    );
    expect(reply.headers.vary).toContain('Accept');
    expect(reply.headers['cache-control']).toBe('no-store');
  });

  test('are refused in a form that does not exist, and for a reader that nobody knows', async () => {
    problemOf(await ask('application/pdf'), 406, 'not-acceptable');
    problemOf(await ask('text/html', '?audience=parent'), 400, 'invalid-request');
  });
});
