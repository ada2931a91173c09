/** Probes, problem pages, the contract itself. */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { z } from 'zod';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import { indexPage, pageOf } from '../pages.ts';
import { HttpProblem } from '../problems.ts';
import type { SelfTest } from '../tasks/self-test.ts';
import type { Pool } from '../work/pool.ts';
import { openResponses, problemResponses } from './responses.ts';

const Html = { description: 'A page.', content: { 'text/html': { schema: z.string() } } };
const State = z.object({ status: z.literal('ok') }).meta({ id: 'ServiceState' });
const Ready = z.object({ status: z.literal('ok'), ruleSets: z.array(z.string()) }).meta({ id: 'ReadyState' });

export const service =
  (catalogue: Catalogue, pool: Pool, selfTests: readonly SelfTest[]): FastifyPluginAsync =>
  async (app) => {
    const describe = (operationId: string, summary: string, description: string) => ({
      operationId,
      tags: ['Service'],
      summary,
      description,
    });

    app.get('/', { config: { scope: 'open' }, schema: { hide: true } }, async (_request, reply) =>
      reply.redirect('/docs'),
    );

    app.get(
      '/openapi.json',
      {
        config: { scope: 'open' },
        schema: {
          ...describe('getContract', 'The contract', 'This document: OpenAPI 3.1.'),
          response: {
            200: {
              description: 'OpenAPI 3.1.',
              content: { 'application/json': { schema: z.record(z.string(), z.unknown()) } },
            },
            ...openResponses(408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (_request, reply) => reply.header('cache-control', 'no-cache').send(app.swagger()),
    );
    app.get(
      '/livez',
      {
        config: { scope: 'open' },
        schema: {
          ...describe('getLive', 'Is the process alive', 'Answers as soon as the process runs.'),
          response: {
            200: { description: 'Alive.', content: { 'application/json': { schema: State } } },
            ...openResponses(408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (_request, reply) => reply.header('cache-control', 'no-store').send({ status: 'ok' }),
    );
    app.get(
      '/readyz',
      {
        config: { scope: 'open' },
        schema: {
          ...describe(
            'getReady',
            'Can it answer',
            'Names the rule sets that are loaded, with their locks verified, after a thread has run a case of each as it must come out.',
          ),
          response: {
            200: { description: 'Ready.', content: { 'application/json': { schema: Ready } } },
            ...openResponses(408, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (_request, reply) => {
        await pool.run({ kind: 'self-test', tests: selfTests }, 'single');
        const ruleSets = catalogue.names.flatMap((name) =>
          catalogue.versionsOf(name).map((s) => `${name}@${s.manifest.version}`),
        );
        return reply.header('cache-control', 'no-store').send({ status: 'ok', ruleSets });
      },
    );
    app.get(
      '/metrics',
      {
        config: { scope: 'read' },
        schema: {
          ...describe(
            'getMetrics',
            'Figures for an operator',
            'Counts and times of each operation, the rule sets that are served, and the process, in the text format of Prometheus. Nothing of a request is in it.',
          ),
          response: {
            200: { description: 'Figures.', content: { 'text/plain': { schema: z.string() } } },
            ...problemResponses(408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (_request, reply) =>
        reply
          .header('cache-control', 'no-store')
          .type(app.metrics.contentType)
          .send(await app.metrics.metrics()),
    );
    app.get(
      '/problems',
      {
        config: { scope: 'open' },
        schema: {
          ...describe(
            'listProblems',
            'All problems',
            'Every way in which a request can fail, and everything that the lint says of a rule set.',
          ),
          response: { 200: Html, ...openResponses(408, 500) },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (_request, reply) => reply.type('text/html; charset=utf-8').send(indexPage()),
    );
    const Slug = z.object({ slug: z.string().describe('Last part of a problem type.') });
    app.get(
      '/problems/:slug',
      {
        config: { scope: 'open' },
        schema: {
          ...describe(
            'getProblem',
            'One problem',
            'What it means and how to mend it. `lint-` and the id of a lint leads to the page of that lint.',
          ),
          params: Slug,
          response: { 200: Html, ...openResponses(404, 408, 500) },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { slug } = request.params as z.infer<typeof Slug>;
        const page = pageOf(slug);
        if (page === undefined)
          throw new HttpProblem('not-found', { detail: `There is no problem "${slug}".` });
        return reply.type('text/html; charset=utf-8').send(page);
      },
    );
  };
