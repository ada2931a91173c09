/** POST /v1/measurements over HTTP, and `raw` of an assessment. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { MeasurementsAnswer, MeasurementsRequest } from '../../src/contract/measurements.ts';
import { MINIMAL, mistakesOf, problemOf, sharedApp, VERSION } from './app.ts';

const app = sharedApp();
const URL_ = '/v1/measurements';
const post = (body: unknown) =>
  app.ask({
    method: 'POST',
    url: URL_,
    headers: { 'content-type': 'application/json' },
    payload: JSON.stringify(body),
  });

const FOLDER = new URL('../../openapi/examples/measure/', import.meta.url);
const ExampleFile = z.strictObject({
  summary: z.string().min(1).max(60),
  description: z.string().min(1),
  invented: z.literal(true),
  request: MeasurementsRequest,
  expect: z.strictObject({ measurements: z.array(z.string()), messages: z.array(z.string()) }),
});
const examples = await Promise.all(
  (await readdir(FOLDER)).sort().map(async (file) => ({
    name: file.replace(/^\d+-|\.json$/g, ''),
    ...ExampleFile.parse(JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'))),
  })),
);

describe('the named examples', () => {
  test.each(examples)('$name gives what it says', async ({ request, expect: wanted }) => {
    const reply = await post(request);
    expect(reply.statusCode, reply.body.slice(0, 500)).toBe(200);
    expect(reply.headers['cache-control']).toBe('no-store');
    const answer = MeasurementsAnswer.parse(reply.json());
    expect([...new Set(answer.measurements.map((m) => m.code))].sort()).toEqual(
      [...wanted.measurements].sort(),
    );
    const codes = answer.messages.map((m) => m.code);
    for (const code of wanted.messages) expect(codes).toContain(code);
    expect(
      answer.messages
        .filter((m) => m.severity === 'warning')
        .map((m) => m.code)
        .sort(),
    ).toEqual(
      answer.messages
        .filter((m) => m.severity === 'warning' && wanted.messages.includes(m.code))
        .map((m) => m.code)
        .sort(),
    );
  });

  test('each of the four kinds of raw data alone, and all together', () => {
    const kinds = ['events', 'lengths', 'timedSwims', 'landmarks'] as const;
    const shown = examples.map(({ request }) =>
      kinds.filter((kind) => request[kind] !== undefined).join(' '),
    );
    expect(shown).toEqual(expect.arrayContaining([...kinds, kinds.join(' ')]));
  });

  test('stand in the contract that is served, in order', async () => {
    const served = (await app.ask('/openapi.json')).json().paths[URL_].post.requestBody.content[
      'application/json'
    ].examples;
    expect(Object.keys(served)).toEqual(examples.map((e) => e.name));
  });

  test('what they give is accepted by an assessment as it stands', async () => {
    for (const { request } of examples.filter((e) => e.name !== 'arm-strokes-for-cycles')) {
      const { measurements } = (await post(request)).json();
      const reply = await app.assess({ ...MINIMAL, measurements });
      expect(reply.statusCode, reply.body.slice(0, 500)).toBe(200);
    }
  });
});

describe('an answer', () => {
  test('names the exact rule set', async () => {
    const { name, version, digest } = (await app.ask(VERSION)).json();
    for (const ruleSet of [undefined, 'front-crawl', 'front-crawl@1.x'])
      expect((await post({ ruleSet })).json().ruleSet).toEqual({ name, version, digest });
  });

  test('is the same for the same request, byte for byte', async () => {
    const body = examples[0]?.request;
    expect((await post(body)).body).toBe((await post(body)).body);
  });

  test('holds the angles frame by frame only when asked for', async () => {
    const body = examples.find((e) => e.name === 'landmarks')?.request;
    expect((await post(body)).json().series).toEqual({});
    const { series } = (await post({ ...body, options: { series: true } })).json();
    expect(Object.keys(series).length).toBeGreaterThan(0);
  });
});

describe('what is refused', () => {
  test('frames without a frame rate, with the place and the reason', async () => {
    const { frameRate: _, ...body } = examples[0]?.request ?? {};
    const reply = await post(body);
    expect(mistakesOf(reply)).toEqual(['/frameRate required']);
    expect(reply.json().errors[0].message).toMatch(/never guessed/);
  });

  test('every mistake at once', async () => {
    const body = {
      ruleSet: 'back-crawl',
      events: [{ arm: 'left', kind: 'entri', time: 1 }],
      lengths: [{ metres: 25, yards: 25, seconds: 22 }],
      frames: 50,
    };
    expect(mistakesOf(await post(body))).toEqual([
      '/events/0/kind not-allowed',
      '/frames unknown-field',
      '/lengths/0/yards not-allowed',
      '/ruleSet unknown-rule-set',
    ]);
  });

  test.each<[string, string]>([
    ['', 'malformed-json'],
    ['{', 'malformed-json'],
  ])('%j', async (payload, slug) => {
    const headers = { 'content-type': 'application/json' };
    problemOf(await app.ask({ method: 'POST', url: URL_, headers, payload }), 400, slug);
  });
});

describe('raw inside an assessment', () => {
  const raw = examples[0]?.request;

  test('is measured, and what measuring says stands among the messages', async () => {
    const answer = (await app.assess({ ...MINIMAL, raw })).json();
    const told = (await post(raw)).json().messages;
    expect(told.length).toBeGreaterThan(0);
    expect(answer.messages).toEqual(expect.arrayContaining(told));
  });

  test('mistakes are named by their place inside it', async () => {
    const body = { ...MINIMAL, raw: { events: [{ arm: 'left', kind: 'entry', frame: 1 }], ruleSet: 'x' } };
    expect(mistakesOf(await app.assess(body))).toEqual([
      '/raw/frameRate required',
      '/raw/ruleSet unknown-field',
    ]);
  });

  test('a value that cannot be is refused, as it is when its measurement is sent', async () => {
    const lengths = [{ metres: 25, seconds: 23, armStrokes: 6, pushOffMetres: 0 }];
    const { measurements } = (await post({ lengths })).json();
    const pasted = await app.assess({ ...MINIMAL, measurements });
    const inside = await app.assess({ ...MINIMAL, raw: { lengths } });
    const texts = [pasted, inside].map((r) =>
      problemOf(r, 400, 'invalid-request').errors?.map((e) => e.message),
    );
    expect(mistakesOf(inside)).toEqual(['/raw impossible-value']);
    // inside, the coach is told where to look as well
    expect(texts[1]?.[0]?.startsWith(texts[0]?.[0] as string)).toBe(true);
    expect(texts[1]?.[0]).toMatch(/"Stroke length" comes out at 8\.33 m\/cycle\..*double the count\.$/);
  });
});
