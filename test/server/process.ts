/** The program itself in a process of its own, with everything it prints. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const MAIN = fileURLToPath(new URL('../../src/main.ts', import.meta.url));

export interface Running {
  readonly url: string;
  readonly pid: number;
  /** Everything on standard output and standard error so far. */
  printed(): string;
  /** Ends it without asking (SIGKILL) and waits. */
  kill(): Promise<void>;
  /** Asks it to end and waits. @returns the exit code. */
  stop(): Promise<number | null>;
}

function launch(
  env: { readonly [name: string]: string },
  options: readonly string[] = [],
): { child: ChildProcess; printed: () => string } {
  // only what is named here: a setting of the machine must not decide a test
  const child = spawn(process.execPath, [...options, MAIN], {
    env: { ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let text = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream?.setEncoding('utf8').on('data', (chunk: string) => {
      text += chunk;
    });
  }
  return { child, printed: () => text };
}

/** Waits for the end of a program that is not expected to go on. */
export async function runToEnd(env: {
  readonly [name: string]: string;
}): Promise<{ code: number | null; printed: string }> {
  const { child, printed } = launch(env);
  const [code] = await once(child, 'close');
  return { code, printed: printed() };
}

/**
 * Starts the service on a free port and waits until it says where.
 * @param options of node.
 */
export async function startProcess(
  env: { readonly [name: string]: string },
  options: readonly string[] = [],
): Promise<Running> {
  const { child, printed } = launch({ PORT: '0', ...env }, options);
  const closed = once(child, 'close');
  const url = await new Promise<string>((resolve, reject) => {
    const look = (): void => {
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(printed());
      if (found) resolve(found[0]);
    };
    child.stdout?.on('data', look);
    child.once('close', () => reject(new Error(`ended before it listened:\n${printed()}`)));
  });
  return {
    url,
    pid: child.pid as number,
    printed,
    kill: async () => {
      child.kill('SIGKILL');
      await closed;
    },
    stop: async () => {
      child.kill('SIGTERM');
      const [code] = await closed;
      return code;
    },
  };
}
