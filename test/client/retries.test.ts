/** The client against servers that fail on purpose. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import { createClient, ProblemResponse } from '../../src/client/index.ts';

type Handler = (request: IncomingMessage, response: ServerResponse, call: number) => void;
let server: Server | undefined;
afterEach(() => {
  server?.closeAllConnections();
  server?.close();
});

async function serve(handler: Handler): Promise<string> {
  let calls = 0;
  server = createServer((request, response) => {
    // broken on purpose
    request.on('error', () => undefined);
    handler(request, response, ++calls);
  });
  await new Promise<void>((done) => server?.listen(0, '127.0.0.1', done));
  return `http://127.0.0.1:${((server as Server).address() as AddressInfo).port}`;
}
const record = { swimmer: { level: 'novice' as const } };
const busy = { type: '/problems/overloaded', title: 'Busy', status: 503 };

function sendProblem(response: ServerResponse, body: { type: string; title: string; status: number }): void {
  response.writeHead(body.status, { 'content-type': 'application/problem+json', 'retry-after': '0' });
  response.end(JSON.stringify(body));
}

describe('one call', () => {
  test('is sent again while the service is busy, and gets its answer', async () => {
    const url = await serve((_request, response, call) => {
      if (call < 3) sendProblem(response, busy);
      else response.writeHead(200, { 'content-type': 'application/json' }).end('{"status":"ok"}');
    });
    const client = createClient({ baseUrl: url });
    expect(await client.assess(record)).toEqual({ status: 'ok' });
    await client.close();
  });

  test('ends with the problem when the service stays busy', async () => {
    let calls = 0;
    const url = await serve((_request, response) => {
      calls++;
      sendProblem(response, busy);
    });
    const client = createClient({ baseUrl: url, retries: 2 });
    await expect(client.assess(record)).rejects.toMatchObject({ slug: 'overloaded', status: 503 });
    expect(calls).toBe(3);
    await client.close();
  });

  test('is not sent again when the request is wrong', async () => {
    let calls = 0;
    const url = await serve((_request, response) => {
      calls++;
      sendProblem(response, { type: '/problems/invalid-request', title: 'No', status: 400 });
    });
    const client = createClient({ baseUrl: url });
    await expect(client.assess(record)).rejects.toBeInstanceOf(ProblemResponse);
    expect(calls).toBe(1);
    await client.close();
  });

  test('ends when its time is up', async () => {
    const url = await serve(() => undefined);
    const client = createClient({ baseUrl: url, timeout: 50 });
    await expect(client.assess(record)).rejects.toMatchObject({ name: 'TimeoutError' });
    await client.close();
  });

  test('sends the key, and a page of a proxy becomes an error', async () => {
    let key: string | undefined;
    const url = await serve((request, response) => {
      key = request.headers.authorization;
      response.writeHead(502, { 'content-type': 'text/html' }).end('<h1>Bad gateway</h1>');
    });
    const client = createClient({ baseUrl: url, key: 'secret', retries: 0 });
    await expect(client.assess(record)).rejects.toMatchObject({ status: 502 });
    expect(key).toBe('Bearer secret');
    await client.close();
  });
});

describe('a batch', () => {
  const items = Array.from({ length: 50 }, (_, i) => ({ id: `S-${i}`, request: record }));

  /** Answers so many lines of each connection, then breaks it off. */
  const breaksAfter =
    (most: number, seen: string[]): Handler =>
    (request, response) => {
      response.writeHead(200, { 'content-type': 'application/x-ndjson' });
      let rest = '';
      let answered = 0;
      request.setEncoding('utf8');
      request.on('data', (text: string) => {
        const lines = (rest + text).split('\n');
        rest = lines.pop() as string;
        for (const line of lines.slice(0, most - answered)) {
          const { id } = JSON.parse(line) as { id: string };
          seen.push(id);
          answered++;
          response.write(`${JSON.stringify({ id, answer: { status: 'ok' } })}\n`);
        }
        // what was written must leave before the connection breaks
        if (answered === most) response.write('', () => request.socket.destroy());
      });
      request.on('end', () => response.end());
    };

  test('over a connection that breaks again and again: each id is answered exactly once, in order', async () => {
    const seen: string[] = [];
    const url = await serve(breaksAfter(7, seen));
    const client = createClient({ baseUrl: url });
    const ids: (string | undefined)[] = [];
    for await (const line of client.assessMany(items)) ids.push(line.id);
    expect(ids).toEqual(items.map((i) => i.id));
    await client.close();
  });

  test('gives up when nothing is answered any more', async () => {
    const url = await serve((request) => void request.socket.destroy());
    const client = createClient({ baseUrl: url, retries: 1 });
    await expect(client.assessMany(items).next()).rejects.toThrow();
    await client.close();
  });

  test('refuses an id that waits for its answer already', async () => {
    const url = await serve(breaksAfter(1000, []));
    const client = createClient({ baseUrl: url });
    const twice = [items[0], items[0]] as typeof items;
    const take = async (): Promise<void> => {
      for await (const _ of client.assessMany(twice));
    };
    await expect(take()).rejects.toThrow('stands twice');
    await client.close();
  });

  test('ends at once when it is aborted', async () => {
    const url = await serve(() => undefined);
    const client = createClient({ baseUrl: url });
    const stop = new AbortController();
    const next = client.assessMany(items, { signal: stop.signal }).next();
    stop.abort(new Error('enough'));
    await expect(next).rejects.toThrow('enough');
    await client.close();
  });
});
