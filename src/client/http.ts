/** One call over HTTP: address, key, time limit, retries, and a failure as a typed problem. */
import { Readable } from 'node:stream';
import { Agent, type Dispatcher, interceptors, request } from 'undici';
import type { CallOptions, ClientOptions } from './options.ts';
import { problemOf } from './problem.ts';

export interface Call extends CallOptions {
  readonly method: 'GET' | 'POST';
  readonly path: string;
  readonly body?: unknown;
  readonly accept?: string;
}

export interface Http {
  /** @returns the answer as text. @throws ProblemResponse, or undici's error when there was no answer. */
  readonly text: (call: Call) => Promise<string>;
  /** A stream up and a stream down, sent once: only the caller knows what to send again. */
  readonly stream: (
    call: CallOptions & {
      readonly path: string;
      readonly body: AsyncIterable<Uint8Array>;
      readonly type: string;
    },
  ) => Promise<Dispatcher.ResponseData['body']>;
  readonly close: () => Promise<void>;
}

const FIRST_WAIT = 200;
const LONGEST_WAIT = 30_000;

export function createHttp({ baseUrl, key, timeout = 60_000, retries = 3 }: ClientOptions): Http {
  const base = baseUrl.replace(/\/+$/, '');
  const headers = key === undefined ? {} : { authorization: `Bearer ${key}` };
  const agent = new Agent();
  const patient = agent.compose(
    interceptors.retry({
      maxRetries: retries,
      methods: ['GET', 'POST'],
      statusCodes: [429, 503],
      minTimeout: FIRST_WAIT,
      maxTimeout: LONGEST_WAIT,
      throwOnError: false,
    }),
  );

  const limited = (signal: AbortSignal | undefined): AbortSignal =>
    AbortSignal.any([AbortSignal.timeout(timeout), ...(signal === undefined ? [] : [signal])]);

  async function checked(response: Dispatcher.ResponseData): Promise<Dispatcher.ResponseData> {
    if (response.statusCode < 400) return response;
    const type = String(response.headers['content-type'] ?? '');
    const wait = Number(response.headers['retry-after']);
    throw problemOf(
      response.statusCode,
      type,
      await response.body.text(),
      Number.isFinite(wait) ? wait : undefined,
    );
  }

  return {
    async text({ method, path, body, accept = 'application/json', signal }) {
      const response = await checked(
        await request(base + path, {
          method,
          dispatcher: patient,
          signal: limited(signal),
          headers: {
            ...headers,
            accept,
            ...(body === undefined ? {} : { 'content-type': 'application/json' }),
          },
          ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        }),
      );
      return response.body.text();
    },
    async stream({ path, body, type, signal }) {
      const response = await checked(
        await request(base + path, {
          method: 'POST',
          dispatcher: agent,
          headers: { ...headers, 'content-type': type },
          body: Readable.from(body, { objectMode: false }),
          // a long batch is fine as long as something moves
          headersTimeout: timeout,
          bodyTimeout: timeout,
          ...(signal === undefined ? {} : { signal }),
        }),
      );
      return response.body;
    },
    close: () => agent.close(),
  };
}
