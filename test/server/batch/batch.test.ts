/** POST /v1/assessments/batch: what a line can be, and that none of them touches another. */
import { describe, expect, test } from 'vitest';
import { ASSESS, exampleRequest, problemOf, type Reply, sharedApp, workedRequests } from '../app.ts';
import { BATCH, itemLine, linesOf, NDJSON, type OutLine, QUICK } from './batches.ts';

const app = sharedApp();
const example = await exampleRequest();
const worked = await workedRequests();

const send = (
  payload: string | Buffer,
  query = '',
  headers: { [name: string]: string } = NDJSON,
): Promise<Reply> => app.ask({ method: 'POST', url: BATCH + query, headers, payload });

async function answersTo(payload: string | Buffer, query = ''): Promise<OutLine[]> {
  const reply = await send(payload, query);
  expect([reply.statusCode, reply.headers['content-type'], reply.headers['cache-control']]).toEqual([
    200,
    'application/x-ndjson',
    'no-store',
  ]);
  return linesOf(reply.body);
}

const GOOD = itemLine('good');
const slugOf = (line: OutLine | undefined): string | undefined =>
  line?.problem?.type.replace('/problems/', '');

describe('answers', () => {
  test('are byte for byte those of the single address, in the order of the lines', async () => {
    const requests = [example, ...worked.slice(0, 5), QUICK].map((r) => ({
      ...r,
      options: { nextLooks: 0 },
    }));
    const singles = await Promise.all(requests.map((r) => app.assess(r)));
    const reply = await send(requests.map((r, i) => itemLine(`i${i}`, r)).join(''));
    expect(reply.body).toBe(singles.map((s, i) => `{"id":"i${i}","answer":${s.body}}\n`).join(''));
  });

  test('short ones where they are preferred, as the single address gives them', async () => {
    const prefer = 'return=minimal';
    const records = [example, { ...QUICK, health: { asked: true, signs: ['chest-pain'] } }];
    const singles = await Promise.all(
      records.map((record) =>
        app.ask({
          method: 'POST',
          url: ASSESS,
          headers: { 'content-type': 'application/json', prefer },
          payload: JSON.stringify(record),
        }),
      ),
    );
    const body = records.map((r, i) => itemLine(`i${i}`, r)).join('');
    const reply = await send(body, '', { ...NDJSON, prefer });
    expect(reply.body).toBe(singles.map((s, i) => `{"id":"i${i}","answer":${s.body}}\n`).join(''));
    expect([reply.headers['preference-applied'], reply.headers.vary]).toEqual([prefer, 'Prefer']);
    expect((await send(body)).headers['preference-applied']).toBeUndefined();
  });

  test('any order: the same lines', async () => {
    const body = Array.from({ length: 20 }, (_, i) => itemLine(`i${i}`)).join('');
    const [kept, any] = [await send(body), await send(body, '?order=any')];
    expect(any.body.split('\n').sort()).toEqual(kept.body.split('\n').sort());
    expect((await send(body, '?order=input')).body).toBe(kept.body);
  });

  test('an empty body has no lines', async () => {
    expect(await answersTo('')).toEqual([]);
  });

  test('line ends of other systems, and none at the end', async () => {
    const lines = await answersTo(
      `${itemLine('a').trim()}\r\n${itemLine('b').trim()}\r\n${itemLine('c').trim()}`,
    );
    expect(lines.map((l) => [l.id, l.answer?.status])).toEqual(['a', 'b', 'c'].map((id) => [id, 'ask-more']));
  });

  test('texts of any script come through', async () => {
    const metadata = { 'ü☃𝄞': '\u2028 日本' };
    const [line] = await answersTo(itemLine('a', { ...QUICK, metadata }));
    expect(line?.answer?.metadata).toEqual(metadata);
  });
});

/** The text with its question mark as a byte that no UTF-8 has. */
function notUtf8(text: string): Buffer {
  const bytes = Buffer.from(text);
  bytes[text.indexOf('?')] = 0xff;
  return bytes;
}

