/** POST /v1/assessments/batch: NDJSON, one item a line in and one answer a line out. */
import { z } from 'zod';
import { AssessmentAnswer } from './answer.ts';
import { CallerId } from './common.ts';
import { MinimalAnswer } from './minimal-answer.ts';
import { Problem } from './problem.ts';
import { AssessmentRequest } from './request.ts';

/** One JSON value a line, lines ended by a line feed. */
export const NDJSON = 'application/x-ndjson';

const ItemId = CallerId.describe(
  "The caller's own name for this item, once in a batch. Echoed, never logged.",
);

export const BatchItem = z
  .strictObject({ id: ItemId, request: AssessmentRequest })
  .meta({ id: 'BatchItem', description: 'One line of the request.' });

const Answered = z.object({ id: ItemId, answer: z.union([AssessmentAnswer, MinimalAnswer]) });
const Failed = z.object({
  id: ItemId.optional().describe('Left out when the line does not tell.'),
  line: z.int().min(1).describe('Number of the line in the request, from 1.'),
  problem: Problem.describe('What POST /v1/assessments would say; pointers lead into the line.'),
});

export const BatchLine = z
  .union([Answered, Failed])
  .meta({ id: 'BatchLine', description: 'One line of the answer: an answer or a problem.' });

export const BatchQuery = z.object({
  order: z
    .enum(['input', 'any'])
    .optional()
    .describe(
      'input: answers stand in the order of the request. any: each is sent once it is ready. Left out: input.',
    ),
});

export type BatchItem = z.infer<typeof BatchItem>;
export type BatchLine = z.infer<typeof BatchLine>;
export type BatchQuery = z.infer<typeof BatchQuery>;
