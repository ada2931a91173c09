/**
 * Batches over real HTTP against the program in a process of its own: how time grows with the lines, what memory they cost,
 * and what a single assessment waits while a batch is worked on, with threads and without.
 */
import { once } from 'node:events';
import { readFile, writeFile } from 'node:fs/promises';
import http, { type IncomingMessage } from 'node:http';
import { availableParallelism } from 'node:os';
import { type Running, startProcess } from '../server/process.ts';
import { exponent, kB, median, ms, quantile, type Table, times } from './harness.ts';
import { requestOf } from './subject.ts';

const AT_MOST = 1.2;
/** Twice the lines may not need more memory than this times as much. */
const FLAT = 1.1;
/** Lines, and how often each batch is sent; the median counts. */
const SIZES = [
  [1, 30],
  [10, 20],
  [100, 5],
  [1000, 3],
  [5000, 1],
  [10_000, 1],
] as const;
const SINGLES = 300;
const MIB = 1024 * 1024;

type Requests = (i: number) => object;
const withLooks: Requests = (i) => ({ ...requestOf(i), options: {} });
const line = (i: number, request: object): string => `${JSON.stringify({ id: `n${i}`, request })}\n`;

/** Sends in chunks and reads while it sends. @returns bytes of the answer. */
async function sendBatch(
  url: string,
  lines: number,
  requests: Requests = requestOf,
  preferences: { readonly prefer?: string } = {},
): Promise<number> {
  const headers = { 'content-type': 'application/x-ndjson', ...preferences };
  const request = http.request(`${url}/v1/assessments/batch`, { method: 'POST', headers });
  const answer = once(request, 'response') as Promise<[IncomingMessage]>;
  const sent = (async () => {
    for (let i = 0; i < lines; i++) if (!request.write(line(i, requests(i)))) await once(request, 'drain');
    request.end();
  })();
  let bytes = 0;
  let ends = 0;
  for await (const chunk of (await answer)[0] as AsyncIterable<Buffer>) {
    bytes += chunk.length;
    for (let at = chunk.indexOf(10); at >= 0; at = chunk.indexOf(10, at + 1)) ends++;
  }
  await sent;
  if (ends !== lines) throw new Error(`${lines} lines got ${ends} answers`);
  return bytes;
}

async function sendSingle(url: string, i: number): Promise<number> {
  const from = performance.now();
  const body = JSON.stringify(requestOf(i));
  const headers = { 'content-type': 'application/json' };
  const reply = await fetch(`${url}/v1/assessments`, { method: 'POST', headers, body });
  if (reply.status !== 200) throw new Error(`a single got ${reply.status}`);
  await reply.arrayBuffer();
  return performance.now() - from;
}

/** One after the other, for as long as they are wanted. */
async function sendSingles(url: string, wanted: (sent: number) => boolean): Promise<number[]> {
  const waits: number[] = [];
  while (wanted(waits.length)) waits.push(await sendSingle(url, waits.length));
  return waits;
}

/** Highest memory of a process while something is done, from Linux's own high-water mark. */
async function peakDuring(pid: number, work: () => Promise<unknown>): Promise<number> {
  await writeFile(`/proc/${pid}/clear_refs`, '5');
  await work();
  const [, kibibytes] = /VmHWM:\s*(\d+) kB/.exec(await readFile(`/proc/${pid}/status`, 'utf8')) ?? [];
  return Number(kibibytes) * 1024;
}

/** Clock ticks of Linux a second. */
const TICKS = 100;

/** Processor time that a process has had so far, all threads, user and system, in milliseconds. */
async function processorTime(pid: number): Promise<number> {
  const text = await readFile(`/proc/${pid}/stat`, 'utf8');
  // the name of the program may hold blanks, so fields are counted from behind it; 14 and 15 of proc(5)
  const fields = text.slice(text.lastIndexOf(')') + 2).split(' ');
  return ((Number(fields[11]) + Number(fields[12])) / TICKS) * 1000;
}

interface Cost {
  /** Processor time of a line in milliseconds: unlike a wait, hardly touched by what else the machine does. */
  readonly processor: number;
  readonly bytes: number;
}

async function costOf(
  { url, pid }: Running,
  lines: number,
  requests: Requests,
  prefer?: string,
): Promise<Cost> {
  const before = await processorTime(pid);
  const bytes = await sendBatch(url, lines, requests, prefer === undefined ? {} : { prefer });
  return { processor: ((await processorTime(pid)) - before) / lines, bytes: bytes / lines };
}

