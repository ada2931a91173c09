/** POST /v1/assessments/batch */
import { Readable } from 'node:stream';
import type { FastifyPluginAsync, FastifyReply } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { BatchItem, BatchLine, BatchQuery, NDJSON } from '../../contract/batch.ts';
import { PreferenceApplied, Preferences } from '../../contract/minimal-answer.ts';
import { answerLines } from '../batch/answers.ts';
import { batchBody } from '../batch/body.ts';
import type { Settings } from '../config.ts';
import type { DecisionLog } from '../decision-log.ts';
import { readQuery } from '../input.ts';
import { prefersMinimal } from '../prefer.ts';
import { HttpProblem } from '../problems.ts';
import { varyBy } from '../vary.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

export type BatchSettings = Pick<
  Settings,
  'BATCH_LIMIT' | 'BATCH_LINES' | 'BATCH_LINE_LIMIT_BYTES' | 'BATCH_BODY_LIMIT_BYTES'
>;

/** The longest timer that there is. */
const NO_LIMIT_MS = 2 ** 31 - 1;

/** Sends the head before the first answer is ready: a client that waits for it must not wait for the work. */
async function* withHead<T>(reply: FastifyReply, answers: AsyncIterable<T>): AsyncGenerator<T, void, void> {
  // the first read comes once the headers are set
  reply.raw.flushHeaders();
  yield* answers;
}

export const batch =
  (pool: Pool, settings: BatchSettings, decisions: DecisionLog | undefined): FastifyPluginAsync =>
  async (app) => {
    let open = 0;

    // this address reads NDJSON and nothing else, and reads it itself
    app.removeAllContentTypeParsers();
    app.addContentTypeParser(NDJSON, (_request, payload, done) => done(null, payload));

    app.post(
      '/v1/assessments/batch',
      {
        validatorCompiler: () => (value: unknown) => ({ value }),
        handlerTimeout: NO_LIMIT_MS,
        config: { scope: 'assess', reads: NDJSON, streams: true },
        schema: {
          operationId: 'batch',
          tags: ['Assess'],
          summary: 'Assess many swimmers',
          description:
            'Send one item a line, `{"id": …, "request": …}`, where `request` is what *Assess a swimmer* takes; get one line for each, `{"id": …, "answer": …}` or `{"id": …, "line": …, "problem": …}`. A line that is wrong never stops the others. A body with a Content-Length is read whole before the first answer; a chunked body is answered while it arrives, so read while you send. To go on after a broken connection, send the ids again that have no answer.',
          body: { content: { [NDJSON]: { schema: BatchItem } } },
          querystring: BatchQuery,
          headers: Preferences,
          response: {
            200: {
              description: 'One line for every line of the request.',
              headers: PreferenceApplied,
              content: { [NDJSON]: { schema: BatchLine } },
            },
            ...problemResponses(400, 408, 413, 415, 500, 503),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { order = 'input' } = readQuery(BatchQuery, request.query);
        if (request.body === undefined) throw new HttpProblem('unsupported-media-type');
        if (open >= settings.BATCH_LIMIT)
          throw new HttpProblem('overloaded', { headers: { 'retry-after': '1', connection: 'close' } });
        open++;
        reply.raw.once('close', () => {
          open--;
        });
        const body = await batchBody(request.raw, settings.BATCH_BODY_LIMIT_BYTES);
        const minimal = prefersMinimal(request.headers.prefer);
        const answers = withHead(
          reply,
          answerLines(body, {
            pool,
            lineLimit: settings.BATCH_LINE_LIMIT_BYTES,
            lines: settings.BATCH_LINES,
            order,
            minimal,
            closing: () => app.closing.begun,
            onDecision: (decision) => decisions?.write(request.id, decision),
            onError: (error) => request.log.error({ err: error }, 'a line of a batch failed'),
          }),
        );
        if (minimal) reply.header('preference-applied', 'return=minimal');
        return varyBy(reply, 'Prefer')
          .type(NDJSON)
          .header('cache-control', 'no-store')
          .send(Readable.from(answers, { objectMode: false }));
      },
    );
  };