describe('a line that is wrong is answered, and so are the others', () => {
  const deep = (levels: number): string => `${'['.repeat(levels)}${']'.repeat(levels)}`;

  test.each<[string, string | Buffer, string, string | undefined]>([
    ['broken JSON', '{"id":"x","request":', 'malformed-json', undefined],
    ['an empty line', '', 'malformed-json', undefined],
    ['blanks', ' \t ', 'malformed-json', undefined],
    [
      'invalid UTF-8 in a text',
      notUtf8('{"id":"x","request":{"swimmer":{"level":"novice","ref":"?"}}}'),
      'malformed-json',
      undefined,
    ],
    ['half a character', Buffer.from('{"id":"ü').subarray(0, -1), 'malformed-json', undefined],
    ['__proto__', '{"id":"x","request":{"__proto__":{}}}', 'malformed-json', undefined],
    ['constructor', '{"id":"x","constructor":{"prototype":{}}}', 'malformed-json', undefined],
    ['two values', '{} {}', 'malformed-json', undefined],
    ['too deep', `{"id":"x","request":${deep(17)}}`, 'too-deep', undefined],
    ['too long', `{"id":"x","request":"${'y'.repeat(1_048_576)}"}`, 'line-too-long', undefined],
    ['a list', '[]', 'invalid-request', undefined],
    ['a number', '7', 'invalid-request', undefined],
    ['null', 'null', 'invalid-request', undefined],
    ['no id', '{"request":{"swimmer":{"level":"novice"}}}', 'invalid-request', undefined],
    [
      'an id that is a number',
      '{"id":7,"request":{"swimmer":{"level":"novice"}}}',
      'invalid-request',
      undefined,
    ],
    [
      'an id with blanks',
      '{"id":"a b","request":{"swimmer":{"level":"novice"}}}',
      'invalid-request',
      undefined,
    ],
    ['no request', '{"id":"x"}', 'invalid-request', 'x'],
    ['another field', '{"id":"x","request":{"swimmer":{"level":"novice"}},"more":1}', 'invalid-request', 'x'],
    ['an id that stood before', GOOD.trim(), 'invalid-request', 'good'],
    ['a wrong record', '{"id":"x","request":{}}', 'invalid-request', 'x'],
  ])('%s', async (_, bad, slug, id) => {
    const body = Buffer.concat([Buffer.from(GOOD), Buffer.from(bad), Buffer.from(`\n${itemLine('last')}`)]);
    for (const query of ['', '?order=any']) {
      const lines = await answersTo(body, query);
      expect(lines).toHaveLength(3);
      const line = lines.find((l) => l.problem !== undefined);
      expect([slugOf(line), line?.line, line?.id]).toEqual([slug, 2, id]);
      expect(line?.problem?.status).toBe(slug === 'line-too-long' ? 413 : 400);
      const answered = lines.filter((l) => l.answer !== undefined).map((l) => l.id);
      expect(new Set(answered)).toEqual(new Set(['good', 'last']));
    }
  });

  test('all mistakes of a line at once, with pointers into the line', async () => {
    const request = {
      swimmer: { level: 'x' },
      observations: [{ code: 'hips-lo', severity: 1 }],
      ruleSet: 'front-crawl@9',
    };
    const [, line] = await answersTo(GOOD + JSON.stringify({ id: 'good', more: 1, request }));
    expect(line?.problem?.errors?.map((e) => `${e.pointer} ${e.code}`).sort()).toEqual([
      '/id repeated',
      '/more unknown-field',
      '/request/ruleSet unknown-rule-set',
      '/request/swimmer/level not-allowed',
    ]);
    const [words] = await answersTo(
      itemLine('a', { ...QUICK, observations: [{ code: 'hips-lo', severity: 1 }] }),
    );
    expect(words?.problem?.errors).toMatchObject([
      { pointer: '/request/observations/0/code', code: 'unknown-code', suggestions: ['hips-low'] },
    ]);
  });

  test('its problem says what the single address says', async () => {
    for (const request of [
      {},
      { swimmer: { level: 'x' }, more: 1 },
      { ...QUICK, observations: [{ code: 'zz' }] },
      7,
    ]) {
      const single = await app.assess(request);
      const [line] = await answersTo(itemLine('a', request));
      const { requestId: _, errors, ...problem } = single.json();
      const inLine = errors.map((e: { pointer: string }) => ({ ...e, pointer: `/request${e.pointer}` }));
      expect(line?.problem).toEqual({ ...problem, errors: inLine });
    }
  });

  test('bytes that are no UTF-8 are refused by the single address too', async () => {
    const payload = notUtf8('{"swimmer":{"level":"novice","ref":"?"}}');
    const headers = { 'content-type': 'application/json' };
    problemOf(await app.ask({ method: 'POST', url: ASSESS, headers, payload }), 400, 'malformed-json');
  });

  test('the depth of a record is that of the single address', async () => {
    const at = (levels: number): string => `{"swimmer":{"level":"novice"},"x":${deep(levels)}}`;
    for (const [levels, slug] of [
      [15, 'invalid-request'],
      [16, 'too-deep'],
    ] as const) {
      expect((await app.send(at(levels))).json().type).toBe(`/problems/${slug}`);
      expect(slugOf((await answersTo(`{"id":"x","request":${at(levels)}}`))[0])).toBe(slug);
    }
  });

  test('the first of several lines with one id is answered, in either order', async () => {
    const body = Array.from({ length: 30 }, () => GOOD).join('');
    for (const query of ['', '?order=any']) {
      const lines = await answersTo(body, query);
      expect(lines.filter((l) => l.answer !== undefined)).toHaveLength(1);
      const refused = lines.filter((l) => l.problem !== undefined).map((l) => l.line);
      expect(refused.toSorted((a = 0, b = 0) => a - b)).toEqual(Array.from({ length: 29 }, (_, i) => i + 2));
    }
  });
});

describe('a request that is wrong as a whole', () => {
  test.each([
    'application/json',
    'application/ndjson',
    'text/plain',
    'application/x-ndjsonx',
    'application/x-ndjson, application/json',
  ])('%s is 415 and says what to send', async (type) => {
    const reply = await send(GOOD, '', { 'content-type': type });
    problemOf(reply, 415, 'unsupported-media-type');
    expect(reply.headers['accept-post']).toBe('application/x-ndjson');
  });

  test('no content type is 415', async () => {
    for (const payload of [GOOD, '']) problemOf(await send(payload, '', {}), 415, 'unsupported-media-type');
  });

  test('NDJSON is read here and nowhere else', async () => {
    const reply = await app.ask({ method: 'POST', url: ASSESS, headers: NDJSON, payload: GOOD });
    problemOf(reply, 415, 'unsupported-media-type');
    expect(reply.headers['accept-post']).toBe('application/json');
  });

  test('another order than the two', async () => {
    const { errors } = problemOf(await send(GOOD, '?order=random'), 400, 'invalid-request');
    expect(errors).toMatchObject([{ pointer: '/order', code: 'not-allowed' }]);
  });

  test('more bytes at once than allowed', async () => {
    const reply = await send(Buffer.alloc(33_554_433, '\n'));
    const { detail } = problemOf(reply, 413, 'body-too-large');
    expect(detail).toContain('33554432');
  });
});
