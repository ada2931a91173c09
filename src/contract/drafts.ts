/** POST /v1/drafts/check, /try, /score and /fit: a draft of a rule set travels in the request and is never stored. */
import { z } from 'zod';
import { AssessmentAnswer } from './answer.ts';
import { Fitted, LabelledCase, ScoredRuleSet } from './calibration.ts';
import { Side } from './common.ts';
import { AssessmentRequest } from './request.ts';

export const DRAFT_LIMITS = { records: 50, labelled: 300 } as const;

export const DraftBody = z
  .strictObject({
    upsert: z
      .record(z.string(), z.unknown())
      .optional()
      .describe(
        'By part (`links`, `causes`, `drills` …): entries to add or change. An entry that is not whole changes only the fields that it names, and null takes a field away. Its words stand in its own field `text`, or under `texts`.',
      ),
    remove: z
      .record(z.string(), z.unknown())
      .optional()
      .describe('By part: ids or codes of entries that go, with their words.'),
  })
  .meta({ id: 'Draft', description: 'What to change in a rule set.' });

const DraftStand = {
  base: z
    .string()
    .max(120)
    .nullable()
    .describe(
      'What the draft stands on, such as front-crawl@1.0.0. null: nothing of a stroke, only the health gate, the cautions and the fixed words that every rule set needs.',
    ),
  draft: DraftBody,
};

export const CheckRequest = z
  .strictObject({
    ...DraftStand,
    records: z
      .array(AssessmentRequest)
      .max(DRAFT_LIMITS.records)
      .optional()
      .describe('Records to see the impact on; left out: those of the cases.'),
  })
  .meta({ id: 'DraftCheckRequest' });
export type CheckRequest = z.infer<typeof CheckRequest>;

export const TryRequest = z
  .strictObject({
    ...DraftStand,
    records: z.array(AssessmentRequest).length(1).describe('The one record to assess under both.'),
  })
  .meta({ id: 'DraftTryRequest' });
export type TryRequest = z.infer<typeof TryRequest>;

export const LabelledRequest = z
  .strictObject({
    ...DraftStand,
    cases: z
      .array(LabelledCase)
      .min(1)
      .max(DRAFT_LIMITS.labelled)
      .describe(
        'Records with the causes that an expert named without the engine. `swimmer.ref` says which are of one swimmer.',
      ),
  })
  .meta({ id: 'DraftLabelledRequest' });
export type LabelledRequest = z.infer<typeof LabelledRequest>;

const RuleSetName = z.object({ name: z.string(), version: z.string(), digest: z.string() });
const Figure = z
  .object({ all: z.int(), seen: z.int(), share: z.number().min(0).max(1) })
  .meta({ id: 'CoverageFigure' });
const Pointer = z.string().describe('JSON Pointer into the request; empty where the base says it.');

const CaseFailure = z
  .object({
    id: z.string(),
    title: z.string(),
    because: z.string().describe('Why a coach expects something else.'),
    faults: z.array(z.string()).describe('What came out instead.'),
  })
  .meta({ id: 'CaseFailure' });

const Lint = z
  .object({
    id: z.string(),
    page: z
      .string()
      .describe('Page that says what is meant, why it matters, how to mend it and when to leave it.'),
    part: z.string(),
    entry: z.string(),
    pointer: Pointer,
    message: z.string(),
    suggestion: z.string(),
  })
  .meta({ id: 'LintFinding' });

const Gap = z
  .object({
    part: z.string(),
    rule: z.string(),
    condition: z.int().nullable().describe('Which condition of the rule, from 0; null: the rule as a whole.'),
    missing: z.enum(['fired', 'true', 'false', 'unknown']).describe('What no case brings about.'),
    text: z
      .string()
      .nullable()
      .describe('What a record would have to hold; null: nothing can bring it about.'),
    record: z.unknown().describe('Such a record, tried; null where none could be written down.'),
  })
  .meta({ id: 'CoverageGap' });

