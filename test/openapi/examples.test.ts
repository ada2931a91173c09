import type { FastifyInstance } from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { AssessmentAnswer, FullAnswer } from '../../src/contract/answer.ts';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';
import { type Example, readExampleFiles } from './read-examples.ts';

const examples = await readExampleFiles();

let app: FastifyInstance;
const answers = new Map<string, AssessmentAnswer>();
beforeAll(async () => {
  app = await createApp(QUIET);
  for (const { name, request } of examples) {
    const reply = await app.inject({ method: 'POST', url: '/v1/assessments', payload: request });
    expect(reply.statusCode, `${name}: ${reply.body}`).toBe(200);
    answers.set(name, reply.json());
  }
});
afterAll(() => app.close());

const answerTo = ({ name }: Example): AssessmentAnswer => answers.get(name) as AssessmentAnswer;
const full = (answer: AssessmentAnswer): FullAnswer => {
  if (answer.status === 'stop') throw new Error('a stop has no such part');
  return answer;
};
const named = (
  picks: (e: Example['expect']) => unknown,
): { name: string; summary: string; example: Example }[] =>
  examples
    .filter((e) => picks(e.expect) !== undefined)
    .map((e) => ({ name: e.name, summary: e.summary, example: e }));

test('at least eight swimmers, each an invented one of its own', () => {
  expect(examples.length).toBeGreaterThanOrEqual(8);
  expect(new Set(examples.map((e) => e.request.swimmer.ref)).size).toBe(examples.length);
  for (const e of examples) {
    expect(e.request.swimmer.ref).toMatch(/^EX-\d+$/);
    expect(e.description).toMatch(/invented/);
  }
});

test('every status is shown', () => {
  expect(new Set(examples.map((e) => e.expect.status))).toEqual(new Set(['ok', 'ask-more', 'refer', 'stop']));
});

describe('what comes out', () => {
  test.each(named((e) => e.status))('$name: status', ({ example }) => {
    expect(answerTo(example).status).toBe(example.expect.status);
  });

  test.each(named((e) => e.firstCause))('$name: first cause', ({ example }) => {
    expect(full(answerTo(example)).causes[0]?.code).toBe(example.expect.firstCause);
  });

  test.each(named((e) => e.focus))('$name: focus', ({ example }) => {
    expect(full(answerTo(example)).focus.map((f) => f.cause)).toEqual(example.expect.focus);
  });

  test.each(named((e) => e.excludedDrill))('$name: excluded drill is given nowhere', ({ example }) => {
    const { excludedDrills, drills, session } = full(answerTo(example));
    const drill = example.expect.excludedDrill;
    const entry = excludedDrills.find((d) => d.code === drill);
    expect(entry).toBeDefined();
    expect(drills.map((d) => d.code)).not.toContain(drill);
    const items = session.blocks.flatMap((b) => b.items);
    expect(items.map((i) => i.drill)).not.toContain(drill);
    expect(items.filter((i) => i.text.startsWith(`${entry?.name}:`))).toEqual([]);
  });

  test.each(examples.filter((e) => e.expect.status === 'stop'))(
    '$name: a stop gives cautions and nothing to do',
    (example) => {
      const answer = answerTo(example);
      expect(answer.cautions.map((c) => c.class)).toContain('stop-now');
      expect(Object.keys(answer).sort()).toEqual(
        ['cautions', 'decisionId', 'messages', 'requestId', 'ruleSet', 'status', 'summary'].sort(),
      );
    },
  );
});

test('the contract that is served carries each example by its name, in order', async () => {
  const served = (await app.inject('/openapi.json')).json().paths['/v1/assessments'].post.requestBody.content[
    'application/json'
  ].examples as Record<string, { summary: string; description: string; value: unknown }>;
  expect(Object.keys(served)).toEqual(examples.map((e) => e.name));
  for (const { name, summary, description, request } of examples) {
    expect(served[name]).toEqual({ summary, description, value: request });
  }
});
