/** Every failure leaves as an RFC 9457 problem, whatever raised it; the text of an unexpected error stays in the log. */
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import fp from 'fastify-plugin';
import { HttpProblem, PROBLEMS, type ProblemSlug, problemBody } from '../problems.ts';

const BY_CODE: Readonly<Record<string, ProblemSlug>> = {
  FST_ERR_CTP_EMPTY_JSON_BODY: 'malformed-json',
  FST_ERR_CTP_INVALID_JSON_BODY: 'malformed-json',
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: 'malformed-json',
  FST_ERR_CTP_BODY_TOO_LARGE: 'body-too-large',
  FST_ERR_CTP_INVALID_MEDIA_TYPE: 'unsupported-media-type',
  FST_ERR_BAD_URL: 'bad-url',
};

export function toProblem(error: FastifyError | HttpProblem): HttpProblem {
  if (error instanceof HttpProblem) return error;
  const slug = BY_CODE[error.code];
  if (slug !== undefined) return new HttpProblem(slug, { detail: error.message });
  // the JSON parser's own errors (syntax, forbidden keys) carry a status and no code of ours
  if (error instanceof SyntaxError || error.statusCode === 400)
    return new HttpProblem('malformed-json', { detail: error.message });
  if (error.code === 'FST_ERR_HANDLER_TIMEOUT')
    return new HttpProblem('overloaded', { headers: { 'retry-after': '1' } });
  if (error.statusCode === 408) return new HttpProblem('timed-out');
  return new HttpProblem('internal-error');
}

export function sendProblem(
  problem: HttpProblem,
  request: FastifyRequest,
  reply: FastifyReply,
): FastifyReply {
  // Accept-Post: W3C Linked Data Platform 1.0, section 7.1
  if (problem.slug === 'unsupported-media-type')
    reply.header('accept-post', request.routeOptions.config.reads ?? 'application/json');
  return reply
    .code(PROBLEMS[problem.slug].status)
    .headers(problem.headers)
    .header('cache-control', 'no-store')
    .type('application/problem+json')
    .serializer((body: unknown) => JSON.stringify(body))
    .send(problemBody(problem, request.id));
}

/** Methods of each registered path, for 405 and its `Allow`. */
function trackRoutes(app: FastifyInstance): (path: string) => string[] {
  const routes: { pattern: RegExp; methods: Set<string> }[] = [];
  app.addHook('onRoute', ({ url, method }) => {
    const pattern = new RegExp(`^${url.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replace(/:[^/]+/g, '[^/]+')}$`);
    const methods = new Set([method].flat());
    routes.push({ pattern, methods });
  });
  return (path) =>
    [...new Set(routes.filter((r) => r.pattern.test(path)).flatMap((r) => [...r.methods]))].sort();
}

export const errors = fp(async (app) => {
  const methodsOf = trackRoutes(app);
  app.setErrorHandler((error: FastifyError | HttpProblem, request, reply) => {
    const problem = toProblem(error);
    if (problem.slug === 'internal-error') request.log.error({ err: error }, 'request failed');
    return sendProblem(problem, request, reply);
  });
  app.setNotFoundHandler((request, reply) => {
    const allowed = methodsOf(request.url.split('?')[0] as string);
    if (request.method === 'OPTIONS' && allowed.length > 0)
      return reply
        .code(204)
        .header('allow', ['OPTIONS', ...allowed].sort().join(', '))
        .send();
    const problem =
      allowed.length === 0
        ? new HttpProblem('not-found')
        : new HttpProblem('method-not-allowed', { headers: { allow: allowed.join(', ') } });
    return sendProblem(problem, request, reply);
  });
});
