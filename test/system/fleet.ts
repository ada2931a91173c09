/** Several instances of the service behind a real nginx, with the configuration of `docker-compose.yml`. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmod, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { type Running, startProcess } from '../server/process.ts';
import { readCompose } from './compose.ts';

/** Address of the instances and of nginx inside the containers. */
const INSIDE = /^\s*server assessment:8080 (.*;)$/m;

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

/** The configuration of the containers, with other addresses and another folder for what lasts no longer than a run. */
async function configuration(folder: string, port: number, instances: readonly string[]): Promise<string> {
  const { content } = (await readCompose()).configs.nginx;
  const servers = instances.map((url) => `server ${new URL(url).host} $1`).join('\n');
  return content
    .replace(INSIDE, servers)
    .replace('listen 8080;', `listen 127.0.0.1:${port};`)
    .replaceAll('/tmp/', `${folder}/`);
}

async function answers(url: string): Promise<boolean> {
  return fetch(url).then(
    async (reply) => {
      await reply.arrayBuffer();
      return true;
    },
    () => false,
  );
}

async function startNginx(folder: string, port: number, instances: readonly string[]): Promise<ChildProcess> {
  const file = join(folder, 'nginx.conf');
  await writeFile(file, await configuration(folder, port, instances));
  const nginx = spawn('nginx', ['-e', 'stderr', '-c', file], { stdio: ['ignore', 'ignore', 'pipe'] });
  let complaints = '';
  nginx.stderr.setEncoding('utf8').on('data', (text) => {
    complaints += text;
  });
  const ended = once(nginx, 'close').then(() => {
    throw new Error(`nginx (Debian's package "nginx") does not run:\n${complaints}`);
  });
  ended.catch(() => undefined);
  const listening = async (): Promise<void> => {
    while (!(await answers(`http://127.0.0.1:${port}/livez`))) await setImmediate();
  };
  await Promise.race([listening(), ended]);
  return nginx;
}

export interface Fleet {
  /** Address of nginx. */
  readonly url: string;
  /** Addresses of the instances. */
  readonly instances: readonly string[];
  kill(instance: number): Promise<void>;
  /** Starts a killed instance again at its old address, and returns once nginx sends it requests again. */
  restart(instance: number): Promise<void>;
  close(): Promise<void>;
}

/** Requests for assessments that an instance has answered, by its own count. */
async function answeredBy(url: string): Promise<number> {
  const text = await (await fetch(`${url}/metrics`)).text();
  const line = /^crawl_requests_total\{operation="assess",status="200"\} (\d+)/m.exec(text);
  return Number(line?.[1] ?? 0);
}

export async function startFleet(size: number): Promise<Fleet> {
  const begin = (port: string): Promise<Running> =>
    startProcess({ WORKERS: '1', PORT: port, LOG_LEVEL: 'info' });
  const running = await Promise.all(Array.from({ length: size }, () => begin('0')));
  const instances = running.map((instance) => instance.url);
  const folder = await mkdtemp(join(tmpdir(), 'nginx-'));
  // started by root, nginx works as somebody else
  await chmod(folder, 0o755);
  const port = await freePort();
  const nginx = await startNginx(folder, port, instances);
  return {
    url: `http://127.0.0.1:${port}`,
    instances,
    kill: (i) => (running[i] as Running).kill(),
    async restart(i) {
      const url = instances[i] as string;
      running[i] = await begin(new URL(url).port);
      while ((await answeredBy(url)) === 0) await setImmediate();
    },
    async close() {
      const gone = once(nginx, 'close');
      nginx.kill('SIGTERM');
      await Promise.all([gone, ...running.map((instance) => instance.kill())]);
      await rm(folder, { recursive: true, force: true });
    },
  };
}
