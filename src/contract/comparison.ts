/** POST /v1/comparisons: what changed between films of one swimmer. */
import { z } from 'zod';
import { Because, Code, Side } from './common.ts';
import { AssessmentRequest } from './request.ts';

const CauseSide = { cause: Code, side: z.enum(['body', 'left', 'right', 'both']).optional() };

export const ComparisonRequest = z
  .strictObject({
    records: z
      .array(
        z.strictObject({
          at: z.iso.datetime({ offset: true }).describe('When it was filmed. Records stand in time order.'),
          label: z.string().min(1).max(80).optional(),
          request: AssessmentRequest,
        }),
      )
      .min(2)
      .max(50),
    between: z
      .array(
        z.strictObject({
          focus: z.strictObject(CauseSide),
          drills: z.array(Code).max(20).optional(),
          sessions: z.int().min(0).max(500),
        }),
      )
      .max(20)
      .optional()
      .describe('What was practised between the first and the last film.'),
    weeks: z.number().min(1).max(26).optional().describe('Weeks until the next film. Left out: three.'),
  })
  .meta({
    id: 'ComparisonRequest',
    description: 'Two or more records of one swimmer, one rule set for all.',
  });

export const VERDICTS = [
  'clear-change',
  'possible-change',
  'no-change-seen',
  'worse',
  'not-comparable',
] as const;

export const Change = z
  .object({
    kind: z.enum(['finding', 'measurement', 'cause', 'efficiency']),
    code: z.string(),
    label: z.string(),
    side: Side,
    phase: z.string().optional(),
    verdict: z
      .enum(VERDICTS)
      .describe(
        'clear-change and worse need two witnesses: the eye and a number, or two looks. One witness is a possible-change.',
      ),
    direction: z.enum(['better', 'worse', 'none']),
    before: z.number().nullable(),
    after: z.number().nullable(),
    smallestBelievable: z
      .number()
      .nullable()
      .describe('The smallest change to believe, in the unit of the item.'),
    because: Because,
  })
  .meta({ id: 'Change' });

export const Condition = z
  .object({ code: z.string(), before: z.string(), after: z.string(), blocks: z.boolean(), text: z.string() })
  .meta({
    id: 'Condition',
    description: 'What else differed between the films; blocks: filmed items are not comparable.',
  });

export const FocusAdvice = z
  .object({
    cause: z.string(),
    label: z.string(),
    side: z.enum(['body', 'left', 'right', 'both']),
    advice: z.enum(['close', 'keep', 'change-drill', 'doubt-cause']),
    because: Because,
  })
  .meta({ id: 'FocusAdvice' });

export const Trend = z
  .object({
    kind: z.enum(['finding', 'measurement', 'cause']),
    code: z.string(),
    label: z.string(),
    side: Side,
    values: z.array(z.object({ at: z.string(), value: z.number().nullable() })),
  })
  .meta({ id: 'Trend', description: 'An item over all films, for three records and more.' });

export const ComparisonAnswer = z
  .object({
    ruleSet: z.object({ name: z.string(), version: z.string(), digest: z.string() }),
    from: z.object({ at: z.string(), label: z.string().nullable() }),
    to: z.object({ at: z.string(), label: z.string().nullable() }),
    summary: z.string(),
    conditions: z.array(Condition),
    changes: z.array(Change),
    focus: z.array(FocusAdvice),
    trends: z.array(Trend),
    nextFilm: z.string().describe('Date of the next film.'),
    messages: z.array(Because),
  })
  .meta({ id: 'ComparisonAnswer' });

export type ComparisonRequest = z.infer<typeof ComparisonRequest>;
export type ComparisonAnswer = z.infer<typeof ComparisonAnswer>;
export type Change = z.infer<typeof Change>;
export type Condition = z.infer<typeof Condition>;
export type FocusAdvice = z.infer<typeof FocusAdvice>;
export type Trend = z.infer<typeof Trend>;
export type Verdict = (typeof VERDICTS)[number];
