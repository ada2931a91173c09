/** POST /v1/comparisons: what changed between films of one swimmer. */
import { z } from 'zod';
import { Caution, Restriction } from './answer.ts';
import { Because, Code, Side } from './common.ts';
import { PlanAnswer, PlanWeeks, SessionsPerWeek } from './plan.ts';
import { PLAN_WEEKS } from './plan-words.ts';
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
          sessions: z.int().min(0).max(500).describe('How often it was practised.'),
        }),
      )
      .max(20)
      .optional()
      .describe('What was practised between the first and the last film: one entry for each try of a focus.'),
    weeks: z
      .number()
      .min(1)
      .max(26)
      .optional()
      .describe(
        'Weeks until the next film; with sessionsPerWeek the length of the next plan. Left out: three.',
      ),
    sessionsPerWeek: SessionsPerWeek.optional().describe(
      'Asks for the next plan, made for the last record; weeks must then be 4, 6 or 8.',
    ),
  })
  .superRefine(({ sessionsPerWeek, weeks }, context) => {
    if (sessionsPerWeek === undefined || PlanWeeks.safeParse(weeks).success) return;
    const message = `a plan takes ${PLAN_WEEKS.join(', ')} weeks`;
    context.addIssue({ code: 'custom', path: ['weeks'], message, params: { code: 'not-allowed' } });
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

const Interval = { low: z.number(), high: z.number() };

/** How repeats or stated deviations were put to use. */
export const Statistics = z
  .object({
    method: z
      .enum(['paired', 'unpaired', 'stated'])
      .describe(
        'paired: repeats that carry the same clip in both films, pair by pair; unpaired: two groups of repeats; stated: from the standard deviations of the entries.',
      ),
    count: z
      .object({ before: z.int(), after: z.int(), withoutPartner: z.int() })
      .describe('Values used of each film, and values left out because the other film has no such clip.'),
    difference: z.number().describe('After minus before.'),
    ...Interval,
    standardError: z.number().optional(),
    freedom: z.int().optional().describe('Degrees of freedom of the t-interval.'),
    pairs: z.int().optional(),
    standardDeviation: z.number().optional().describe('Of the differences of the pairs.'),
    typicalError: z.number().optional().describe('Error of one reading: that deviation by the root of 2.'),
    agreement: z.object(Interval).optional().describe('Limits of agreement: where a single pair may lie.'),
  })
  .meta({ id: 'ChangeStatistics', description: 'low and high: 95 % interval of the difference.' });

export const Change = z
  .object({
    kind: z.enum(['finding', 'measurement', 'cause', 'efficiency']),
    code: z.string(),
    label: z.string(),
    unit: z.string().optional(),
    site: z.string().optional().describe('Where the pain is.'),
    side: Side,
    phase: z.string().optional(),
    verdict: z
      .enum(VERDICTS)
      .describe(
        'clear-change and worse need two witnesses: the eye and a number, two views, or repeats whose interval leaves zero out beside a limit that was passed. One witness is a possible-change. Any rise of pain is worse at once.',
      ),
    direction: z.enum(['better', 'worse', 'none']),
    before: z.number().nullable(),
    after: z.number().nullable(),
    smallestBelievable: z
      .number()
      .nullable()
      .describe('The smallest change to believe, in the unit of the item.'),
    holdsFor: z.string().optional().describe('Under which conditions that limit holds.'),
    statistics: Statistics.optional(),
    because: Because,
  })
  .meta({ id: 'Change' });

export const Condition = z
  .object({ code: z.string(), before: z.string(), after: z.string(), blocks: z.boolean(), text: z.string() })
  .meta({
    id: 'Condition',
    description: 'What else differed between the films; blocks: filmed items are not comparable.',
  });

const CauseRef = z.object({
  cause: z.string(),
  label: z.string(),
  side: z.enum(['body', 'left', 'right', 'both']),
});

export const FocusAdvice = z
  .object({
    ...CauseRef.shape,
    advice: z.enum(['close', 'keep', 'exchange']),
    change: z
      .enum(['nothing', 'drill', 'cause'])
      .describe('What to change: after one honest try without a change the drill, after two the cause.'),
    sessions: z.int().describe('How often it was practised, all tries together.'),
    tries: z.int().describe('Honest tries among them.'),
    because: Because,
    drills: z
      .array(z.object({ code: z.string(), name: z.string() }))
      .describe('For another drill: what the last record offers for this cause and was not practised yet.'),
    looks: z
      .array(z.object({ code: z.string(), label: z.string(), side: Side, view: z.string() }))
      .describe('For another cause: the looks that would tell it from its neighbours.'),
    instead: CauseRef.nullable().describe('What the last record would work on instead.'),
  })
  .meta({ id: 'FocusAdvice' });

export const Trend = z
  .object({
    kind: z.enum(['finding', 'measurement', 'cause', 'efficiency']),
    code: z.string(),
    label: z.string(),
    unit: z.string().optional(),
    site: z.string().optional().describe('Where the pain is.'),
    side: Side,
    values: z.array(
      z.object({
        at: z.string(),
        value: z.number().nullable(),
        comparable: z
          .boolean()
          .describe('False where the pace of this film forbids to hold it against the last.'),
      }),
    ),
    perWeek: z
      .object({ estimate: z.number(), ...Interval })
      .nullable()
      .describe('Slope of a line through the comparable values of a measurement, with its 95 % interval.'),
    direction: z
      .enum(['better', 'worse', 'none'])
      .describe('Where the slope leaves zero out and the change over all films passes its limit; else none.'),
  })
  .meta({ id: 'Trend', description: 'An item over all films, for three records and more.' });

const FilmRef = z.object({ at: z.string(), label: z.string().nullable() });
const Head = {
  ruleSet: z.object({ name: z.string(), version: z.string(), digest: z.string() }),
  from: FilmRef,
  to: FilmRef,
  summary: z.string(),
  cautions: z.array(Caution).describe('Of the last record.'),
};

/** A health sign in the last record comes before any comparison. */
export const StoppedComparison = z.object({ ...Head, status: z.literal('stop') }).meta({
  id: 'StoppedComparison',
  description: 'A health sign stops everything: only the cautions are given.',
});

export const FullComparison = z
  .object({
    ...Head,
    status: z.enum(['refer', 'ask-more', 'ok']).describe('Of the last record.'),
    conditions: z.array(Condition),
    changes: z.array(Change),
    focus: z.array(FocusAdvice),
    trends: z.array(Trend),
    nextFilm: z.string().describe('Date of the next film, counted from the day of the last one.'),
    restrictions: z.array(Restriction).describe('Of the last record.'),
    messages: z.array(Because),
    nextPlan: PlanAnswer.optional().describe(
      'With sessionsPerWeek: the plan of the last record, without the drills and causes that were tried in vain.',
    ),
  })
  .meta({ id: 'FullComparison' });

export const ComparisonAnswer = z
  .discriminatedUnion('status', [StoppedComparison, FullComparison])
  .meta({ id: 'ComparisonAnswer' });

export type ComparisonRequest = z.infer<typeof ComparisonRequest>;
export type ComparisonAnswer = z.infer<typeof ComparisonAnswer>;
export type FullComparison = z.infer<typeof FullComparison>;
export type Change = z.infer<typeof Change>;
export type Condition = z.infer<typeof Condition>;
export type FocusAdvice = z.infer<typeof FocusAdvice>;
export type Trend = z.infer<typeof Trend>;
export type Verdict = (typeof VERDICTS)[number];