const FieldChange = z.object({ pointer: z.string(), before: z.unknown(), after: z.unknown() });
const EntryChange = z
  .object({
    part: z.string(),
    entry: z.string(),
    change: z.enum(['added', 'changed', 'removed']),
    text: z.string(),
    fields: z.array(FieldChange),
  })
  .meta({ id: 'DraftChange' });

const NoticedChange = z
  .object({
    kind: z.enum(['status', 'causes', 'focus', 'drills', 'efficiency', 'cautions']),
    about: z.string().nullable(),
    text: z.string(),
  })
  .meta({ id: 'NoticedChange' });

const Impact = z
  .object({
    records: z.int(),
    changed: z.int(),
    notComparable: z.array(z.string()).describe('Records that one of the two rule sets cannot read.'),
    counts: z.record(z.string(), z.int()).describe('Records with a change of each kind.'),
    causes: z.array(
      z.object({
        cause: z.string(),
        label: z.string(),
        up: z.int(),
        down: z.int(),
        listed: z.int(),
        gone: z.int(),
      }),
    ),
    changes: z.array(z.object({ record: z.string(), title: z.string(), changes: z.array(NoticedChange) })),
    notTold: z.int().describe('Changed records that are counted and not told.'),
  })
  .meta({ id: 'DraftImpact' });

export const CheckAnswer = z
  .object({
    base: RuleSetName.nullable(),
    draft: RuleSetName,
    cases: z
      .object({
        passed: z.int(),
        failed: z.int(),
        broken: z.array(CaseFailure).describe('They hold under the base, and not under the draft.'),
        failing: z.array(CaseFailure).describe('The others that do not hold.'),
        mended: z.array(z.string()).describe('They hold now, and did not.'),
      })
      .describe('Every case of the base and of the draft.'),
    lint: z.array(Lint),
    coverage: z.object({
      rules: Figure.describe('Rules that fire in some case.'),
      outcomes: Figure.describe('Conditions seen true, false and not known, as far as they can be.'),
      parts: z.array(z.object({ part: z.string(), rules: Figure, outcomes: Figure })),
      gaps: z.array(Gap).describe('What no case exercises; first what the draft touches.'),
      notTold: z.int(),
    }),
    difference: z.array(EntryChange),
    impact: Impact.nullable().describe('null where there is no base to compare with.'),
  })
  .meta({ id: 'DraftCheck' });
export type CheckAnswer = z.infer<typeof CheckAnswer>;

const ChangedLine = z.object({
  text: z.string(),
  before: z.number().nullable().describe('Decibans under the base; null: there was no such line.'),
  after: z.number().nullable(),
});
const CauseShift = z
  .object({
    cause: z.string(),
    label: z.string(),
    side: Side,
    before: z.number().nullable().describe('totalDb under the base; null: not listed.'),
    after: z.number().nullable(),
    lines: z.array(ChangedLine).describe('Lines of the trail that are not as before.'),
  })
  .meta({ id: 'CauseShift' });

export const TryAnswer = z
  .object({
    base: AssessmentAnswer.nullable(),
    draft: AssessmentAnswer,
    difference: z.array(EntryChange),
    changes: z.array(NoticedChange).describe('What coach and swimmer would notice.'),
    causes: z.array(CauseShift).describe('Line by line, why each cause moved.'),
  })
  .meta({ id: 'DraftTrial' });
export type TryAnswer = z.infer<typeof TryAnswer>;

const labelled = {
  draft: RuleSetName,
  messages: z.array(z.object({ code: z.string(), text: z.string() })).describe('What was left out, and why.'),
};
export const ScoreAnswer = z
  .object({
    ...labelled,
    base: ScoredRuleSet.nullable().describe('The same records under the base.'),
    scores: ScoredRuleSet,
  })
  .meta({ id: 'DraftScore' });
export type ScoreAnswer = z.infer<typeof ScoreAnswer>;

export const FitAnswer = z.object({ ...labelled, fit: Fitted }).meta({ id: 'DraftFit' });
export type FitAnswer = z.infer<typeof FitAnswer>;
