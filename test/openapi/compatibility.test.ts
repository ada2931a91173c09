/** A client that was written for the published contract goes on working. */
import { readFile } from 'node:fs/promises';
import { expect, test } from 'vitest';
import { breakingChanges } from './compatibility.ts';

type Json = { [key: string]: Json };
const read = async (path: string): Promise<Json> =>
  JSON.parse(await readFile(new URL(`../../openapi/${path}`, import.meta.url), 'utf8'));
const published = await read('published/1.json');
const present = await read('openapi.json');

test('nothing that was published is gone or narrower', () => {
  expect(breakingChanges(published, present)).toEqual([]);
});

/** The present contract after one change. */
function after(change: (contract: Json) => void): string[] {
  const copy = structuredClone(present);
  change(copy);
  return breakingChanges(present, copy);
}
const schemas = (contract: Json): Json => contract.components?.schemas as Json;
const at = (contract: Json, name: string): Json => {
  const schema = schemas(contract)[name];
  if (schema === undefined) throw new Error(`there is no schema ${name}`);
  return schema;
};
/** A field of a schema that is known to be there. */
function field(contract: Json, schema: string, name: string): { [keyword: string]: unknown } {
  const found = at(contract, schema).properties?.[name];
  if (found === undefined) throw new Error(`${schema} has no field ${name}`);
  return found;
}
const ASSESS = '/v1/assessments';

test.each<[string, (c: Json) => void, RegExp]>([
  ['an address that is gone', (c) => delete (c.paths as Json)['/v1/plans'], /POST \/v1\/plans: is gone/],
  ['a field of an answer that is gone', (c) => delete at(c, 'Cause').properties?.totalDb, /totalDb: is gone/],
  [
    'a field of an answer that may be missing',
    (c) => {
      at(c, 'Cause').required = (at(c, 'Cause').required as unknown as string[]).filter(
        (n) => n !== 'trail',
      ) as never;
    },
    /trail: may be missing now/,
  ],
  [
    'an answer of another type',
    (c) => {
      field(c, 'Cause', 'totalDb').type = 'string';
    },
    /totalDb: type is wider/,
  ],
  [
    'a status that is gone',
    (c) => delete (c.paths as Json)[ASSESS]?.post?.responses?.['200'],
    /200: is gone/,
  ],
  [
    'a field of a request that is gone',
    (c) => delete at(c, 'AssessmentRequest').properties?.coach,
    /coach: is gone/,
  ],
  [
    'a field of a request that is required',
    (c) => {
      (at(c, 'AssessmentRequest').required as unknown as string[]).push('coach');
    },
    /coach: is required now/,
  ],
  [
    'fewer words in a request',
    (c) => {
      const { level } = at(c, 'Swimmer').properties as unknown as { level: { enum: string[] } };
      level.enum.shift();
    },
    /enum is narrower/,
  ],
  [
    'a tighter bound',
    (c) => {
      field(c, 'AssessmentRequest', 'observations').maxItems = 1;
    },
    /maxItems is narrower/,
  ],
])('%s is told', (_, change, told) => {
  expect(after(change).join('\n')).toMatch(told);
});

test.each<[string, (c: Json) => void]>([
  [
    'a new address',
    (c) => {
      (c.paths as Json)['/v2'] = { get: { responses: {} } } as never;
    },
  ],
  [
    'a new field of an answer',
    (c) => {
      (at(c, 'Cause').properties as Json).more = { type: 'string' } as never;
    },
  ],
  [
    'a new field of a request that may be left out',
    (c) => {
      (at(c, 'AssessmentRequest').properties as Json).more = { type: 'string' } as never;
    },
  ],
  [
    'a wider bound',
    (c) => {
      field(c, 'AssessmentRequest', 'observations').maxItems = 9999;
    },
  ],
  [
    'another description',
    (c) => {
      at(c, 'Cause').description = 'other' as never;
    },
  ],
])('%s breaks nobody', (_, change) => {
  expect(after(change)).toEqual([]);
});
