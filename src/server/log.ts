/** The log: one line an answer. Bodies, headers and queries never reach it. */
import type { FastifyBaseLogger } from 'fastify';
import fp from 'fastify-plugin';
import { pino } from 'pino';
import { linesTo } from './lines.ts';

const STANDARD_OUTPUT = 1;

/** @returns a log on standard output. A log that cannot be written costs no answer, and there is nowhere to say so. */
export function createLog(level: string): FastifyBaseLogger {
  const lines = linesTo(STANDARD_OUTPUT, () => undefined);
  return pino({ level, base: null }, lines) as FastifyBaseLogger;
}

export const requestLog = fp(async (app) => {
  app.addHook('onResponse', async ({ id, method, url, log }, { statusCode, elapsedTime }) => {
    log.info({ id, method, path: url.split('?')[0], statusCode, ms: Math.round(elapsedTime) }, 'answered');
  });
});
