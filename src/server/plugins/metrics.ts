/**
 * What an operator watches: counts and times of each operation, kinds of problems, the rule sets that are served. Labels come
 * from the contract, never from a request, so nobody can fill the memory with names.
 */
import type { FastifyRequest } from 'fastify';
import fp from 'fastify-plugin';
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { Catalogue } from '../../knowledge/catalogue.ts';

declare module 'fastify' {
  interface FastifyInstance {
    metrics: Registry;
  }
}

export interface MetricsOptions {
  readonly catalogue: Catalogue;
}

const MS = 1000;

/** The operation's name in the contract; addresses that do not exist share one name. */
export function operationOf(request: FastifyRequest): string {
  const schema = request.routeOptions.schema as { operationId?: string } | undefined;
  return schema?.operationId ?? 'none';
}

export const metrics = fp(async (app, { catalogue }: MetricsOptions) => {
  const registers = [new Registry()];
  const [registry] = registers as [Registry];
  collectDefaultMetrics({ register: registry });
  const requests = new Counter({
    name: 'crawl_requests_total',
    help: 'Answers, by operation of the contract and HTTP status.',
    labelNames: ['operation', 'status'] as const,
    registers,
  });
  const seconds = new Histogram({
    name: 'crawl_request_seconds',
    help: 'Time from the first byte of a request to the last of its answer, by operation.',
    labelNames: ['operation'] as const,
    buckets: [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30],
    registers,
  });
  const ruleSets = new Gauge({
    name: 'crawl_rule_set_info',
    help: '1 for each rule set that is served.',
    labelNames: ['name', 'version', 'digest'] as const,
    registers,
  });
  for (const { manifest, digest } of catalogue.names.flatMap((name) => catalogue.versionsOf(name)))
    ruleSets.set({ name: manifest.name, version: manifest.version, digest }, 1);

  app.decorate('metrics', registry);
  app.addHook('onSend', async (request, reply) => {
    reply.header('x-request-id', request.id);
    // the time until the answer is ready to leave; a client sees the rest itself
    reply.header('server-timing', `total;dur=${reply.elapsedTime.toFixed(1)}`);
  });
  app.addHook('onResponse', async (request, reply) => {
    const operation = operationOf(request);
    requests.inc({ operation, status: String(reply.statusCode) });
    seconds.observe({ operation }, reply.elapsedTime / MS);
  });
  app.addHook('onClose', async () => registry.clear());
});
