/** POST /v1/plans */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { PlanAnswer, PlanRequest } from '../../contract/plan.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { plan } from '../../plan/plan.ts';
import { planReport } from '../../report/plan.ts';
import { readBody, readQuery } from '../input.ts';
import { formOf, REPORT_CONTENT, ReportQuery, sendReport } from './forms.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

export const plans =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/plans',
      {
        config: { scope: 'assess' },
        // the handler validates: shape and words are checked together, so that one answer names every mistake
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
            ...problemResponses(400, 406, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const form = formOf(request);
        const { audience = 'coach' } = readQuery(ReportQuery, request.query);
        const { ruleSet, errors } = ruleSetOf(request.body, catalogue);
        const body = readBody(PlanRequest, request.body, ruleSet, errors);
        const answer = await plan(body, ruleSet as RuleSet);
        reply.header('cache-control', 'no-store').header('vary', 'Accept');
        if (form === 'application/json') return reply.send(answer);
        const report = planReport(answer, audience, body.coach?.remarks, ruleSet as RuleSet);
        return sendReport(reply, form, report, `plan-${audience}`);
      },
    );
  };
