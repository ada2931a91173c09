/** Loads what the service needs and listens. Shared by the program, the demo and the system tests. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { FastifyInstance } from 'fastify';
import { createCatalogue } from '../knowledge/catalogue.ts';
import { loadAll } from '../knowledge/load.ts';
import { loadLocked } from '../knowledge/lock-files.ts';
import { readKeys } from './access/keys.ts';
import { isLoopback } from './access/loopback.ts';
import { buildApp } from './app.ts';
import type { Settings } from './config.ts';
import { readExamples } from './plugins/swagger.ts';
import { createPool } from './work/pool.ts';

const here = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

export async function createApp(settings: Settings): Promise<FastifyInstance> {
  if (settings.ACCESS_KEYS_FILE === undefined && !settings.OPEN_ACCESS && !isLoopback(settings.HOST)) {
    throw new Error(
      `settings are wrong:\n  HOST: ${settings.HOST} can be reached from outside and no keys are set; set ACCESS_KEYS_FILE, or OPEN_ACCESS=true where something in front controls access`,
    );
  }
  const rules = here('rules');
  const [{ sets }, examples, packageJson, keys] = await Promise.all([
    loadLocked(rules, loadAll),
    readExamples(here('openapi/examples')),
    readFile(here('package.json'), 'utf8'),
    settings.ACCESS_KEYS_FILE === undefined ? [] : readKeys(settings.ACCESS_KEYS_FILE),
  ]);
  const { version } = JSON.parse(packageJson) as { version: string };
  const catalogue = createCatalogue(sets);
  const pool = createPool({
    workers: settings.WORKERS,
    queueLimit: settings.QUEUE_LIMIT,
    rules,
    catalogue,
    onError: (error) => app.log.error({ err: error }, 'a thread failed'),
  });
  const app = await buildApp({ settings, keys, catalogue, pool, examples, version });
  await pool.ready();
  return app;
}

/** @returns the app and the address it listens on. */
export async function start(settings: Settings): Promise<{ app: FastifyInstance; url: string }> {
  const app = await createApp(settings);
  const url = await app.listen({ host: settings.HOST, port: settings.PORT });
  return { app, url };
}
