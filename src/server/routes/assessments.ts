/** POST /v1/assessments */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { assess } from '../../assess/assess.ts';
import { AssessmentAnswer } from '../../contract/answer.ts';
import { AssessmentRequest } from '../../contract/request.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { assessmentReport } from '../../report/assessment.ts';
import { readBody, readQuery } from '../input.ts';
import { formOf, REPORT_CONTENT, ReportQuery, sendReport } from './forms.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

export const assessments =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/assessments',
      {
        config: { scope: 'assess' },
        // the handler validates: shape and words are checked together, so that one answer names every mistake
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'assess',
          tags: ['Assess'],
          summary: 'Assess a swimmer',
          description:
            'Send what was seen, measured and asked; get ranked causes with their reasons, the efficiency of each arm by phase, what to change first, drills, a session, cautions and the next look. Severity 0 means looked for and not there; leave out what was not looked at. A health sign that stops gives only cautions.',
          body: AssessmentRequest,
          querystring: ReportQuery,
          response: {
            200: {
              description: 'The assessment. `status` is stop, refer, ask-more or ok.',
              content: { 'application/json': { schema: AssessmentAnswer }, ...REPORT_CONTENT },
            },
            ...problemResponses(400, 406, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const form = formOf(request);
        const { audience = 'coach' } = readQuery(ReportQuery, request.query);
        const { ruleSet, errors } = ruleSetOf(request.body, catalogue);
        const body = readBody(AssessmentRequest, request.body, ruleSet, errors);
        const answer = await assess(body, ruleSet as RuleSet);
        reply.header('cache-control', 'no-store').header('vary', 'Accept');
        if (form === 'application/json') return reply.send(answer);
        const report = assessmentReport(answer, audience, body.coach?.remarks, ruleSet as RuleSet);
        return sendReport(reply, form, report, `assessment-${audience}`);
      },
    );
  };
