/** The HTTP shell: parses, validates, answers. It knows nothing of swimming. */
import { randomUUID } from 'node:crypto';
import accepts from '@fastify/accepts';
import cors from '@fastify/cors';
import Fastify, { type FastifyInstance, LogController } from 'fastify';
import type { z } from 'zod';
import type { Catalogue } from '../knowledge/catalogue.ts';
import type { AccessKey } from './access/keys.ts';
import type { Settings } from './config.ts';
import type { DecisionLog } from './decision-log.ts';
import { invalid, shapeErrors } from './input.ts';
import { createLog, requestLog } from './log.ts';
import { access } from './plugins/access.ts';
import { bodyDeadline } from './plugins/body-deadline.ts';
import { closing } from './plugins/closing.ts';
import { corsOptions } from './plugins/cors.ts';
import { errors, sendProblem, toProblem } from './plugins/errors.ts';
import { jsonBody } from './plugins/json-body.ts';
import { metrics } from './plugins/metrics.ts';
import { BARE_HEADERS, securityHeaders } from './plugins/security-headers.ts';
import { type Examples, swaggerPage } from './plugins/swagger.ts';
import { rawProblem } from './problems.ts';
import { agreements } from './routes/agreement.ts';
import { assessments } from './routes/assessments.ts';
import { batch } from './routes/batch.ts';
import { comparisons } from './routes/comparisons.ts';
import { drafts } from './routes/drafts.ts';
import { measurements } from './routes/measurements.ts';
import { plans } from './routes/plans.ts';
import { ruleSets } from './routes/rule-sets.ts';
import { service } from './routes/service.ts';
import { squads } from './routes/squads.ts';
import type { SelfTest } from './tasks/self-test.ts';
import type { Pool } from './work/pool.ts';

export interface AppOptions {
  readonly settings: Settings;
  /** Empty: no key is asked for. */
  readonly keys: readonly AccessKey[];
  readonly catalogue: Catalogue;
  /** Does the work; ended with the app. */
  readonly pool: Pool;
  /** Left out: no decision is written down. */
  readonly decisions?: DecisionLog | undefined;
  /** Cases that must pass before the service says that it is ready. */
  readonly selfTests: readonly SelfTest[];
  readonly examples: Examples;
  /** Version of the service, shown in the contract. */
  readonly version: string;
}

/** @returns an app that is ready to listen or to be asked through `inject`. */
export async function buildApp({
  settings,
  keys,
  catalogue,
  pool,
  decisions,
  selfTests,
  examples,
  version,
}: AppOptions): Promise<FastifyInstance> {
  const app = Fastify({
    loggerInstance: createLog(settings.LOG_LEVEL),
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: settings.BODY_LIMIT_BYTES,
    genReqId: () => randomUUID(),
    // silence on a connection; bodies have a deadline of their own, because Node's would cut a streamed batch short
    connectionTimeout: 30_000,
    requestTimeout: 0,
    // longer than a long task may take after it has waited; a batch is as long as it is and is watched line by line
    handlerTimeout: 120_000,
    http: { headersTimeout: 30_000 },
    keepAliveTimeout: 10_000,
    // a request on a kept connection is answered also while closing
    return503OnClosing: false,
    clientErrorHandler: (error, socket) => {
      if (!socket.writable) return;
      socket.end(rawProblem(error.code === 'ERR_HTTP_REQUEST_TIMEOUT' ? 'timed-out' : 'bad-http'));
    },
    // names in addresses are checked by the handlers, which say what exists
    routerOptions: { maxParamLength: 8192 },
    frameworkErrors: (error, request, reply) => {
      // no hook runs on an address that cannot be decoded
      void reply.headers({ ...BARE_HEADERS, 'x-request-id': request.id });
      void sendProblem(toProblem(error), request, reply);
    },
  });
  app.setValidatorCompiler<z.ZodType>(({ schema }) => (input) => {
    const { value, errors: list } = shapeErrors(schema, input);
    return list.length > 0 ? { error: invalid(list) } : { value };
  });
  app.setSerializerCompiler(() => JSON.stringify);

  // a client that has sent everything may close its side and still read: Node would hang up on it
  Object.assign(app.server, { httpAllowHalfOpen: true });

  await app.register(accepts);
  await app.register(errors);
  await app.register(requestLog);
  await app.register(metrics, { catalogue });
  await app.register(access, { keys, perMinute: settings.CALLS_PER_MINUTE });
  if (settings.CORS_ORIGINS.length > 0) await app.register(cors, corsOptions(settings.CORS_ORIGINS));
  await app.register(closing);
  await app.register(bodyDeadline, { milliseconds: settings.BODY_TIMEOUT_MS });
  await app.register(jsonBody);
  await app.register(securityHeaders);
  await app.register(swaggerPage, { examples, version });
  await app.register(assessments(pool, decisions));
  await app.register(batch(pool, settings, decisions));
  await app.register(measurements(pool));
  await app.register(comparisons(pool));
  await app.register(plans(pool));
  await app.register(squads(pool, settings.BODY_LIMIT_BYTES));
  await app.register(agreements(pool));
  await app.register(drafts(pool));
  await app.register(ruleSets(catalogue));
  await app.register(service(catalogue, pool, selfTests));
  app.addHook('onClose', async () => {
    await pool.close();
    decisions?.close();
  });
  await app.ready();
  return app;
}
