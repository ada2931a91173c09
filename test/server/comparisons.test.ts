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
});
