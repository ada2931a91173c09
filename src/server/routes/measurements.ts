/** POST /v1/measurements */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { MeasurementsAnswer, MeasurementsRequest } from '../../contract/measurements.ts';
import { sendData } from '../forms.ts';
import { postedOf } from '../tasks/posted.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export const measurements =
  (pool: Pool): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/measurements',
      {
        config: { scope: 'assess' },
        // the task validates: shape and words are checked together, so that one answer names every mistake
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
            ...problemResponses(400, 408, 413, 415, 422, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { bytes } = await pool.run({ kind: 'measure', ...postedOf(request) }, 'long');
        return sendData(reply, bytes);
      },
    );
  };
