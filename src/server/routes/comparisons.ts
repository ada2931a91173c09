/** POST /v1/comparisons */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { ComparisonAnswer, ComparisonRequest } from '../../contract/comparison.ts';
import { askedOf, REPORT_CONTENT, ReportQuery, send } from '../forms.ts';
import { postedOf } from '../tasks/posted.ts';
import { varyBy } from '../vary.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export const comparisons =
  (pool: Pool): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/comparisons',
      {
        config: { scope: 'assess' },
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'compare',
          tags: ['Assess'],
          summary: 'Compare films of one swimmer',
          description:
            'Send two or more records in time order, and what was practised in between. Every finding, measurement, cause, arm and phase gets one of five verdicts against its smallest believable change; what else differed between the films is named first. Repeats of a measurement are compared pair by pair where they carry the same clip in both records. There is no single figure of improvement.',
          body: ComparisonRequest,
          querystring: ReportQuery,
          response: {
            200: {
              description: 'What changed.',
              content: { 'application/json': { schema: ComparisonAnswer }, ...REPORT_CONTENT },
            },
            ...problemResponses(400, 406, 408, 413, 415, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const asked = askedOf(request);
        const { bytes } = await pool.run({ kind: 'compare', ...postedOf(request), ...asked }, 'single');
        return send(varyBy(reply, 'Accept'), bytes, asked, 'comparison');
      },
    );
  };
