/**
 * A batch is read no faster than it is worked on, and worked on no faster than the client reads. What is held is
 * counted in bytes, never in time. The system keeps some megabytes for every connection, whatever the service does.
 */
import { once } from 'node:events';
import type { ClientRequest, IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';
import { setImmediate } from 'node:timers/promises';
import type { FastifyInstance } from 'fastify';
import { afterEach, describe, expect, test } from 'vitest';
import { appWith, beginBatch, itemLine, poolOf } from './batches.ts';

const MIB = 1024 * 1024;
/** Send and receive buffer of a loopback connection, and those of the two streams. */
const SYSTEM_BYTES = 16 * MIB;
const LINES = 10_000;

let app: FastifyInstance | undefined;
afterEach(async () => {
  await app?.close();
  app = undefined;
});

/** Writes lines as fast as the connection takes them. */
async function sendAll(batch: ClientRequest, count: number, record: unknown): Promise<void> {
  for (let i = 0; i < count; i++) {
    if (!batch.write(itemLine(`n${i}`, record))) await once(batch, 'drain');
  }
  batch.end();
}

async function readAll(response: IncomingMessage, each: (read: number) => void): Promise<string[]> {
  const ids: string[] = [];
  let rest = '';
  let read = 0;
  response.setEncoding('latin1');
  for await (const chunk of response) {
    read += (chunk as string).length;
    each(read);
    const lines = (rest + chunk).split('\n');
    rest = lines.pop() as string;
    for (const line of lines) ids.push(line.slice(0, line.indexOf(' ')));
  }
  return ids;
}

describe('a streamed batch of 10,000 lines', () => {
  test('with a slow reader: answers of 600 MB, of which only what is in flight is ever made', async () => {
    const size = 60_000;
    let made = 0;
    const pool = poolOf(2, async ({ item }) => {
      made += size;
      const { id } = item as { id: string };
      return new TextEncoder().encode(`${id} ${'.'.repeat(size - id.length - 2)}\n`);
    });
    app = await appWith(pool);
    const { request, response } = await beginBatch(app);
    const sent = sendAll(request, LINES, {});
    const answer = await response;
    let held = 0;
    const memory = process.memoryUsage().arrayBuffers;
    let grown = 0;
    const ids = await readAll(answer, (read) => {
      held = Math.max(held, made - read);
      grown = Math.max(grown, process.memoryUsage().arrayBuffers - memory);
    });
    await sent;
    expect(made).toBe(LINES * size);
    expect(ids).toEqual(Array.from({ length: LINES }, (_, i) => `n${i}`));
    // eight lines in flight, and what lies in the buffers of the connection
    expect(held).toBeLessThan(8 * size + SYSTEM_BYTES);
    // what is no longer used is collected when the engine likes, so this bound is a wide one
    expect(grown).toBeLessThan(300 * MIB);
  });

  test('with slow work: 40 MB of lines, of which only what is in flight is ever read', async () => {
    const note = 'x'.repeat(4000);
    const waiting: (() => void)[] = [];
    let begun = 0;
    const pool = poolOf(2, async ({ item }) => {
      begun++;
      await new Promise<void>((resolve) => waiting.push(resolve));
      return new TextEncoder().encode(`${(item as { id: string }).id} \n`);
    });
    app = await appWith(pool);
    const { request, response } = await beginBatch(app);
    const sent = sendAll(request, LINES, { note });
    const reading = readAll(await response, () => undefined);
    let held = 0;
    const line = itemLine('n0000', { note }).length;
    for (let done = 0; done < LINES; ) {
      await setImmediate();
      const bytes = request.socket?.bytesWritten ?? 0;
      held = Math.max(held, bytes - begun * line);
      for (const finish of waiting.splice(0)) {
        finish();
        done++;
      }
    }
    await sent;
    expect(await reading).toHaveLength(LINES);
    expect(held).toBeGreaterThan(0);
    expect(held).toBeLessThan(8 * line + SYSTEM_BYTES);
  });
});

describe('when the client goes', () => {
  test('nothing more is begun than what was in flight', async () => {
    let begun = 0;
    const waiting: (() => void)[] = [];
    const pool = poolOf(2, async ({ item }) => {
      begun++;
      if (begun > 20) await new Promise<void>((resolve) => waiting.push(resolve));
      return new TextEncoder().encode(`${(item as { id: string }).id} \n`);
    });
    app = await appWith(pool);
    const connected = once(app.server, 'connection') as Promise<[Socket]>;
    const { request, response } = await beginBatch(app);
    const [socket] = await connected;
    const sent = sendAll(request, LINES, {}).catch(() => undefined);
    const answer = await response;
    answer.on('error', () => undefined).resume();
    while (begun < 28) await setImmediate();
    const closed = once(socket, 'close');
    request.destroy(new Error('gone'));
    await Promise.all([sent, closed]);
    for (let turn = 0; turn < 100; turn++) {
      for (const finish of waiting.splice(0)) finish();
      await setImmediate();
    }
    // 20 were answered, 8 were in flight
    expect(begun).toBe(28);
  });
});
