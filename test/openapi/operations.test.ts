/** Every operation of the contract is told in full. */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';

type Json = { [key: string]: Json };
const contract = JSON.parse(
  await readFile(new URL('../../openapi/openapi.json', import.meta.url), 'utf8'),
) as Json;
const operations = Object.entries(contract.paths as Json).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({
    name: `${method.toUpperCase()} ${path}`,
    operation,
  })),
);

describe.each(operations)('$name', ({ operation }) => {
  test('has a summary, a description and a name of its own', () => {
    expect((operation.summary as unknown as string).length).toBeGreaterThan(5);
    expect((operation.description as unknown as string).length).toBeGreaterThan(20);
    const names = operations.map((o) => o.operation.operationId);
    expect(names.filter((n) => n === operation.operationId)).toHaveLength(1);
  });

  test('declares its problems, each as problem details', () => {
    const bad = Object.entries(operation.responses as Json).filter(([status]) => status >= '400');
    expect(bad.map(([status]) => status)).toEqual(expect.arrayContaining(['408', '500']));
    for (const [status, response] of bad)
      expect(Object.keys(response.content ?? {}), status).toEqual(['application/problem+json']);
    if (JSON.stringify(operation.security).includes('accessKey'))
      expect(bad.map(([status]) => status)).toEqual(expect.arrayContaining(['401', '403', '429']));
  });

  test('shows at least one example of what it takes', () => {
    const media = Object.values((operation.requestBody?.content ?? {}) as Json);
    for (const { examples } of media) expect(Object.keys(examples ?? {}).length).toBeGreaterThan(0);
  });
});
