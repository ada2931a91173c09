/** POST /v1/comparisons */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { compare } from '../../compare/compare.ts';
import { ComparisonAnswer, ComparisonRequest } from '../../contract/comparison.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { invalid, readBody } from '../input.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

type Records = { records?: { request?: unknown }[] };

/** One rule set for all records: a change must not come from a change of the rules. */
function oneRuleSet(
  body: unknown,
  catalogue: Catalogue,
): { ruleSet: RuleSet | undefined; errors: ProblemError[] } {
  const { records } = (body ?? {}) as Records;
  const list = Array.isArray(records) ? records : [];
  const asked = list.map((r, i) => ({ i, ...ruleSetOf(r?.request, catalogue, `/records/${i}/request`) }));
  const first = asked[0]?.ruleSet ?? catalogue.resolve(undefined);
  const others = asked
    .filter((a) => a.ruleSet !== undefined && a.ruleSet !== first)
    .map((a) => ({
      pointer: `/records/${a.i}/request/ruleSet`,
      code: 'other-rule-set',
      message: 'all records must use one rule set',
    }));
  return { ruleSet: first, errors: [...asked.flatMap((a) => a.errors), ...others] };
}

function outOfOrder({ records }: ComparisonRequest): ProblemError[] {
  return records.flatMap((r, i) => {
    const before = records[i - 1];
    return before !== undefined && Date.parse(r.at) < Date.parse(before.at)
      ? [{ pointer: `/records/${i}/at`, code: 'out-of-order', message: 'records must stand in time order' }]
      : [];
  });
}

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
            'Send two or more records in time order, and what was practised in between. Every finding, measurement, cause, arm and phase gets one of five verdicts against its smallest believable change; what else differed between the films is named first.',
          body: ComparisonRequest,
          response: {
            200: {
              description: 'What changed.',
              content: { 'application/json': { schema: ComparisonAnswer } },
            },
            ...problemResponses(400, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { ruleSet, errors } = oneRuleSet(request.body, catalogue);
        const body = readBody(ComparisonRequest, request.body, ruleSet, errors);
        const order = outOfOrder(body);
        if (order.length > 0) throw invalid(order);
        const answer = await compare(body, ruleSet as RuleSet);
        if ('stopped' in answer) {
          const message = 'a health sign stops this record, so there is nothing to compare';
          throw invalid([
            { pointer: `/records/${answer.stopped}/request/health`, code: 'health-stop', message },
          ]);
        }
        return reply.header('cache-control', 'no-store').send(answer);
      },
    );
  };
