/** Loads what the service needs and listens. Shared by the program, the demo and the system tests. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { FastifyInstance } from 'fastify';
import { readCases } from '../authoring/library.ts';
import { createCatalogue } from '../knowledge/catalogue.ts';
import { loadAll } from '../knowledge/load.ts';
import { loadLocked } from '../knowledge/lock-files.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { readKeys } from './access/keys.ts';
import { isLoopback } from './access/loopback.ts';
import { buildApp } from './app.ts';
import type { Settings } from './config.ts';
import { openDecisionLog } from './decision-log.ts';
import { readExamples } from './plugins/swagger.ts';
import type { SelfTest } from './tasks/self-test.ts';
import { createPool } from './work/pool.ts';

const here = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** The first case of each rule set. */
async function selfTestsOf(rules: string, sets: readonly RuleSet[]): Promise<SelfTest[]> {
  const tests = sets.map(async (set): Promise<SelfTest[]> => {
    const [first] = await readCases(rules, set);
    const ruleSet = `${set.manifest.name}@${set.manifest.version}`;
    return first === undefined ? [] : [{ ruleSet, case: first }];
  });
  return (await Promise.all(tests)).flat();
}

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
  const decisions =
    settings.DECISION_LOG === undefined
      ? undefined
      : openDecisionLog(settings.DECISION_LOG, (err) => app.log.error({ err }, 'decisions are not written'));
  const selfTests = await selfTestsOf(rules, sets);
  const app = await buildApp({
    settings,
    keys,
    catalogue,
    pool,
    decisions,
    selfTests,
    examples,
    version,
  });
  await pool.ready();
  return app;
}

/** @returns the app and the address it listens on. */
export async function start(settings: Settings): Promise<{ app: FastifyInstance; url: string }> {
  const app = await createApp(settings);
  const url = await app.listen({ host: settings.HOST, port: settings.PORT });
  return { app, url };
}
