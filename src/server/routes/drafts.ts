/** POST /v1/drafts/check, /try, /score and /fit */
import type { FastifyPluginAsync } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import type { z } from 'zod';
import {
  CheckAnswer,
  CheckRequest,
  FitAnswer,
  LabelledRequest,
  ScoreAnswer,
  TryAnswer,
  TryRequest,
} from '../../contract/drafts.ts';
import { sendData } from '../forms.ts';
import type { DraftTask } from '../tasks/drafts.ts';
import { postedOf } from '../tasks/posted.ts';
import type { Pool } from '../work/pool.ts';
import { problemResponses } from './responses.ts';

interface Operation {
  readonly operationId: string;
  readonly summary: string;
  readonly description: string;
  readonly body: z.ZodType;
  readonly answer: z.ZodType;
  readonly answers: string;
}

const OPERATIONS: { readonly [K in DraftTask['kind']]: Operation } = {
  check: {
    operationId: 'checkDraft',
    summary: 'Check a draft of the rules',
    description:
      'Send what to change in a rule set; see what breaks (every case by name), what looks wrong in the writing, which rules no case exercises, what differs from the base in plain words, and what changes for whom. Nothing is stored: the draft travels in the request.',
    body: CheckRequest,
    answer: CheckAnswer,
    answers: 'What the draft does.',
  },
  try: {
    operationId: 'tryDraft',
    summary: 'Try a draft on one swimmer',
    description:
      'One record assessed under the draft and under its base, with the difference explained line by line.',
    body: TryRequest,
    answer: TryAnswer,
    answers: 'Both assessments, and why they differ.',
  },
  score: {
    operationId: 'scoreDraft',
    summary: 'Score a draft on labelled records',
    description:
      'Send records with the causes that an expert named without the engine; get how far the probabilities can be trusted (Brier score and its parts, log loss, calibration, first and first three), beside those of the base, with ranges from drawing swimmers again.',
    body: LabelledRequest,
    answer: ScoreAnswer,
    answers: 'The figures, and how far to trust them.',
  },
  fit: {
    operationId: 'fitDraft',
    summary: 'Fit words to labelled records',
    description:
      'Proposes words for how often things show, fitted to labelled records and drawn towards the authored ones, with figures on swimmers that were left out. A proposal: nothing is applied by itself.',
    body: LabelledRequest,
    answer: FitAnswer,
    answers: 'Proposals, and what they are worth.',
  },
};

export const drafts =
  (pool: Pool): FastifyPluginAsync =>
  async (app) => {
    for (const [kind, operation] of Object.entries(OPERATIONS)) {
      const { operationId, summary, description, body, answer, answers } = operation;
      app.post(
        `/v1/drafts/${kind}`,
        {
          config: { scope: 'author' },
          // the task validates: shape, draft and records are checked where the draft is known
          validatorCompiler: () => (value: unknown) => ({ value }),
          schema: {
            operationId,
            tags: ['Author'],
            summary,
            description,
            body,
            response: {
              200: { description: answers, content: { 'application/json': { schema: answer } } },
              ...problemResponses(400, 408, 413, 415, 422, 500, 503),
            },
          } satisfies FastifyZodOpenApiSchema,
        },
        async (request, reply) => {
          const task = { kind: kind as DraftTask['kind'], ...postedOf(request) };
          const { bytes } = await pool.run(task, 'long');
          return sendData(reply, bytes);
        },
      );
    }
  };
