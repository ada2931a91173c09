/** POST /v1/agreement */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { agreement } from '../../authoring/agreement/agreement.ts';
import { sidesOf } from '../../authoring/agreement/items.ts';
import { AgreementAnswer, AgreementRequest } from '../../contract/agreement.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { checkVocabulary } from '../../knowledge/vocabulary.ts';
import { invalid, readBody } from '../input.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

/** A rating uses the words of an observation in a record. */
function wordErrors(body: unknown, ruleSet: RuleSet): ProblemError[] {
  const { ratings } = (body ?? {}) as { ratings?: unknown };
  return checkVocabulary({ observations: ratings }, ruleSet).map(
    (e) => ({ ...e, pointer: e.pointer.replace(/^\/observations/, '/ratings') }) as ProblemError,
  );
}

/** Two ratings of the same thing by one observer: only he knows which one he means. */
function ratedTwice({ ratings }: AgreementRequest): ProblemError[] {
  const first = new Map<string, number>();
  return ratings.flatMap((rating, i) => {
    const keys = sidesOf(rating).map((side) =>
      JSON.stringify([rating.observer, rating.swim, rating.code, side]),
    );
    const before = keys.map((key) => first.get(key)).find((at) => at !== undefined);
    for (const key of keys) first.set(key, first.get(key) ?? i);
    if (before === undefined) return [];
    const message = `this observer rated the same already in /ratings/${before}; give a second look another observer or swim`;
    return [{ pointer: `/ratings/${i}`, code: 'rated-twice', message }];
  });
}

export const agreements =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/agreement',
      {
        config: { scope: 'author' },
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'agree',
          tags: ['Author'],
          summary: 'How far observers agree',
          description:
            'Several observers rate the same swims on their own; get agreement beyond chance for each observation (is it there, and how marked is it), with its interval, and which observations need a better definition. Rules cannot be better than what goes in.',
          body: AgreementRequest,
          response: {
            200: {
              description: 'Agreement, observation by observation.',
              content: { 'application/json': { schema: AgreementAnswer } },
            },
            ...problemResponses(400, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { ruleSet, errors } = ruleSetOf(request.body, catalogue);
        const words = ruleSet === undefined ? [] : wordErrors(request.body, ruleSet);
        const body = readBody(AgreementRequest, request.body, ruleSet, [...errors, ...words]);
        const twice = ratedTwice(body);
        if (twice.length > 0) throw invalid(twice);
        return reply.header('cache-control', 'no-store').send(agreement(body, ruleSet as RuleSet));
      },
    );
  };
