/** The program and its rule sets in a folder of their own, where a test may publish and spoil them. */
import { execFile } from 'node:child_process';
import { cp, mkdtemp, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

const REPOSITORY = fileURLToPath(new URL('../..', import.meta.url));

export interface Run {
  readonly code: number;
  /** Standard output and standard error. */
  readonly printed: string;
}

/** Runs a script of the copy to its end; a service that starts is stopped as soon as it listens. */
export function runScript(root: string, script: string, args: readonly string[] = []): Promise<Run> {
  return new Promise((resolve) => {
    const child = execFile(
      process.execPath,
      [join(root, script), ...args],
      { cwd: root, env: { PORT: '0', WORKERS: '0', LOG_LEVEL: 'info' }, maxBuffer: 1 << 26 },
      (_, out, err) => resolve({ code: child.exitCode ?? -1, printed: out + err }),
    );
    child.stdout?.on('data', (chunk: string) => {
      if (chunk.includes('documentation: http')) child.kill('SIGTERM');
    });
  });
}

/** @returns the root of the copy, which is removed after the test. */
export async function temporaryCopy(): Promise<string> {
  const root = await mkdtemp(join(tmpdir(), 'published-'));
  onTestFinished(() => rm(root, { recursive: true, force: true }));
  for (const part of ['src', 'rules', 'openapi', 'package.json'])
    await cp(join(REPOSITORY, part), join(root, part), { recursive: true });
  await symlink(join(REPOSITORY, 'node_modules'), join(root, 'node_modules'));
  return root;
}

/** Changes the text of a file of the copy. */
export async function rewrite(root: string, file: string, change: (text: string) => string): Promise<void> {
  await writeFile(join(root, file), change(await readFile(join(root, file), 'utf8')));
}
