import { describe, expect, test } from 'vitest';
import type { FullAnswer } from '../../src/contract/answer.ts';
import { MinimalAnswer } from '../../src/contract/minimal-answer.ts';
import { prefersMinimal } from '../../src/server/prefer.ts';
import { readExampleFiles } from '../openapi/read-examples.ts';
import { ASSESS, sharedApp } from './app.ts';

describe('the Prefer header', () => {
  // spellings of RFC 7240, sections 2 and 4.2
  test.each([
    'return=minimal',
    'Return=Minimal',
    'return="minimal"',
    'return = minimal',
    'return=minimal; foo="some parameter"',
    'respond-async, return=minimal, wait=10',
    'foo="a, return=representation", return=minimal',
    'return=minimal, return=representation',
  ])('%s asks for the short answer', (header) => {
    expect(prefersMinimal(header)).toBe(true);
  });

  test.each([
    undefined,
    '',
    'return',
    'return=representation',
    'return=representation, return=minimal',
    'return=minimalist',
    'no-return=minimal',
    'wait=10; return=minimal',
    'foo="x, return=minimal"',
    'foo="return=minimal',
  ])('%s does not', (header) => {
    expect(prefersMinimal(header)).toBe(false);
  });

  test('may be sent in several lines', () => {
    expect(prefersMinimal(['respond-async', 'return=minimal'])).toBe(true);
  });
});

describe('POST /v1/assessments with Prefer: return=minimal', async () => {
  const examples = await readExampleFiles();
  const app = sharedApp();
  const post = (payload: object, headers: { [name: string]: string } = {}) =>
    app.ask({ method: 'POST', url: ASSESS, payload, headers });
  const MINIMAL = { prefer: 'return=minimal' };

  test.each(examples.map((e) => [e.name, e.request] as const))(
    '%s: says the same as the whole answer, in a fifth of its size',
    async (_, request) => {
      const [whole, short] = await Promise.all([post(request), post(request, MINIMAL)]);
      expect(short.statusCode).toBe(200);
      expect(short.headers['preference-applied']).toBe('return=minimal');
      expect(whole.headers['preference-applied']).toBeUndefined();
      for (const reply of [whole, short]) expect(reply.headers.vary).toContain('Prefer');
      const full = whole.json<FullAnswer>();
      if (whole.json().status === 'stop') return expect(short.body).toBe(whole.body);
      const minimal = MinimalAnswer.strict().parse(short.json());
      const { drills, ...rest } = minimal;
      expect(full).toMatchObject(rest);
      expect(full.drills).toMatchObject(drills);
      expect(full.drills.length).toBe(drills.length);
      expect(short.body.length).toBeLessThan(whole.body.length / 5);
    },
  );

  test('a report is whole, and says nothing of the wish', async () => {
    const [first] = examples;
    const headers = { accept: 'text/html' };
    const [whole, asked] = await Promise.all([
      post(first?.request as object, headers),
      post(first?.request as object, { ...headers, ...MINIMAL }),
    ]);
    expect(asked.body).toBe(whole.body);
    expect(asked.headers['preference-applied']).toBeUndefined();
  });

  test('a mistake is told as ever', async () => {
    const reply = await post({ swimmer: {} }, MINIMAL);
    expect(reply.statusCode).toBe(400);
    expect(reply.headers['preference-applied']).toBeUndefined();
    expect(reply.json().errors[0].pointer).toBe('/swimmer/level');
  });
});
