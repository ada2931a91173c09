/** POST /v1/agreement: several observers of the same swims in, how far they agree out. */
import { z } from 'zod';
import { Because, Code, Side } from './common.ts';

const Rating = z
  .strictObject({
    observer: z.string().min(1).max(64).describe('Who looked: a reference, never a name.'),
    swim: z
      .string()
      .min(1)
      .max(64)
      .describe('Which swim: one film, or one length. All observers must have seen the same.'),
    code: Code.describe('An observation of the rule set.'),
    side: z.enum([...Side.options, 'both']).optional(),
    severity: z.int().min(0).max(3).describe('0: looked for and not there. Left out lines count nothing.'),
  })
  .meta({ id: 'Rating' });
export type Rating = z.infer<typeof Rating>;

const MOST_OBSERVERS = 12;
const MOST_SWIMS = 200;

/** Every pair of observers is weighed once for every swim left out: the work grows with both, so both are bounded. */
function boundedStudy({ ratings }: { ratings: readonly Rating[] }, ctx: z.core.$RefinementCtx): void {
  const bounds = [
    ['observers', new Set(ratings.map((r) => r.observer)).size, MOST_OBSERVERS],
    ['swims', new Set(ratings.map((r) => r.swim)).size, MOST_SWIMS],
  ] as const;
  for (const [what, count, most] of bounds) {
    if (count <= most) continue;
    const message = `${count} ${what}, at most ${most} in one request`;
    ctx.addIssue({ code: 'custom', path: ['ratings'], message, params: { code: 'too-big' } });
  }
}

export const AgreementRequest = z
  .strictObject({
    ruleSet: z
      .string()
      .max(120)
      .optional()
      .describe('name, name@version or name@range; left out: the newest version of front-crawl.'),
    ratings: z
      .array(Rating)
      .min(1)
      .max(5000)
      .describe(`Of at most ${MOST_OBSERVERS} observers and ${MOST_SWIMS} swims.`),
  })
  .superRefine(boundedStudy)
  .meta({ id: 'AgreementRequest', description: 'Every observer rates on his own, before anyone talks.' });

const Figure = z
  .object({
    kappa: z.number().nullable().describe('Agreement beyond chance, -1 to 1; null: it cannot be told.'),
    agreement: z.number().describe('Share of the looks that agree, 0 to 1, chance included.'),
    interval: z.tuple([z.number(), z.number()]).nullable().describe('95 %; null: too few swims.'),
    method: z.enum(['cohen', 'cohen-linear', 'fleiss', 'mean-of-pairs']),
    items: z.int(),
  })
  .meta({ id: 'AgreementFigure' });

const Pair = z
  .object({
    observers: z.tuple([z.string(), z.string()]),
    present: Figure,
    severity: Figure,
    table: z
      .array(z.array(z.int()))
      .describe('4 by 4 counts of severities: row is the first observer, column the second.'),
  })
  .meta({ id: 'AgreementOfPair' });

const Observation = z
  .object({
    code: z.string(),
    label: z.string(),
    verdict: z.enum(['holds', 'watch', 'redefine', 'one-sided', 'too-few']),
    because: Because,
    swims: z.int(),
    items: z.int().describe('Swims, and arms of swims, that at least two observers rated.'),
    observers: z.array(
      z.object({ observer: z.string(), rated: z.int(), marked: z.int().describe('Severity 1 or more.') }),
    ),
    prevalence: z
      .number()
      .nullable()
      .describe('Share of the ratings that say present. Near 0 or 1, kappa falls although observers agree.'),
    adjusted: z
      .number()
      .nullable()
      .describe('2 x agreement - 1: kappa as it would be if half the swims showed it.'),
    present: Figure.nullable().describe('Is it there at all?'),
    severity: Figure.nullable().describe('How marked is it? Near misses count in part.'),
    pairs: z.array(Pair),
    definition: z.object({ howToJudge: z.string(), anchors: z.array(z.string()) }),
  })
  .meta({ id: 'AgreementOnObservation' });

export const AgreementAnswer = z
  .object({
    ruleSet: z.object({ name: z.string(), version: z.string(), digest: z.string() }),
    summary: z.string(),
    redefine: z.array(z.string()).describe('Observations that need a better definition, the worst first.'),
    observations: z.array(Observation),
    messages: z.array(Because),
  })
  .meta({ id: 'AgreementAnswer' });

export type AgreementRequest = z.infer<typeof AgreementRequest>;
export type AgreementFigure = z.infer<typeof Figure>;
export type AgreementOfPair = z.infer<typeof Pair>;
export type AgreementOnObservation = z.infer<typeof Observation>;
export type AgreementAnswer = z.infer<typeof AgreementAnswer>;
