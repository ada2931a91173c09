/** Whatever JSON is sent, the answer is an assessment or a problem that points into the body. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { AssessmentAnswer } from '../../src/contract/answer.ts';
import type { Problem } from '../../src/contract/problem.ts';
import { exampleRequest, problemOf, type Reply, sharedApp, workedRequests } from './app.ts';

const app = sharedApp();
const example = await exampleRequest();
const [worked] = await workedRequests();

type Path = (string | number)[];

/** Any JSON, with lone surrogates, code-like words and numbers at the edges more often than chance gives them. */
const text = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.array(fc.nat(0xffff), { maxLength: 4 }).map((units) => String.fromCharCode(...units)),
  fc.constantFrom('', 'both', 'left', 'hips-low', 'stroke-rate', 'constructor', '\ud800', 'a'.repeat(5000)),
);
const number = fc.oneof(
  fc.integer({ min: -1, max: 200 }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -0, 1e308, 5e-324, 2 ** 53),
);
const { json } = fc.letrec<{ json: unknown }>((tie) => ({
  json: fc.oneof(
    { maxDepth: 5, depthSize: 'small' },
    text,
    number,
    fc.constantFrom(null, true, false),
    fc.array(tie('json'), { maxLength: 4 }),
    fc.dictionary(text, tie('json'), { maxKeys: 4 }),
  ),
}));

function pathsOf(value: unknown, path: Path = []): Path[] {
  if (value === null || typeof value !== 'object') return [path];
  const entries: [string | number, unknown][] = Array.isArray(value)
    ? [...value.entries()]
    : Object.entries(value);
  return [path, ...entries.flatMap(([key, v]) => pathsOf(v, [...path, key]))];
}

interface Change {
  readonly at: number;
  readonly how: 'replace' | 'retype' | 'remove' | 'add' | 'repeat';
  readonly name: string;
  readonly size: number;
  readonly value: unknown;
}
const change: fc.Arbitrary<Change> = fc.record({
  at: fc.nat(),
  how: fc.constantFrom('replace', 'retype', 'retype', 'remove', 'add', 'repeat'),
  name: text,
  size: number,
  value: json,
});

/** The value with one place replaced (by the same type or any), removed, extended by a new entry, or repeated. */
function changed(value: unknown, { at, how, name, size, value: given }: Change): unknown {
  const copy = structuredClone({ root: value });
  const paths = pathsOf(copy).slice(1);
  const path = paths[at % paths.length] as Path;
  const parent = path.slice(0, -1).reduce((v, key) => (v as never)[key], copy as unknown) as never;
  const key = path.at(-1) as never;
  const here: unknown = parent[key];
  const define = (target: object, field: PropertyKey, v: unknown): void => {
    Object.defineProperty(target, field, { value: v, enumerable: true, configurable: true, writable: true });
  };
  const alike = typeof here === 'string' ? name : typeof here === 'number' ? size : given;
  if (how === 'replace') define(parent, key, given);
  else if (how === 'retype') define(parent, key, alike);
  else if (how === 'remove' && Array.isArray(parent)) (parent as unknown[]).splice(key, 1);
  else if (how === 'remove' && path.length > 1) Reflect.deleteProperty(parent, key);
  else if (how === 'repeat' && Array.isArray(parent)) (parent as unknown[]).push(structuredClone(here));
  else if (Array.isArray(here)) here.push(given);
  else if (here !== null && typeof here === 'object') define(here, name, given);
  return copy.root;
}

/** RFC 6901: a pointer leads to a place in the body, or to a missing field of one. */
function pointsInto(pointer: string, body: unknown): boolean {
  if (pointer === '') return true;
  const path = pointer.split('/').map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'));
  if (path.shift() !== '') return false;
  path.pop();
  const parent = path.reduce<unknown>(
    (v, key) => (v !== null && typeof v === 'object' && Object.hasOwn(v, key) ? v[key as never] : undefined),
    body,
  );
  return parent !== null && typeof parent === 'object';
}

function checkReply(reply: Reply, sent: string): void {
  const what = `${reply.statusCode} for ${sent.slice(0, 2000)}`;
  expect([200, 400], what).toContain(reply.statusCode);
  if (reply.statusCode === 200) {
    expect(reply.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(AssessmentAnswer.safeParse(reply.json()).error, what).toBeUndefined();
    return;
  }
  // JSON.parse of a __proto__ key is refused before there is a body to point into
  if (reply.json<Problem>().type === '/problems/malformed-json') {
    problemOf(reply, 400, 'malformed-json');
    expect(sent).toMatch(/"__proto__"|"constructor"/);
    return;
  }
  const { errors = [] } = problemOf(reply, 400, 'invalid-request');
  expect(errors.length, what).toBeGreaterThan(0);
  const body: unknown = JSON.parse(sent);
  const astray = errors.filter((e) => !pointsInto(e.pointer, body));
  expect(astray, what).toEqual([]);
  expect(new Set(errors.map((e) => `${e.pointer} ${e.code} ${e.message}`)).size).toBe(errors.length);
}

/** @returns the status. */
async function check(value: unknown): Promise<number> {
  const sent = JSON.stringify(value);
  const first = await app.send(sent);
  checkReply(first, sent);
  const again = await app.send(sent);
  const withoutId = (reply: Reply) =>
    reply.statusCode === 200 ? reply.body : reply.body.replace(/"requestId":"[^"]*",?/, '');
  expect(withoutId(again)).toBe(withoutId(first));
  return first.statusCode;
}

/** Free texts have no form to fall back on: they must stand whatever is written in them. */
const TEXTS = {
  swimmer: { level: 'novice', ref: 'a' },
  metadata: { a: 'b' },
  recording: { clips: [{ id: 'c', view: 'rear' }] },
  observations: [{ code: 'hips-low', severity: 1, clip: 'c', observer: 'd', note: 'e' }],
  measurements: [{ code: 'stroke-rate', value: 30, observer: 'f', derivation: { g: 'h', i: ['j'] } }],
  coach: { remarks: 'k', rejectDrills: [{ code: 'bubble-bob', because: 'l' }] },
  // next looks assess the record again dozens of times
  options: { nextLooks: 0 },
};

describe('random bodies', () => {
  test('any JSON', async () => {
    await fc.assert(
      fc.asyncProperty(json, async (value) => {
        await check(value);
      }),
      { numRuns: 500, seed: 31 },
    );
  });

  test.each([
    ['the example', example, 1, 60, 32],
    ['the example in several places', { ...example, options: { nextLooks: 0 } }, 5, 300, 33],
    ['a worked case', { ...worked, options: { nextLooks: 0 } }, 3, 300, 34],
    ['free texts', TEXTS, 2, 400, 35],
  ])('%s with changes', async (_, valid, most, numRuns, seed) => {
    const statuses = new Set<number>();
    await fc.assert(
      fc.asyncProperty(fc.array(change, { minLength: 1, maxLength: most }), async (changes) => {
        statuses.add(await check(changes.reduce(changed, valid as unknown)));
      }),
      { numRuns, seed },
    );
    // the changes are worth something only if some are accepted and some refused
    expect(statuses).toEqual(new Set([200, 400]));
  });
});
