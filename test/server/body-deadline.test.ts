/** A body that does not arrive in time is answered and its connection closed; a batch may take as long as it moves. */
import { once } from 'node:events';
import { type AddressInfo, connect } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { afterEach, describe, expect, test } from 'vitest';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';
import { ASSESS } from './app.ts';
import { BATCH } from './batch/batches.ts';

let app: FastifyInstance | undefined;
afterEach(async () => {
  await app?.close();
});

/** Sends the head of a request and `sent` of its body. @returns everything that comes back until the end. */
async function half(path: string, type: string, sent: string, more?: Promise<string>): Promise<string> {
  app = await createApp({ ...QUIET, BODY_TIMEOUT_MS: 200 });
  await app.listen({ port: 0, host: '127.0.0.1' });
  const socket = connect((app.server.address() as AddressInfo).port, '127.0.0.1').setEncoding('utf8');
  let text = '';
  socket.on('data', (chunk) => {
    text += chunk;
  });
  const head = `POST ${path} HTTP/1.1\r\nHost: a\r\nContent-Type: ${type}\r\nConnection: close\r\n`;
  socket.write(`${head}Transfer-Encoding: chunked\r\n\r\n${sent.length.toString(16)}\r\n${sent}\r\n`);
  void more?.then((rest) => socket.write(`${rest.length.toString(16)}\r\n${rest}\r\n0\r\n\r\n`));
  await once(socket, 'close');
  return text;
}

describe('a body that stops', () => {
  test('is told so and closed', async () => {
    const text = await half(ASSESS, 'application/json', '{"swimmer":');
    expect(text).toMatch(/^HTTP\/1\.1 408 /);
    expect(JSON.parse(text.slice(text.indexOf('\r\n\r\n'))).type).toBe('/problems/timed-out');
  });

  test('of a batch is waited for, longer than for a record', async () => {
    const later = new Promise<string>((resolve) =>
      setTimeout(() => resolve('"swimmer":{"level":"novice"}}}\n'), 600),
    );
    const text = await half(BATCH, 'application/x-ndjson', '{"id":"a","request":{', later);
    expect(text).toMatch(/^HTTP\/1\.1 200 /);
    expect(text).toContain('{"id":"a","answer":{');
  });
});
