/**
 * 20,000 requests over real HTTP, made from the contract that is served: right, changed and hostile ones. Never a 5xx, never
 * a hang, every answer as the contract says, and memory returns to its level.
 */
import { readFile } from 'node:fs/promises';
import { Pool } from 'undici';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Running, startProcess } from '../../server/process.ts';
import { chanceOf } from './chance.ts';
import { type Contract, type Json, readContract } from './contract.ts';
import { type Request, requestOf } from './requests.ts';

const REQUESTS = 20_000;
const WARM_UP = 5000;
const SEED = 20_261_125;
const AT_ONCE = 8;
const LONGEST_MS = 30_000;
/** Memory after all requests, against that after the first quarter. */
const GROWTH = 1.25;

let service: Running;
let http: Pool;
let contract: Contract;
beforeAll(async () => {
  service = await startProcess({ WORKERS: '1', LOG_LEVEL: 'info', BATCH_LIMIT: '16' });
  http = new Pool(service.url, { connections: AT_ONCE, headersTimeout: LONGEST_MS, bodyTimeout: LONGEST_MS });
  contract = readContract((await (await fetch(`${service.url}/openapi.json`)).json()) as Json);
});
afterAll(async () => {
  await http.close();
  await service.stop();
});

async function memory(): Promise<number> {
  const [, kibibytes] = /VmRSS:\s*(\d+) kB/.exec(await readFile(`/proc/${service.pid}/status`, 'utf8')) ?? [];
  return Number(kibibytes) / 1024;
}

/** An address or a method that the contract does not have. */
function strayFaults(status: number, type: string, body: string, method: string): string[] {
  if ([200, 204, 302, 304].includes(status)) return [];
  if (status >= 500) return [`${status} for an address that is none`];
  if (method === 'HEAD') return [];
  const problem = JSON.parse(body) as { type?: string; status?: number };
  const right = type.startsWith('application/problem+json') && problem.status === status;
  return right ? [] : [`${status} without a problem`];
}

async function judge(request: Request): Promise<{ key: string; faults: string[] }> {
  const { operation, method, path, headers, body } = request;
  const reply = await http.request({ method: method as 'GET', path, headers, body: body ?? null });
  const text = await reply.body.text();
  const type = String(reply.headers['content-type'] ?? '');
  const faults =
    operation === undefined
      ? strayFaults(reply.statusCode, type, text, method)
      : contract.faultsOf(operation, reply.statusCode, type, text);
  if (reply.statusCode >= 500) faults.push(`a ${reply.statusCode}: ${text.slice(0, 300)}`);
  return { key: `${operation?.id ?? 'no operation'} ${reply.statusCode}`, faults };
}

test(`${REQUESTS} requests from the contract`, { timeout: 600_000 }, async () => {
  const chance = chanceOf(SEED);
  const counts = new Map<string, number>();
  const faults: string[] = [];
  let sent = 0;
  let level = 0;
  async function client(): Promise<void> {
    while (sent < REQUESTS) {
      const number = sent++;
      if (number === WARM_UP) level = await memory();
      const request = requestOf(contract.operations, chance);
      const outcome = await judge(request).catch((error: Error) => ({
        key: 'no answer',
        faults: [`${error.name}: ${error.message}`],
      }));
      counts.set(outcome.key, (counts.get(outcome.key) ?? 0) + 1);
      for (const fault of outcome.faults)
        faults.push(
          `#${number} ${request.method} ${request.path.slice(0, 100)}: ${fault} for ${JSON.stringify(request.headers).slice(0, 200)} ${String(request.body).slice(0, 300)}`,
        );
    }
  }
  await Promise.all(Array.from({ length: AT_ONCE }, client));
  const after = await memory();
  console.log(
    [...counts]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, n]) => `${String(n).padStart(6)} ${key}`)
      .join('\n'),
  );
  console.log(`memory after ${WARM_UP}: ${level.toFixed(0)} MiB, after ${REQUESTS}: ${after.toFixed(0)} MiB`);
  expect(faults.slice(0, 20)).toEqual([]);
  expect([...counts.values()].reduce((a, b) => a + b, 0)).toBe(REQUESTS);
  // every operation was met, and answered well at least once
  for (const { id } of contract.operations) expect(counts.get(`${id} 200`) ?? 0, id).toBeGreaterThan(0);
  expect(after / level).toBeLessThan(GROWTH);
  expect((await fetch(`${service.url}/readyz`)).status).toBe(200);
});
