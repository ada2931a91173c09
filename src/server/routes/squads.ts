/** POST /v1/squads: JSON, or a spreadsheet saved as CSV. */
import type { FastifyInstance, FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { z } from 'zod';
import { SQUAD_LIMITS, SquadAnswer, SquadRequest } from '../../contract/squad.ts';
import { formOf, REPORT_CONTENT, send } from '../forms.ts';
import { HttpProblem } from '../problems.ts';
import { postedOf } from '../tasks/posted.ts';
import { SquadQuery } from '../tasks/squad.ts';
import { varyBy } from '../vary.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

/** A squad is many records: so many times the largest body of one record may it be. */
const BODY_FACTOR = 8;

/** Types of body that a squad comes in. */
const SQUAD_TYPES = 'application/json, text/csv';

const CHARSET = /;\s*charset\s*=\s*"?([^";\s]+)/i;

/** Takes text/csv (RFC 7111) that says nothing else than UTF-8. */
function csvBody(app: FastifyInstance): void {
  app.addContentTypeParser('text/csv', { parseAs: 'buffer' }, (request, body, done) => {
    const charset = CHARSET.exec(request.headers['content-type'] ?? '')?.[1]?.toLowerCase() ?? 'utf-8';
    if (charset !== 'utf-8' && charset !== 'us-ascii') {
      done(
        new HttpProblem('unsupported-media-type', {
          detail: `CSV is read as UTF-8, not as ${charset}.`,
          headers: { 'accept-post': SQUAD_TYPES },
        }),
      );
      return;
    }
    done(null, body);
  });
}

const isCsv = ({ headers }: FastifyRequest): boolean =>
  (headers['content-type'] ?? '').trim().toLowerCase().startsWith('text/csv');

export const squads =
  (pool: Pool, bodyLimit: number): FastifyPluginAsync =>
  async (app) => {
    csvBody(app);
    app.post(
      '/v1/squads',
      {
        bodyLimit: BODY_FACTOR * bodyLimit,
        config: { scope: 'assess', reads: SQUAD_TYPES },
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'squad',
          tags: ['Assess'],
          summary: 'Group a squad into lanes',
          description: `Send the records of up to ${SQUAD_LIMITS.members} swimmers, the lanes and the minutes; get groups with a shared focus, one session for each, and notes for every swimmer: why in this lane, which side, which cue, what to leave out and do instead, what to mind. Pain and stop cases stand apart with the reason. As text/csv the squad is a spreadsheet with one row a swimmer, and lanes and minutes stand in the address.`,
          body: {
            content: {
              'application/json': { schema: SquadRequest },
              'text/csv': {
                schema: z
                  .string()
                  .describe('A header row, then one row a swimmer; see the guide for integrators.'),
              },
            },
          },
          querystring: SquadQuery,
          response: {
            200: {
              description: 'The groups, and who stands apart.',
              content: { 'application/json': { schema: SquadAnswer }, ...REPORT_CONTENT },
            },
            ...problemResponses(400, 406, 408, 413, 415, 422, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        // a wrong audience is told with the other mistakes, by the task
        const { audience } = request.query as { audience?: unknown };
        const asked = {
          form: formOf(request),
          audience: audience === 'swimmer' ? audience : 'coach',
        } as const;
        const task = { kind: 'squad', ...postedOf(request), ...asked } as const;
        const { bytes } = await pool.run({ ...task, csv: isCsv(request), query: request.query }, 'long');
        return send(varyBy(reply, 'Accept'), bytes, asked, 'squad');
      },
    );
  };
