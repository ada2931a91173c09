/** POST /v1/measurements */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { MeasurementsAnswer, MeasurementsRequest } from '../../contract/measurements.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { measure } from '../../measure/measure.ts';
import { readBody } from '../input.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

export const measurements =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/measurements',
      {
        config: { scope: 'assess' },
        // the handler validates: shape and words are checked together, so that one answer names every mistake
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'measure',
          tags: ['Assess'],
          summary: 'Measure from raw data',
          description:
            'Send marked moments of the arms, timed lengths, test swims, positions or body points, each alone or together; get measurements with their standard deviations, how each came about, and messages where something is missing or looks wrong. Put the measurements into an assessment, or send the same block there as `raw`.',
          body: MeasurementsRequest,
          response: {
            200: {
              description: 'What could be measured, and what could not.',
              content: { 'application/json': { schema: MeasurementsAnswer } },
            },
            ...problemResponses(400, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const asked = ruleSetOf(request.body, catalogue);
        const { ruleSet: _, ...raw } = readBody(
          MeasurementsRequest,
          request.body,
          asked.ruleSet,
          asked.errors,
        );
        const ruleSet = asked.ruleSet as RuleSet;
        const { name, version } = ruleSet.manifest;
        const answer = { ruleSet: { name, version, digest: ruleSet.digest }, ...measure(raw, ruleSet) };
        return reply.header('cache-control', 'no-store').send(answer);
      },
    );
  };
