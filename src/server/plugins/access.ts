/**
 * Who may call what. With no keys configured every operation is open, which the start allows on loopback only. With keys,
 * an operation asks for a bearer token (RFC 6750) that has its scope. Probes, documentation and problem pages stay open.
 */
import rateLimit from '@fastify/rate-limit';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import fp from 'fastify-plugin';
import { type AccessKey, keyOf, type Scope } from '../access/keys.ts';
import { HttpProblem } from '../problems.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** What a key must be allowed to do; `open` needs no key. */
    scope?: Scope | 'open';
  }
  interface FastifyRequest {
    accessKey: AccessKey | null;
  }
}

export interface AccessOptions {
  /** Empty: everything is open. */
  readonly keys: readonly AccessKey[];
  readonly perMinute: number;
}

const BEARER = /^Bearer ([A-Za-z0-9._~+/-]+=*)$/i;

function unauthenticated(reason: string, error?: string): HttpProblem {
  const challenge = error === undefined ? 'Bearer' : `Bearer error="${error}"`;
  return new HttpProblem('not-authenticated', { detail: reason, headers: { 'www-authenticate': challenge } });
}

function authenticate(request: FastifyRequest, keys: readonly AccessKey[]): AccessKey {
  const { authorization } = request.headers;
  if (authorization === undefined) throw unauthenticated('The header "Authorization" is missing.');
  const token = BEARER.exec(authorization)?.[1];
  if (token === undefined)
    throw unauthenticated('The header must be "Authorization: Bearer" and a key.', 'invalid_request');
  const key = keyOf(token, keys);
  if (key === undefined) throw unauthenticated('The key is not known.', 'invalid_token');
  if (key.expires !== undefined && Date.parse(key.expires) <= Date.now())
    throw unauthenticated('The key has expired.', 'invalid_token');
  return key;
}

function authorize(key: AccessKey, scope: Scope): void {
  if (key.scopes.includes(scope)) return;
  throw new HttpProblem('not-allowed', {
    detail: `The key lacks the scope "${scope}".`,
    headers: { 'www-authenticate': `Bearer error="insufficient_scope", scope="${scope}"` },
  });
}

/** An operation that nobody gave a scope would be open by mistake. */
function everyRouteHasAScope(app: FastifyInstance): void {
  app.addHook('onRoute', (route) => {
    // a browser asks without a key whether it may call (CORS preflight)
    const open = route.url.startsWith('/docs') || (route.url === '*' && route.method === 'OPTIONS');
    if (open) route.config = { ...route.config, scope: 'open' };
    if (route.config?.scope === undefined) throw new Error(`the route ${route.url} has no scope`);
  });
}

export const access = fp(async (app, { keys, perMinute }: AccessOptions) => {
  everyRouteHasAScope(app);
  app.decorateRequest('accessKey', null);
  if (keys.length === 0) return;

  app.addHook('onRequest', async (request) => {
    const scope = request.routeOptions.config.scope ?? 'open';
    if (scope === 'open') return;
    request.accessKey = authenticate(request, keys);
    authorize(request.accessKey, scope);
  });
  await app.register(rateLimit, {
    max: ({ accessKey }) => accessKey?.perMinute ?? perMinute,
    timeWindow: 60_000,
    keyGenerator: ({ accessKey, ip }) => accessKey?.id ?? ip,
    allowList: ({ accessKey }) => accessKey === null,
    // RateLimit-Limit, -Remaining and -Reset of the IETF draft
    enableDraftSpec: true,
    errorResponseBuilder: (_request, { max, ttl }) =>
      new HttpProblem('too-many-requests', {
        detail: `At most ${max} calls a minute; wait ${Math.ceil(ttl / 1000)} s.`,
      }),
  });
});
