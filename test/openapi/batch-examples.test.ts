/** The example batches of the contract: each line gets what is told beside it. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { BatchLine } from '../../src/contract/batch.ts';
import { sharedApp } from '../server/app.ts';
import { BATCH, linesOf, NDJSON } from '../server/batch/batches.ts';

const FOLDER = new URL('../../openapi/examples/batch/', import.meta.url);

const ExpectedLine = z.strictObject({
  id: z.string().optional(),
  line: z.int().optional(),
  status: z.enum(['stop', 'refer', 'ask-more', 'ok']).optional(),
  firstCause: z.string().optional(),
  problem: z.string().optional(),
  pointer: z.string().optional(),
});
const BatchExample = z.strictObject({
  summary: z.string().min(1).max(60),
  description: z.string().regex(/invented/),
  invented: z.literal(true),
  expect: z.array(ExpectedLine).min(1),
});

const app = sharedApp();
const files = (await readdir(FOLDER)).filter((file) => file.endsWith('.json')).sort();
const examples = await Promise.all(
  files.map(async (file) => ({
    name: file.replace(/^\d+-|\.json$/g, ''),
    ...BatchExample.parse(JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'))),
    text: await readFile(new URL(file.replace('.json', '.ndjson'), FOLDER), 'utf8'),
  })),
);

describe.each(examples)('$name', ({ name, summary, description, text, expect: expected }) => {
  test('each line gets what is told', async () => {
    const reply = await app.ask({ method: 'POST', url: BATCH, headers: NDJSON, payload: text });
    expect(reply.statusCode).toBe(200);
    const lines = linesOf(reply.body);
    for (const line of lines) expect(BatchLine.safeParse(line).error).toBeUndefined();
    const told = lines.map(({ id, line, answer, problem }, i) => {
      const { firstCause, pointer } = expected[i] ?? {};
      const causes = answer?.causes as { code: string }[] | undefined;
      return {
        ...(id === undefined ? { line } : { id }),
        ...(answer === undefined ? {} : { status: answer.status }),
        ...(firstCause === undefined ? {} : { firstCause: causes?.[0]?.code }),
        ...(problem === undefined ? {} : { problem: problem.type.replace('/problems/', '') }),
        ...(pointer === undefined ? {} : { pointer: problem?.errors?.[0]?.pointer }),
      };
    });
    expect(told).toEqual(expected);
  });

  test('the contract carries it as the text that is sent', async () => {
    const { paths } = (await app.ask('/openapi.json')).json();
    const { examples: served } = paths[BATCH].post.requestBody.content['application/x-ndjson'];
    expect(served[name]).toEqual({ summary, description, value: text });
  });
});

test('each swimmer is an invented one of its own example', () => {
  const refs = examples.map(({ text }) => new Set([...text.matchAll(/"ref":"([^"]+)"/g)].map((m) => m[1])));
  for (const set of refs) for (const ref of set) expect(ref).toMatch(/^EX-\d+$/);
  expect(new Set(refs.flatMap((set) => [...set])).size).toBe(refs.reduce((n, set) => n + set.size, 0));
});