async function costsOf(service: Running): Promise<{ readonly [name: string]: Cost }> {
  await sendBatch(service.url, 300, withLooks);
  return {
    'without next looks': await costOf(service, 2000, requestOf),
    'without next looks, short answer': await costOf(service, 2000, requestOf, 'return=minimal'),
    'with next looks': await costOf(service, 400, withLooks),
    'with next looks, short answer': await costOf(service, 400, withLooks, 'return=minimal'),
  };
}

interface Waits {
  readonly idle: readonly number[];
  readonly busy: readonly number[];
}

async function waitsOf({ url }: Running): Promise<Waits> {
  await sendBatch(url, 1000);
  const idle = await sendSingles(url, (sent) => sent < SINGLES);
  let working = true;
  const batch = sendBatch(url, 3000).finally(() => {
    working = false;
  });
  const busy = await sendSingles(url, () => working);
  await batch;
  return { idle, busy };
}

async function withService<T>(workers: number, use: (service: Running) => Promise<T>): Promise<T> {
  const service = await startProcess({ WORKERS: String(workers) });
  try {
    return await use(service);
  } finally {
    await service.stop();
  }
}

export async function batch(): Promise<Table> {
  const workers = availableParallelism();
  const { points, peaks, bytes } = await withService(workers, async ({ url, pid }) => {
    // the memory of a service that has worked for a while
    await sendBatch(url, 2000);
    const all: [size: number, milliseconds: number][] = [];
    const memory = new Map<number, number>();
    let answered = 0;
    for (const [lines, often] of SIZES) {
      const own: number[] = [];
      const peak = await peakDuring(pid, async () => {
        for (let turn = 0; turn < often; turn++) {
          const from = performance.now();
          answered = await sendBatch(url, lines);
          own.push(performance.now() - from);
        }
      });
      all.push([lines, median(own)]);
      memory.set(lines, peak);
    }
    return { points: all, peaks: memory, bytes: answered };
  });
  const costs = await withService(workers, costsOf);
  const threaded = await withService(workers, waitsOf);
  const onTheLoop = await withService(0, waitsOf);
  // collectors let garbage of some hundred megabytes stand before they begin; from there on more lines may not cost more
  const grown = (peaks.get(10_000) as number) / (peaks.get(5000) as number);
  const slope = exponent(points);
  const waits = (name: string, { idle, busy }: Waits): string[] => [
    name,
    ...[quantile(idle, 0.5), quantile(idle, 0.99), quantile(busy, 0.5), quantile(busy, 0.99)].map(ms),
  ];
  return {
    title: `Batches over HTTP, ${workers} threads`,
    head: ['lines', ...SIZES.map(([lines]) => String(lines))],
    rows: [
      ['time', ...points.map(([, time]) => ms(time))],
      ['lines a second', ...points.map(([lines, time]) => ((lines / time) * 1000).toFixed(0))],
      ['highest memory', ...SIZES.map(([lines]) => `${((peaks.get(lines) as number) / MIB).toFixed(0)} MiB`)],
      ['a line costs', 'processor', 'answer'],
      ...Object.entries(costs).map(([name, { processor, bytes: size }]) => [
        `  ${name}`,
        ms(processor),
        kB(size),
      ]),
      ['a single', 'idle p50', 'idle p99', 'busy p50', 'busy p99'],
      waits('  in threads', threaded),
      waits('  on the loop', onTheLoop),
    ],
    notes: [
      `The answer of the largest batch has ${(bytes / 1e6).toFixed(0)} MB.`,
      `Singles one after the other, without a batch and during one of 3,000 lines; p99 in threads ${times(quantile(threaded.busy, 0.99) / quantile(threaded.idle, 0.99))} of idle.`,
    ],
    checks: [
      { what: 'exponent of the time of a batch over its lines', value: slope, atMost: AT_MOST },
      { what: 'highest memory of 10,000 lines, of that of 5,000', value: grown, atMost: FLAT },
    ],
    data: {
      points,
      exponent: slope,
      peaks: Object.fromEntries(peaks),
      costs,
      answerBytes: bytes,
      singles: Object.fromEntries(
        Object.entries({ threaded, onTheLoop }).map(([name, { idle, busy }]) => [
          name,
          {
            idleP50: median(idle),
            idleP99: quantile(idle, 0.99),
            busyP50: median(busy),
            busyP99: quantile(busy, 0.99),
          },
        ]),
      ),
    },
  };
}
