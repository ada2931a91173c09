/** POST /v1/plans over HTTP. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { problemOf, sharedApp } from './app.ts';

const app = sharedApp();
const FOLDER = new URL('../../openapi/examples/plan/', import.meta.url);
const files = (await readdir(FOLDER)).sort();
const example = async (file: string) => JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;
const post = (body: unknown) => app.ask({ method: 'POST', url: '/v1/plans', payload: body as object });
const minimal = { swimmer: { level: 'novice' }, weeks: 4, sessionsPerWeek: 2 };

describe('plans', () => {
  test.each(files)('%s is answered, and not kept', async (file) => {
    const reply = await post(await example(file));
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['cache-control']).toBe('no-store');
  });

  test('a sign that stops gives cautions and no plan', async () => {
    const answer = (await post(await example(files[3] as string))).json();
    expect(answer.status).toBe('stop');
    expect(answer.cautions.length).toBeGreaterThan(0);
    for (const part of ['plan', 'drills', 'excludedDrills']) expect(answer).not.toHaveProperty(part);
  });

  test('an ache keeps the distance down and says when to go to a clinician', async () => {
    const { plan } = (await post(await example(files[1] as string))).json();
    const shares = plan.weeks.map((w: { load: { share: number } }) => w.load.share);
    expect(Math.max(...shares)).toBeLessThan(1);
    const told = plan.checkpoints.flatMap((c: { decisions: { code: string }[] }) =>
      c.decisions.map((d) => d.code),
    );
    expect(told).toContain('pain-refers');
  });

  test('names every mistake by its place', async () => {
    const reply = await post({
      ...minimal,
      weeks: 5,
      sessionsPerWeek: 0,
      week: 1,
      observations: [{ code: 'hips-lo', severity: 1 }],
    });
    const { errors = [] } = problemOf(reply, 400, 'invalid-request');
    expect(errors.map((e) => e.pointer).sort()).toEqual([
      '/observations/0/code',
      '/sessionsPerWeek',
      '/week',
      '/weeks',
    ]);
  });

  test('needs to know how often and how long', async () => {
    const { errors = [] } = problemOf(await post({ swimmer: { level: 'novice' } }), 400, 'invalid-request');
    expect(errors).toMatchObject([
      { pointer: '/sessionsPerWeek', code: 'required' },
      { pointer: '/weeks', code: 'required' },
    ]);
  });
});
