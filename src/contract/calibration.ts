/** POST /v1/drafts/score and /v1/drafts/fit: labelled records in, how good the rules are and what to change out. */
import { z } from 'zod';
import { Because, Code, Side } from './common.ts';
import { AssessmentRequest } from './request.ts';

export const LabelledCase = z
  .strictObject({
    request: AssessmentRequest,
    causes: z
      .array(z.strictObject({ code: Code, side: z.enum([...Side.options, 'both']).optional() }))
      .max(20)
      .describe(
        'Every cause that the expert names. What he does not name counts as not there; a mechanism that he does not name counts by how often its causes bring it about.',
      ),
  })
  .meta({
    id: 'LabelledCase',
    description: 'A record, and the causes that an expert found without the engine.',
  });
export type LabelledCase = z.infer<typeof LabelledCase>;

const Ranged = z
  .object({
    value: z.number(),
    range: z
      .tuple([z.number(), z.number()])
      .nullable()
      .describe('90 %, from drawing swimmers again and again; null: fewer than five swimmers.'),
  })
  .meta({ id: 'RangedFigure' });

const Bin = z
  .object({
    word: z.string().describe('The word that the coach reads for these probabilities.'),
    count: z.int(),
    meanForecast: z.number(),
    namedShare: z.number(),
    meanRange: z.tuple([z.number(), z.number()]).describe('Mean of the ranges that were stated.'),
    covered: z.boolean().describe('The share that the expert named lies within the mean range.'),
  })
  .meta({ id: 'ReliabilityBin' });

const Scores = z
  .object({
    cases: z.int(),
    swimmers: z.int(),
    forecasts: z.int().describe('One for each cause and side of each record.'),
    named: z.int().describe('Forecasts of causes that the expert named.'),
    brier: Ranged.describe('0 is perfect. Saying the share of named causes every time gives `uncertainty`.'),
    decomposition: z
      .object({
        reliability: z.number(),
        resolution: z.number(),
        uncertainty: z.number(),
        withinGroups: z.number(),
      })
      .describe('brier = reliability - resolution + uncertainty + withinGroups, over the reliability table.'),
    skill: z
      .number()
      .nullable()
      .describe('1 - brier / uncertainty; null when nothing or everything was named.'),
    logLoss: Ranged,
    calibrationError: z.number(),
    slope: Ranged.describe('Under 1: too sure; over 1: too shy. Drawn towards 1 where there is little.'),
    intercept: z.number(),
    topOne: Ranged.nullable().describe('Share of records whose first listed cause the expert named.'),
    topThree: Ranged.nullable(),
    rangeCoverage: z
      .number()
      .describe('Share of the forecasts that stand in a line of the table whose range covers what came.'),
    reliability: z.array(Bin),
  })
  .meta({ id: 'CalibrationScores' });
export type Scores = z.infer<typeof Scores>;

export const CauseScore = z
  .object({
    cause: z.string(),
    label: z.string(),
    named: z.int(),
    meanForecast: z.number(),
    brier: z.number(),
    logLoss: z.number(),
    because: Because,
  })
  .meta({ id: 'CauseScore' });
export type CauseScore = z.infer<typeof CauseScore>;
export type Ranged = z.infer<typeof Ranged>;
export type ReliabilityBin = z.infer<typeof Bin>;

const Word = z.object({ word: z.string(), value: z.number() });

export const FitProposal = z
  .object({
    part: z.enum(['links', 'findings']),
    id: z.string(),
    field: z.enum(['shows', 'background']),
    from: Word,
    to: Word,
    fitted: z.number().describe('The fitted frequency; `to` is the nearest word.'),
    swimmers: z
      .int()
      .describe(
        'Swimmers that speak to it: with this as the only cause of it for `shows`, with none of its causes for `background`.',
      ),
    text: z.string(),
  })
  .meta({ id: 'FitProposal' });
export type FitProposal = z.infer<typeof FitProposal>;

export const Fitted = z
  .object({
    proposals: z.array(FitProposal).describe('Nothing is applied by itself.'),
    draft: z
      .object({ upsert: z.object({ links: z.array(z.unknown()), findings: z.array(z.unknown()) }) })
      .describe('The proposals as a draft, to check and to try.'),
    leftOut: z
      .object({ before: Scores, after: Scores })
      .describe(
        'Both on swimmers that the words were not fitted on: as authored, and as proposed. Up to fifty swimmers are left out one by one, more of them in fifty groups.',
      ),
    authoredSwimmers: z.int().describe('Each authored number counts as much as this many swimmers.'),
    because: Because,
  })
  .meta({ id: 'Fitted' });
export type Fitted = z.infer<typeof Fitted>;

export const ScoredRuleSet = z
  .object({
    because: z.array(Because).describe('How far to trust the figures, and what they say.'),
    overall: Scores,
    causes: z.array(CauseScore),
  })
  .meta({ id: 'ScoredRuleSet' });
export type ScoredRuleSet = z.infer<typeof ScoredRuleSet>;
