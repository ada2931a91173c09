/** POST /v1/assessments */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { z } from 'zod';
import { AssessmentAnswer } from '../../contract/answer.ts';
import { MinimalAnswer, PreferenceApplied, Preferences } from '../../contract/minimal-answer.ts';
import { AssessmentRequest } from '../../contract/request.ts';
import type { DecisionLog } from '../decision-log.ts';
import { askedOf, REPORT_CONTENT, ReportQuery, send } from '../forms.ts';
import { prefersMinimal } from '../prefer.ts';
import { postedOf } from '../tasks/posted.ts';
import { varyBy } from '../vary.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export const assessments =
  (pool: Pool, decisions: DecisionLog | undefined): FastifyPluginAsync =>
  async (app) => {
    app.post(
      '/v1/assessments',
      {
        config: { scope: 'assess' },
        // the task validates: shape and words are checked together, so that one answer names every mistake
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'assess',
          tags: ['Assess'],
          summary: 'Assess a swimmer',
          description:
            'Send what was seen, measured and asked; get ranked causes with their reasons, the efficiency of each arm by phase, what to change first, drills, a session, cautions and the next look. Severity 0 means looked for and not there; leave out what was not looked at. A health sign that stops gives only cautions.',
          body: AssessmentRequest,
          querystring: ReportQuery,
          headers: Preferences,
          response: {
            200: {
              description: 'The assessment. `status` is stop, refer, ask-more or ok.',
              headers: PreferenceApplied,
              content: {
                'application/json': { schema: z.union([AssessmentAnswer, MinimalAnswer]) },
                ...REPORT_CONTENT,
              },
            },
            ...problemResponses(400, 406, 408, 413, 415, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const asked = askedOf(request);
        const minimal = asked.form === 'application/json' && prefersMinimal(request.headers.prefer);
        const { bytes, decision } = await pool.run(
          { kind: 'assess', ...postedOf(request), ...asked, minimal },
          'single',
        );
        if (decision !== undefined) decisions?.write(request.id, decision);
        varyBy(reply, 'Accept, Prefer');
        if (minimal) reply.header('preference-applied', 'return=minimal');
        return send(reply, bytes, asked, 'assessment');
      },
    );
  };
