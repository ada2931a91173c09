/** POST /v1/plans */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { PlanAnswer, PlanRequest } from '../../contract/plan.ts';
import { askedOf, REPORT_CONTENT, ReportQuery, send } from '../forms.ts';
import { postedOf } from '../tasks/posted.ts';
import { varyBy } from '../vary.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export const plans =
  (pool: Pool): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/plans',
      {
        config: { scope: 'assess' },
        // the task validates: shape and words are checked together, so that one answer names every mistake
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'plan',
          tags: ['Assess'],
          summary: 'Plan some weeks of work',
          description:
            'Send a record as for *Assess a swimmer*, with the sessions a week and 4, 6 or 8 weeks; get the sessions of each week, the doses added up, when to film again, what change to believe, and what to decide then. A health sign that stops gives only cautions.',
          body: PlanRequest,
          querystring: ReportQuery,
          response: {
            200: {
              description: 'The plan. `status` is stop, refer, ask-more or ok.',
              content: { 'application/json': { schema: PlanAnswer }, ...REPORT_CONTENT },
            },
            ...problemResponses(400, 406, 408, 413, 415, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const asked = askedOf(request);
        const { bytes } = await pool.run({ kind: 'plan', ...postedOf(request), ...asked }, 'single');
        return send(varyBy(reply, 'Accept'), bytes, asked, 'plan');
      },
    );
  };
