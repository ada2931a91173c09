/** The log: one line an answer. Bodies, headers and queries never reach it. */
import type { FastifyBaseLogger } from 'fastify';
import fp from 'fastify-plugin';
import { destination, pino } from 'pino';

/** What may wait for a slow disk before lines are dropped: a log must not fill the memory. */
const WAITING_BYTES = 4 * 1024 * 1024;

/** Lines are written together: one write for each line costs more than an eighth of an answer. */
const TOGETHER_BYTES = 4096;
/** No line waits longer for others. */
const LATEST_MS = 200;

/** @returns a log on standard output that is written beside the work, and lost rather than waited for. */
export function createLog(level: string): FastifyBaseLogger {
  const out = destination({ sync: false, minLength: TOGETHER_BYTES, maxLength: WAITING_BYTES });
  setInterval(() => out.flush(() => undefined), LATEST_MS).unref();
  // a log that cannot be written costs no answer
  out.on('error', () => undefined);
  return pino({ level, base: null }, out) as FastifyBaseLogger;
}

export const requestLog = fp(async (app) => {
  app.addHook('onResponse', async ({ id, method, url, log }, { statusCode, elapsedTime }) => {
    log.info({ id, method, path: url.split('?')[0], statusCode, ms: Math.round(elapsedTime) }, 'answered');
  });
});
