/** One app for a test file, asked without a socket, and what every problem answer must look like. */
import { readFile } from 'node:fs/promises';
import type { InjectOptions, LightMyRequestResponse } from 'fastify';
import { afterAll, beforeAll, expect } from 'vitest';
import type { Problem } from '../../src/contract/problem.ts';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';

type App = Awaited<ReturnType<typeof createApp>>;
export type Reply = LightMyRequestResponse;

export const ASSESS = '/v1/assessments';
export const VERSION = '/v1/rule-sets/front-crawl/1.0.0';
export const MINIMAL = { swimmer: { level: 'novice' } };

export interface SharedApp {
  ask(request: InjectOptions | string): Promise<Reply>;
  /** Sends a value as JSON. */
  assess(body: unknown): Promise<Reply>;
  /** Sends a text as it stands; the content type can be another one, or null for none. */
  send(text: string, contentType?: string | null): Promise<Reply>;
}

/** Starts an app before the tests of the calling file and closes it after them. */
export function sharedApp(): SharedApp {
  let app: App | undefined;
  beforeAll(async () => {
    app = await createApp(QUIET);
  });
  afterAll(async () => {
    await app?.close();
  });
  const ask = async (request: InjectOptions | string): Promise<Reply> => (app as App).inject(request);
  const send = async (text: string, contentType: string | null = 'application/json'): Promise<Reply> =>
    ask({
      method: 'POST',
      url: ASSESS,
      payload: text,
      headers: contentType === null ? {} : { 'content-type': contentType },
    });
  return { ask, send, assess: async (body) => send(JSON.stringify(body)) };
}

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const FIELDS = ['type', 'title', 'status', 'detail', 'requestId', 'errors'];

/** Checks that a reply is a problem of this kind, in the form of RFC 9457 section 3. */
export function problemOf(reply: Reply, status: number, slug: string): Problem {
  const body = reply.json<Problem>();
  expect({ status: reply.statusCode, type: body.type, told: body.status }).toEqual({
    status,
    type: `/problems/${slug}`,
    told: status,
  });
  expect(reply.headers['content-type']).toBe('application/problem+json');
  expect(reply.headers['cache-control']).toBe('no-store');
  expect(body.title).toMatch(/\w{3}/);
  expect(body.requestId).toMatch(UUID);
  expect(Object.keys(body).filter((field) => !FIELDS.includes(field))).toEqual([]);
  return body;
}

/** Checks for an `invalid-request` and returns its errors as `pointer code`, in order of the pointers. */
export function mistakesOf(reply: Reply): string[] {
  const { errors = [] } = problemOf(reply, 400, 'invalid-request');
  return errors.map((e) => `${e.pointer} ${e.code}`).sort();
}

export async function exampleRequest(): Promise<{ [key: string]: unknown }> {
  const file = new URL('../../openapi/examples/assess/01-high-head.json', import.meta.url);
  return JSON.parse(await readFile(file, 'utf8')).request;
}

export async function workedRequests(): Promise<{ [key: string]: unknown }[]> {
  const file = new URL('../../rules/front-crawl/1.0.0/cases/worked-cases.json', import.meta.url);
  const cases = JSON.parse(await readFile(file, 'utf8')) as { request: { [key: string]: unknown } }[];
  return cases.map((c) => c.request);
}
