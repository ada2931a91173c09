/** Batches over real sockets: sending in pieces, reading when the test wants to. */
import { once } from 'node:events';
import http from 'node:http';
import type { AddressInfo } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { createCatalogue } from '../../../src/knowledge/catalogue.ts';
import { loadAll } from '../../../src/knowledge/load.ts';
import { buildApp } from '../../../src/server/app.ts';
import type { Settings } from '../../../src/server/config.ts';
import type { ItemTask } from '../../../src/server/tasks/item.ts';
import type { Task } from '../../../src/server/tasks/tasks.ts';
import type { Pool } from '../../../src/server/work/pool.ts';
import { QUIET } from '../../settings.ts';

export const BATCH = '/v1/assessments/batch';
export const NDJSON = { 'content-type': 'application/x-ndjson' };
export const RULES = new URL('../../../rules', import.meta.url).pathname;

/** A record that is assessed in a moment. */
export const QUICK = { swimmer: { level: 'novice' }, options: { nextLooks: 0 } };
export const itemLine = (id: string, request: unknown = QUICK): string =>
  `${JSON.stringify({ id, request })}\n`;

export interface OutLine {
  readonly id?: string;
  readonly line?: number;
  readonly answer?: { readonly [key: string]: unknown };
  readonly problem?: {
    readonly type: string;
    readonly status: number;
    readonly errors?: { pointer: string; code: string }[];
  };
}
/** The lines of an answer; the last one must be complete. */
export function linesOf(text: string): OutLine[] {
  const lines = text.split('\n');
  if (lines.pop() !== '') throw new Error('the last line has no end');
  return lines.map((line) => JSON.parse(line));
}

export async function appWith(pool: Pool, settings: Partial<Settings> = {}): Promise<FastifyInstance> {
  const catalogue = createCatalogue(await loadAll(RULES));
  return buildApp({
    settings: { ...QUIET, ...settings },
    catalogue,
    pool,
    keys: [],
    examples: {},
    selfTests: [],
    version: '0.0.0',
  });
}

/** A pool that answers items with `work`, which says nothing of swimming. */
export function poolOf(places: number, work: (task: ItemTask) => Promise<Uint8Array<ArrayBuffer>>): Pool {
  return {
    places,
    run: async (task: Task) => ({ bytes: await work(task as ItemTask) }),
    ready: async () => undefined,
    close: async () => undefined,
  };
}

export interface Sending {
  readonly request: http.ClientRequest;
  /** Resolves with the head of the answer. */
  readonly response: Promise<http.IncomingMessage>;
}

/** Begins a batch in chunks; the test writes it and reads the answer itself. */
export async function beginBatch(app: FastifyInstance, query = ''): Promise<Sending> {
  if (!app.server.listening) await app.listen({ port: 0, host: '127.0.0.1' });
  const { port } = app.server.address() as AddressInfo;
  const request = http.request({
    port,
    host: '127.0.0.1',
    method: 'POST',
    path: BATCH + query,
    headers: NDJSON,
  });
  request.flushHeaders();
  const response = once(request, 'response').then(([message]) => message as http.IncomingMessage);
  response.catch(() => undefined);
  return { request, response };
}
