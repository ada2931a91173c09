/** POST /v1/agreement */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { AgreementAnswer, AgreementRequest } from '../../contract/agreement.ts';
import { sendData } from '../forms.ts';
import { postedOf } from '../tasks/posted.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export const agreements =
  (pool: Pool): FastifyPluginAsync =>
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
            ...problemResponses(400, 408, 413, 415, 422, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { bytes } = await pool.run({ kind: 'agree', ...postedOf(request) }, 'long');
        return sendData(reply, bytes);
      },
    );
  };
