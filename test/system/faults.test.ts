/** What goes wrong around a service: killed, told to end, slow and half-closed clients, a log that is full, spoilt rules. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cp, mkdtemp, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import http from 'node:http';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { itemLine, QUICK } from '../server/batch/batches.ts';
import { startProcess } from '../server/process.ts';
import { sendUntilAnswered, type Tally } from './resend.ts';

const ASSESS = '/v1/assessments';
const BODY = JSON.stringify(QUICK);
const WORKERS = { WORKERS: '1' };

const post = (url: string): Promise<number> =>
  fetch(`${url}${ASSESS}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: BODY,
  }).then(async (reply) => {
    await reply.arrayBuffer();
    return reply.status;
  });

test('killed in the middle of a batch: a second send to another instance leaves no id without its answer', async () => {
  const [first, second] = await Promise.all([startProcess(WORKERS), startProcess(WORKERS)]);
  const ids = Array.from({ length: 2000 }, (_, i) => `i${i}`);
  const lines = new Map(ids.map((id) => [id, itemLine(id, QUICK)]));
  let url = first.url;
  const tally: Tally = await sendUntilAnswered(
    () => `${url}/v1/assessments/batch`,
    lines,
    async (answered) => {
      if (answered < 200 || url === second.url) return;
      url = second.url;
      await first.kill();
    },
  );
  expect([...tally.answers.keys()].sort()).toEqual([...ids].sort());
  expect({ sends: tally.sends, twice: tally.twice }).toEqual({ sends: 2, twice: 0 });
  const { answer } = JSON.parse(tally.answers.get('i0') as string);
  for (const [id, line] of tally.answers) expect(JSON.parse(line)).toEqual({ id, answer });
  await second.stop();
});

test('told to end under load: what it took in is answered, and it ends by itself', async () => {
  const service = await startProcess(WORKERS);
  const agent = new http.Agent({ keepAlive: true, maxSockets: 20 });
  const outcomes: string[] = [];
  let ending = false;
  async function client(): Promise<void> {
    while (!ending || outcomes.length === 0) {
      const sent = http.request(`${service.url}${ASSESS}`, {
        method: 'POST',
        agent,
        headers: { 'content-type': 'application/json', 'content-length': BODY.length },
      });
      // the head says that the service has the request; an error before that means that it never took it
      let taken = false;
      const done = new Promise<string>((resolve) => {
        sent.on('response', (reply) => {
          taken = true;
          let length = 0;
          reply.on('data', (chunk: Buffer) => {
            length += chunk.length;
          });
          reply.on('end', () => resolve(reply.complete && length > 1000 ? String(reply.statusCode) : 'cut'));
          reply.on('error', () => resolve('cut'));
        });
        sent.on('error', () => resolve(taken ? 'cut' : 'not taken'));
      });
      sent.end(BODY);
      outcomes.push(await done);
    }
  }
  const clients = Array.from({ length: 20 }, client);
  while (outcomes.length < 200) await setTimeout(5);
  const ended = service.stop();
  ending = true;
  await Promise.all(clients);
  expect(await ended).toBe(0);
  agent.destroy();
  const counted = Object.groupBy(outcomes, (o) => o);
  console.log(
    `told to end: ${Object.entries(counted)
      .map(([o, all]) => `${all?.length} x ${o}`)
      .join(', ')}`,
  );
  expect(Object.keys(counted).filter((o) => o !== '200' && o !== 'not taken')).toEqual([]);
  expect(counted['200']?.length).toBeGreaterThanOrEqual(200);
  // at most one a connection: a request that met a closing socket
  expect(counted['not taken']?.length ?? 0).toBeLessThanOrEqual(20);
});

const open = async (url: string, halfOpen = false): Promise<Socket> => {
  const socket = connect({ host: '127.0.0.1', port: Number(new URL(url).port), allowHalfOpen: halfOpen });
  await once(socket, 'connect');
  return socket;
};
const head = (more = ''): string =>
  `POST ${ASSESS} HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: ${BODY.length}\r\n${more}\r\n`;
async function everything(socket: Socket): Promise<string> {
  let text = '';
  for await (const chunk of socket.setEncoding('utf8')) text += chunk;
  return text;
}

test('200 clients that send a byte and wait, and 50 that go away: others are answered meanwhile', async () => {
  const service = await startProcess({ ...WORKERS, BODY_TIMEOUT_MS: '3000' });
  const slow = await Promise.all(Array.from({ length: 200 }, () => open(service.url)));
  const replies = slow.map(everything);
  for (const socket of slow) socket.write(head() + BODY[0]);
  const gone = await Promise.all(Array.from({ length: 50 }, () => open(service.url)));
  for (const socket of gone) socket.write(head() + BODY.slice(0, 20));
  for (const socket of gone) socket.destroy();
  const statuses = await Promise.all(Array.from({ length: 100 }, () => post(service.url)));
  expect(new Set(statuses)).toEqual(new Set([200]));
  // each of them is told, and its connection closed
  const told = await Promise.all(replies);
  expect(told.filter((text) => text.startsWith('HTTP/1.1 408')).length).toBe(200);
  expect(await post(service.url)).toBe(200);
  await service.stop();
});

test('half-closed: a client that has sent everything and closes its side is answered', async () => {
  const service = await startProcess(WORKERS);
  const answers = await Promise.all(
    Array.from({ length: 50 }, async () => {
      const socket = await open(service.url, true);
      const reply = everything(socket);
      socket.end(head('Connection: close\r\n') + BODY);
      return reply;
    }),
  );
  expect(answers.filter((text) => text.startsWith('HTTP/1.1 200')).length).toBe(50);
  // one that closes before it has sent everything is no request, and costs nobody anything
  const broken = await open(service.url, true);
  const reply = everything(broken);
  broken.end(head('Connection: close\r\n') + BODY.slice(0, 10));
  expect(await reply).not.toMatch(/^HTTP\/1\.1 (200|5)/);
  expect(await post(service.url)).toBe(200);
  await service.stop();
});

test('a slow reader holds up nobody, and gets all of its answer', async () => {
  const service = await startProcess(WORKERS);
  const socket = await open(service.url);
  socket.pause();
  // more answers than the buffers between the two hold
  socket.write((head() + BODY).repeat(100));
  const statuses = await Promise.all(Array.from({ length: 100 }, () => post(service.url)));
  expect(new Set(statuses)).toEqual(new Set([200]));
  let text = '';
  let answers = 0;
  socket.setEncoding('latin1');
  for await (const chunk of socket) {
    text = (text + chunk).slice(-200_000);
    answers += String(chunk).split('HTTP/1.1 200').length - 1;
    if (answers >= 99) break;
  }
  // a head may lie across two chunks
  expect(answers).toBeGreaterThanOrEqual(99);
  socket.destroy();
  await service.stop();
});

test('a log that cannot be written costs no answer', async () => {
  const port = 20_000 + (process.pid % 20_000);
  const main = fileURLToPath(new URL('../../src/main.ts', import.meta.url));
  const child = spawn('/bin/sh', ['-c', `exec "${process.execPath}" "${main}" > /dev/full`], {
    env: { PORT: String(port), LOG_LEVEL: 'info', ...WORKERS },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const url = `http://127.0.0.1:${port}`;
  const closed = once(child, 'close');
  for (let ready = false; !ready; await setTimeout(100))
    ready = await fetch(`${url}/readyz`).then(
      (reply) => reply.ok,
      () => child.exitCode !== null,
    );
  expect(child.exitCode).toBe(null);
  const statuses = await Promise.all(Array.from({ length: 500 }, () => post(url)));
  expect(statuses.filter((s) => s === 200).length + statuses.filter((s) => s === 503).length).toBe(500);
  expect(statuses.filter((s) => s === 200).length).toBeGreaterThan(200);
  child.kill('SIGTERM');
  expect((await closed)[0]).toBe(0);
});

test('spoilt rules: it does not start, and says which file and where', async () => {
  const root = await mkdtemp(join(tmpdir(), 'spoilt-'));
  const own = fileURLToPath(new URL('../../', import.meta.url));
  for (const part of ['src', 'rules', 'openapi', 'package.json'])
    await cp(join(own, part), join(root, part), { recursive: true });
  await symlink(join(own, 'node_modules'), join(root, 'node_modules'));
  const causes = join(root, 'rules/front-crawl/1.0.0/causes.json');
  const text = await readFile(causes, 'utf8');
  const faults: [string, string, RegExp][] = [
    ['cut short', text.slice(0, 5000), /causes\.json/],
    ['with another type', text.replace('"role": "root"', '"role": 7'), /causes\.json.*role/s],
    ['with bytes that are no text', `\u0000${text}`, /causes\.json/],
  ];
  for (const [name, content, told] of faults) {
    await writeFile(causes, content);
    const child = spawn(process.execPath, [join(root, 'src/main.ts')], {
      env: { PORT: '0' },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let printed = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (chunk: string) => {
        printed += chunk;
      });
    const [code] = await once(child, 'close');
    expect(code, name).toBe(1);
    expect(printed, name).toMatch(told);
    expect(printed, name).not.toContain('    at ');
  }
  await rm(root, { recursive: true });
});
