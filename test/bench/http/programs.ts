/** Programs of the bench: started on a core of their own where the machine allows it, and ended by their own handle. */
import { type ChildProcess, execFile, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const CORES = availableParallelism();
/** Servers run on one core and the load comes from another. */
export const pinned = CORES > 1 && spawnSync('taskset', ['--version']).status === 0;

type Core = 'server' | 'load';

function command(core: Core, args: readonly string[]): [string, string[]] {
  if (!pinned) return [process.execPath, [...args]];
  return ['taskset', ['-c', String(core === 'server' ? CORES - 1 : 0), process.execPath, ...args]];
}

export const pathOf = (file: string): string => fileURLToPath(new URL(`../../../${file}`, import.meta.url));

export interface Server {
  readonly url: string;
  readonly pid: number;
  /** From the start of the process to the moment when it said where it listens. */
  readonly startedMs: number;
  stop(): Promise<void>;
}

/** Starts a server that prints its address once it listens. */
export async function startServer(
  file: string,
  env: { readonly [name: string]: string } = {},
): Promise<Server> {
  const [program, args] = command('server', [pathOf(file)]);
  const from = performance.now();
  const child: ChildProcess = spawn(program, args, {
    env: { PATH: process.env.PATH ?? '', ...env },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = once(child, 'exit');
  const url = await new Promise<string>((resolve, reject) => {
    let printed = '';
    child.stdout?.setEncoding('utf8').on('data', (chunk: string) => {
      printed += chunk;
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(printed);
      if (found) resolve(found[0]);
    });
    child.once('exit', (code) => reject(new Error(`${file} ended with ${code}: ${printed}`)));
  });
  return {
    url,
    pid: child.pid as number,
    startedMs: performance.now() - from,
    stop: async () => {
      child.kill('SIGTERM');
      await ended;
    },
  };
}

export interface Load {
  readonly perSecond: number;
  readonly p50Ms: number;
  readonly p99Ms: number;
  readonly answerBytes: number;
}

interface Report {
  readonly requests: { readonly average: number };
  readonly latency: { readonly p50: number; readonly p99: number };
  readonly throughput: { readonly average: number };
  readonly non2xx: number;
  readonly errors: number;
}

/** Sends one body again and again from a process of its own. @throws when anything but 2xx comes back. */
export async function load(
  url: string,
  bodyFile: string,
  seconds: number,
  connections: number,
  headers: readonly string[] = [],
): Promise<Load> {
  const more = ['content-type=application/json', ...headers].flatMap((header) => ['-H', header]);
  const [program, args] = command('load', [
    pathOf('node_modules/autocannon/autocannon.js'),
    '-j',
    '-n',
    '-m',
    'POST',
    '-c',
    String(connections),
    '-d',
    String(seconds),
    '-i',
    bodyFile,
    ...more,
    `${url}/v1/assessments`,
  ]);
  const { stdout } = await promisify(execFile)(program, args, { maxBuffer: 1 << 24 });
  const report = JSON.parse(stdout) as Report;
  if (report.non2xx > 0 || report.errors > 0)
    throw new Error(`${report.non2xx + report.errors} requests failed`);
  return {
    perSecond: report.requests.average,
    p50Ms: report.latency.p50,
    p99Ms: report.latency.p99,
    answerBytes: report.throughput.average / report.requests.average,
  };
}
