/** POST /v1/assessments: what is echoed, what cannot change an answer, and how a rule set is named. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { exampleRequest, MINIMAL, sharedApp, VERSION, workedRequests } from './app.ts';

const app = sharedApp();
const example = await exampleRequest();
const worked = await workedRequests();

const STOP = { ...MINIMAL, health: { asked: true, signs: ['chest-pain'] } };

async function answerOf(body: unknown): Promise<string> {
  const reply = await app.assess(body);
  expect(reply.statusCode, reply.body.slice(0, 500)).toBe(200);
  return reply.body;
}

/** Answers are long: where two of them part says more than both of them in full. */
function partingOf(a: string, b: string): string {
  if (a === b) return 'nowhere';
  let at = 0;
  while (a[at] === b[at]) at++;
  return `${at}: ${a.slice(Math.max(0, at - 60), at + 60)} | ${b.slice(Math.max(0, at - 60), at + 60)}`;
}

describe('what comes back with an answer', () => {
  test('requestId and metadata as they were sent', async () => {
    const requestId = 'a.B_c:d/e-9';
    const metadata = { club: 'x', 'lane ü ☃': '  4 ', toString: 'y', constructor: 'z' };
    const answer = JSON.parse(await answerOf({ ...example, requestId, metadata }));
    expect(answer.requestId).toBe(requestId);
    expect(answer.metadata).toEqual(metadata);
  });

  test('neither, when neither was sent', async () => {
    const answer = JSON.parse(await answerOf(MINIMAL));
    expect(Object.keys(answer)).not.toContain('requestId');
    expect(Object.keys(answer)).not.toContain('metadata');
  });

  test('they do not change the rest of the answer', async () => {
    const { requestId: _, ...bare } = example;
    const { requestId, metadata, ...answer } = JSON.parse(
      await answerOf({ ...bare, requestId: 'b', metadata: { a: 'b' } }),
    );
    expect([requestId, metadata]).toEqual(['b', { a: 'b' }]);
    expect(answer).toEqual(JSON.parse(await answerOf(bare)));
  });

  test.each<[string, unknown]>([
    ['ok', example],
    ['ask-more', MINIMAL],
    ['refer', worked[4]],
    ['stop', STOP],
  ])('%s: the rule set with version and digest, and not to be stored', async (status, body) => {
    const reply = await app.assess(body);
    const answer = reply.json();
    const { name, version, digest } = (await app.ask(VERSION)).json();
    expect(answer.status).toBe(status);
    expect(answer.ruleSet).toEqual({ name, version, digest });
    expect(answer.decisionId).toMatch(/^sha-256:[0-9a-f]{64}$/);
    expect(reply.headers['cache-control']).toBe('no-store');
    expect(reply.headers.etag).toBeUndefined();
    expect(reply.headers['content-type']).toBe('application/json; charset=utf-8');
  });
});

describe('naming the rule set', () => {
  test.each([
    'front-crawl',
    'front-crawl@1.0.0',
    'front-crawl@1',
    'front-crawl@1.x',
    'front-crawl@^1.0.0',
    'front-crawl@>=1 <2',
    'front-crawl@*',
  ])('%s gives the answer of the newest that fits', async (ruleSet) => {
    expect(partingOf(await answerOf({ ...example, ruleSet }), await answerOf(example))).toBe('nowhere');
  });

  test.each([
    '',
    'back-crawl',
    'Front-Crawl',
    'front-crawl@2',
    'front-crawl@<1',
    'front-crawl@latest',
    'front-crawl@1.0.0@1.0.0',
    '@1.0.0',
    ' front-crawl',
    'constructor',
  ])('%j is not served', async (ruleSet) => {
    const reply = await app.assess({ ...example, ruleSet });
    expect(reply.statusCode).toBe(400);
    expect(reply.json().errors).toMatchObject([{ pointer: '/ruleSet', code: 'unknown-rule-set' }]);
  });
});

/** Every list in an order given by `keys`; the order of a coach's focus has a meaning and is kept. */
function reordered(value: unknown, keys: () => number, name = ''): unknown {
  if (Array.isArray(value)) {
    const items = value.map((item) => ({ key: keys(), item: reordered(item, keys) }));
    if (name !== 'focus') items.sort((a, b) => a.key - b.key);
    return items.map(({ item }) => item);
  }
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).map(([k, v]) => ({ key: keys(), k, v: reordered(v, keys, k) }));
  return Object.fromEntries(entries.sort((a, b) => a.key - b.key).map(({ k, v }) => [k, v]));
}

/** A worked case with several entries in every list that a request can hold. */
const LISTS = {
  ...worked[2],
  swimmer: { level: 'advanced', equipment: ['board', 'fins', 'pull-buoy', 'snorkel'] },
  health: {
    asked: true,
    conditions: ['asthma', 'hypermobility', 'recent-illness'],
    pain: [
      { site: 'shoulder', side: 'left', score: 2, features: ['rising', 'at-night'] },
      { site: 'shoulder', side: 'right', score: 1, features: ['at-rest', 'swelling', 'weakness'] },
      { site: 'knee', score: 2 },
    ],
  },
  recording: {
    views: ['side-under', 'front-under', 'rear'],
    clips: ['a', 'b', 'c'].map((id) => ({ id, view: 'rear' })),
    flags: ['surface-distortion', 'low-frame-rate', 'single-cycle'],
  },
  coach: {
    focus: [{ cause: 'body-tilt' }, { cause: 'no-forearm-set', side: 'left' }],
    rejectCauses: ['late-breath-timing', 'head-dig-habit'].map((cause) => ({ cause, because: 'seen' })),
    rejectDrills: [
      { code: 'vertical-kick', because: 'a' },
      { code: 'bubble-bob', because: 'b' },
    ],
  },
  options: { explain: 'full', nextLooks: 1 },
};

describe('the same question gets the same bytes', () => {
  test.each<[string, unknown]>([
    ['a full record', LISTS],
    [
      'a record that stops',
      { ...STOP, health: { asked: true, signs: ['chest-pain', 'fainting', 'racing-heart'] } },
    ],
  ])('%s in any order of lists and fields', async (_, record) => {
    const plain = await answerOf(record);
    await fc.assert(
      fc.asyncProperty(fc.infiniteStream(fc.nat()), async (stream) => {
        const keys = (): number => stream.next().value;
        expect(partingOf(plain, await answerOf(reordered(record, keys)))).toBe('nowhere');
      }),
      { numRuns: 25, seed: 21 },
    );
  });

  test('the order of the chosen focus is no shorthand: it changes the answer', async () => {
    const focus = [...LISTS.coach.focus].reverse();
    expect(await answerOf({ ...LISTS, coach: { ...LISTS.coach, focus } })).not.toBe(await answerOf(LISTS));
  });

  test('200 overlapping requests get the answers that they get one by one', async () => {
    const bodies = [...worked, example, MINIMAL, LISTS].map((body, i) => ({
      ...body,
      requestId: `r${i}`,
      options: { explain: 'full', nextLooks: 0 },
    }));
    const serial: string[] = [];
    for (const body of bodies) serial.push(await answerOf(body));
    expect(new Set(serial).size).toBe(bodies.length);
    const order = Array.from({ length: 200 }, (_, i) => (i * 7 + (i >> 3)) % bodies.length);
    const overlapping = await Promise.all(order.map((n) => answerOf(bodies[n])));
    for (const [i, n] of order.entries()) expect(overlapping[i] === serial[n], `request ${i}`).toBe(true);
  });
});
