/** POST /v1/comparisons */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { compare } from '../../compare/compare.ts';
import { ComparisonAnswer, ComparisonRequest } from '../../contract/comparison.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { comparisonReport } from '../../report/comparison.ts';
import { invalid, readBody, readQuery } from '../input.ts';
import { acrossRecords, rulesForAll } from './comparison-input.ts';
import { formOf, REPORT_CONTENT, ReportQuery, sendReport } from './forms.ts';
import { problemResponses } from './responses.ts';

export const comparisons =
  (catalogue: Catalogue): FastifyPluginAsync =>
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
            ...problemResponses(400, 406, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const form = formOf(request);
        const { audience = 'coach' } = readQuery(ReportQuery, request.query);
        const { ruleSet, errors } = rulesForAll(request.body, catalogue);
        const body = readBody(ComparisonRequest, request.body, ruleSet, errors);
        const across = acrossRecords(body);
        if (across.length > 0) throw invalid(across);
        const answer = await compare(body, ruleSet as RuleSet);
        if ('stopped' in answer) {
          const message = 'a health sign stops this record, so there is nothing to compare';
          throw invalid([
            { pointer: `/records/${answer.stopped}/request/health`, code: 'health-stop', message },
          ]);
        }
        reply.header('cache-control', 'no-store').header('vary', 'Accept');
        if (form === 'application/json') return reply.send(answer);
        const remarks = body.records.at(-1)?.request.coach?.remarks;
        const report = comparisonReport(answer, audience, remarks, ruleSet as RuleSet);
        return sendReport(reply, form, report, `comparison-${audience}`);
      },
    );
  };
