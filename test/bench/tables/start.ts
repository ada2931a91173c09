/** From the start of the process to ready, beside a Fastify that can do nothing. For information: nothing is demanded. */
import { median, ms, type Table, times } from '../harness.ts';
import { startServer } from '../http/programs.ts';

const TURNS = 5;

async function readyAfter(
  file: string,
  env: { readonly [name: string]: string },
  probe?: string,
): Promise<number> {
  const from = performance.now();
  const server = await startServer(file, env);
  try {
    if (probe !== undefined) {
      while (!(await fetch(server.url + probe)).ok) await new Promise((resolve) => setTimeout(resolve, 5));
    }
    return performance.now() - from;
  } finally {
    await server.stop();
  }
}

export async function start(): Promise<Table> {
  const empty: number[] = [];
  const service: number[] = [];
  for (let turn = 0; turn < TURNS; turn++) {
    empty.push(await readyAfter('test/bench/start/empty.ts', {}));
    service.push(await readyAfter('src/main.ts', { PORT: '0' }, '/readyz'));
  }
  const factor = median(service.map((own, turn) => own / (empty[turn] as number)));
  return {
    title: 'Start: from the start of the process to ready',
    head: ['', 'median', 'of empty'],
    rows: [
      ['an empty Fastify, listening', ms(median(empty)), times(1)],
      ['the service, rule sets loaded and threads ready', ms(median(service)), times(factor)],
    ],
    checks: [],
    data: { empty, service, factor },
  };
}
