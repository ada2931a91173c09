/** POST /v1/assessments */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { assess } from '../../assess/assess.ts';
import { AssessmentAnswer } from '../../contract/answer.ts';
import type { ProblemError } from '../../contract/problem.ts';
import { AssessmentRequest } from '../../contract/request.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { nearest } from '../../knowledge/vocabulary.ts';
import { readBody } from '../input.ts';
import { problemResponses } from './responses.ts';

/** The rule set that a body asks for, or the error that says that there is none. */
function ruleSetOf(body: unknown, catalogue: Catalogue): RuleSet | ProblemError | undefined {
  const reference = (body as { ruleSet?: unknown } | null)?.ruleSet;
  if (reference !== undefined && typeof reference !== 'string') return catalogue.resolve(undefined);
  const found = catalogue.resolve(reference);
  if (found !== undefined) return found;
  const known = catalogue.names.flatMap((name) =>
    catalogue.versionsOf(name).map((s) => `${name}@${s.manifest.version}`),
  );
  return {
    pointer: '/ruleSet',
    code: 'unknown-rule-set',
    message: `no rule set "${reference}" is served here`,
    suggestions: reference === undefined ? known : nearest(reference, known),
  };
}

export const assessments =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/assessments',
      {
        // the handler validates: shape and words are checked together, so that one answer names every mistake
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'assess',
          tags: ['Assess'],
          summary: 'Assess a swimmer',
          description:
            'Send what was seen, measured and asked; get ranked causes with their reasons, the efficiency of each arm by phase, what to change first, drills, a session, cautions and the next look. Severity 0 means looked for and not there; leave out what was not looked at. A health sign that stops gives only cautions.',
          body: AssessmentRequest,
          response: {
            200: {
              description: 'The assessment. `status` is stop, refer, ask-more or ok.',
              content: { 'application/json': { schema: AssessmentAnswer } },
            },
            ...problemResponses(400, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const found = ruleSetOf(request.body, catalogue);
        const ruleSet = found !== undefined && 'manifest' in found ? found : undefined;
        const extra = found !== undefined && !('manifest' in found) ? [found] : [];
        const body = readBody(AssessmentRequest, request.body, ruleSet, extra);
        const answer = await assess(body, ruleSet as RuleSet);
        return reply.header('cache-control', 'no-store').send(answer);
      },
    );
  };
