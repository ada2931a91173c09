/**
 * `npm run soak -- --minutes 10`: mixed load against the program in a process of its own. It ends with an error when an
 * answer is wrong, or when memory or waiting grow from the first third (after warming up) to the last. The result is kept.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { setTimeout } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { median, quantile } from '../bench/harness.ts';
import { README, writeBlock } from '../docs-blocks.ts';
import { type Running, startProcess } from '../server/process.ts';

const MINUTES = Number(parseArgs({ options: { minutes: { type: 'string', default: '10' } } }).values.minutes);
const CLIENTS = 4;
const MIB = 1024 * 1024;
/** The last third may not have more than this times the memory, or the middle wait, of the first. */
const GROWTH = 1.15;

const example = async (path: string): Promise<object> =>
  JSON.parse(await readFile(new URL(`../../openapi/examples/${path}.json`, import.meta.url), 'utf8')).request;
const evening = await readFile(
  new URL('../../openapi/examples/batch/01-one-evening.ndjson', import.meta.url),
  'utf8',
);
const record = (await example('assess/02-crossing-hands')) as { options?: object };

interface Call {
  readonly name: string;
  /** How often, of a hundred. */
  readonly share: number;
  readonly path: string;
  readonly body: string;
  readonly headers?: { readonly [name: string]: string };
  readonly status: number;
}
const json = (body: object): string => JSON.stringify(body);
const CALLS: readonly Call[] = [
  {
    name: 'assess',
    share: 50,
    path: '/v1/assessments',
    body: json({ ...record, options: { ...record.options, nextLooks: 0 } }),
    status: 200,
  },
  {
    name: 'assess with next looks',
    share: 15,
    path: '/v1/assessments',
    body: json({ ...record, options: {} }),
    status: 200,
  },
  {
    name: 'report',
    share: 8,
    path: '/v1/assessments?audience=swimmer',
    body: json(record),
    headers: { accept: 'text/html' },
    status: 200,
  },
  {
    name: 'batch',
    share: 5,
    path: '/v1/assessments/batch',
    body: evening,
    headers: { 'content-type': 'application/x-ndjson' },
    status: 200,
  },
  {
    name: 'compare',
    share: 5,
    path: '/v1/comparisons',
    body: json(await example('compare/01-head-came-down')),
    status: 200,
  },
  {
    name: 'measure',
    share: 5,
    path: '/v1/measurements',
    body: json(await example('measure/08-all-together')),
    status: 200,
  },
  {
    name: 'plan',
    share: 3,
    path: '/v1/plans',
    body: json(await example('plan/03-junior-squad')),
    status: 200,
  },
  {
    name: 'check a draft',
    share: 1,
    path: '/v1/drafts/check',
    body: json(await example('checkDraft/01-stronger-link')),
    status: 200,
  },
  {
    name: 'wrong record',
    share: 5,
    path: '/v1/assessments',
    body: json({ swimmer: { level: 'x' } }),
    status: 400,
  },
  { name: 'no JSON', share: 3, path: '/v1/assessments', body: '{"a":', status: 400 },
];
const PLAN = CALLS.flatMap((call) => Array<Call>(call.share).fill(call));

interface Sample {
  readonly at: number;
  readonly mib: number;
}
interface Wait {
  readonly at: number;
  readonly name: string;
  readonly ms: number;
}

async function memoryOf({ pid }: Running): Promise<number> {
  const [, kibibytes] = /VmRSS:\s*(\d+) kB/.exec(await readFile(`/proc/${pid}/status`, 'utf8')) ?? [];
  return (Number(kibibytes) * 1024) / MIB;
}

const service = await startProcess({ LOG_LEVEL: 'info' });
const began = performance.now();
const end = began + MINUTES * 60_000;
const waits: Wait[] = [];
const samples: Sample[] = [];
const bytes = new Map<string, number>();

async function client(first: number): Promise<void> {
  for (let i = first; performance.now() < end; i++) {
    // 37 and 100 share no factor: every call has its turn, and the calls of one kind are spread
    const call = PLAN[(i * 37) % PLAN.length] as Call;
    const from = performance.now();
    const reply = await fetch(service.url + call.path, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...call.headers },
      body: call.body,
    });
    const { length } = await reply.text();
    if (reply.status !== call.status) throw new Error(`${call.name} got ${reply.status}`);
    // the same question has the same answer, ten minutes later too; only problems carry the id of their request
    const before = bytes.get(call.name);
    if (before !== undefined && before !== length) throw new Error(`${call.name} got another answer`);
    bytes.set(call.name, length);
    waits.push({ at: from - began, name: call.name, ms: performance.now() - from });
  }
}

async function watch(): Promise<void> {
  while (performance.now() < end) {
    samples.push({ at: performance.now() - began, mib: await memoryOf(service) });
    await setTimeout(1000);
  }
}

await Promise.all([watch(), ...Array.from({ length: CLIENTS }, (_, k) => client(k * 25))]);
const code = await service.stop();

const whole = MINUTES * 60_000;
/** The first sixth warms up; what is left falls into three parts. */
const partOf = ({ at }: { at: number }): number => Math.floor(((at - whole / 6) / (whole * (5 / 6))) * 3);
const memory = [0, 1, 2].map((part) => median(samples.filter((s) => partOf(s) === part).map((s) => s.mib)));
const rows = CALLS.map(({ name }) => {
  const own = waits.filter((w) => w.name === name);
  const of = (part: number): number[] => own.filter((w) => partOf(w) === part).map((w) => w.ms);
  return {
    name,
    count: own.length,
    first: median(of(0)),
    last: median(of(2)),
    p99: quantile(
      own.map((w) => w.ms),
      0.99,
    ),
  };
});
const grown = (memory[2] as number) / (memory[0] as number);
// by all calls together: the rare ones are too few for a ratio of their own
const slower = median(rows.map((r) => r.last / r.first));

const table = [
  '```text',
  `${MINUTES} minutes, ${CLIENTS} clients, ${waits.length} requests, every answer as it should be`,
  `memory in each third: ${memory.map((m) => `${m.toFixed(0)} MiB`).join(', ')}; last of first ${grown.toFixed(2)} (at most ${GROWTH})`,
  `middle wait, last third of first: ${slower.toFixed(2)} (at most ${GROWTH})`,
  ...rows.map(
    (r) =>
      `  ${r.name.padEnd(24)} ${String(r.count).padStart(7)} requests, middle wait ${r.first.toFixed(1).padStart(7)} ms, then ${r.last.toFixed(1).padStart(7)} ms, p99 ${r.p99.toFixed(0).padStart(5)} ms`,
  ),
  '```',
].join('\n');
console.log(table);
const flat = grown <= GROWTH && slower <= GROWTH && code === 0;
if (flat && MINUTES >= 10) {
  await writeBlock(README, 'soak', table);
  await writeFile(
    new URL('result.json', import.meta.url),
    `${JSON.stringify({ minutes: MINUTES, requests: waits.length, memoryMiB: memory, grown, slower, rows }, null, 2)}\n`,
  );
}
process.exitCode = flat ? 0 : 1;
