/** The command of the image: what the runtime lets the service do is enough for it, and no more. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { MINIMAL } from '../server/app.ts';
import { startProcess } from '../server/process.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url)).replace(/\/$/, '');

/** Options of node in the command, with the folder of this copy. */
async function nodeOptions(): Promise<string[]> {
  const text = await readFile(new URL('../../Dockerfile', import.meta.url), 'utf8');
  const command = JSON.parse(/^CMD (\[.*\])$/m.exec(text)?.[1] ?? '[]') as string[];
  expect([command[0], command.at(-1)]).toEqual(['node', 'src/main.ts']);
  return command.slice(1, -1).map((option) => option.replace('/service', ROOT));
}

test('the service starts, assesses in its threads and ends under the permissions of the image', async () => {
  const options = await nodeOptions();
  expect(options).toContain('--permission');
  const running = await startProcess({ WORKERS: '2' }, options);
  const reply = await fetch(`${running.url}/v1/assessments`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(MINIMAL),
  });
  expect(reply.status).toBe(200);
  await reply.text();
  expect(await running.stop()).toBe(0);
});
